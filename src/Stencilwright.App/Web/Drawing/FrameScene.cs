using System.Collections.Immutable;
using Stencilwright.Design;
using Stencilwright.Geometry;
using Stencilwright.Output;

namespace Stencilwright.App.Web.Drawing;

/// <summary>Which sheets of a side are drawn.</summary>
internal enum SheetChoice
{
    /// <summary>Frame and film side by side.</summary>
    Both,

    /// <summary>The frame alone.</summary>
    Frame,

    /// <summary>The film alone.</summary>
    Film,
}

/// <summary>Frame and film of a side as a technical drawing, each sheet at its own place of one drawing.</summary>
internal static class FrameScene
{
    // Distances in shares of the drawing's size, so that a small sheet and a large one are drawn alike.
    private const double RowShare = 0.062;

    /// <summary>The scene; layers whose names end in <c>-blank</c> and <c>-board</c> are what a hand can take hold of.</summary>
    public static byte[] Of(Job job, JobSide side, SheetChoice choice, Words words)
    {
        var design = side.Design;
        var frame = choice == SheetChoice.Film ? null : design.Frame;
        var showFilm = choice != SheetChoice.Frame || frame is null;
        var film = design.FilmBlank;
        var (width, height) = ((frame?.Blank.WidthMm ?? 0) + (showFilm ? film.WidthMm : 0), Math.Max(frame?.Blank.HeightMm ?? 0, showFilm ? film.HeightMm : 0));
        var row = RowShare * Math.Max(height, width / 2);
        var scene = new SceneBuilder();
        var window = Bounds2.Empty;
        if (frame is not null)
        {
            Frame(scene, job, frame, row);
            scene.Label(new(frame.Blank.WidthMm / 2, frame.Blank.HeightMm + (row * 1.4)), words["frame.sheetFrame"], "quiet");
            window = new(-row * 2.4, -row * 2.4, frame.Blank.WidthMm, frame.Blank.HeightMm + (row * 2));
        }

        if (showFilm)
        {
            var x = frame is null ? 0 : frame.Blank.WidthMm + (row * 3.2);
            Film(scene, job, side, Affine2.Translation(x, 0), row);
            scene.Label(new(x + (film.WidthMm / 2), film.HeightMm + (row * 1.4)), words["frame.sheetFilm"], "quiet");
            window = Bounds2.Union(window, new(x - (frame is null ? row * 2.4 : 0), -row * 2.4, x + film.WidthMm + (row * 2.2), film.HeightMm + (row * 2)));
        }

        return scene.Window(window).Build();
    }

    private static void Frame(SceneBuilder scene, Job job, FrameDesign frame, double row)
    {
        var (w, h) = (frame.Blank.WidthMm, frame.Blank.HeightMm);
        var board = job.Outline?.Shape.Transform(frame.Placement.Map);
        var pocket = frame.Pocket.Bounds;
        scene
            .Areas("frame-blank", "blank", [Rectangle(0, 0, w, h)])
            .Areas("frame", "frame-section", [new Region([.. frame.Edge.Contours, .. frame.Pocket.Contours.Select(c => c.Reversed())])])
            .Areas("frame-holding", "tape", frame.Holding.Where(p => p.Kind != HoldingKind.Magnet).Select(p => p.Shape))
            .Areas("frame-magnets", "place", frame.Holding.Where(p => p.Kind == HoldingKind.Magnet).Select(p => p.Shape))
            .Areas("frame-board", "board-section", board is null ? [] : [board])
            .Areas("frame-film", "neighbour", [Rectangle(frame.Film.MinX, frame.Film.MinY, frame.Film.MaxX, frame.Film.MaxY)])
            .Lines("frame-marks", "score-mark", Strokes(frame.Marks, Affine2.Identity))
            .Dimension(new(w, 0), new(0, 0), row * 2)
            .Dimension(new(0, 0), new(0, h), row * 2)
            .Dimension(new(pocket.MinX, 0), new(0, 0), row)
            .Dimension(new(pocket.MaxX, 0), new(pocket.MinX, 0), row)
            .Dimension(new(w, 0), new(pocket.MaxX, 0), row)
            .Dimension(new(0, 0), new(0, pocket.MinY), row)
            .Dimension(new(0, pocket.MinY), new(0, pocket.MaxY), row)
            .Dimension(new(0, pocket.MaxY), new(0, h), row);
    }

    private static void Film(SceneBuilder scene, Job job, JobSide side, Affine2 at, double row)
    {
        var design = side.Design;
        var (w, h) = (design.FilmBlank.WidthMm, design.FilmBlank.HeightMm);
        var board = job.Outline?.Shape.Transform(at * design.Placement.Map);
        var near = NearEdge(design);
        scene
            .Areas("film", "film", [(design.FilmEdge ?? Rectangle(0, 0, w, h)).Transform(at)])
            .Areas("film-blank", "blank", [Rectangle(0, 0, w, h).Transform(at)])
            .Areas("film-board", "board", board is null ? [] : [board])
            .Areas("film-openings", "opening", side.Plan.Openings.Where(o => !near.Contains(o.Id)).Select(o => o.Shape.Transform(at)))
            .Areas("film-near", "near-edge", side.Plan.Openings.Where(o => near.Contains(o.Id)).Select(o => o.Shape.Transform(at)))
            .Lines("film-marks", "score-mark", Strokes(design.Marks, at))
            .Dimension(at.Apply(new Point2(w, 0)), at.Apply(new Point2(0, 0)), row * 2)
            .Dimension(at.Apply(new Point2(w, h)), at.Apply(new Point2(w, 0)), row * 2);
        if (board is { IsEmpty: false } placed)
        {
            var (x0, y0) = (at.X0, at.Y0);
            var box = placed.Bounds;
            scene
                .Dimension(new(box.MinX, y0), new(x0, y0), row)
                .Dimension(new(box.MaxX, y0), new(box.MinX, y0), row)
                .Dimension(new(x0 + w, box.MinY), new(x0 + w, y0), row)
                .Dimension(new(x0 + w, box.MaxY), new(x0 + w, box.MinY), row);
        }
    }

    private static HashSet<string> NearEdge(StencilDesign design) =>
        [.. design.Findings.Where(f => f.Code == "DSN008").SelectMany(f => f.Apertures)];

    private static IEnumerable<(ImmutableArray<PathVertex> Vertices, bool IsClosed)> Strokes(ImmutableArray<ScoreMark> marks, Affine2 at) =>
        marks.SelectMany(m => m.Strokes).Select(s => (ImmutableArray.CreateRange(s.Vertices.ToArray().ToImmutableArray(), v => new PathVertex(v.X + at.X0, v.Y + at.Y0, v.Bulge)), false));

    private static Region Rectangle(double x0, double y0, double x1, double y1) => Region.Of(Contour.Rectangle(new(x0, y0, x1, y1)));
}
