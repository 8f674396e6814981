using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>Which winding numbers count as inside.</summary>
public enum FillRule
{
    /// <summary>Any but 0.</summary>
    NonZero,

    /// <summary>Odd ones.</summary>
    EvenOdd,

    /// <summary>1 and above.</summary>
    Positive,
}

/// <summary>An island of a union.</summary>
/// <param name="Shape">One outer contour and its holes.</param>
/// <param name="Members">Indices of the inputs that took part, ascending.</param>
public sealed record UnionIsland(Region Shape, ImmutableArray<int> Members);

/// <summary>Union, difference and intersection of regions bounded by lines and arcs; arcs stay arcs.</summary>
public static class RegionBoolean
{
    /// <summary>Makes a valid region from contours that may cross, touch, overlap and nest in any way.</summary>
    public static Region Resolve(ReadOnlySpan<Contour> contours, FillRule rule) => throw new NotImplementedException();

    /// <summary>What lies in any of the regions.</summary>
    public static Region Union(ReadOnlySpan<Region> regions) => throw new NotImplementedException();

    /// <summary>The union as separate islands, each with the inputs that made it, in the order of the first of them.</summary>
    /// <remarks>An input that touches no other comes back with the very contours it had. Islands that meet only in a point stay separate.</remarks>
    public static ImmutableArray<UnionIsland> UnionIslands(ReadOnlySpan<Region> regions) => throw new NotImplementedException();

    /// <summary>What lies in <paramref name="a"/> and not in <paramref name="b"/>.</summary>
    public static Region Difference(Region a, Region b) => throw new NotImplementedException();

    /// <summary>What lies in both.</summary>
    public static Region Intersection(Region a, Region b) => throw new NotImplementedException();

    /// <summary>Separates a valid region into islands of one outer contour with its holes, in the order of their outer contours.</summary>
    public static ImmutableArray<Region> Islands(Region region) => throw new NotImplementedException();
}
