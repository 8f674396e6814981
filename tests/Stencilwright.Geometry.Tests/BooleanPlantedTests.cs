using CsCheck;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Geometry.Tests.BooleanSupport;

namespace Stencilwright.Geometry.Tests;

/// <summary>Awkward meetings with answers known in closed form.</summary>
public class BooleanPlantedTests
{
    private static Region Box(double x0, double y0, double x1, double y1) => Region.Of(Contour.Rectangle(new(x0, y0, x1, y1)));

    private static Region Union(params Region[] regions) => RegionBoolean.Union(regions);

    [Fact]
    public void Rectangles_that_share_an_edge_become_one_of_four_corners()
    {
        var union = Union(Box(0, 0, 1, 2), Box(1, 0, 3, 2));
        Assert.Equal(6, union.AreaMm2, 1e-12);
        Assert.Equal(4, Assert.Single(union.Contours).Count);
    }

    [Fact]
    public void Four_circles_and_two_bars_make_a_rounded_rectangle_of_eight_segments()
    {
        var union = Union(
            Box(0.2, 0, 2.8, 2), Box(0, 0.2, 3, 1.8),
            Region.Of(Contour.Circle(new(0.2, 0.2), 0.2)), Region.Of(Contour.Circle(new(2.8, 0.2), 0.2)),
            Region.Of(Contour.Circle(new(2.8, 1.8), 0.2)), Region.Of(Contour.Circle(new(0.2, 1.8), 0.2)));

        // Gerber Layer Format Specification, the rounded rectangle macro: X·Y - (4 - π) r².
        Assert.Equal(6 - ((4 - Math.PI) * 0.04), union.AreaMm2, 1e-9);
        Assert.Equal(8, Assert.Single(union.Contours).Count);
    }

    [Fact]
    public void A_circle_cut_only_by_what_it_swallows_comes_back_as_two_half_circles()
    {
        var circle = Contour.Circle(new(1, 1), 1);
        var union = Union(Region.Of(circle), Box(0.5, 0.5, 1.5, 1.5), Box(0.9, 0.1, 1.1, 1.9));
        Assert.Equal(circle.Vertices.ToArray(), Assert.Single(union.Contours).Vertices.ToArray());
    }

    [Fact]
    public void Capsules_end_to_end_make_one_capsule()
    {
        var union = Union(Region.Of(Capsule(new(0, 0), new(3, 0), 0.5)), Region.Of(Capsule(new(3, 0), new(7, 0), 0.5)));
        Assert.Equal(7 + (Math.PI / 4), union.AreaMm2, 1e-12);
        Assert.Equal(4, Assert.Single(union.Contours).Count);
    }

    [Fact]
    public void A_pad_hatched_with_strokes_is_filled()
    {
        var strokes = new Region[300];
        for (var i = 0; i < strokes.Length; i++)
            strokes[i] = Region.Of(Capsule(new(0, i * 0.05), new(10, i * 0.05), 0.05));

        // The left and right ends are rows of circle caps of pitch p and radius r that meet at height p/2.
        var island = Assert.Single(RegionBoolean.UnionIslands(strokes));
        Assert.Equal(300, island.Members.Length);
        const double r = 0.05, p = 0.05;
        var caps = 2 * (((p / 2 * Math.Sqrt((r * r) - (p * p / 4))) + (r * r * Math.Asin(p / 2 / r))) * 299);
        Assert.Equal((10 * ((299 * p) + (2 * r))) + caps + (Math.PI * r * r), island.Shape.AreaMm2, 1e-8);
        Assert.Single(island.Shape.Contours);
    }

    [Fact]
    public void The_same_shape_painted_many_times_is_that_shape()
    {
        var shape = Region.Of(Rounded(new(0, 0, 2, 1), 0.25));
        var island = Assert.Single(RegionBoolean.UnionIslands([shape, shape, shape, Shift(shape, Affine2.Identity)]));
        Assert.Equal([0, 1, 2, 3], island.Members.ToArray());
        Assert.Equal(shape.AreaMm2, island.Shape.AreaMm2, 1e-12);
        Assert.Equal(8, Assert.Single(island.Shape.Contours).Count);
    }

