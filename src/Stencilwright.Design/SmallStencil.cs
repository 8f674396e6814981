using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>A small stencil for a few parts: film round their openings, with two tabs to hold it by.</summary>
/// <remarks>Sizes are common practice, no source: enough film to spread a little paste over, and tabs that fingers or tape find.</remarks>
/// <param name="Body">The film without its tabs.</param>
/// <param name="Edge">Its edge, tabs and all.</param>
/// <param name="Folds">Lines along which the tabs fold up.</param>
internal sealed record SmallStencil(Bounds2 Body, Region Edge, ImmutableArray<OpenPath> Folds)
{
    private const double MarginMm = 5;
    private const double TabLengthMm = 10;
    private const double TabWidthMm = 8;
    private const double CornerMm = 1.5;

    /// <summary>The stencil round a box of openings, in the same coordinates, its tabs where the blank has more room.</summary>
    public static SmallStencil Around(Bounds2 openings, BlankSize blank)
    {
        var body = openings.Inflate(MarginMm);
        var along = blank.WidthMm - body.Width >= blank.HeightMm - body.Height;
        var half = Math.Min(TabWidthMm, along ? body.Height : body.Width) / 2;
        var c = body.Center;
        var tabs = along
            ? new Bounds2(body.MinX - TabLengthMm, c.Y - half, body.MaxX + TabLengthMm, c.Y + half)
            : new Bounds2(c.X - half, body.MinY - TabLengthMm, c.X + half, body.MaxY + TabLengthMm);
        var cross = RegionBoolean.Union([Region.Of(Contour.Rectangle(body)), Region.Of(Contour.Rectangle(tabs))]);
        // Sharp corners tear: opening rounds the outer ones, closing the inner ones.
        var r = Math.Min(CornerMm, half / 2);
        var opened = RegionOffset.Offset(RegionOffset.Offset(cross, -r), r);
        var edge = RegionOffset.Offset(RegionOffset.Offset(opened, r), -r);
        var fold = half - r;
        return new(body, edge, along
            ? [Line(body.MinX, c.Y - fold, body.MinX, c.Y + fold), Line(body.MaxX, c.Y - fold, body.MaxX, c.Y + fold)]
            : [Line(c.X - fold, body.MinY, c.X + fold, body.MinY), Line(c.X - fold, body.MaxY, c.X + fold, body.MaxY)]);
    }

    private static OpenPath Line(double x0, double y0, double x1, double y1) => new([new(x0, y0), new(x1, y1)]);
}
