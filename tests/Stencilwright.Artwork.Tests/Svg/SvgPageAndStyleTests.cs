using Stencilwright.Foundation;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

/// <summary>Pages, units, transforms, styles and polarity. Rules: W3C SVG and CSS (from memory).</summary>
public class SvgPageAndStyleTests
{
    private const double Exact = 1e-9;

    // 1 in = 96 px, pt = 1/72 in, pc = 16 px, Q = 1/40 cm: W3C CSS Values (from memory).
    [Theory]
    [InlineData("100mm", 1)]
    [InlineData("10cm", 1)]
    [InlineData("400Q", 1)]
    [InlineData("1in", 0.254)]
    [InlineData("72pt", 0.254)]
    [InlineData("6pc", 0.254)]
    public void A_physical_page_gives_the_size_of_a_user_unit(string width, double unitMm)
    {
        var outcome = Plots.Read($"<svg xmlns='http://www.w3.org/2000/svg' width='{width}' height='{width}' viewBox='0 0 100 100'><rect x='10' y='20' width='30' height='40'/></svg>");
        Assert.Empty(outcome.Diagnostics);
        var box = outcome.Value!.Bounds;
        Assert.Equal(10 * unitMm, box.MinX, Exact);
        Assert.Equal(40 * unitMm, box.MaxX, Exact);
        Assert.Equal(40 * unitMm, box.MinY, Exact);
        Assert.Equal(80 * unitMm, box.MaxY, Exact);
    }

    [Theory]
    [InlineData("width='960' height='960'")]
    [InlineData("width='960px' height='960px'")]
    [InlineData("width='100%' height='100%' viewBox='0 0 960 960'")]
    [InlineData("viewBox='0 0 960 960'")]
    public void A_page_without_a_physical_size_is_taken_at_96_to_the_inch_with_a_warning(string size)
    {
        var outcome = Plots.Read($"<svg xmlns='http://www.w3.org/2000/svg' {size}><rect x='0' y='0' width='96' height='48'/></svg>");
        Assert.Equal(("ART102", Severity.Warning), (Assert.Single(outcome.Diagnostics).Code, outcome.Diagnostics[0].Severity));
        Assert.Equal(25.4, outcome.Value!.Bounds.Width, Exact);
        Assert.Equal(254, outcome.Value.Bounds.MaxY, Exact);
    }

    [Theory]
    [InlineData("", 50, 0)]
    [InlineData("xMinYMid meet", 0, 0)]
    [InlineData("xMaxYMid", 100, 0)]
    [InlineData("xMidYMin slice", 0, -100)]
    [InlineData("xMidYMax slice", 0, 0)]
    public void A_view_box_is_placed_as_preserveAspectRatio_says(string aspect, double left, double bottom)
    {
        var attribute = aspect.Length == 0 ? "" : $"preserveAspectRatio='{aspect}'";
        var outcome = Plots.Read($"<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='100mm' viewBox='0 0 10 10' {attribute}><rect width='10' height='10'/></svg>");
        Assert.Equal("ART112", Assert.Single(outcome.Diagnostics).Code);
        Assert.Equal(left, outcome.Value!.Bounds.MinX, Exact);
        Assert.Equal(bottom, outcome.Value.Bounds.MinY, Exact);
    }

    [Theory]
    [InlineData("translate(10 20) rotate(90) scale(2)")]
    [InlineData("translate(10,20),rotate(90),scale(2,2)")]
    [InlineData("matrix(0 2 -2 0 10 20)")]
    [InlineData("rotate(90 10 20) translate(10 20) scale(2)")]
    public void Transforms_nest_from_the_left(string transform)
    {
        // (x, y) → (10 − 2y, 20 + 2x), so the box of (0..3, 0..1) is (8..10, 20..26) on the page.
        var whole = Plots.Layer($"<rect width='3' height='1' transform='{transform}'/>").Bounds;
        Assert.Equal(8, whole.MinX, Exact);
        Assert.Equal(10, whole.MaxX, Exact);
        Assert.Equal(80 - 26, whole.MinY, Exact);
        Assert.Equal(60, whole.MaxY, Exact);
    }

    [Fact]
    public void Skews_keep_area_and_lean()
    {
        var box = Plots.Layer("<rect x='10' y='10' width='10' height='10' transform='skewX(45)'/>").Bounds;
        Assert.Equal(20, box.MinX, Exact);
        Assert.Equal(40, box.MaxX, Exact);
        Assert.Equal(100, Plots.Area("<rect x='10' y='10' width='10' height='10' transform='skewY(30)'/>"), Exact);
    }

