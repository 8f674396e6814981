using System.Globalization;
using CsCheck;
using SkiaSharp;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

/// <summary>Dashes against closed areas and SkiaSharp's dash effect; clipping against closed areas and SkiaSharp's path operations.</summary>
public class DashAndClipTests
{
    private const double Exact = 1e-9;

    [Theory]
    [InlineData("d='M0 5H10' stroke-dasharray='2 1'", (2 + 2 + 2 + 1) * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='2 1' stroke-dashoffset='1'", (1 + 2 + 2 + 2) * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='2 1' stroke-dashoffset='-1'", (2 + 2 + 2) * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='1,2,3'", (1 + 3 + 2) * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='10'", 10 * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='100'", 10 * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='0 0'", 10 * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='none'", 10 * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='20%' pathLength='100' stroke-dashoffset='0'", 5 * 0.5)]
    [InlineData("d='M0 5H10' stroke-dasharray='10 10' pathLength='100'", 5 * 0.5)]
    // W3C SVG 2, 8.9: a millimetre is 96/25.4 user units whatever the view box.
    [InlineData("d='M0 5H10' stroke-dasharray='1mm 0.1cm'", (10 - (96 / 25.4)) * 0.5)]
    [InlineData("d='M1 5H10' stroke-dasharray='0 2' stroke-linecap='round'", 5 * 0.0625 * Math.PI)]
    [InlineData("d='M1 5L10 17' stroke-dasharray='0 2.5' stroke-linecap='square'", 6 * 0.25)]
    [InlineData("d='M1 5H10' stroke-dasharray='2 1' stroke-linecap='round'", (3 * 2 * 0.5) + (3 * 0.0625 * Math.PI))]
    [InlineData("d='M1 5H10' stroke-dasharray='2 1' stroke-linecap='square'", 3 * 2.5 * 0.5)]
    [InlineData("d='M5 5a5 5 0 0 1 10 0a5 5 0 0 1 -10 0z' stroke-dasharray='1 1' pathLength='20'", 5 * Math.PI * 0.5)]
    public void Dashes_take_their_share_of_the_line(string attributes, double areaMm2) =>
        Assert.Equal(
            areaMm2, Plots.Area($"<path fill='none' stroke='#000' stroke-width='.5' {Percent(attributes)}/>"), Exact);

    // Percentages refer to the page's diagonal: √((100² + 80²)/2) mm; the row is meant to take a tenth of its stated length.
    private static string Percent(string attributes) => attributes.Replace(
        "20%", (10 / Math.Sqrt(8200) * 100).ToString("R", CultureInfo.InvariantCulture) + "%", StringComparison.Ordinal);

    [Fact]
    public void A_dash_over_the_start_of_a_closed_line_has_its_corner_there()
    {
        // A square of 4 with dashes of 2 and gaps of 2, begun in the middle of a dash: each corner stays whole, mitred.
        var layer = Plots.Layer("<path d='M10 10h4v4h-4z' fill='none' stroke='#000' stroke-width='.5' stroke-dasharray='2 2' stroke-dashoffset='1'/>");
        Assert.Equal(4, layer.Islands.Length);
        Assert.All(layer.Islands, island => Assert.Equal(1.25 * 1.25 - 0.75 * 0.75, island.Shape.AreaMm2, Exact));
    }

    [Fact]
    public void A_dashed_arc_keeps_its_arcs()
    {
        var layer = Plots.Layer("<circle cx='20' cy='20' r='5' fill='none' stroke='#000' stroke-width='1' stroke-dasharray='3 2'/>");
        Assert.All(layer.Objects, o => Assert.Equal(5, o.CenterLine!.Value.Radius, Exact));
        Assert.All(layer.Islands, island => Assert.Contains(island.Shape.Contours[0].Vertices.ToArray(), v => v.Bulge != 0));
    }

    private static readonly Gen<(string Data, float[] Dashes, float Phase, int Cap, int Join)> _dashed = Gen.Select(
        Gen.Int[100, 900].Array[6, 12], Gen.Int[5, 60].Array[1, 2], Gen.Int[-50, 90], Gen.Int[0, 2], Gen.Int[0, 2], (numbers, dashes, phase, cap, join) => (
            Data(numbers), (float[])[.. dashes.Concat(dashes.Reverse()).Select(d => d / 10f)], phase / 10f, cap, join));

