using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>A region's nearest neighbour.</summary>
/// <param name="Neighbour">Index of the neighbour.</param>
/// <param name="WidthMm">Least distance between the two; 0 where they touch or overlap.</param>
/// <param name="Here">The nearest point of the region itself.</param>
/// <param name="There">The nearest point of the neighbour.</param>
public readonly record struct NearestRegion(int Neighbour, double WidthMm, Point2 Here, Point2 There)
{
    /// <summary>The middle of the web between them.</summary>
    public Point2 Middle => Point2.Lerp(Here, There, 0.5);
}

/// <summary>Two regions close to each other.</summary>
/// <param name="A">Index of the first, the lower.</param>
/// <param name="B">Index of the second.</param>
/// <param name="WidthMm">Least distance between the two; 0 where they touch or overlap.</param>
/// <param name="OnA">The nearest point of the first.</param>
/// <param name="OnB">The nearest point of the second.</param>
public readonly record struct ClosePair(int A, int B, double WidthMm, Point2 OnA, Point2 OnB);

/// <summary>Finds what lies between many regions: nearest neighbours, and pairs closer than a limit. Exact for lines and arcs.</summary>
/// <remarks>Time grows as n log n with the number of regions and in proportion to the pairs found: docs/algorithms/webs.md.</remarks>
public static class WebSearch
{
    /// <summary>As <see cref="WebField.Nearest"/>, for one question.</summary>
    public static ImmutableArray<NearestRegion?> Nearest(ReadOnlyMemory<Region> regions, double limitMm, CancellationToken cancellation = default)
    {
        using var field = new WebField(regions);
        return field.Nearest(limitMm, cancellation);
    }

    /// <summary>As <see cref="WebField.Closer"/>, for one question.</summary>
    public static ImmutableArray<ClosePair> Closer(ReadOnlyMemory<Region> regions, double limitMm, CancellationToken cancellation = default)
    {
        using var field = new WebField(regions);
        return field.Closer(limitMm, cancellation);
    }
}
