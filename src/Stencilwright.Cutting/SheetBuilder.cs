using System.Collections.Immutable;
using Stencilwright.Cutting.Heat;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>How a sheet is cut.</summary>
internal readonly record struct CutRecipe(double ThicknessMm, double PowerPercent, double SpeedMmS, int Passes);

/// <summary>Collects the paths of one sheet and makes its plan.</summary>
internal sealed class SheetBuilder
{
    private const double TieMm = 1e-9;

    private readonly JobSettings _settings;
    private readonly Affine2 _correction;
    private readonly List<CutUnit> _scores = [];
    private readonly List<CutUnit> _cuts = [];
    private readonly List<CutPath> _last = [];

    public SheetBuilder(JobSettings settings)
    {
        _settings = settings;
        _correction = CorrectionOf(settings);
    }

    /// <summary>Owners of closed cuts that got no lead-in for want of room.</summary>
    public List<string> Cramped { get; private set; } = [];

    /// <summary>From where a point shall be cut to where it must be drawn.</summary>
    public static Affine2 CorrectionOf(JobSettings settings)
    {
        // A drawn point (x, y) is cut at (scaleX·x + scaleY·y·tan skew, scaleY·y); drawing the inverse cuts (x, y).
        var machine = new Affine2(
            settings.ScaleX, settings.ScaleY * Math.Tan(settings.SkewMrad / 1000), 0, 0, settings.ScaleY, 0);
        return machine == Affine2.Identity ? machine : machine.Inverse();
    }

    public void AddMarks(ImmutableArray<ScoreMark> marks)
    {
        foreach (var mark in marks)
        {
            foreach (var stroke in mark.Strokes)
            {
                _scores.Add(new CutUnit([Open(stroke, CutKind.Score, mark.Kind)], []));
            }
        }
    }

    /// <summary>One island: holes before the outer contour, or what falls out takes them along uncut.</summary>
    public void AddIsland(Region island, CutKind kind, string owner, int opening = -1, double? powerPercent = null, double? speedMmS = null)
    {
        var paths = ImmutableArray.CreateBuilder<CutPath>(island.Contours.Length);
        var holes = ImmutableArray.CreateBuilder<Contour>();
        foreach (var contour in island.Contours)
        {
            if (contour.SignedAreaMm2 < 0)
            {
                paths.Add(Closed(contour, kind, owner) with { PowerPercent = powerPercent, SpeedMmS = speedMmS });
                holes.Add(contour.Transform(_correction));
            }
        }

        foreach (var contour in island.Contours)
        {
            if (contour.SignedAreaMm2 >= 0)
            {
                paths.Add(Closed(contour, kind, owner) with { PowerPercent = powerPercent, SpeedMmS = speedMmS });
            }
        }

        _cuts.Add(new CutUnit(paths.ToImmutable(), holes.ToImmutable(), opening));
    }

    public void AddLine(OpenPath line, CutKind kind, string owner, int opening) =>
        _cuts.Add(new CutUnit([Open(line, kind, owner)], [], opening));

    /// <summary>Contours cut after all others, in the order given.</summary>
    public void AddLast(Region region, CutKind kind)
    {
        foreach (var contour in region.Contours)
        {
            _last.Add(Closed(contour, kind, ""));
        }
    }

    /// <summary>Open paths cut after all others, in the order given.</summary>
    public void AddLast(ImmutableArray<OpenPath> paths, CutKind kind) => _last.AddRange(paths.Select(p => Open(p, kind, "")));

