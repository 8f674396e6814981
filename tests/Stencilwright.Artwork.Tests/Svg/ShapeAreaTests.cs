using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

/// <summary>Painted areas against closed forms. Rules: W3C SVG, "Basic shapes", "Paths", "Painting" (from memory).</summary>
public class ShapeAreaTests
{
    private const double Exact = 1e-9;

    // Where curves are fitted: perimeter times the fit tolerance of 0.1 µm.
    private const double Fitted = 60 * RegionTransform.FitToleranceMm;

    [Theory]
    [InlineData("<rect x='10' y='10' width='20' height='5'/>", 100)]
    [InlineData("<polygon points='0,0 10,0 10,10'/>", 50)]
    [InlineData("<polyline points='0 0 10 0 10 10'/>", 50)]
    [InlineData("<path d='M10 10h20v5h-20z'/>", 100)]
    [InlineData("<path d='M10 10H30V15H10'/>", 100)]
    [InlineData("<path d='m10 10 20 0 0 5 -20 0'/>", 100)]
    [InlineData("<path d='M1e1,10l.5.5.5-.5z'/>", 0.25)]
    [InlineData("<path d='M0 0H10V10H0Zm2 2h4v4h-4z' fill-rule='evenodd'/>", 84)]
    [InlineData("<path d='M0 0H10V10H0Zm2 2h4v4h-4z'/>", 100)]
    [InlineData("<path d='M0 0H10V10H0Zm2 2v4h4v-4z'/>", 84)]
    public void Straight_shapes_have_their_area(string body, double expectedMm2) =>
        Assert.Equal(expectedMm2, Plots.Area(body), Exact);

    [Theory]
    [InlineData("<circle cx='20' cy='20' r='3'/>", 9 * Math.PI)]
    [InlineData("<path d='M17 20a3 3 0 1 0 6 0a3 3 0 1 0 -6 0'/>", 9 * Math.PI)]
    [InlineData("<path d='M17 20a3 3 0 106 0 3 3 0 10-6 0'/>", 9 * Math.PI)]
    [InlineData("<path d='M10 10 A5 5 0 0 1 20 10 Z'/>", 12.5 * Math.PI)]
    [InlineData("<path d='M10 10 A1 1 0 0 1 20 10 Z'/>", 12.5 * Math.PI)]
    [InlineData("<rect x='1' y='1' width='10' height='4' rx='1'/>", 40 - 4 + Math.PI)]
    [InlineData("<rect x='1' y='1' width='10' height='4' rx='99' ry='2'/>", (10 - 4) * 0 + 10 * Math.PI)]
    [InlineData("<rect x='1' y='1' width='4' height='4' ry='9'/>", 4 * Math.PI)]
    public void Round_shapes_have_their_area(string body, double expectedMm2) =>
        Assert.Equal(expectedMm2, Plots.Area(body), body.Contains("rx='99'", StringComparison.Ordinal) ? Fitted : Exact);

    [Theory]
    [InlineData("<ellipse cx='20' cy='20' rx='6' ry='2'/>", 12 * Math.PI)]
    [InlineData("<circle cx='2' cy='2' r='1' transform='scale(6 2)'/>", 12 * Math.PI)]
    [InlineData("<path d='M14 20A6 2 0 0 0 26 20A6 2 0 0 0 14 20'/>", 12 * Math.PI)]
    [InlineData("<path d='M0 0Q5 10 10 0z'/>", 100 / 3.0)]
    [InlineData("<path d='M0 0C0 10 10 10 10 0z'/>", 60)]
    [InlineData("<path d='M0 0Q5 10 10 0T20 0'/>", 200 / 3.0)]
    [InlineData("<path d='M0 0C0 10 10 10 10 0S20-10 20 0'/>", 120)]
    public void Curves_have_their_area_within_the_fit_tolerance(string body, double expectedMm2) =>
        Assert.Equal(expectedMm2, Plots.Area("<g transform='translate(20 20)'>" + body + "</g>"), Fitted);

    [Fact]
    public void A_circle_is_two_half_circles_however_it_is_written()
    {
        foreach (var body in (string[])[
            "<circle cx='20' cy='20' r='3'/>",
            "<path d='M17 20A3 3 0 1 0 23 20A3 3 0 1 0 17 20Z'/>",
            "<circle r='1' transform='translate(20 20) scale(3) rotate(30)'/>",
            "<ellipse cx='20' cy='20' rx='3' ry='3'/>"])
        {
            var contour = Assert.Single(Assert.Single(Plots.Layer(body).Islands).Shape.Contours);
            Assert.Equal(2, contour.Count);
            Assert.All(contour.ToImmutableArray(), v => Assert.Equal(1, v.Bulge, 1e-12));
            Assert.Equal(new Point2(20, 60).X, contour.Bounds.Center.X, Exact);
            Assert.Equal(60, contour.Bounds.Center.Y, Exact);
        }
    }