    private static string Data(int[] numbers)
    {
        var coordinates = numbers.Select(n => (n / 15.0).ToString("0.##", CultureInfo.InvariantCulture)).ToArray();
        return string.Create(CultureInfo.InvariantCulture, $"M{coordinates[0]} {coordinates[1]}L{coordinates[2]} {coordinates[3]}A20 20 0 0 1 {coordinates[4]} {coordinates[5]}")
            + (numbers.Length > 8 ? "Z" : "");
    }

    [Fact]
    public void Inside_and_outside_agree_with_another_program_s_dashes() =>
        _dashed.Check(
            sample =>
            {
                var (data, dashes, phase, cap, join) = sample;
                using var path = SKPath.ParseSvgPathData(data);
                using var effect = SKPathEffect.CreateDash(dashes, phase);
                using var pen = new SKPaint
                {
                    Style = SKPaintStyle.Stroke, StrokeWidth = 0.8f, PathEffect = effect, StrokeMiter = 4,
                    StrokeCap = (SKStrokeCap)cap, StrokeJoin = (SKStrokeJoin)join,
                };
                using var reference = new SKPath();
                using (var builder = new SKPathBuilder())
                {
                    Assert.True(pen.GetFillPath(path, builder, 100));
                    using var outline = builder.Detach();
                    var style = string.Create(CultureInfo.InvariantCulture,
                        $"stroke-width='.8' stroke-dasharray='{string.Join(' ', dashes.Select(d => d.ToString(CultureInfo.InvariantCulture)))}' stroke-dashoffset='{phase}' stroke-linecap='{((string[])["butt", "round", "square"])[cap]}' stroke-linejoin='{((string[])["miter", "round", "bevel"])[join]}'");
                    var layer = Plots.Drawn($"<path d='{data}' fill='none' stroke='#000' {style}/>").Value!;
                    Assert.Equal(default(Point2?), FirstDisagreement(outline, layer, path));
                }
            },
            iter: 60);