    [Theory]
    [InlineData("<g fill='none'><rect width='2' height='2'/></g>", 0)]
    [InlineData("<g fill-opacity='0'><rect width='2' height='2'/></g>", 0)]
    [InlineData("<g opacity='0'><rect width='2' height='2'/></g>", 0)]
    [InlineData("<g style='display:none'><rect width='2' height='2'/></g>", 0)]
    [InlineData("<g visibility='hidden'><rect width='2' height='2'/><rect x='5' width='2' height='2' visibility='visible'/></g>", 4)]
    [InlineData("<rect width='2' height='2' fill='rgba(0,0,0,0)'/>", 0)]
    [InlineData("<rect width='2' height='2' fill='none' style='fill:#000'/>", 4)]
    [InlineData("<style>rect{fill:none}</style><rect width='2' height='2' fill='red'/>", 0)]
    [InlineData("<style>rect{fill:none} .a{fill:black}</style><rect class='b a' width='2' height='2'/>", 4)]
    [InlineData("<style>#x{fill:black} .a{fill:none} rect.a{fill:none}</style><rect id='x' class='a' width='2' height='2'/>", 4)]
    [InlineData("<style>/* c */ g,path{fill:none}</style><g><rect width='2' height='2'/></g>", 0)]
    [InlineData("<style>g.a rect{fill:none}</style><g class='a'><g><rect width='2' height='2'/></g></g><rect x='9' width='1' height='1'/>", 1)]
    [InlineData("<style>g.a>rect{fill:none}</style><g class='a'><g><rect width='2' height='2'/></g><rect width='3' height='3'/></g>", 4)]
    [InlineData("<style>g > .b { fill:none } * rect.b{fill:red}</style><g><rect class='b' width='2' height='2'/></g>", 4)]
    [InlineData("<style>#top rect{fill:none} g.a g.b rect.c{fill:red}</style><g id='top' class='a'><g class='b'><rect class='c' width='2' height='2'/></g></g>", 0)]
    [InlineData("<style>svg *{fill:none}</style><rect width='2' height='2'/>", 0)]
    [InlineData("<style>g g > g rect{fill:none}</style><g><g><g><g><rect width='2' height='2'/></g></g></g></g>", 0)]
    [InlineData("<style>g.x > g rect{fill:none}</style><g class='x'><svg><g><rect width='2' height='2'/></g></svg></g>", 4)]
    [InlineData("<g color='#fff' fill='none'><rect width='2' height='2' fill='currentColor'/></g>", 0)]
    [InlineData("<defs><rect width='2' height='2'/></defs><title>t</title><metadata/>", 0)]
    public void Only_what_shows_is_painted(string body, double expectedMm2) =>
        Assert.Equal(expectedMm2, Plots.Drawn(body).Value!.PaintedAreaMm2, Exact);

    [Theory]
    [InlineData("#fff")]
    [InlineData("#FFFFFF")]
    [InlineData("white")]
    [InlineData("rgb(255, 255, 255)")]
    [InlineData("rgb(100%,100%,100%)")]
    [InlineData("hsl(0 0% 100%)")]
    public void White_clears_what_lies_under_it_and_nothing_painted_later(string white)
    {
        var layer = Plots.Layer($"<rect width='10' height='10'/><circle cx='5' cy='5' r='2' fill='{white}'/><rect x='4.5' y='4.5' width='1' height='1' fill='#222'/>");
        Assert.Equal(100 - (4 * Math.PI) + 1, layer.PaintedAreaMm2, Exact);
        Assert.Equal(2, layer.Islands.Length);
        Assert.Equal([0], layer.Islands[0].Objects);
        Assert.Equal([2], layer.Islands[1].Objects);
    }

    [Fact]
    public void Copies_are_moved_styled_and_fitted()
    {
        var layer = Plots.Layer("""
            <defs><rect id="pad" width="2" height="1"/><symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol></defs>
            <use href="#pad" x="10" y="10"/><g transform="translate(20 0)"><use xlink:href="#pad"/></g>
            <use href="#s" x="50" y="50" width="4" height="4"/>
            """);
        Assert.Equal(3, layer.Islands.Length);
        Assert.Equal(4 + (4 * Math.PI), layer.PaintedAreaMm2, Exact);
        Assert.Equal(new Geometry.Point2(11, 69.5), layer.Islands[0].Shape.Bounds.Center);
        Assert.Equal(52, layer.Islands[2].Shape.Bounds.Center.X, Exact);
    }

    [Fact]
    public void Touching_shapes_become_one_island_that_knows_its_objects()
    {
        var layer = Plots.Layer("<rect width='2' height='2'/><rect x='9' width='1' height='1'/><rect x='1' width='2' height='2'/>");
        Assert.Equal(2, layer.Islands.Length);
        Assert.Equal([0, 2], layer.Islands[0].Objects);
        Assert.Equal(7, layer.PaintedAreaMm2, Exact);
    }
}
