using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Tests;

/// <summary>A small invented job made by hand: every kind of path, every verdict, both sides.</summary>
internal static class SampleJob
{
    public static Job Make(string title = "Weather vane, rev B", bool withBottom = true, int extra = 0, bool withFrame = true)
    {
        var settings = JobSettings.Default with { Title = title, Date = "2026-03-01" };
        var outline = new BoardOutline(
            new Region([RoundedRectangle(new(20, 10, 62, 38), 2), Contour.Circle(new(24, 14), 1.6).Reversed()]), "edge.gbr", "the layer says so");
        var sides = ImmutableArray.CreateBuilder<JobSide>();
        sides.Add(Side(BoardSide.Top, settings, outline, title, extra, withFrame));
        if (withBottom)
        {
            sides.Add(Side(BoardSide.Bottom, settings, outline, title, 0, withFrame));
        }

        return new Job
        {
            Version = "0.1.0",
            Title = title,
            Settings = settings,
            Sources = [new("edge.gbr", "gerber", "outline", new string('a', 64)), new("paste.gbr", "gerber", "paste-top", new string('b', 64))],
            Outline = withFrame ? outline : null,
            Sides = sides.ToImmutable(),
        };
    }

    public static Contour RoundedRectangle(Bounds2 b, double r)
    {
        var q = Math.Tan(Math.PI / 8);
        return new Contour(
        [
            new(b.MinX + r, b.MinY), new(b.MaxX - r, b.MinY, q), new(b.MaxX, b.MinY + r), new(b.MaxX, b.MaxY - r, q),
            new(b.MaxX - r, b.MaxY), new(b.MinX + r, b.MaxY, q), new(b.MinX, b.MaxY - r), new(b.MinX, b.MinY + r, q),
        ]);
    }

    /// <summary>A slot with half-round ends along x.</summary>
    public static Contour Obround(Point2 c, double length, double width)
    {
        var (h, r) = ((length - width) / 2, width / 2);
        return new Contour([new(c.X - h, c.Y - r), new(c.X + h, c.Y - r, 1), new(c.X + h, c.Y + r), new(c.X - h, c.Y + r, 1)]);
    }

    public static CutPath Cut(CutKind kind, string owner, Contour contour) => new()
    {
        Kind = kind, Owner = owner, Vertices = contour.ToImmutableArray(), IsClosed = true,
    };

    private static JobSide Side(BoardSide side, JobSettings settings, BoardOutline outline, string title, int extra, bool withFrame)
    {
        var isTop = side == BoardSide.Top;
        var placement = isTop ? new SheetPlacement(9.8, 26.8, 0, false) : new SheetPlacement(91.8, 26.8, 0, true);
        var openings = ImmutableArray.CreateBuilder<DesignedOpening>();
        var cuts = ImmutableArray.CreateBuilder<AsCutOpening>();
        var paths = ImmutableArray.CreateBuilder<CutPath>();
        ImmutableArray<ScoreMark> marks = [new("registration", "", [Cross(8, 8), Cross(93, 93)]), new("title", title, [Zigzag(20, 92)])];
        foreach (var mark in marks)
        {
            foreach (var stroke in mark.Strokes)
            {
                paths.Add(new() { Kind = CutKind.Score, Owner = mark.Kind, Vertices = [.. stroke.Vertices], IsClosed = false });
            }
        }

        foreach (var (i, (shape, part, pin)) in Shapes(isTop, extra).Index())
        {
            var id = $"a{i + 1:0000}";
            var region = Region.Of(shape);
            var area = region.AreaMm2;
            var ratio = area / (region.PerimeterMm * settings.FilmThicknessMm);
            var verdict = ratio < 0.5 ? Verdict.WillNotPrint : ratio < 0.66 ? Verdict.Marginal : Verdict.Prints;
            openings.Add(new()
            {
                Id = id, Artwork = region, Design = region, Component = part, Pin = pin, Rule = i % 3 == 0 ? "none" : "round-corners",
                RotationDeg = shape.Bounds.Height > shape.Bounds.Width ? 90 : 0, Place = new("paste.gbr", 10 + i, 1),
            });
            var onFilm = region.Transform(placement.Map);
            cuts.Add(new()
            {
                Id = id, Shape = onFilm, Form = new(area, region.PerimeterMm, 2.5 * settings.FilmThicknessMm, shape.Bounds.Width), WebMm = i == 0 ? null : 0.2 + (i % 7 * 0.05),
                Print = new()
                {
                    AreaRatio = ratio, AspectRatio = 2.5, TransferEfficiency = 0.8, PasteVolumeMm3 = area * settings.FilmThicknessMm * 0.8, Verdict = verdict,
                },
            });
            paths.Add(Cut(CutKind.Opening, id, onFilm.Contours[0]));
            if (i == 1)
            {
                var b = onFilm.Bounds;
                paths.Add(new() { Kind = CutKind.OpeningLine, Owner = id, Vertices = [new(b.MinX, b.Center.Y), new(b.MaxX, b.Center.Y)], IsClosed = false });
            }
        }

        var frame = withFrame ? Frame(settings, outline, placement) : null;
        return new(
            new StencilDesign
            {
                Side = side, FilmBlank = settings.FilmBlankMm, Placement = placement, Openings = openings.ToImmutable(), Marks = marks, Frame = frame, Findings = [],
            },
            new CutPlan
            {
                Side = side,
                Film = Plan("film", settings.FilmBlankMm, settings.FilmThicknessMm, settings.FilmPowerPercent, settings, paths.ToImmutable()),
                Frame = frame is null ? null : Plan("frame", frame.Blank, settings.FrameThicknessMm, settings.FramePowerPercent, settings,
                [
                    .. frame.Pocket.Contours.Select(c => Cut(CutKind.Pocket, "", c)), .. frame.Edge.Contours.Select(c => Cut(CutKind.Edge, "", c)),
                ]),
                Openings = cuts.ToImmutable(),
                Findings = [],
            },
            0.042,
            0.48,
            Findings());
    }