    [Fact]
    public void A_cut_in_hole_leaves_no_trace_of_its_cut()
    {
        // Gerber Layer Format Specification, cut-in example: a 10 x 8 rectangle with a hole of radius 3: 80 - 9π.
        var contour = Contour.Adopt(
        [
            new(0, 0), new(10, 0), new(10, 8), new(0, 8), new(0, 4), new(2, 4, -1), new(8, 4, -1), new(2, 4), new(0, 4),
        ]);
        var region = RegionBoolean.Resolve([contour], FillRule.NonZero);
        Assert.Equal(80 - (9 * Math.PI), region.AreaMm2, 1e-10);
        Assert.Equal(2, region.Contours.Length);
        Assert.Equal(2, Math.Min(region.Contours[0].Count, region.Contours[1].Count));
    }

    [Theory]
    [InlineData(132, 20)]
    [InlineData(100, 2)]
    public void Two_separate_contours_fill_both_and_a_contour_within_another_adds_nothing(double areaMm2, double x)
    {
        // Gerber Layer Format Specification, contour examples: squares of 10 x 10 and a contour of 32 mm².
        var region = RegionBoolean.Resolve(
            [Contour.Rectangle(new(0, 0, 10, 10)), Contour.Rectangle(new(x, 2, x + 4, 10))], FillRule.NonZero);
        Assert.Equal(areaMm2, region.AreaMm2, 1e-10);
    }

    [Theory]
    [InlineData(1, 136, 2)]
    [InlineData(-1, 100, 1)]
    public void Contours_that_touch_in_a_point_add_up_outside_and_not_inside(int sign, double areaMm2, int islands)
    {
        // Same specification, "touching": a contour of 36 mm² meets the square's right side in a corner (a kite 9 by 8 here).
        var region = RegionBoolean.Resolve(
            [
                Contour.Rectangle(new(0, 0, 10, 10)),
                Contour.Polygon(sign > 0
                    ? [new(10, 5), new(16, 1), new(19, 5), new(16, 9)]
                    : [new(10, 5), new(4, 9), new(1, 5), new(4, 1)]),
            ],
            FillRule.NonZero);
        Assert.Equal(areaMm2, region.AreaMm2, 1e-10);
        Assert.Equal(islands, RegionBoolean.Islands(region).Length);
    }

    [Fact]
    public void Fully_coincident_segments_join_a_hole_or_a_second_square_without_a_trace()
    {
        // Same specification, fully coincident segments: a square of 100 mm² with a 32 mm² part, as a hole 68, beside it 132.
        var hole = RegionBoolean.Resolve(
            [
                Contour.Polygon([
                    new(0, 0), new(10, 0), new(10, 10), new(0, 10), new(0, 5), new(3, 5), new(3, 9), new(7, 9), new(7, 1), new(3, 1), new(3, 5),
                    new(0, 5)]),
            ],
            FillRule.NonZero);
        Assert.Equal(68, hole.AreaMm2, 1e-10);
        Assert.Equal([4, 4], hole.Contours.Select(c => c.Count));
        Assert.Single(RegionBoolean.Islands(hole));

        var beside = RegionBoolean.Resolve(
            [
                Contour.Polygon([
                    new(0, 0), new(10, 0), new(10, 5), new(13, 5), new(13, 1), new(17, 1), new(17, 9), new(13, 9), new(13, 5), new(10, 5),
                    new(10, 10), new(0, 10)]),
            ],
            FillRule.NonZero);
        Assert.Equal(132, beside.AreaMm2, 1e-10);
        Assert.Equal([4, 4], beside.Contours.Select(c => c.Count));
        Assert.Equal(2, RegionBoolean.Islands(beside).Length);
    }

