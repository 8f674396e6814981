using System.Collections.Immutable;
using CsCheck;
using NetTopologySuite.Geometries;
using NetTopologySuite.Index.Strtree;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>Nearest neighbours and close pairs, against a look at all pairs and NetTopologySuite.</summary>
public sealed class WebSearchTests
{
    private const double MicronMm = 1e-3;

    private static readonly Gen<Region[]> Fields = Gen.Select(
        OffsetSamples.Any.Array[1, 25], Gen.Select(Gen.Double[0, 25], Gen.Double[0, 25]).Array[25],
        (shapes, places) => shapes.Select((s, i) => s.Transform(Affine2.Translation(places[i].Item1, places[i].Item2))).ToArray());

    [Fact]
    public void The_nearest_is_that_of_a_look_at_all_pairs() =>
        Gen.Select(Fields, Gen.Int[0, 2].Select(k => k == 0 ? 0.5 : k == 1 ? 3 : double.PositiveInfinity)).Check(
            (regions, limit) =>
            {
                var found = Nearest(regions, limit);
                for (var i = 0; i < regions.Length; i++)
                {
                    var expected = Enumerable.Range(0, regions.Length).Where(j => j != i)
                        .Select(j => RegionDistance.Between(regions[i], regions[j]).DistanceMm).Append(double.PositiveInfinity).Min();
                    Assert.Equal(expected < limit, found[i] is not null);
                    if (found[i] is { } near)
                    {
                        Assert.Equal(expected, near.WidthMm, 1e-9);
                        Assert.Equal(expected, RegionDistance.Between(regions[i], regions[near.Neighbour]).DistanceMm, 1e-9);
                        AssertEnds(regions[i], regions[near.Neighbour], near.WidthMm, near.Here, near.There);
                    }
                }
            },
            iter: 60);

    [Fact]
    public void Close_pairs_are_those_of_a_look_at_all_pairs() =>
        Gen.Select(Fields, Gen.Double[0.1, 4]).Check(
            (regions, limit) =>
            {
                var found = Closer(regions, limit);
                var expected = from a in Enumerable.Range(0, regions.Length)
                               from b in Enumerable.Range(a + 1, regions.Length - a - 1)
                               where RegionDistance.Between(regions[a], regions[b]).DistanceMm < limit
                               select (a, b);
                Assert.Equal(expected, found.Select(p => (p.A, p.B)));
                foreach (var pair in found)
                    AssertEnds(regions[pair.A], regions[pair.B], pair.WidthMm, pair.OnA, pair.OnB);
            },
            iter: 60);

    /// <summary>The peer: NetTopologySuite 2.6, STRtree, on chords within 0.1 µm.</summary>
    [Fact]
    public void The_nearest_is_that_of_a_packed_tree_of_flattened_shapes() =>
        Fields.Where(f => f.Length > 1).Check(
            regions =>
            {
                var peers = regions.Select(Peer).ToArray();
                var tree = new STRtree<NetTopologySuite.Geometries.Geometry>();
                foreach (var peer in peers)
                    tree.Insert(peer.EnvelopeInternal, peer);

                var found = Nearest(regions, double.PositiveInfinity);
                for (var i = 0; i < regions.Length; i++)
                {
                    var nearest = tree.NearestNeighbour(peers[i].EnvelopeInternal, peers[i], new OtherDistance());
                    Assert.Equal(nearest.Distance(peers[i]), found[i]!.Value.WidthMm, MicronMm);
                }
            },
            iter: 30);

    [Fact]
    public void Rows_of_pads_meet_their_neighbours_across_the_middle_of_the_web()
    {
        var regions = Enumerable.Range(0, 500).Select(i => Region.Of(Contour.Rectangle(new(i, 0, i + 0.7 - (0.0001 * i), 2)))).ToArray();
        var found = Nearest(regions, 1);
        for (var i = 0; i < 499; i++)
        {
            // Each web is wider than the one before it, so the nearest is to the left.
            var near = found[i]!.Value;
            Assert.Equal(i == 0 ? 1 : i - 1, near.Neighbour);
            Assert.Equal(0.3 + (0.0001 * Math.Max(0, i - 1)), near.WidthMm, 1e-9);
            Assert.InRange(near.Middle.X, i == 0 ? 0.7 : i - 0.31 - (0.0001 * i), i == 0 ? 1 : i);
        }
    }

    [Fact]
    public void A_region_within_the_area_of_another_is_at_no_distance()
    {
        var found = Nearest([Disc(0, 0, 3), Disc(0.2, 0.1, 1), Disc(9, 0, 1)], 10);
        Assert.Equal(0, found[0]!.Value.WidthMm);
        Assert.Equal(0, found[1]!.Value.WidthMm);
        Assert.Equal(0, found[2]!.Value.Neighbour);
        Assert.Equal(5, found[2]!.Value.WidthMm, 1e-12);
    }

    [Fact]
    public void Nothing_has_no_neighbour()
    {
        Assert.Empty(Nearest([], 1));
        Assert.Empty(Closer([], 1));
        Assert.Equal([null, null], Nearest([Region.Empty, Disc(0, 0, 1)], 5));
        Assert.Empty(Closer([Region.Empty, Disc(0, 0, 1)], double.PositiveInfinity));
    }

    private static ImmutableArray<NearestRegion?> Nearest(Region[] regions, double limitMm) =>
        WebSearch.Nearest(regions, limitMm, TestContext.Current.CancellationToken);

    private static ImmutableArray<ClosePair> Closer(Region[] regions, double limitMm) =>
        WebSearch.Closer(regions, limitMm, TestContext.Current.CancellationToken);

    private static void AssertEnds(Region a, Region b, double width, Point2 onA, Point2 onB)
    {
        Assert.Equal(width, Point2.Distance(onA, onB), 1e-9);
        if (width > 0)
        {
            Assert.Equal(0, RegionDistance.ToBoundary(a, onA).DistanceMm, 1e-9);
            Assert.Equal(0, RegionDistance.ToBoundary(b, onB).DistanceMm, 1e-9);
        }
    }

    private static NetTopologySuite.Geometries.Geometry Peer(Region region)
    {
        NetTopologySuite.Geometries.Geometry result = BooleanSupport.Factory.CreatePolygon();
        foreach (var island in RegionBoolean.Islands(region))
        {
            result = result.Union(BooleanSupport.Factory.CreatePolygon(
                BooleanSupport.ToRing(island.Contours[0], 1e-4), [.. island.Contours.Skip(1).Select(c => BooleanSupport.ToRing(c, 1e-4))]));
        }

        return result;
    }

    // The peer's own item distance does not know the item asked about from the same item in the tree.
    private sealed class OtherDistance : IItemDistance<NetTopologySuite.Geometries.Envelope, NetTopologySuite.Geometries.Geometry>
    {
        public double Distance(
            IBoundable<NetTopologySuite.Geometries.Envelope, NetTopologySuite.Geometries.Geometry> item1,
            IBoundable<NetTopologySuite.Geometries.Envelope, NetTopologySuite.Geometries.Geometry> item2) =>
            ReferenceEquals(item1.Item, item2.Item) ? double.MaxValue : item1.Item.Distance(item2.Item);
    }

    private static Region Disc(double x, double y, double radius) => Region.Of(Contour.Circle(new(x, y), radius));
}
