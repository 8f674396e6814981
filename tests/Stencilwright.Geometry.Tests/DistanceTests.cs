using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

public sealed class DistanceTests
{
    private static readonly Gen<Segment> AnySegment = Gen.Select(
        Gen.Double[-2, 2], Gen.Double[-2, 2], Gen.Double[-2, 2], Gen.Double[-2, 2], Gen.OneOf(Gen.Const(0.0), Gen.Double[-1, 1]),
        (a, b, c, d, bulge) => new Segment(new(a, b), new(c, d), bulge));

    [Fact]
    public void A_segments_nearest_point_lies_on_it_and_no_sample_is_nearer() => Gen.Select(AnySegment, Gen.Double[-3, 3], Gen.Double[-3, 3]).Check(
        (s, x, y) =>
        {
            var p = new Point2(x, y);
            var nearest = RegionDistance.ToSegment(s, p);
            Assert.Equal(nearest.DistanceMm, Point2.Distance(p, nearest.Nearest), 1e-9);
            Assert.InRange(RegionDistance.ToSegment(s, nearest.Nearest).DistanceMm, 0, 1e-9);
            var sampled = Enumerable.Range(0, 1001).Min(k => Point2.Distance(p, s.PointAt(k / 1000.0)));
            Assert.InRange(sampled - nearest.DistanceMm, -1e-9, (s.Length / 1000) + 1e-9);
        },
        iter: 250);

    [Fact]
    public void Segments_on_one_line_are_as_far_apart_as_their_ends_however_the_line_is_turned() => Gen.Select(Gen.Double[-180, 180], Gen.Double[-9, 9], Gen.Double[0.01, 3], Gen.Double[0.01, 3], Gen.Double[0.01, 3]).Check(
        (turn, at, first, gap, second) =>
        {
            var map = Affine2.RotationDegrees(turn) * Affine2.Translation(at, at);
            Segment On(double from, double to) => new(map.Apply(new Point2(from, 0)), map.Apply(new Point2(to, 0)), 0);
            Assert.Equal(gap, RegionDistance.Between(On(0, first), On(first + gap, first + gap + second)).DistanceMm, 1e-9);
        },
        iter: 500);

    [Fact]
    public void Two_segments_come_no_nearer_anywhere_than_they_say() => Gen.Select(AnySegment, AnySegment).Check(
        (a, b) =>
        {
            var pair = RegionDistance.Between(a, b);
            Assert.Equal(pair.DistanceMm, Point2.Distance(pair.OnA, pair.OnB), 1e-9);
            Assert.InRange(RegionDistance.ToSegment(a, pair.OnA).DistanceMm, 0, 1e-7);
            Assert.InRange(RegionDistance.ToSegment(b, pair.OnB).DistanceMm, 0, 1e-7);
            var sampled = Enumerable.Range(0, 401).Min(k => RegionDistance.ToSegment(b, a.PointAt(k / 400.0)).DistanceMm);
            Assert.InRange(sampled - pair.DistanceMm, -1e-9, (a.Length / 400) + 1e-9);
            Assert.Equal(pair.DistanceMm, RegionDistance.Between(b, a).DistanceMm, 1e-9);
        },
        iter: 250);

    [Fact]
    public void Region_distance_agrees_with_the_reference() => Gen.Select(OffsetSamples.Any, OffsetSamples.Any, Gen.Double[0, 9]).Check(
        (a, b, apart) =>
        {
            var moved = b.Transform(Affine2.Translation(apart, apart / 3));
            var pair = RegionDistance.Between(a, moved);
            Assert.Equal(OffsetSamples.ToReference(a, 1e-4).Distance(OffsetSamples.ToReference(moved, 1e-4)), pair.DistanceMm, 3e-4);
            Assert.Equal(pair.DistanceMm, Point2.Distance(pair.OnA, pair.OnB), 1e-9);
        },
        iter: 80);

    [Fact]
    public void Two_circles_come_nearest_on_the_line_through_their_centres()
    {
        var pair = RegionDistance.Between(Contour.Circle(new(0, 0), 1), Contour.Circle(new(3, 4), 2));
        Assert.Equal(2, pair.DistanceMm, 12);
        Assert.Equal(0.6, pair.OnA.X, 12);
        Assert.Equal(2.4, pair.OnB.Y, 12);
    }

    [Fact]
    public void A_contour_inside_another_is_apart_from_its_path_but_not_from_its_region()
    {
        var (outer, inner) = (Contour.Circle(default, 3), Contour.Circle(new(0.5, 0), 1));
        Assert.Equal(1.5, RegionDistance.Between(outer, inner).DistanceMm, 12);
        Assert.Equal(0, RegionDistance.Between(Region.Of(outer), Region.Of(inner)).DistanceMm);
        var ring = new Region([outer, Contour.Circle(default, 2).Reversed()]);
        Assert.Equal(0.5, RegionDistance.Between(ring, Region.Of(inner)).DistanceMm, 12);
        Assert.Equal(double.PositiveInfinity, RegionDistance.Between(ring, Region.Empty).DistanceMm);
    }

    // Chords for an arc of radius R with sagitta e: n = 2π / (2 acos(1 - e/R)); R 0.15, e 0.001 -> 27.19 -> 28 (computed).
    [Fact]
    public void Chord_count_is_the_known_one()
    {
        Assert.Equal(28, Flattening.ChordCount(0.15, 2 * Math.PI, 0.001));
        Assert.Equal(28, Contour.Circle(default, 0.15).Flatten(0.001).Length);
        Assert.Equal(1, Flattening.ChordCount(0.15, 0, 0.001));
        Assert.Equal(3, Flattening.ChordCount(0.15, 2 * Math.PI, 1));
        Assert.Equal(2, new OpenPath([new(0, 0, 1e-18), new(1, 0)]).Flatten(1e-4).Length);
        Assert.Equal(2, new OpenPath([new(0, 0, double.Epsilon), new(1, 0)]).Flatten(1e-4).Length);
    }

    [Fact]
    public void Flattened_points_lie_on_the_path_and_chords_within_the_error() => Gen.Select(AnySegment, Gen.Double[1e-4, 0.1]).Check(
        (s, error) =>
        {
            var points = new OpenPath([new(s.Start.X, s.Start.Y, s.Bulge), new(s.End.X, s.End.Y)]).Flatten(error);
            Assert.Equal((s.Start, s.End), (points[0], points[^1]));
            for (var i = 1; i < points.Length; i++)
            {
                Assert.InRange(RegionDistance.ToSegment(s, points[i]).DistanceMm, 0, 1e-7);
                Assert.InRange(RegionDistance.ToSegment(s, Point2.Lerp(points[i - 1], points[i], 0.5)).DistanceMm, 0, (error * 1.000001) + 1e-7);
            }
        },
        iter: 300);
}
