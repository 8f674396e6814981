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

    private static readonly Gen<Region> ManySided = Gen.Select(
        Gen.Double[0, 6], Gen.Double[0, 6], Gen.Double[0.2, 2], Gen.Double[0.2, 2], Gen.Int[20, 140],
        (x, y, width, height, count) => ManySidedAt(x, y, width, height, count));

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

    /// <summary>Openings of unequal kerf have a hundred vertices and more: most of their sides are left out together.</summary>
    [Fact]
    public void Shapes_of_many_vertices_have_the_webs_of_a_look_at_all_pairs() =>
        Gen.Select(ManySided.Array[2, 8], Gen.Double[0.1, 3]).Check(
            (regions, limit) =>
            {
                using var field = new WebField(regions);
                var pairs = field.Closer(limit, TestContext.Current.CancellationToken);
                var nearest = field.Nearest(limit, TestContext.Current.CancellationToken);
                for (var a = 0; a < regions.Length; a++)
                {
                    var least = double.PositiveInfinity;
                    for (var b = 0; b < regions.Length; b++)
                    {
                        if (b == a)
                            continue;

                        var expected = RegionDistance.Between(regions[a], regions[b]).DistanceMm;
                        least = Math.Min(least, expected);
                        var found = pairs.Where(p => p.A == Math.Min(a, b) && p.B == Math.Max(a, b)).ToArray();
                        Assert.Equal(expected < limit ? 1 : 0, found.Length);
                        if (found is [var pair])
                        {
                            Assert.Equal(expected, pair.WidthMm, 1e-12);
                            AssertEnds(regions[pair.A], regions[pair.B], pair.WidthMm, pair.OnA, pair.OnB);
                        }
                    }

                    Assert.Equal(least < limit ? least : limit, nearest[a]?.WidthMm ?? limit, 1e-12);
                }
            },
            iter: 40);

    /// <summary>Large fields are laid out and gone through by several threads.</summary>
    [Fact]
    public void A_large_field_has_the_same_pairs_however_often_it_is_asked_and_those_of_a_look_at_all()
    {
        const double LimitMm = 0.35;
        // Rows 0.5 mm apart, each pad a little off its place, wave by wave.
        var pad = ManySidedAt(0, 0, 0.15, 0.17, 60);
        var regions = Enumerable.Range(0, 1600)
            .Select(i => pad.Transform(Affine2.Translation((i % 40 * 0.5) + (0.04 * Math.Sin(i)), (i / 40 * 0.5) + (0.04 * Math.Cos(1.7 * i))))).ToArray();
        var first = Closer(regions, LimitMm);
        Assert.Equal(first, Closer(regions, LimitMm));
        var expected = new List<(int, int)>();
        for (var a = 0; a < regions.Length; a++)
        {
            for (var b = a + 1; b < regions.Length; b++)
            {
                if (regions[a].Bounds.Inflate(LimitMm).Overlaps(regions[b].Bounds) && RegionDistance.Between(regions[a], regions[b]).DistanceMm < LimitMm)
                    expected.Add((a, b));
            }
        }

        Assert.NotEmpty(expected);
        Assert.Equal(expected, first.Select(p => (p.A, p.B)));
    }

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

    // An ellipse of short arcs.
    private static Region ManySidedAt(double x, double y, double halfWidth, double halfHeight, int count) =>
        Region.Of(new Contour([.. Enumerable.Range(0, count).Select(k => k * 2 * Math.PI / count).Select(t => new PathVertex(
            x + (halfWidth * Math.Cos(t)), y + (halfHeight * Math.Sin(t)), Math.Tan(Math.PI / 2 / count)))]));

    private static Region Disc(double x, double y, double radius) => Region.Of(Contour.Circle(new(x, y), radius));
}
