using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>Offsets whose areas elementary geometry gives.</summary>
public sealed class OffsetClosedFormTests
{
    [Theory]
    [InlineData(2, 1, 0.075, 0.075)]
    [InlineData(2, 1, 0.075, 0.05)]
    [InlineData(0.3, 5, 0.0, 0.1)]
    public void Rectangle_inset_is_the_smaller_rectangle(double w, double h, double halfX, double halfY)
    {
        var inset = RegionOffset.Inset(Rectangle(w, h), halfX, halfY);
        Assert.Equal((w - (2 * halfX)) * (h - (2 * halfY)), inset.AreaMm2, 12);
        Assert.Equal(4, Assert.Single(inset.Contours).Count);
        Assert.Equal(halfX, inset.Bounds.MinX);
    }

    [Fact]
    public void Rectangle_outset_is_itself_and_four_strips_and_a_circle()
    {
        var outset = RegionOffset.Offset(Rectangle(2, 1), 0.1);
        Assert.Equal(2 + (0.1 * 6) + (Math.PI * 0.01), outset.AreaMm2, 12);
        Assert.Equal(8, Assert.Single(outset.Contours).Count);
    }

    [Fact]
    public void Mitred_rectangle_outset_is_the_larger_rectangle()
    {
        Assert.Equal(2.2 * 1.2, RegionOffset.Offset(Rectangle(2, 1), 0.1, JoinStyle.Mitre).AreaMm2, 12);
    }

    [Theory]
    [InlineData(0.1)]
    [InlineData(-0.1)]
    [InlineData(-0.4999)]
    public void Circle_keeps_its_centre_and_two_arcs(double d)
    {
        var result = RegionOffset.Offset(Region.Of(Contour.Circle(new(3, 4), 0.5)), d);
        Assert.Equal(Math.PI * (0.5 + d) * (0.5 + d), result.AreaMm2, 12);
        Assert.Equal(2, Assert.Single(result.Contours).Count);
    }

    [Theory]
    [InlineData(-0.5)]
    [InlineData(-0.6)]
    [InlineData(-20)]
    public void Nothing_survives_an_inset_by_half_the_width_or_more(double d)
    {
        Assert.True(RegionOffset.Offset(Rectangle(2, 1), d).IsEmpty);
        Assert.True(RegionOffset.Offset(Region.Of(Contour.Circle(new(3, 4), 0.5)), d).IsEmpty);
        Assert.True(RegionOffset.Open(Rectangle(2, 1), -d, -d).IsEmpty);
        Assert.True(RegionOffset.Open(Rectangle(2, 1), 0.01, -d).IsEmpty);
    }

    [Fact]
    public void Obround_inset_is_an_obround_without_extra_vertices()
    {
        var obround = Region.Of(new Contour([new(0, 0), new(2, 0, 1), new(2, 1), new(0, 1, 1)]));
        var inset = RegionOffset.Offset(obround, -0.2);
        Assert.Equal((2 * 0.6) + (Math.PI * 0.09), inset.AreaMm2, 12);
        Assert.Equal(4, Assert.Single(inset.Contours).Count);
    }

    [Theory]
    [InlineData(0.2, 0.1)]
    [InlineData(0.05, 0.1)]
    [InlineData(0.1, 0.1)]
    public void Rounded_rectangle_keeps_what_is_left_of_its_corners(double radius, double d)
    {
        var inset = RegionOffset.Offset(RoundedRectangle(2, 1, radius), -d);
        var left = Math.Max(0, radius - d);
        Assert.Equal(((2 - (2 * d)) * (1 - (2 * d))) - ((4 - Math.PI) * left * left), inset.AreaMm2, 9);
        Assert.Equal(left > 0 ? 8 : 4, Assert.Single(inset.Contours).Count);
    }

