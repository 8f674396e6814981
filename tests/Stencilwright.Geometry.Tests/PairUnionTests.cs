using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>The union of two shapes that cross plainly takes a shorter way than many shapes do; both have to agree.</summary>
public sealed class PairUnionTests
{
    // From plain to far within any tolerance, so that the shorter way is left at every distance from a touch.
    private static readonly Gen<Vector2> Nudge = Gen.Select(Gen.Int[0, 12], Gen.Double[-1, 1], Gen.Double[-1, 1], (digits, x, y) =>
        digits == 12 ? default : new Vector2(x, y) * Math.Pow(10, -digits));

    [Fact]
    public void Two_shapes_unite_as_their_contours_resolve() =>
        Gen.Select(BooleanSupport.GenShape, BooleanSupport.GenShape, Nudge).Check(
            (first, other, nudge) =>
            {
                var second = Region.Of(other).Transform(Affine2.Translation(nudge.X, nudge.Y));
                var expected = RegionBoolean.Resolve([first, .. second.Contours], FillRule.Positive);
                var union = RegionBoolean.Union([Region.Of(first), second]);
                Assert.Equal(expected.Contours.Length, union.Contours.Length);
                Assert.Equal(expected.AreaMm2, union.AreaMm2, 1e-8);
                AssertNear(union, expected);
                AssertNear(expected, union);
            },
            iter: 1500);

    [Fact]
    public void Order_does_not_matter() =>
        Gen.Select(BooleanSupport.GenShape, BooleanSupport.GenShape, Nudge).Check(
            (first, other, nudge) =>
            {
                var (a, b) = (Region.Of(first), Region.Of(other).Transform(Affine2.Translation(nudge.X, nudge.Y)));
                var (one, two) = (RegionBoolean.Union([a, b]), RegionBoolean.Union([b, a]));
                Assert.Equal(one.Contours.Length, two.Contours.Length);
                Assert.Equal(one.AreaMm2, two.AreaMm2, 1e-8);
            },
            iter: 500);

    [Fact]
    public void Crossing_bars_make_one_cross_with_the_vertices_they_had()
    {
        var cross = RegionBoolean.Union([Region.Of(Contour.Rectangle(new(-3, -0.1, 3, 0.3))), Region.Of(Contour.Rectangle(new(0.1, -2, 0.7, 2)))]);
        var contour = Assert.Single(cross.Contours);
        Assert.Equal(12, contour.Count);
        Assert.Equal((6 * 0.4) + (4 * 0.6) - (0.4 * 0.6), cross.AreaMm2, 1e-12);
        foreach (var corner in (ReadOnlySpan<Point2>)[new(-3, -0.1), new(3, 0.3), new(0.1, -2), new(0.7, 2)])
            Assert.Contains(contour.Vertices.ToArray(), vertex => vertex.Point == corner);
    }

    [Fact]
    public void Two_circles_keep_their_arcs()
    {
        var lens = RegionBoolean.Union([Region.Of(Contour.Circle(default, 1)), Region.Of(Contour.Circle(new(1.2, 0.1), 0.7))]);
        var contour = Assert.Single(lens.Contours);
        for (var i = 0; i < contour.Count; i++)
        {
            var side = contour.SegmentAt(i);
            Assert.True(Math.Abs(side.Radius - 1) < 1e-12 || Math.Abs(side.Radius - 0.7) < 1e-12);
        }
    }

    [Fact]
    public void A_frame_of_two_brackets_keeps_its_hole()
    {
        var left = Region.Of(Contour.Polygon([new(0, 0), new(3, 0), new(3, 1), new(1, 1), new(1, 3), new(3, 3), new(3, 4), new(0, 4)]));
        var right = Region.Of(Contour.Rectangle(new(2.5, -0.5, 3.5, 4.5)));
        var frame = RegionBoolean.Union([left, right]);
        Assert.Equal(2, frame.Contours.Length);
        Assert.Equal(8 + 5 - (2 * 0.5), frame.AreaMm2, 1e-12);
    }

    [Fact]
    public void A_shape_inside_another_vanishes_and_one_beside_it_stays()
    {
        var outer = Region.Of(BooleanSupport.Rounded(new(0, 0, 4, 4), 1));
        var union = RegionBoolean.Union([Region.Of(Contour.Circle(new(2, 2), 1)), outer]);
        Assert.Same(outer.Contours[0], Assert.Single(union.Contours));
        var corner = Region.Of(Contour.Circle(new(0.1, 0.1), 0.12));
        Assert.Equal(2, RegionBoolean.UnionIslands([outer, corner]).Length);
    }

    private static void AssertNear(Region shape, Region other)
    {
        foreach (var contour in shape.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                foreach (var p in (ReadOnlySpan<Point2>)[contour.SegmentAt(i).Start, contour.SegmentAt(i).Middle])
                    Assert.InRange(RegionDistance.ToBoundary(other, p).DistanceMm, 0, 1e-8);
            }
        }
    }
}
