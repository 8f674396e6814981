using System.Collections.Immutable;
using Stencilwright.Geometry.Arranging;

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
/// <remarks>
/// Points closer than 5e-10 of the extent become one, and curves that stay so close coincide; input vertices that remain
/// keep their coordinates to the last bit. See docs/algorithms/boolean.md.
/// </remarks>
public static class RegionBoolean
{
    /// <summary>Makes a valid region from contours that may cross, touch, overlap and nest in any way.</summary>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    /// <exception cref="InvalidOperationException">No consistent boundary was found, in any of several frames and tolerances, or the shapes cross more than a million times.</exception>
    public static Region Resolve(ReadOnlySpan<Contour> contours, FillRule rule) => Arrangement.Run(contours, contours.Length, rule switch
    {
        FillRule.NonZero => Selection.NonZero,
        FillRule.EvenOdd => Selection.EvenOdd,
        FillRule.Positive => Selection.Positive,
        _ => throw new ArgumentOutOfRangeException(nameof(rule)),
    });

    /// <summary>What lies in any of the regions.</summary>
    /// <exception cref="InvalidOperationException">No consistent boundary was found, in any of several frames and tolerances, or the shapes cross more than a million times.</exception>
    public static Region Union(ReadOnlySpan<Region> regions)
    {
        if (regions.Length == 1)
            return regions[0];

        var contours = ImmutableArray.CreateBuilder<Contour>();
        var clusters = RegionClusters.Of(regions);
        for (var c = 0; c < clusters.Count; c++)
            contours.AddRange(RegionClusters.Merge(regions, clusters[c]).Contours);

        clusters.Return();
        return contours.Count == 0 ? Region.Empty : new Region(contours.DrainToImmutable());
    }

    /// <summary>The union as separate islands, each with the inputs that made it, in the order of the first of them.</summary>
    /// <remarks>An input that touches no other comes back with the very contours it had. Islands that meet only in a point stay separate.</remarks>
    /// <exception cref="InvalidOperationException">No consistent boundary was found, in any of several frames and tolerances, or the shapes cross more than a million times.</exception>
    public static ImmutableArray<UnionIsland> UnionIslands(ReadOnlySpan<Region> regions)
    {
        var clusters = RegionClusters.Of(regions);
        var islands = ImmutableArray.CreateBuilder<UnionIsland>(clusters.Count);
        var isSorted = true;
        for (var c = 0; c < clusters.Count; c++)
        {
            // Groups come in the order of their first members; only one that fell apart can upset it.
            var before = islands.Count;
            IslandMembers.Collect(regions, clusters[c], islands);
            isSorted &= islands.Count <= before + 1;
        }

        clusters.Return();
        return isSorted ? islands.DrainToImmutable() : InOrder(islands);
    }

    /// <summary>What lies in <paramref name="a"/> and not in <paramref name="b"/>.</summary>
    /// <exception cref="InvalidOperationException">No consistent boundary was found, in any of several frames and tolerances, or the shapes cross more than a million times.</exception>
    public static Region Difference(Region a, Region b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        return a.IsEmpty || b.IsEmpty || !a.Bounds.Overlaps(b.Bounds) ? a : Run(a, b, Selection.Difference);
    }

    /// <summary>What lies in both.</summary>
    /// <exception cref="InvalidOperationException">No consistent boundary was found, in any of several frames and tolerances, or the shapes cross more than a million times.</exception>
    public static Region Intersection(Region a, Region b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        return a.IsEmpty || b.IsEmpty || !a.Bounds.Overlaps(b.Bounds) ? Region.Empty : Run(a, b, Selection.Intersection);
    }

    /// <summary>Separates a valid region into islands of one outer contour with its holes, in the order of their outer contours.</summary>
    public static ImmutableArray<Region> Islands(Region region)
    {
        ArgumentNullException.ThrowIfNull(region);
        return IslandGrouping.Group(region);
    }

    private static ImmutableArray<UnionIsland> InOrder(ImmutableArray<UnionIsland>.Builder islands)
    {
        var order = new (int First, int Index)[islands.Count];
        for (var i = 0; i < order.Length; i++)
            order[i] = (islands[i].Members[0], i);

        Array.Sort(order);
        var result = ImmutableArray.CreateBuilder<UnionIsland>(order.Length);
        foreach (var (_, index) in order)
            result.Add(islands[index]);

        return result.MoveToImmutable();
    }

    private static Region Run(Region a, Region b, Selection selection)
    {
        var contours = new Contour[a.Contours.Length + b.Contours.Length];
        a.Contours.CopyTo(contours);
        b.Contours.CopyTo(contours, a.Contours.Length);
        return Arrangement.Run(contours, a.Contours.Length, selection);
    }
}