    [Theory]
    [InlineData("round", "round", 10 * 2 + Math.PI)]
    [InlineData("butt", "round", 10 * 2)]
    [InlineData("square", "round", 12 * 2)]
    public void A_line_is_as_long_as_its_caps_make_it(string cap, string join, double expectedMm2) =>
        Assert.Equal(
            expectedMm2,
            Plots.Area($"<line x1='10' y1='10' x2='20' y2='10' stroke='black' stroke-width='2' stroke-linecap='{cap}' stroke-linejoin='{join}'/>"),
            Exact);

    [Theory]
    [InlineData("miter", 12 * 12 - 64)]
    [InlineData("bevel", 12 * 12 - 64 - 2)]
    [InlineData("round", 12 * 12 - 64 - 4 + Math.PI)]
    public void A_stroked_square_has_the_corners_of_its_joins(string join, double expectedMm2) =>
        Assert.Equal(expectedMm2, Plots.Area($"<rect x='20' y='20' width='10' height='10' fill='none' stroke='#000' stroke-width='2' stroke-linejoin='{join}'/>"), Exact);

    [Fact]
    public void A_mitre_beyond_its_limit_is_cut_to_a_bevel()
    {
        // A corner of 90 degrees has a mitre of 1.414 widths.
        const string Stroke = "<path d='M20 30V20H30' fill='none' stroke='#000' stroke-width='2' stroke-miterlimit='{0}'/>";
        var cut = Plots.Area(Stroke.Replace("{0}", "1.41", StringComparison.Ordinal));
        var whole = Plots.Area(Stroke.Replace("{0}", "1.42", StringComparison.Ordinal));
        Assert.Equal(0.5, whole - cut, Exact);
        Assert.Equal(40, whole, Exact);
    }

    [Theory]
    [InlineData(5, 2, true)]
    [InlineData(5, 2, false)]
    [InlineData(0.5, 2, true)]
    public void A_stroked_half_circle_is_half_a_ring_with_round_ends(double radius, double width, bool sweep)
    {
        var body = $"<path d='M20 20A{Plots.Text(radius)} {Plots.Text(radius)} 0 0 {(sweep ? 1 : 0)} {Plots.Text(20 + (2 * radius))} 20' fill='none' stroke='#000' stroke-width='{Plots.Text(width)}' stroke-linecap='round'/>";
        var h = width / 2;
        // For a pen wider than the arc: half of the outer disc, and below it the two caps' union of half discs.
        var d = 2 * radius;
        var expected = radius > h
            ? (Math.PI * radius * width) + (Math.PI * h * h)
            : (Math.PI * (radius + h) * (radius + h) / 2) + (Math.PI * h * h) - (((2 * h * h * Math.Acos(d / (2 * h))) - (d / 2 * Math.Sqrt((4 * h * h) - (d * d)))) / 2);
        Assert.Equal(expected, Plots.Area(body), Exact);
    }

    [Fact]
    public void A_pen_under_an_unequal_scale_is_an_ellipse()
    {
        // A dot of width 2 under scale (3, 1) is an ellipse of half axes 3 and 1.
        var area = Plots.Area("<path d='M5 20h0' transform='scale(3 1)' stroke='#000' stroke-width='2' stroke-linecap='round'/>");
        Assert.Equal(3 * Math.PI, area, 20 * RegionTransform.FitToleranceMm);
    }

    [Fact]
    public void Each_segment_of_a_stroke_keeps_its_centre_line_and_pen()
    {
        var layer = Plots.Layer("<g transform='scale(2)'><path d='M10 10H20A5 5 0 0 1 25 15' fill='none' stroke='black' stroke-width='.5' stroke-linecap='round' stroke-linejoin='round'/></g>");
        Assert.Equal(2, layer.Objects.Length);
        Assert.All(layer.Objects, o => Assert.Equal((PaintKind.Stroke, 1.0), (o.Kind, o.PenWidthMm)));
        Assert.Equal(new Point2(20, 60), layer.Objects[0].CenterLine!.Value.Start);
        Assert.Equal(new Point2(40, 60), layer.Objects[1].CenterLine!.Value.Start);
        Assert.Equal(10, layer.Objects[1].CenterLine!.Value.Radius, Exact);
        // Down and to the right on the page, so clockwise with y up.
        Assert.True(layer.Objects[1].CenterLine!.Value.Bulge < 0);
        Assert.Single(layer.Islands);
    }
}
