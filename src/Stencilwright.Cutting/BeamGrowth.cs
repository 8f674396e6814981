using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What the beam opens beyond its kerf: the mark where it begins at rest, and a wider cut where the machine is slow.</summary>
/// <remarks>
/// At constant power the energy for each length of cut rises as 1/v, and the kerf is taken as kerf · (v₀/v)ⁿ with v₀ the set
/// speed, at which the kerf was measured (docs/algorithms/cutting.md; the power law is ours, no source). Film sees the whole
/// width of the beam pass: v is taken as no less than what is reached half a kerf from a stop, √(a · kerf).
/// </remarks>
internal sealed class BeamGrowth
{
    /// <summary>The law is not believed beyond this many kerfs.</summary>
    public const double MostKerfs = 2;

    // Between two places along the path the width is linear, and leaves what it should be by no more than this share of the kerf.
    private const double Straight = 0.005;

    // Growth below this share of the kerf, 0.15 µm, is none.
    private const double Least = 1e-3;

    // Chords stand for arcs that they leave by at most this share of half the kerf: 0.75 µm.
    private const double ChordShare = 0.01;

    private const int MostHalvings = 10;

    private readonly JobSettings _settings;
    private readonly Affine2 _toCut;
    private readonly double _halfX;
    private readonly double _halfY;
    private readonly double _slowest;

    private BeamGrowth(JobSettings settings)
    {
        _settings = settings;
        _toCut = SheetBuilder.CorrectionOf(settings).Inverse();
        (_halfX, _halfY) = (settings.KerfXMm / 2, settings.KerfYMm / 2);
        _slowest = Math.Sqrt(settings.AccelerationMmS2 * Math.Max(settings.KerfXMm, settings.KerfYMm));
    }

    private bool Marks => _settings.StartMarkMm > 0;

    private bool Grows => _settings.KerfEnergyExponent > 0 && !_settings.PowerFollowsSpeed && _halfX > 0 && _halfY > 0;

    /// <summary>Whether these settings ask for any of that.</summary>
    public static bool IsAny(JobSettings settings) => new BeamGrowth(settings) is var growth && (growth.Marks || growth.Grows);

    /// <summary>The openings with all that; the same ones where the settings ask for none.</summary>
    /// <param name="opened">What the kerf opens, in sheet coordinates as cut.</param>
    /// <param name="ids">Their ids, as paths name them.</param>
    /// <param name="film">The paths as they are run.</param>
    /// <param name="settings">Mark, exponent and machine.</param>
    /// <param name="cancellation">Stops the work with an <see cref="OperationCanceledException"/>.</param>
    public static ImmutableArray<Region> Grow(
        ImmutableArray<Region> opened, IEnumerable<string> ids, SheetPlan film, JobSettings settings, CancellationToken cancellation)
    {
        if (!IsAny(settings))
        {
            return opened;
        }

        var growth = new BeamGrowth(settings);
        var indices = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var id in ids)
        {
            indices.TryAdd(id, indices.Count);
        }

        var added = new List<Region>?[opened.Length];
        CutPath? before = null;
        foreach (var path in film.Paths)
        {
            cancellation.ThrowIfCancellationRequested();
            if (path.Kind is CutKind.Opening or CutKind.OpeningLine && !(before is not null && path.Vertices.Equals(before.Vertices)) && indices.TryGetValue(path.Owner, out var i))
            {
                growth.AddTo(added[i] ??= [], path, path.SpeedMmS ?? film.CutSpeedMmS);
            }

            before = path;
        }

        var grown = opened.ToArray();
        for (var i = 0; i < grown.Length; i++)
        {
            if (added[i] is { Count: > 0 } more)
            {
                cancellation.ThrowIfCancellationRequested();
                more.Add(grown[i]);
                grown[i] = RegionBoolean.Union(CollectionsMarshal.AsSpan(more));
            }
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(grown);
    }