    [Theory]
    [InlineData("<clipPath id='c'><rect x='5' y='5' width='10' height='10'/></clipPath><rect width='10' height='10' clip-path='url(#c)'/>", 25)]
    [InlineData("<clipPath id='c'><rect x='5' y='5' width='10' height='10'/></clipPath><rect width='10' height='10' style='clip-path: url(\"#c\")'/>", 25)]
    [InlineData("<clipPath id='c'><rect width='50' height='50'/></clipPath><rect width='10' height='10' clip-path='url(#c)'/>", 100)]
    [InlineData("<clipPath id='c'><circle cx='5' cy='5' r='2'/><rect x='8' y='8' width='5' height='5'/></clipPath><rect width='10' height='10' clip-path='url(#c)'/>", (4 * Math.PI) + 4)]
    [InlineData("<clipPath id='c'/><rect width='10' height='10' clip-path='url(#c)'/>", 0)]
    [InlineData("<clipPath id='c'><rect width='5' height='5'/></clipPath><g clip-path='url(#c)'><rect width='10' height='10'/><rect x='20' width='9' height='9'/></g>", 25)]
    [InlineData("<clipPath id='c'><rect width='5' height='5'/></clipPath><g clip-path='url(#c)' transform='translate(20 20) scale(2)'><rect width='10' height='10'/></g>", 100)]
    [InlineData("<clipPath id='c' transform='scale(2)'><rect width='5' height='5' transform='translate(-1 0)'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 80)]
    [InlineData("<clipPath id='c' clipPathUnits='objectBoundingBox'><rect width='.5' height='.25'/></clipPath><rect x='30' y='9' width='20' height='8' clip-path='url(#c)'/>", 20)]
    [InlineData("<clipPath id='c' clipPathUnits='objectBoundingBox'><rect width='.5' height='1'/></clipPath><g clip-path='url(#c)' transform='translate(3 4) rotate(30)'><rect width='10' height='10'/><g transform='translate(20 0)'><rect width='10' height='10'/></g></g>", 100)]
    [InlineData("<clipPath id='c' clipPathUnits='objectBoundingBox'><rect width='.5' height='1'/></clipPath><path d='M10 10H30' stroke='#000' clip-path='url(#c)'/>", 0)]
    [InlineData("<clipPath id='c'><path clip-rule='evenodd' d='M0 0H9V9H0zM3 3H6V6H3z'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 72)]
    [InlineData("<clipPath id='c' clip-rule='evenodd'><path d='M0 0H9V9H0zM3 3H6V6H3z'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 72)]
    [InlineData("<clipPath id='c'><path fill-rule='evenodd' d='M0 0H9V9H0zM3 3H6V6H3z'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 81)]
    [InlineData("<clipPath id='c'><rect fill='none' stroke='#000' stroke-width='9' width='5' height='5'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 25)]
    [InlineData("<clipPath id='c'><rect width='5' height='5' display='none'/><rect width='3' height='3'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 9)]
    [InlineData("<clipPath id='c'><g><rect width='5' height='5'/></g><use href='#r' x='1'/></clipPath><defs><rect id='r' width='3' height='3'/></defs><rect width='20' height='20' clip-path='url(#c)'/>", 9)]
    [InlineData("<clipPath id='d'><rect width='4' height='9'/></clipPath><clipPath id='c' clip-path='url(#d)'><rect width='9' height='5'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 20)]
    [InlineData("<clipPath id='d'><rect width='4' height='9'/></clipPath><clipPath id='c'><rect width='9' height='5' clip-path='url(#d)'/></clipPath><rect width='20' height='20' clip-path='url(#c)'/>", 20)]
    [InlineData("<clipPath id='d'><rect width='4' height='9'/></clipPath><clipPath id='c'><rect width='9' height='5'/></clipPath><g clip-path='url(#d)'><rect width='20' height='20' clip-path='url(#c)'/></g>", 20)]
    [InlineData("<clipPath id='c'><rect width='5' height='9'/></clipPath><rect width='10' height='10'/><rect width='10' height='10' fill='#fff' clip-path='url(#c)'/>", 55)]
    [InlineData("<clipPath id='c'><rect width='5' height='9'/></clipPath><path d='M0 4H20' stroke='#000' stroke-width='2' clip-path='url(#c)'/>", 10)]
    public void Only_what_lies_in_the_clipping_path_is_painted(string body, double areaMm2) => Assert.Equal(areaMm2, Plots.Drawn(body).Value!.PaintedAreaMm2, 1e-7);

    [Fact]
    public void A_stroke_keeps_its_centre_line_only_where_it_shows()
    {
        var layer = Plots.Drawn("""
            <clipPath id="c"><rect width="50" height="10"/></clipPath>
            <g clip-path="url(#c)" fill="none" stroke="#000"><path d="M1 5H40"/><path d="M1 10.3H40"/><path d="M1 20H40"/><path d="M1 5H40" stroke-width="0"/><path d="M1 20H40" stroke-width="0"/></g>
            """.ReplaceLineEndings("")).Value!;
        Assert.Equal([PaintKind.Stroke, PaintKind.Area, PaintKind.Stroke], layer.Objects.Select(o => o.Kind));
        Assert.Equal([true, false, true], layer.Objects.Select(o => o.CenterLine is not null));
    }

    [Fact]
    public void Inside_and_outside_agree_with_another_program_s_intersection() =>
        Gen.Select(Gen.Int[100, 900].Array[12], Gen.Int[0, 90]).Check(
            (numbers, turn) =>
            {
                var (a, b) = (Closed(numbers.AsSpan(0, 6)), Closed(numbers.AsSpan(6, 6)));
                using var shape = SKPath.ParseSvgPathData(a);
                using var clip = SKPath.ParseSvgPathData(b);
                clip.Transform(SKMatrix.CreateRotationDegrees(turn, 30, 30));
                using var both = shape.Op(clip, SKPathOp.Intersect);
                var layer = Plots.Drawn($"<clipPath id='c'><path d='{b}' transform='rotate({turn} 30 30)'/></clipPath><path d='{a}' clip-path='url(#c)'/>").Value!;
                Assert.Equal(default(Point2?), FirstDisagreement(both, layer, shape));
            },
            iter: 60);

    private static string Closed(ReadOnlySpan<int> n) => string.Create(
        CultureInfo.InvariantCulture, $"M{n[0] / 15.0:0.##} {n[1] / 15.0:0.##}L{n[2] / 15.0:0.##} {n[3] / 15.0:0.##}A30 30 0 0 1 {n[4] / 15.0:0.##} {n[5] / 15.0:0.##}Z");

    private static Point2? FirstDisagreement(SKPath reference, LayerImage layer, SKPath frame)
    {
        var box = frame.Bounds;
        box.Inflate(1, 1);
        return SvgReferenceTests.FirstDisagreement(reference, layer, box, 30, 0.03f);
    }
}
