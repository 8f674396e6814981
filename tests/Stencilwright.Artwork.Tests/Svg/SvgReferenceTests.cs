using System.Globalization;
using CsCheck;
using SkiaSharp;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

/// <summary>Path data against an independent reader: SkiaSharp's SKPath.ParseSvgPathData.</summary>
public class SvgReferenceTests
{
    private static readonly Gen<string> _number = Gen.Int[-300, 300].Select(n => (n / 10.0).ToString(CultureInfo.InvariantCulture));

    private static readonly Gen<string> _command = Gen.OneOf(
        Gen.Select(_number, _number, (x, y) => $"l{x} {y}"),
        Gen.Select(_number, x => $"h{x}"),
        Gen.Select(_number, y => $"v{y}"),
        Gen.Select(_number, _number, _number, _number, (a, b, x, y) => $"q{a},{b} {x},{y}"),
        Gen.Select(_number, _number, (x, y) => $"t{x},{y}"),
        Gen.Select(_number, _number, _number, _number, _number, (a, b, c, d, x) => $"c{a},{b},{c},{d} {x},{a}"),
        Gen.Select(_number, _number, _number, _number, (a, b, x, y) => $"s{a},{b} {x},{y}"),
        Gen.Select(Gen.Int[1, 20], Gen.Int[1, 20], Gen.Int[0, 180], Gen.Int[0, 3], _number,
            (rx, ry, turn, flags, x) => $"a{rx} {ry} {turn} {flags & 1}{flags >> 1}{x} {rx}"));

    [Fact]
    public void Inside_and_outside_agree_with_another_reader_for_random_paths()
    {
        Gen.Select(_command.Array[2, 5], Gen.Bool, (commands, evenOdd) => (Data: "M40 40" + string.Concat(commands) + "z", EvenOdd: evenOdd))
            .Check(
                path =>
                {
                    using var reference = SKPath.ParseSvgPathData(path.Data);
                    reference.FillType = path.EvenOdd ? SKPathFillType.EvenOdd : SKPathFillType.Winding;
                    var layer = Plots.Drawn($"<path d='{path.Data}' fill-rule='{(path.EvenOdd ? "evenodd" : "nonzero")}'/>").Value!;
                    Assert.Equal(default(Point2?), FirstDisagreement(reference, layer));
                },
                iter: 120);
    }

    [Theory]
    [InlineData("M40 40c-1.8,-26.7,-5.5,18.7 -8.4,-1.8z")]
    [InlineData("M40 40q3.5,-14.1 29.6,-14.6z")]
    [InlineData("M40 40c-1.8,-26.7,-5.5,18.7 -8.4,-1.8t6.7,16z")]
    [InlineData("M40 40l12.9 -13.5t25.6,6.5v19.4t7.6,-28.4z", true)]
    public void Inside_and_outside_agree_with_another_reader(string data, bool evenOdd = false)
    {
        using var reference = SKPath.ParseSvgPathData(data);
        reference.FillType = evenOdd ? SKPathFillType.EvenOdd : SKPathFillType.Winding;
        var layer = Plots.Drawn($"<path d='{data}' fill-rule='{(evenOdd ? "evenodd" : "nonzero")}'/>").Value!;
        Assert.Equal(default(Point2?), FirstDisagreement(reference, layer));
    }

    /// <summary>A point that one takes for inside and the other does not; null when there is none on a grid over a box.</summary>
    internal static Point2? FirstDisagreement(SKPath reference, LayerImage layer, SKRect box, int grid, float clear)
    {
        for (var i = 0; i < grid * grid; i++)
        {
            var (x, y) = (box.Left + (box.Width * ((i % grid) + 0.37f) / grid), box.Top + (box.Height * ((i / grid) + 0.41f) / grid));
            var inside = reference.Contains(x, y);
            // Points near the edge tell the programs' rounding, not their rules.
            if (reference.Contains(x - clear, y) != inside || reference.Contains(x + clear, y) != inside
                || reference.Contains(x, y - clear) != inside || reference.Contains(x, y + clear) != inside)
            {
                continue;
            }

            var p = new Point2(x, 80 - y);
            if (layer.Islands.Any(island => island.Shape.Contains(p)) != inside)
            {
                return p;
            }
        }

        return null;
    }

    private static Point2? FirstDisagreement(SKPath reference, LayerImage layer) => FirstDisagreement(reference, layer, reference.TightBounds, 15, 0.02f);

    [Theory]
    [InlineData("M10-20.5.5.5L1e1-.5e-1")]
    [InlineData("M10 10 20 10 20 20z l5 5 5 0 0-5")]
    [InlineData("M30 30a10 5 30 0110 10zm5 5a3 3 0 1 1 2 2z")]
    [InlineData("m30 30c5 0 5 5 0 5-5 0-5-5 0-5zM40 40q5 5 10 0t10 0v10h-20z")]
    public void Boxes_agree_with_another_reader_for_compact_spellings(string data)
    {
        using var reference = SKPath.ParseSvgPathData(data);
        var strokes = Plots.Drawn($"<path d='{data}' fill='none' stroke='black' stroke-width='0'/>").Value!.Objects;
        var box = strokes.Aggregate(Bounds2.Empty, (b, o) => Bounds2.Union(b, o.CenterLine!.Value.Bounds));
        var expected = reference.TightBounds;
        Assert.Equal(expected.Left, box.MinX, 1e-3);
        Assert.Equal(expected.Right, box.MaxX, 1e-3);
        Assert.Equal(80 - expected.Top, box.MaxY, 1e-3);
        Assert.Equal(80 - expected.Bottom, box.MinY, 1e-3);
    }
}
