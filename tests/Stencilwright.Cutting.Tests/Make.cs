using System.Collections.Immutable;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Tests;

internal static class Make
{
    public static Region Rectangle(double x0, double y0, double x1, double y1) =>
        Region.Of(Contour.Rectangle(new Bounds2(x0, y0, x1, y1)));

    public static Region Polygon(params (double X, double Y)[] points) =>
        Region.Of(Contour.Polygon([.. points.Select(p => new Point2(p.X, p.Y))]));

    public static StencilDesign Design(params Region[] openings) => new()
    {
        Side = BoardSide.Top,
        FilmBlank = new BlankSize(101.6, 101.6),
        Placement = new SheetPlacement(0, 0, 0, false),
        Openings = [.. openings.Select((shape, i) => new DesignedOpening
        {
            Id = $"a{i + 1:0000}",
            Artwork = shape,
            Design = shape,
            Place = SourcePlace.Whole("paste.gtp"),
        })],
        Marks = [],
        Findings = [],
    };

    public static CutPlan Plan(JobSettings settings, params Region[] openings) => CutPlanner.Plan(Design(openings), settings);

    public static CutPlan Plan(params Region[] openings) => Plan(JobSettings.Default, openings);

    public static Region AsRegion(this CutPath path) => Region.Of(new Contour(path.Vertices.AsSpan()));

    public static ImmutableArray<CutPath> PathsOf(this CutPlan plan, CutKind kind) =>
        [.. plan.Film.Paths.Where(p => p.Kind == kind)];
}
