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
    private const int CancellationStep = 1024;

    /// <summary>Every region's nearest other region; null where none lies nearer than the limit, and for empty regions.</summary>
    /// <param name="regions">Valid regions, in any order.</param>
    /// <param name="limitMm">Neighbours at this distance or further are none; may be infinite.</param>
    /// <param name="cancellation">Ends the search.</param>
    public static ImmutableArray<NearestRegion?> Nearest(ReadOnlySpan<Region> regions, double limitMm, CancellationToken cancellation = default)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(limitMm);
        using var sides = new RegionSides(regions);
        var tree = new BoxTree(sides.Boxes);
        var best = new NearestRegion[regions.Length];
        Array.Fill(best, new(-1, limitMm, default, default));
        var near = new BoxTree.Visit(tree);
        for (var k = 0; k < tree.Count; k++)
        {
            if (k % CancellationStep == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            // In the order of the tree, so that neighbours found one way round are known the other way round when their turn comes.
            var i = tree.ItemAt(k);
            near.Start(sides.Boxes[i]);
            while (near.TryNext(best[i].WidthMm, out var j))
            {
                if (j == i || j == best[i].Neighbour)
                {
                    continue;
                }

                var pair = sides.Between(regions, i, j, Math.Max(best[i].WidthMm, best[j].WidthMm));
                if (pair.DistanceMm < best[i].WidthMm)
                {
                    best[i] = new(j, pair.DistanceMm, pair.OnA, pair.OnB);
                }

                if (pair.DistanceMm < best[j].WidthMm)
                {
                    best[j] = new(i, pair.DistanceMm, pair.OnB, pair.OnA);
                }
            }
        }

        var result = ImmutableArray.CreateBuilder<NearestRegion?>(regions.Length);
        foreach (ref readonly var one in best.AsSpan())
        {
            result.Add(one.Neighbour < 0 ? null : one);
        }

        return result.MoveToImmutable();
    }

    /// <summary>All pairs of regions closer than a limit, by their first and then their second index.</summary>
    /// <param name="regions">Valid regions, in any order.</param>
    /// <param name="limitMm">Pairs at this distance or further are left out.</param>
    /// <param name="cancellation">Ends the search.</param>
    public static ImmutableArray<ClosePair> Closer(ReadOnlySpan<Region> regions, double limitMm, CancellationToken cancellation = default)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(limitMm);
        using var sides = new RegionSides(regions);
        var tree = new BoxTree(sides.Boxes);
        var near = new BoxTree.Visit(tree);
        var found = new List<ClosePair>();
        var result = ImmutableArray.CreateBuilder<ClosePair>();
        for (var i = 0; i < regions.Length; i++)
        {
            if (i % CancellationStep == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            if (sides.Boxes[i].IsEmpty)
            {
                continue;
            }

            found.Clear();
            near.Start(sides.Boxes[i]);
            while (near.TryNext(limitMm, out var j))
            {
                if (j > i && sides.Between(regions, i, j, limitMm) is var pair && pair.DistanceMm < limitMm)
                {
                    found.Add(new(i, j, pair.DistanceMm, pair.OnA, pair.OnB));
                }
            }

            found.Sort((p, q) => p.B.CompareTo(q.B));
            result.AddRange(found);
        }

        return result.DrainToImmutable();
    }
}
