namespace Stencilwright.Geometry;

/// <summary>How an offset goes round a corner that it leaves open.</summary>
public enum JoinStyle
{
    /// <summary>An arc about the corner: every point of the result is at the asked distance.</summary>
    Round,

    /// <summary>The two sides prolonged until they meet, cut square where that would be far away.</summary>
    Mitre,
}

/// <summary>Moves the boundary of a region; arcs stay arcs.</summary>
/// <remarks>The method and its proof: docs/algorithms/offset.md.</remarks>
public static class RegionOffset
{
    /// <summary>Grows (positive) or shrinks (negative) a region by a distance; parts may merge, split or vanish.</summary>
    /// <param name="region">A valid region.</param>
    /// <param name="distanceMm">Outward positive, millimetres.</param>
    /// <param name="join">How open corners are closed: convex ones when growing, reflex ones when shrinking.</param>
    /// <param name="mitreLimit">Longest mitre, as a multiple of the distance.</param>
    public static Region Offset(Region region, double distanceMm, JoinStyle join = JoinStyle.Round, double mitreLimit = 4)
    {
        ArgumentNullException.ThrowIfNull(region);
        if (!double.IsFinite(distanceMm))
        {
            throw new ArgumentOutOfRangeException(nameof(distanceMm));
        }

        if (distanceMm == 0 || region.IsEmpty)
        {
            return region;
        }

        return distanceMm < 0
            ? DiscOffset.Inset(region, -distanceMm, join, Math.Max(1, mitreLimit))
            : DiscOffset.Outset(region, distanceMm, join, Math.Max(1, mitreLimit));
    }

    /// <summary>Erosion by an axis-parallel ellipse, as a beam of unequal width in x and y removes it.</summary>
    /// <param name="region">A valid region.</param>
    /// <param name="halfXMm">Half width of the ellipse along x, at least 0.</param>
    /// <param name="halfYMm">Half width of the ellipse along y, at least 0.</param>
    public static Region Inset(Region region, double halfXMm, double halfYMm)
    {
        Check(region, halfXMm, halfYMm);
        return halfXMm == halfYMm ? Offset(region, -halfXMm) : EllipseOffset.Inset(region, halfXMm, halfYMm);
    }

    /// <summary>Dilation by an axis-parallel ellipse: what a beam opens when its centre covers the region.</summary>
    /// <param name="region">A valid region.</param>
    /// <param name="halfXMm">Half width of the ellipse along x, at least 0.</param>
    /// <param name="halfYMm">Half width of the ellipse along y, at least 0.</param>
    public static Region Outset(Region region, double halfXMm, double halfYMm)
    {
        Check(region, halfXMm, halfYMm);
        return halfXMm == halfYMm ? Offset(region, halfXMm) : EllipseOffset.Outset(region, halfXMm, halfYMm);
    }

    /// <summary>Morphological opening by an axis-parallel ellipse: what remains reachable by the beam.</summary>
    /// <param name="region">A valid region.</param>
    /// <param name="halfXMm">Half width of the ellipse along x, at least 0.</param>
    /// <param name="halfYMm">Half width of the ellipse along y, at least 0.</param>
    public static Region Open(Region region, double halfXMm, double halfYMm) => Outset(Inset(region, halfXMm, halfYMm), halfXMm, halfYMm);

    /// <summary>What a round pen covers along an open path.</summary>
    /// <param name="path">The centre line; one point makes a dot, and a path that ends where it began has no ends.</param>
    /// <param name="widthMm">The pen's diameter, millimetres; 0 covers nothing.</param>
    public static Region Stroke(OpenPath path, double widthMm)
    {
        ArgumentNullException.ThrowIfNull(path);
        ArgumentOutOfRangeException.ThrowIfNegative(widthMm);
        if (!double.IsFinite(widthMm))
        {
            throw new ArgumentOutOfRangeException(nameof(widthMm));
        }

        return widthMm == 0 ? Region.Empty : StrokeOutline.Of(path, widthMm / 2);
    }

    private static void Check(Region region, double halfXMm, double halfYMm)
    {
        ArgumentNullException.ThrowIfNull(region);
        if (!(halfXMm >= 0 && double.IsFinite(halfXMm)))
        {
            throw new ArgumentOutOfRangeException(nameof(halfXMm));
        }

        if (!(halfYMm >= 0 && double.IsFinite(halfYMm)))
        {
            throw new ArgumentOutOfRangeException(nameof(halfYMm));
        }
    }
}