    // Planted: an arc of sagitta s over a chord c between the radius kept by its centre and a line; cap area c·s·2/3 for a shallow arc.
    [Theory]
    [InlineData(1e-4)]
    [InlineData(1e-6)]
    [InlineData(1e-7)]
    [InlineData(3e-8)]
    [InlineData(1e-12)]
    public void A_very_flat_arc_is_cut_where_it_lies(double sagitta)
    {
        for (var turn = 0; turn < 360; turn += 15)
        {
            var map = Affine2.Translation(30, -20) * Affine2.RotationDegrees(turn);
            var flat = Region.Of(Contour.Adopt([new(0, 0, 2 * sagitta / 10), new(10, 0), new(10, 5), new(0, 5)])).Transform(map);
            var half = Box(5, -1, 11, 6).Transform(map);
            var cap = 10 * sagitta * 2 / 3;
            Assert.Equal(25 + (cap / 2), RegionBoolean.Intersection(flat, half).AreaMm2, 1e-7);
            Assert.Equal(25 + (cap / 2), RegionBoolean.Difference(flat, half).AreaMm2, 1e-7);
            var bent = Region.Of(Contour.Adopt([new(0, -1), new(10, -1, 2 * sagitta / 10), new(0, 1e-9), new(0, 0)])).Transform(map);
            var both = RegionBoolean.Union([flat, bent]).AreaMm2 + RegionBoolean.Intersection(flat, bent).AreaMm2;
            Assert.Equal(flat.AreaMm2 + bent.AreaMm2, both, 1e-7);
        }
    }

    [Fact]
    public void A_hole_that_touches_the_outline_stays_with_its_island()
    {
        var region = RegionBoolean.Difference(Box(0, 0, 10, 10), Region.Of(Contour.Circle(new(3, 5), 3)));
        Assert.Equal(100 - (9 * Math.PI), region.AreaMm2, 1e-9);
        Assert.Equal(2, region.Contours.Length);
        Assert.Equal(2, Assert.Single(RegionBoolean.Islands(region)).Contours.Length);
    }

    [Fact]
    public void Islands_in_holes_are_islands()
    {
        var rings = RegionBoolean.Resolve(
            [
                Contour.Circle(new(0, 0), 5), Contour.Circle(new(0, 0), 4), Contour.Circle(new(0, 0), 3),
                Contour.Circle(new(0, 0), 2), Contour.Circle(new(0, 0), 1),
            ],
            FillRule.EvenOdd);
        var islands = RegionBoolean.Islands(rings);
        Assert.Equal(3, islands.Length);
        var areas = islands.Select(i => i.AreaMm2 / Math.PI).Order().ToArray();
        Assert.Equal([1, 5, 9], areas, (a, b) => Math.Abs(a - b) < 1e-9);
    }

    [Fact]
    public void Squares_that_meet_in_a_corner_stay_two_islands()
    {
        var islands = RegionBoolean.UnionIslands([Box(0, 0, 1, 1), Box(1, 1, 2, 2), Box(5, 5, 6, 6)]);
        Assert.Equal(3, islands.Length);
        Assert.Equal([1], islands[1].Members.ToArray());
        Assert.Equal(1, islands[0].Shape.AreaMm2, 1e-12);
    }

    [Fact]
    public void An_input_that_touches_no_other_is_given_back_itself()
    {
        var near = Region.Of(Contour.Circle(new(0, 0), 1));
        var inCorner = Region.Of(Contour.Circle(new(1.8, 1.8), 1));
        var islands = RegionBoolean.UnionIslands([near, inCorner, Box(9, 9, 10, 10)]);
        Assert.Same(near, islands[0].Shape);
        Assert.Same(inCorner, islands[1].Shape);
        Assert.Equal(3, islands.Length);
    }