    [Fact]
    public void Opening_a_rectangle_rounds_its_corners()
    {
        var open = RegionOffset.Open(Rectangle(2, 1), 0.075, 0.075);
        Assert.Equal(2 - ((4 - Math.PI) * 0.075 * 0.075), open.AreaMm2, 12);
        Assert.Equal(new Bounds2(0, 0, 2, 1), Rounded(open.Bounds));
    }

    [Fact]
    public void Elliptical_opening_of_a_rectangle_rounds_its_corners_elliptically()
    {
        var open = RegionOffset.Open(Rectangle(2, 1), 0.1, 0.05);
        // Four quarter ellipses about 0.12 mm long, each within 0.05 µm.
        Assert.Equal(2 - ((4 - Math.PI) * 0.1 * 0.05), open.AreaMm2, 4 * 0.12 * 5e-5);
    }

    [Fact]
    public void A_vanishing_side_is_dropped()
    {
        // A square of side 2 with a corner cut by 0.1: the cut's side is gone at an inset of 0.5.
        var cut = Region.Of(Contour.Polygon([new(0, 0), new(2, 0), new(2, 1.9), new(1.9, 2), new(0, 2)]));
        var inset = RegionOffset.Offset(cut, -0.5);
        Assert.Equal(1, inset.AreaMm2, 12);
        Assert.Equal(4, Assert.Single(inset.Contours).Count);
    }

    [Fact]
    public void Stroke_of_a_line_is_a_capsule()
    {
        var stroke = RegionOffset.Stroke(new OpenPath([new(0, 0), new(3, 4)]), 0.5);
        Assert.Equal((5 * 0.5) + (Math.PI * 0.0625), stroke.AreaMm2, 12);
        Assert.Equal(4, Assert.Single(stroke.Contours).Count);
    }

    [Fact]
    public void Stroke_of_an_arc_is_a_bent_capsule()
    {
        var stroke = RegionOffset.Stroke(new OpenPath([new(1, 0, 1), new(-1, 0)]), 0.5);
        Assert.Equal((Math.PI * 0.5) + (Math.PI * 0.0625), stroke.AreaMm2, 12);
        Assert.Equal(new Bounds2(-1.25, -0.25, 1.25, 1.25), Rounded(stroke.Bounds));
    }

    [Fact]
    public void Stroke_of_a_point_is_a_dot_and_a_pen_without_width_leaves_nothing()
    {
        Assert.Equal(Math.PI / 4, RegionOffset.Stroke(new OpenPath([new(1, 2)]), 1).AreaMm2, 12);
        Assert.Equal(Math.PI / 4, RegionOffset.Stroke(new OpenPath([new(1, 2), new(1, 2)]), 1).AreaMm2, 12);
        Assert.True(RegionOffset.Stroke(new OpenPath([new(1, 2), new(5, 2)]), 0).IsEmpty);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void Distances_must_be_numbers(double d)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => RegionOffset.Offset(Rectangle(1, 1), d));
        Assert.Throws<ArgumentOutOfRangeException>(() => RegionOffset.Inset(Rectangle(1, 1), d, 0.1));
        Assert.Throws<ArgumentOutOfRangeException>(() => RegionOffset.Outset(Rectangle(1, 1), 0.1, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => RegionOffset.Stroke(new OpenPath([new(1, 2)]), d));
    }

    private static Region Rectangle(double w, double h) => Region.Of(Contour.Rectangle(new(0, 0, w, h)));

    private static Region RoundedRectangle(double w, double h, double r)
    {
        var q = Math.Tan(Math.PI / 8);
        return Region.Of(new Contour(
            [new(r, 0), new(w - r, 0, q), new(w, r), new(w, h - r, q), new(w - r, h), new(r, h, q), new(0, h - r), new(0, r, q)]));
    }

    private static Bounds2 Rounded(Bounds2 b) => new(Math.Round(b.MinX, 9), Math.Round(b.MinY, 9), Math.Round(b.MaxX, 9), Math.Round(b.MaxY, 9));
}
