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

        return new SceneBuilder()
            .Window(window.IsEmpty ? new(0, 0, blank.WidthMm, blank.HeightMm) : window)
            .Areas("film", "film", [side.Design.FilmEdge ?? Region.Of(Contour.Rectangle(new(0, 0, blank.WidthMm, blank.HeightMm)))])
            .Areas("board", "board", board is null ? [] : [board])
            .Areas(Pick, "opening", openings.Select(o => o.Shape), [.. openings.Select(o => o.Id)])
            .Lines("marks", "score", side.Design.Marks.SelectMany(m => m.Strokes).Select(s => (s.Vertices.ToArray().ToImmutableArray(), false)))
            .Values("verdict", openings.Select(o => (double)(int)o.Verdict))
            .Values("ratio", openings.Select(o => o.AreaRatio))
            .Values("web", openings.Select(o => o.WebMm ?? double.NaN))
            .Values("volume", openings.Select(o => o.PasteVolumeMm3))
            .Values("change", figures.Openings.Select(o => o.ChangePercent))
            .Build();
    }

    /// <summary>What is drawn over one another for openings: artwork, design, beam and as-cut shape, each with its opening's id.</summary>
    /// <param name="figures">The side.</param>
    /// <param name="which">Which openings.</param>
    /// <param name="artworkOnly">Whether the artwork alone is wanted.</param>
    public static byte[] Details(SideFigures figures, Func<OpeningFigures, bool> which, bool artworkOnly)
    {
        var map = figures.Side.Design.Placement.Map;
        var chosen = figures.Openings.Where(which).ToList();
        ImmutableArray<string> ids = [.. chosen.Select(o => o.Id)];
        var scene = new SceneBuilder().Areas("artwork", "artwork", chosen.Select(o => o.Design.Artwork.Transform(map)), ids);
        if (artworkOnly)
        {
            return scene.Build();
        }

        var owners = ids.ToHashSet(StringComparer.Ordinal);
        var cuts = figures.Side.Plan.Film.Paths.Where(p => p.Kind is CutKind.Opening or CutKind.OpeningLine && owners.Contains(p.Owner)).ToList();
        return scene
            .Areas("design", "design", chosen.Select(o => o.Design.Design.Transform(map)), ids)
            .Areas("as-cut", "as-cut", chosen.Select(o => o.AsCut.Shape), ids)
            .Lines("beam", "beam", cuts.Select(p => (p.Vertices, p.IsClosed)), [.. cuts.Select(p => p.Owner)])
            .Build();
    }
}
