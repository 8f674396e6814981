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
public static class RegionOffset
{
    /// <summary>Grows (positive) or shrinks (negative) a region by a distance; parts may merge, split or vanish.</summary>
    /// <param name="region">A valid region.</param>
    /// <param name="distanceMm">Outward positive, millimetres.</param>
    /// <param name="join">How open corners are closed: convex ones when growing, reflex ones when shrinking.</param>
    /// <param name="mitreLimit">Longest mitre, as a multiple of the distance.</param>
    public static Region Offset(Region region, double distanceMm, JoinStyle join = JoinStyle.Round, double mitreLimit = 4) =>
        throw new NotImplementedException();

    /// <summary>Erosion by an axis-parallel ellipse, as a beam of unequal width in x and y removes it.</summary>
    /// <param name="region">A valid region.</param>
    /// <param name="halfXMm">Half width of the ellipse along x, at least 0.</param>
    /// <param name="halfYMm">Half width of the ellipse along y, at least 0.</param>
    public static Region Inset(Region region, double halfXMm, double halfYMm) => throw new NotImplementedException();

    /// <summary>Dilation by an axis-parallel ellipse: what a beam opens when its centre covers the region.</summary>
    public static Region Outset(Region region, double halfXMm, double halfYMm) => throw new NotImplementedException();

    /// <summary>Morphological opening by an axis-parallel ellipse: what remains reachable by the beam.</summary>
    public static Region Open(Region region, double halfXMm, double halfYMm) => throw new NotImplementedException();

    /// <summary>What a round pen covers along an open path.</summary>
    public static Region Stroke(OpenPath path, double widthMm) => throw new NotImplementedException();
}
