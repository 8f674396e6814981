using System.Collections.Immutable;
using Stencilwright.Cutting;
using Stencilwright.Geometry;
using Stencilwright.Output;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web.Drawing;

/// <summary>The film of a side with its openings, as the page of openings shows it, in the film's coordinates.</summary>
internal static class OpeningsScene
{
    /// <summary>The layer whose shapes are picked.</summary>
    public const string Pick = "openings";

    public static byte[] Of(Job job, SideFigures figures)
    {
        var side = figures.Side;
        var map = side.Design.Placement.Map;
        var blank = side.Design.FilmBlank;
        var openings = side.Plan.Openings;
        var board = job.Outline?.Shape.Transform(map);
        var window = board?.Bounds ?? Bounds2.Empty;
        foreach (var opening in openings)
        {
            window = Bounds2.Union(window, opening.Shape.Bounds);
        }

        var scene = new SceneBuilder()
            .Window(window.IsEmpty ? new(0, 0, blank.WidthMm, blank.HeightMm) : window)
            .Areas("film", "film", [side.Design.FilmEdge ?? Region.Of(Contour.Rectangle(new(0, 0, blank.WidthMm, blank.HeightMm)))])
            .Areas("board", "board", board is null ? [] : [board])
            .Areas(Pick, "opening", openings.Select(o => o.Shape), [.. openings.Select(o => o.Id)])
            .Lines("marks", "score", side.Design.Marks.SelectMany(m => m.Strokes).Select(s => (s.Vertices.ToArray().ToImmutableArray(), false)));
        Details(scene, side, map);
        return scene
            .Values("verdict", openings.Select(o => (double)(int)o.Verdict))
            .Values("ratio", openings.Select(o => o.AreaRatio))
            .Values("web", openings.Select(o => o.WebMm ?? double.NaN))
            .Values("volume", openings.Select(o => o.PasteVolumeMm3))
            .Values("change", figures.Openings.Select(o => o.ChangePercent))
            .Build();
    }

    // Drawn over one another for what is selected.
    private static void Details(SceneBuilder scene, JobSide side, Affine2 map)
    {
        var cuts = side.Plan.Film.Paths.Where(p => p.Kind is CutKind.Opening or CutKind.OpeningLine).ToList();
        scene
            .Areas("detail-artwork", "artwork", side.Design.Openings.Select(o => o.Artwork.Transform(map)))
            .Areas("detail-as-cut", "as-cut", side.Plan.Openings.Select(o => o.Shape))
            .Areas("detail-design", "design", side.Design.Openings.Select(o => o.Design.Transform(map)))
            .Lines("detail-beam", "beam", cuts.Select(p => (p.Vertices, p.IsClosed)), [.. cuts.Select(p => p.Owner)]);
    }
}
