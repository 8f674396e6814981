using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Coupons;

/// <summary>Contours of features that are no plain rectangle or circle. All counter-clockwise.</summary>
internal static class CouponShapes
{
    /// <summary>A round slot that a bridge towards the upper right leaves open, so that its middle stays in the film.</summary>
    /// <remarks>The bridge lies at 45°, clear of the four extremes: width and height are those of the whole circle.</remarks>
    /// <param name="center">The middle.</param>
    /// <param name="diameterMm">Over the outer edge.</param>
    /// <param name="slotMm">Width of the slot.</param>
    /// <param name="bridgeMm">Width of the bridge at the outer edge.</param>
    public static Contour Ring(Point2 center, double diameterMm, double slotMm, double bridgeMm)
    {
        var (outer, inner) = (diameterMm / 2, (diameterMm / 2) - slotMm);
        var half = Math.Asin(bridgeMm / diameterMm);
        var (from, to) = ((Math.PI / 4) + half, (Math.PI / 4) + (2 * Math.PI) - half);
        var vertices = new List<PathVertex>();
        Arc(vertices, center, outer, from, to);
        Arc(vertices, center, inner, to, from);
        return new Contour([.. vertices]);
    }

    /// <summary>An L: five outer corners and an inner one, all square.</summary>
    public static Contour Angle(Bounds2 box, double armMm) => Contour.Polygon(
    [
        new(box.MinX, box.MinY), new(box.MaxX, box.MinY), new(box.MaxX, box.MinY + armMm),
        new(box.MinX + armMm, box.MinY + armMm), new(box.MinX + armMm, box.MaxY), new(box.MinX, box.MaxY),
    ]);

    /// <summary>A wedge whose tip points right.</summary>
    public static Contour Wedge(Bounds2 box) =>
        Contour.Polygon([new(box.MinX, box.MinY), new(box.MaxX, (box.MinY + box.MaxY) / 2), new(box.MinX, box.MaxY)]);

    /// <summary>A square that stands on its tip: its corners lie along the axes.</summary>
    public static Contour Diamond(Bounds2 box) => Contour.Polygon(
    [
        new(box.Center.X, box.MinY), new(box.MaxX, box.Center.Y), new(box.Center.X, box.MaxY), new(box.MinX, box.Center.Y),
    ]);

    // In pieces of a quarter turn at most.
    private static void Arc(List<PathVertex> vertices, Point2 c, double radius, double fromRad, double toRad)
    {
        var pieces = (int)Math.Ceiling(Math.Abs(toRad - fromRad) / (Math.PI / 2));
        var step = (toRad - fromRad) / pieces;
        for (var i = 0; i <= pieces; i++)
        {
            var (sin, cos) = Math.SinCos(fromRad + (i * step));
            vertices.Add(new(c.X + (radius * cos), c.Y + (radius * sin), i < pieces ? Math.Tan(step / 4) : 0));
        }
    }
}