    /// <summary>The sheet's plan.</summary>
    /// <param name="name"><c>film</c> or <c>frame</c>.</param>
    /// <param name="blank">The blank.</param>
    /// <param name="recipe">Thickness, power and speed of its cuts.</param>
    /// <param name="webs">Film between openings that heat decides about.</param>
    /// <param name="steps">Effort for each unit.</param>
    /// <param name="thin">Thin film that no cut should start beside; null for none.</param>
    /// <param name="enough">Ends the search with the best order so far.</param>
    public SheetPlan Build(
        string name, BlankSize blank, CutRecipe recipe, ImmutableArray<ClosePair> webs, long steps, ThinWebs? thin, CancellationToken enough)
    {
        var rule = _settings.StartPoints == "nearest"
            ? StartRule.Nearest
            : new StartRule(true, Math.Max(_settings.KerfXMm, _settings.KerfYMm), thin);
        var last = StartLast(rule);
        var travel = TourCost.Time(_settings.TravelSpeedMmS, _settings.AccelerationMmS2);
        var paths = PathOrder.Arrange(_scores, new Point2(0, 0), null, travel, steps, rule, enough);
        var at = paths.Count == 0 ? new Point2(0, 0) : paths[^1].End;
        Point2? end = last.Count == 0 ? null : last[0].Start;
        var cost = webs.IsEmpty ? travel : travel.WithReheat(_cuts.Count, Reheat.Pairs(_cuts, webs, travel, _settings));
        paths.AddRange(PathOrder.Arrange(_cuts, at, end, cost, steps, rule, enough));
        paths.AddRange(last);
        var finish = new PathFinish(_settings);
        paths = finish.Of(paths, kind => kind == CutKind.Score ? _settings.ScorePasses : recipe.Passes);
        Cramped = finish.Cramped;
        var (cutLength, travelLength, time) = Sum(paths, recipe.SpeedMmS);
        return new SheetPlan
        {
            Name = name,
            Blank = blank,
            ThicknessMm = recipe.ThicknessMm,
            CutPowerPercent = recipe.PowerPercent,
            CutSpeedMmS = recipe.SpeedMmS,
            ScorePowerPercent = _settings.ScorePowerPercent,
            ScoreSpeedMmS = _settings.ScoreSpeedMmS,
            Paths = [.. paths],
            CutLengthMm = cutLength,
            TravelLengthMm = travelLength,
            TimeS = time,
        };
    }

    // Their order is given, and the first is where the way of the rest leads: each starts nearest to where the last one ended.
    private List<CutPath> StartLast(StartRule rule)
    {
        var (paths, at) = (new List<CutPath>(_last.Count), new Point2(0, 0));
        Span<StartSite> sites = stackalloc StartSite[StartSites.Most];
        foreach (var path in _last)
        {
            var next = path;
            if (path.IsClosed)
            {
                var best = 0;
                for (var k = StartSites.Of(path, -1, rule, sites) - 1; k > 0; k--)
                {
                    best = Point2.Distance(at, sites[k].At) < Point2.Distance(at, sites[best].At) - TieMm ? k : best;
                }

                next = StartSites.StartAt(path, sites[best]);
            }

            paths.Add(next);
            at = next.End;
        }

        return paths;
    }

    private (double Cut, double Travel, double Time) Sum(List<CutPath> paths, double cutSpeedMmS)
    {
        var (cut, travel, time) = (0.0, 0.0, 0.0);
        var at = new Point2(0, 0);
        var (cutting, scoring) = (MotionLimits.Of(_settings, cutSpeedMmS), MotionLimits.Of(_settings, _settings.ScoreSpeedMmS));
        foreach (var path in paths)
        {
            var move = Point2.Distance(at, path.Start);
            travel += move;
            cut += path.LengthMm;
            time += Motion.RestToRestS(move, _settings.TravelSpeedMmS, _settings.AccelerationMmS2)
                + Motion.PathS(_settings.GcodeArcs ? path : ShortLines.Of(path, _settings.GcodeChordErrorMm), path.SpeedMmS is { } own ? MotionLimits.Of(_settings, own) : path.Kind == CutKind.Score ? scoring : cutting);
            at = path.End;
        }

        return (cut, travel, time);
    }

    private CutPath Closed(Contour contour, CutKind kind, string owner) => new()
    {
        Kind = kind,
        Owner = owner,
        Vertices = (_correction == Affine2.Identity ? contour : contour.Transform(_correction)).ToImmutableArray(),
        IsClosed = true,
    };

    // Bends of open paths are kept as they are: marks need no more than the place of their ends, and lines are straight.
    private CutPath Open(OpenPath path, CutKind kind, string owner)
    {
        var vertices = ImmutableArray.CreateBuilder<PathVertex>(path.Vertices.Length);
        foreach (var v in path.Vertices)
        {
            var p = _correction.Apply(v.Point);
            vertices.Add(new(p.X, p.Y, v.Bulge));
        }

        return new CutPath { Kind = kind, Owner = owner, Vertices = vertices.MoveToImmutable(), IsClosed = false };
    }
}
