namespace Stencilwright.Geometry;

/// <summary>A circle inside a region.</summary>
/// <param name="Center">Its centre.</param>
/// <param name="DiameterMm">Its diameter, at least 0.</param>
public readonly record struct InscribedCircle(Point2 Center, double DiameterMm)
{
    internal static InscribedCircle None { get; } = new(new(double.NaN, double.NaN), 0);
}

/// <summary>How narrow a region is.</summary>
/// <remarks>The definition, its proof and the method: docs/algorithms/narrowest-width.md.</remarks>
public static class RegionWidth
{
    // Corners that match their opposites to this count as the same: the width is off by no more.
    private const double SymmetryMm = 2e-7;

    /// <summary>The narrowest width of a region: the diameter of its smallest held circle.</summary>
    /// <remarks>
    /// A circle is held when it lies inside and the points where it touches the boundary are not all on one open half of it, so that
    /// it cannot slip away and grow. It is a rectangle's shorter side, a circle's diameter, a dumbbell's neck, an annulus's width
    /// where that is least, and the largest inscribed circle of a convex shape; corners, however sharp, hold no circle. Shrinking the
    /// region by less than half this width leaves its islands and holes as many as they were. Right to 1 µm where sides are parallel to
    /// within 0.5 µm, which counts as parallel, and to rounding elsewhere. Of several islands the narrowest counts.
    /// </remarks>
    /// <param name="region">A valid region.</param>
    /// <returns>The circle; diameter 0 for an empty region.</returns>
    public static InscribedCircle Narrowest(Region region)
    {
        ArgumentNullException.ThrowIfNull(region);
        if (region.Contours.Length == 1)
        {
            return OfIsland(region);
        }

        var best = InscribedCircle.None;
        foreach (var island in RegionBoolean.Islands(region))
        {
            var here = OfIsland(island);
            if (here.DiameterMm > 0 && (best.DiameterMm == 0 || here.DiameterMm < best.DiameterMm))
            {
                best = here;
            }
        }

        return best;
    }

    private static InscribedCircle OfIsland(Region island)
    {
        if (island.Contours.Length == 1 && (OfSymmetric(island.Contours[0]) ?? OfUpright(island)) is { } circle)
        {
            return circle;
        }

        var boundary = WidthBoundary.Of(island);
        if (boundary.Count == 0)
        {
            return InscribedCircle.None;
        }

        var held = new HeldCircles(island, boundary).FindSmallest();
        return held.DiameterMm > 0 ? held : new DeepestPoint(island, boundary).Find();
    }

    // The depth of a convex shape's points is concave, so when the shape is its own image in a point that point is deepest.
    // Rectangles, circles, rounded rectangles, obrounds and regular shapes of even number need no more.
    private static InscribedCircle? OfSymmetric(Contour contour)
    {
        var v = ContourCleaner.Clean(contour.Vertices);
        var half = v.Length / 2;
        if (v.IsEmpty || v.Length % 2 != 0)
        {
            return null;
        }

        var (sumX, sumY) = (v[0].X + v[half].X, v[0].Y + v[half].Y);
        for (var i = 0; i < half; i++)
        {
            ref readonly var a = ref v[i];
            ref readonly var b = ref v[i + half];
            if (Math.Abs(a.X + b.X - sumX) > SymmetryMm || Math.Abs(a.Y + b.Y - sumY) > SymmetryMm || Math.Abs(a.Bulge - b.Bulge) > 1e-9)
            {
                return null;
            }
        }

        if (!ConvexOutset.IsConvex(v, 1e-6))
        {
            return null;
        }

        var center = new Point2(sumX / 2, sumY / 2);
        var depth = double.PositiveInfinity;
        for (var i = 0; i < half; i++)
        {
            ref readonly var next = ref v[i + 1];
            depth = Math.Min(depth, v[i].Bulge == 0 ? LineDepth(v[i].Point, next.Point, center)
                : RegionDistance.ToSegment(new(v[i].Point, next.Point, v[i].Bulge), center).DistanceMm);
        }

        return depth > 0 ? new(center, 2 * depth) : null;
    }

    // A circle as wide as the box's shorter side is the largest there can be: true of upright pads whose ends were fitted or rounded.
    private static InscribedCircle? OfUpright(Region island)
    {
        var v = ContourCleaner.Clean(island.Contours[0].Vertices);
        if (v.IsEmpty || !ConvexOutset.IsConvex(v, 1e-6))
        {
            return null;
        }

        var box = island.Bounds;
        var half = Math.Min(box.Width, box.Height) / 2;
        return island.Contains(box.Center) && RegionDistance.ToBoundary(island, box.Center).DistanceMm is var depth && depth > half - SymmetryMm
            ? new(box.Center, 2 * Math.Min(half, depth))
            : null;
    }

    private static double LineDepth(Point2 a, Point2 b, Point2 p)
    {
        var chord = b - a;
        return Vector2.Cross(chord, p - a) / chord.Length;
    }
}