    [Fact]
    public void Zero_length_and_nanometre_segments_do_no_harm()
    {
        var contour = Contour.Adopt(
            [new(0, 0), new(0, 0), new(2, 0), new(2.000001, 0), new(2, 1), new(2, 1, 1), new(2, 1), new(0, 1), new(0, 1.000001)]);
        var union = RegionBoolean.Resolve([contour, Contour.Rectangle(new(1, 0.5, 3, 1.5))], FillRule.NonZero);
        Assert.Equal(3.5, union.AreaMm2, 3e-6);
        Assert.Single(union.Contours);
    }

    [Fact]
    public void Spokes_there_and_back_vanish()
    {
        var contour = Contour.Polygon([new(0, 0), new(4, 0), new(9, 0), new(4, 0), new(4, 4), new(4, 7), new(4, 4), new(0, 4)]);
        var region = RegionBoolean.Resolve([contour], FillRule.Positive);
        Assert.Equal(16, region.AreaMm2, 1e-12);
        Assert.Equal(4, Assert.Single(region.Contours).Count);
    }

    [Fact]
    public void A_clockwise_loop_of_an_offset_curve_is_not_filled_by_the_positive_rule()
    {
        var eight = Contour.Polygon([new(0, 0), new(4, 0), new(0, 4), new(4, 4)]);
        Assert.Equal(4, RegionBoolean.Resolve([eight], FillRule.Positive).AreaMm2, 1e-12);
        Assert.Equal(8, RegionBoolean.Resolve([eight], FillRule.NonZero).AreaMm2, 1e-12);
    }

    [Fact]
    public void Disjoint_operands_leave_a_difference_alone_and_have_no_intersection()
    {
        var (a, b) = (Box(0, 0, 1, 1), Box(2, 2, 3, 3));
        Assert.Same(a, RegionBoolean.Difference(a, b));
        Assert.True(RegionBoolean.Intersection(a, b).IsEmpty);
        Assert.True(RegionBoolean.Difference(a, a).IsEmpty);
        Assert.True(Union().IsEmpty);
        Assert.Empty(RegionBoolean.UnionIslands([]));
    }

    [Fact]
    public void Where_and_how_a_shape_lies_does_not_change_its_union() =>
        Gen.Select(GenShape.Array[2, 8], Gen.Double[-180, 180], Gen.Int[0, 2], Gen.Double[-500, 500], Gen.Bool).Check(
            (contours, degrees, power, away, isMirrored) =>
            {
                var scale = power switch { 0 => 1.0, 1 => 1000, _ => 1e-3 };
                var map = Affine2.Translation(away * scale, -away * scale) * Affine2.RotationDegrees(degrees)
                    * Affine2.Scale(isMirrored ? -scale : scale, scale);
                var plain = RegionBoolean.Resolve(contours, FillRule.NonZero).AreaMm2;
                var moved = RegionBoolean.Resolve(Array.ConvertAll(contours, c => c.Transform(map)), FillRule.NonZero).AreaMm2;
                Assert.True(plain > 0);
                Assert.Equal(plain, moved / (scale * scale), 1e-7);
            },
            iter: 300);

    [Fact]
    public void Starting_vertex_and_repetition_do_not_matter() =>
        Gen.Select(GenShape.Array[1, 8], Gen.Int[0, 20]).Check(
            (contours, start) =>
            {
                var plain = RegionBoolean.Resolve(contours, FillRule.Positive);
                var turned = Array.ConvertAll(contours, c =>
                {
                    var k = start % c.Count;
                    return Contour.Adopt([.. c.Vertices[k..], .. c.Vertices[..k]]);
                });
                Assert.Equal(plain.AreaMm2, RegionBoolean.Resolve(turned, FillRule.Positive).AreaMm2, 1e-9);
                var again = RegionBoolean.Resolve(plain.Contours.AsSpan(), FillRule.Positive);
                Assert.Equal(plain.AreaMm2, again.AreaMm2, 1e-9);
                Assert.Equal(plain.Contours.Length, again.Contours.Length);
                Assert.Equal(plain.AreaMm2, RegionBoolean.Islands(plain).Sum(i => i.AreaMm2), 1e-9);
            },
            iter: 300);
}
