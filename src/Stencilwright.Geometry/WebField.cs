using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>Many regions laid out for several questions about what lies between them.</summary>
public sealed class WebField : IDisposable
{
    private const int CancellationStep = 1024;
    private const int BlockSize = 256;

    // Small fields are done sooner than a second thread would be at work.
    private const int FewBlocks = 4;

    private static readonly Comparer<ClosePair> _bySecond = Comparer<ClosePair>.Create((p, q) => p.B.CompareTo(q.B));

    private readonly ReadOnlyMemory<Region> _regions;
    private readonly RegionSides _sides;
    private readonly BoxTree _tree;

    /// <summary>Lays them out.</summary>
    /// <param name="regions">Valid regions, in any order.</param>
    public WebField(ReadOnlyMemory<Region> regions)
    {
        _regions = regions;
        _sides = new RegionSides(regions);
        _tree = new BoxTree(_sides.Boxes);
    }

    /// <inheritdoc/>
    public void Dispose() => _sides.Dispose();

    /// <summary>Every region's nearest other region; null where none lies nearer than the limit, and for empty regions.</summary>
    /// <param name="limitMm">Neighbours at this distance or further are none; may be infinite.</param>
    /// <param name="cancellation">Ends the search.</param>
    public ImmutableArray<NearestRegion?> Nearest(double limitMm, CancellationToken cancellation = default)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(limitMm);
        var best = new NearestRegion[_regions.Length];
        Array.Fill(best, new(-1, limitMm, default, default));
        var near = new BoxTree.Visit(_tree);
        for (var k = 0; k < _tree.Count; k++)
        {
            if (k % CancellationStep == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            // In the order of the tree, so that neighbours found one way round are known the other way round when their turn comes.
            var i = _tree.ItemAt(k);
            near.Start(_sides.Boxes[i]);
            while (near.TryNext(best[i].WidthMm, out var j))
            {
                if (j == i || j == best[i].Neighbour)
                {
                    continue;
                }

                var pair = _sides.Between(_regions.Span, i, j, Math.Max(best[i].WidthMm, best[j].WidthMm));
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

        var result = ImmutableArray.CreateBuilder<NearestRegion?>(_regions.Length);
        foreach (ref readonly var one in best.AsSpan())
        {
            result.Add(one.Neighbour < 0 ? null : one);
        }

        return result.MoveToImmutable();
    }

    /// <summary>All pairs of regions closer than a limit, by their first and then their second index.</summary>
    /// <param name="limitMm">Pairs at this distance or further are left out.</param>
    /// <param name="cancellation">Ends the search.</param>
    public ImmutableArray<ClosePair> Closer(double limitMm, CancellationToken cancellation = default)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(limitMm);
        // Every block by itself: the pairs and their order are the same, whichever thread finds them.
        var blocks = new List<ClosePair>[(_regions.Length + BlockSize - 1) / BlockSize];
        void Find(int block)
        {
            cancellation.ThrowIfCancellationRequested();
            var found = blocks[block] = [];
            var near = new BoxTree.Visit(_tree);
            for (var i = block * BlockSize; i < Math.Min(_regions.Length, (block + 1) * BlockSize); i++)
            {
                AddPairs(near, i, limitMm, found);
            }
        }

        if (blocks.Length <= FewBlocks)
        {
            for (var block = 0; block < blocks.Length; block++)
            {
                Find(block);
            }
        }
        else
        {
            Parallel.For(0, blocks.Length, new ParallelOptions { CancellationToken = cancellation }, Find);
        }

        var result = ImmutableArray.CreateBuilder<ClosePair>();
        foreach (var found in blocks)
        {
            result.AddRange(found);
        }

        return result.DrainToImmutable();
    }

    private void AddPairs(BoxTree.Visit near, int i, double limitMm, List<ClosePair> found)
    {
        if (_sides.Boxes[i].IsEmpty)
        {
            return;
        }

        var start = found.Count;
        near.Start(_sides.Boxes[i]);
        while (near.TryNext(limitMm, out var j))
        {
            if (j > i && _sides.Between(_regions.Span, i, j, limitMm) is var pair && pair.DistanceMm < limitMm)
            {
                found.Add(new(i, j, pair.DistanceMm, pair.OnA, pair.OnB));
            }
        }

        found.Sort(start, found.Count - start, _bySecond);
    }
}