    /// <summary>What two circles and all between them cover; just the larger where it holds the other.</summary>
    /// <remarks>Area r₁²(π - α) + r₂²α + (r₁ + r₂) d sin α with cos α = (r₁ - r₂)/d.</remarks>
    internal static Region Capsule(Point2 first, double firstMm, Point2 second, double secondMm)
    {
        var axis = second - first;
        var length = axis.Length;
        if (length <= Math.Abs(firstMm - secondMm))
        {
            return Region.Of(firstMm >= secondMm ? Contour.Circle(first, firstMm) : Contour.Circle(second, secondMm));
        }

        var (heading, alpha) = (Math.Atan2(axis.Y, axis.X), Math.Acos((firstMm - secondMm) / length));
        var (back, front) = (Math.Tan((Math.PI - alpha) / 4), Math.Tan(alpha / 4));
        return Region.Of(Contour.Adopt(
        [
            On(first, firstMm, heading + alpha, back),
            On(first, firstMm, heading + Math.PI, back),
            On(first, firstMm, heading - alpha, 0),
            On(second, secondMm, heading - alpha, front),
            On(second, secondMm, heading, front),
            On(second, secondMm, heading + alpha, 0),
        ]));
    }

    private static PathVertex On(Point2 center, double radius, double angle, double bulge) =>
        new(center.X + (radius * Math.Cos(angle)), center.Y + (radius * Math.Sin(angle)), bulge);

    private void AddTo(List<Region> added, CutPath path, double speedMmS)
    {
        if (Marks)
        {
            added.Add(MarkAt(_toCut.Apply(path.Start)));
        }

        if (!Grows || _slowest >= speedMmS)
        {
            return;
        }

        // Where the beam is round: stretched along y, and what it opens stretched back.
        var stretch = _halfY / _halfX;
        var pieces = Pieces(path, MotionLimits.Of(_settings, speedMmS), Affine2.Scale(1, 1 / stretch) * _toCut);
        if (pieces.Count > 0)
        {
            var swept = RegionBoolean.Union(CollectionsMarshal.AsSpan(pieces));
            added.Add(stretch == 1 ? swept : swept.Transform(Affine2.Scale(1, stretch)));
        }
    }

    private Region MarkAt(Point2 at)
    {
        var (x, y) = (_halfX + (_settings.StartMarkMm / 2), _halfY + (_settings.StartMarkMm / 2));
        return Region.Of(x == y
            ? Contour.Circle(at, x)
            : Contour.Circle(new(0, 0), 1).Transform(Affine2.Translation(at.X, at.Y) * Affine2.Scale(x, y)));
    }

    private List<Region> Pieces(CutPath path, in MotionLimits limits, Affine2 toRound)
    {
        var profile = Motion.ProfileOf(path, limits);
        var pieces = new List<Region>();
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var run = new SpeedRun(profile, i, limits.AccelerationMmS2);
            var segment = path.SegmentAt(i);
            var places = run.Breaks();
            for (var k = 1; k < places.Length; k++)
            {
                if (places[k] > places[k - 1])
                {
                    Divide(pieces, segment, run, limits.SpeedMmS, places[k - 1], places[k], MostHalvings, toRound);
                }
            }
        }

        return pieces;
    }

    private void Divide(
        List<Region> pieces, Segment segment, in SpeedRun run, double speedMmS, double from, double to, int halvings, Affine2 toRound)
    {
        var (a, b) = (KerfsAt(run.SpeedAt(from), speedMmS), KerfsAt(run.SpeedAt(to), speedMmS));
        if (Math.Max(a, b) < 1 + Least)
        {
            return;
        }

        var turn = Math.Abs(segment.SweepRad) * (to - from) / run.LengthMm;
        var sagitta = segment.IsLine ? 0 : segment.Radius * (1 - Math.Cos(turn / 2));
        if (halvings > 0 && (!IsStraight(run, speedMmS, from, to, a, b) || sagitta > ChordShare * _halfX))
        {
            var middle = (from + to) / 2;
            Divide(pieces, segment, run, speedMmS, from, middle, halvings - 1, toRound);
            Divide(pieces, segment, run, speedMmS, middle, to, halvings - 1, toRound);
            return;
        }

        pieces.Add(Capsule(
            toRound.Apply(segment.PointAt(from / run.LengthMm)), a * _halfX, toRound.Apply(segment.PointAt(to / run.LengthMm)), b * _halfX));
    }

    private bool IsStraight(in SpeedRun run, double speedMmS, double from, double to, double a, double b)
    {
        for (var share = 0.25; share < 1; share += 0.25)
        {
            var width = KerfsAt(run.SpeedAt(from + (share * (to - from))), speedMmS);
            if (Math.Abs(width - a - (share * (b - a))) > Straight)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Width of the cut over the kerf at a speed.</summary>
    private double KerfsAt(double speed, double setSpeed) => Math.Clamp(
        Math.Pow(setSpeed / Math.Max(speed, Math.Min(_slowest, setSpeed)), _settings.KerfEnergyExponent), 1, MostKerfs);
}