    private static IEnumerable<(Contour Shape, string? Part, string? Pin)> Shapes(bool isTop, int extra)
    {
        yield return (Contour.Circle(new(30, 33), 0.8), "TP1", "1");
        yield return (RoundedRectangle(new(26, 20, 27.2, 21.4), 0.2), "C1", "1");
        yield return (RoundedRectangle(new(28.4, 20, 29.6, 21.4), 0.2), "C1", "2");
        yield return (Obround(new(34, 13), 2.4, 0.9), "J1", "1");
        yield return (Obround(new(38, 13), 2.4, 0.9), "J1", "2");
        if (isTop)
        {
            for (var k = 0; k < 8; k++)
            {
                yield return (RoundedRectangle(new(42 + (0.5 * k), 19.6, 42.15 + (0.5 * k), 20.4), 0.04), "U1", $"{k + 1}");
                yield return (RoundedRectangle(new(42 + (0.5 * k), 25.2, 42.15 + (0.5 * k), 26), 0.04), "U1", $"{16 - k}");
            }

            yield return (Contour.Rectangle(new(43, 22, 44.4, 23.4)), "U1", "17");
            yield return (Contour.Rectangle(new(44.8, 22, 46.2, 23.4)), "U1", "17");
            for (var k = 0; k < 9; k++)
            {
                yield return (Contour.Circle(new(53 + (0.4 * (k % 3)), 30 + (0.4 * (k / 3))), 0.1), "U2", $"{(char)('A' + (k / 3))}{k % 3}");
            }

            yield return (Contour.Polygon([new(55, 14), new(56.4, 14), new(57, 14.6), new(57, 15.8), new(55, 15.8)]), "=D1", "A,\"K\"");
            yield return (RoundedRectangle(new(50, 34, 50.4, 34.3), 0.05), null, null);
        }

        for (var k = 0; k < extra; k++)
        {
            var (x, y) = (21 + (k % 50 * 0.8), 11 + (k / 50 * 0.85));
            yield return (RoundedRectangle(new(x, y, x + 0.3 + (k % 5 * 0.06), y + 0.5), 0.08), $"X{k / 40}", $"{k}");
        }
    }

    private static FrameDesign Frame(JobSettings settings, BoardOutline outline, SheetPlacement placement)
    {
        var onFrame = placement with { XMm = placement.XMm + 25.4 };
        var board = outline.Shape.Transform(onFrame.Map).Bounds;
        return new()
        {
            Blank = settings.FrameBlankMm,
            Placement = onFrame,
            Pocket = Region.Of(RoundedRectangle(board.Inflate(settings.FrameClearanceMm), 3)),
            Edge = Region.Of(RoundedRectangle(new(2, 2, 150.4, 99.6), 4)),
            StepMm = settings.BoardThicknessMm - settings.FrameThicknessMm,
            Marks = [],
        };
    }

    private static SheetPlan Plan(string name, BlankSize blank, double thicknessMm, double powerPercent, JobSettings s, ImmutableArray<CutPath> paths) => new()
    {
        Name = name, Blank = blank, ThicknessMm = thicknessMm, CutPowerPercent = powerPercent, CutSpeedMmS = 10,
        ScorePowerPercent = s.ScorePowerPercent, ScoreSpeedMmS = s.ScoreSpeedMmS, Paths = paths,
        CutLengthMm = paths.Sum(p => p.LengthMm), TravelLengthMm = 321.5, TimeS = 95.4,
    };

    private static ImmutableArray<Finding> Findings() =>
    [
        new()
        {
            Code = "DSN012", Severity = Severity.Warning, XMm = 53.4, YMm = 30.4, Apertures = ["a0024", "a0025"], Source = new("paste.gbr", 33, 1),
            Message = "Nine openings of U2 are too small for this film: paste will stay in them. Use thinner film, or a steel stencil for this part.",
        },
        new() { Code = "BRD003", Severity = Severity.Note, Message = "The outline was taken from edge.gbr because its attributes say so." },
        new() { Code = "CUT004", Severity = Severity.Error, Message = "The web between a0006 and a0008 melts: 0.06 mm is left. Narrow the openings or allow a bridge <0.1 mm \"by hand\"." },
    ];

    private static OpenPath Cross(double x, double y) => new([new(x - 2, y), new(x, y), new(x, y + 2), new(x, y - 2), new(x, y), new(x + 2, y)]);

    private static OpenPath Zigzag(double x, double y) =>
        new([new(x, y), new(x + 3, y + 3, -0.5), new(x + 6, y), new(x + 9, y + 3, 0.3), new(x + 12, y)]);
}
