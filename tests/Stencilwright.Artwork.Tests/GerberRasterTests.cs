using SkiaSharp;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Artwork.Tests.GerberTesting;

namespace Stencilwright.Artwork.Tests;

/// <summary>
/// Draws the operations of real paste layers a second time with SkiaSharp's own strokes, ovals and fills, and compares area and
/// number of connected parts with the composed image.
/// </summary>
public sealed class GerberRasterTests
{
    [Theory]
    [InlineData("mixed-pads/Gerber_TopPasteMaskLayer.GTP")]
    [InlineData("hatched-pads/solderpaste_top.gbr")]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.GTP")]
    [InlineData("outline-on-artwork/PAST_TOP.art")]
    [InlineData("outline-on-artwork/PAST_BOT.art")]
    [InlineData("old-codes/TopPaste.gbr")]
    [InlineData("old-codes/BottomPaste.gbr")]
    [InlineData("modal-lines/OBCI_V4_C - Top Paste Mask.gbr")]
    [InlineData("modal-lines/OBCI_V4_C - Bottom Paste Mask.gbr")]
    [InlineData("paired-svg/icezum-F.Paste.gbr")]
    [InlineData("page-frame/esp-rust-board-F_Paste.gbr")]
    public void A_second_drawing_by_other_code_has_the_same_area_and_parts(string file)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var document = Read(File.ReadAllBytes(Path.Combine(RealBoards.Folder!, file))).Value!;
        var image = Image(document);
        var drawn = RasterDrawing.Measure(document, image.Bounds);
        Assert.InRange(drawn.AreaMm2 / image.PaintedAreaMm2, 1 - 5e-4, 1 + 5e-4);
        if (drawn.PixelMm < 0.012)
        {
            Assert.Equal(image.Islands.Length, drawn.Parts);
        }
    }
}

/// <summary>An independent drawing of flat Gerber documents (no blocks, no repetition) as pixels.</summary>
internal sealed class RasterDrawing
{
    private const double MostPixels = 60e6;
    private const double WantedPixelMm = 0.005;

    private readonly GerberDocument _document;
    private readonly SKCanvas _canvas;
    private readonly SKPaint _fill = new() { Color = SKColors.White, Style = SKPaintStyle.Fill, IsAntialias = true };
    private readonly SKPaint _pen = new() { Color = SKColors.White, Style = SKPaintStyle.Stroke, StrokeCap = SKStrokeCap.Round, IsAntialias = true };
    private readonly float _countMm;

    private RasterDrawing(GerberDocument document, SKCanvas canvas)
    {
        _document = document;
        _canvas = canvas;
        _countMm = (float)(document.UnitMm / Math.Pow(10, document.DecimalsX));
    }

    public static (double AreaMm2, int Parts, double PixelMm) Measure(GerberDocument document, Bounds2 box)
    {
        var pixel = Math.Max(WantedPixelMm, Math.Sqrt(box.Width * box.Height / MostPixels));
        var (width, height) = ((int)(box.Width / pixel) + 4, (int)(box.Height / pixel) + 4);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Alpha8, SKAlphaType.Premul));
        bitmap.Erase(SKColors.Transparent);
        using (var canvas = new SKCanvas(bitmap))
        {
            canvas.Scale((float)(1 / pixel));
            canvas.Translate((float)((2 * pixel) - box.MinX), (float)((2 * pixel) - box.MinY));
            new RasterDrawing(document, canvas).Draw();
        }

        var pixels = bitmap.GetPixelSpan();
        var covered = 0L;
        foreach (var alpha in pixels)
        {
            covered += alpha;
        }

        return (covered / 255.0 * pixel * pixel, CountParts(pixels, width, height, bitmap.RowBytes), pixel);
    }

    private void Draw()
    {
        var at = default(SKPoint);
        SKPath? region = null;
        foreach (var item in _document.Items.Span)
        {
            var state = _document.Tables.States[item.State];
            var to = new SKPoint(item.X * _countMm, item.Y * _countMm);
            _fill.BlendMode = _pen.BlendMode = state.IsDark ? SKBlendMode.SrcOver : SKBlendMode.DstOut;
            switch (item.Kind)
            {
                case ItemKind.BeginRegion:
                    region = new SKPath { FillType = SKPathFillType.Winding };
                    continue;
                case ItemKind.EndRegion:
                    _canvas.DrawPath(region!, _fill);
                    region = null;
                    continue;
                case ItemKind.Move:
                    region?.MoveTo(to);
                    break;
                case ItemKind.Flash:
                    Flash(_document.Apertures[state.Aperture], to);
                    break;
                case ItemKind.Line when region is not null:
                    region.LineTo(to);
                    break;
                case ItemKind.Line:
                    _pen.StrokeWidth = PenWidth(state.Aperture);
                    _canvas.DrawLine(at, to, _pen);
                    break;
                default:
                    var center = new SKPoint(at.X + (item.I * _countMm), at.Y + (item.J * _countMm));
                    var path = region ?? new SKPath();
                    if (region is null)
                    {
                        path.MoveTo(at);
                    }

                    Arc(path, at, to, center, item.Kind == ItemKind.Clockwise);
                    if (region is null)
                    {
                        _pen.StrokeWidth = PenWidth(state.Aperture);
                        _canvas.DrawPath(path, _pen);
                    }

                    break;
            }

            at = to;
        }
    }

    private float PenWidth(int aperture)
    {
        Assert.Equal("C", _document.Apertures[aperture].Template);
        return (float)(_document.Apertures[aperture].Parameters[0] * _document.UnitMm);
    }

    private static void Arc(SKPath path, SKPoint from, SKPoint to, SKPoint center, bool clockwise)
    {
        var radius = SKPoint.Distance(from, center);
        var start = Math.Atan2(from.Y - center.Y, from.X - center.X) * 180 / Math.PI;
        var end = Math.Atan2(to.Y - center.Y, to.X - center.X) * 180 / Math.PI;
        var sweep = clockwise ? end - start : start - end;
        sweep = sweep >= 0 ? sweep - 360 : sweep;
        var oval = new SKRect(center.X - radius, center.Y - radius, center.X + radius, center.Y + radius);
        var signed = (float)(clockwise ? sweep : -sweep);

        // Skia joins neither a full turn nor more than that to a path.
        path.ArcTo(oval, (float)start, signed / 2, false);
        path.ArcTo(oval, (float)start + (signed / 2), signed / 2, false);
    }

    private void Flash(GerberAperture aperture, SKPoint at)
    {
        var unit = (float)_document.UnitMm;
        var p = aperture.Parameters.Select(v => (float)v * unit).ToArray();
        _canvas.Save();
        _canvas.Translate(at.X, at.Y);
        switch (aperture.Template)
        {
            case "C":
                _canvas.DrawCircle(0, 0, p[0] / 2, _fill);
                break;
            case "R":
                _canvas.DrawRect(-p[0] / 2, -p[1] / 2, p[0], p[1], _fill);
                break;
            case "O":
                var radius = Math.Min(p[0], p[1]) / 2;
                _canvas.DrawRoundRect(-p[0] / 2, -p[1] / 2, p[0], p[1], radius, radius, _fill);
                break;
            default:
                using (var path = Macro(aperture, unit))
                {
                    _canvas.DrawPath(path, _fill);
                }

                break;
        }

        _canvas.Restore();
    }

    // Primitives of one macro are joined as paths, so that their edges do not show through.
    private static SKPath Macro(GerberAperture aperture, float unit)
    {
        var whole = new SKPath();
        foreach (var primitive in aperture.Primitives)
        {
            var v = primitive.Values.Select(x => (float)x).ToArray();
            var part = new SKPath();
            switch (primitive.Code)
            {
                case 1:
                    part.AddCircle(v[1] * unit, v[2] * unit, v[0] * unit / 2);
                    break;
                case 21:
                    part.AddRect(SKRect.Create((v[2] - (v[0] / 2)) * unit, (v[3] - (v[1] / 2)) * unit, v[0] * unit, v[1] * unit));
                    break;
                case 4:
                    part.AddPoly([.. Enumerable.Range(0, v.Length / 2).Select(i => new SKPoint(v[2 * i] * unit, v[(2 * i) + 1] * unit))]);
                    break;
                case 20:
                    using (var pen = new SKPaint { Style = SKPaintStyle.Stroke, StrokeWidth = v[0] * unit, StrokeCap = SKStrokeCap.Butt })
                    using (var line = new SKPath())
                    {
                        line.MoveTo(v[1] * unit, v[2] * unit);
                        line.LineTo(v[3] * unit, v[4] * unit);
                        pen.GetFillPath(line, part, 1000);
                    }

                    break;
                default:
                    Assert.Fail("The drawing knows no primitive " + primitive.Code);
                    break;
            }

            part.Transform(SKMatrix.CreateRotationDegrees(v[^1] * (primitive.Code == 1 && v.Length < 4 ? 0 : 1)));
            var joined = whole.Op(part, primitive.IsDark ? SKPathOp.Union : SKPathOp.Difference);
            Assert.NotNull(joined);
            whole.Dispose();
            part.Dispose();
            whole = joined;
        }

        return whole;
    }

    // Two-pass labelling of rows of runs; parts meet across edges.
    private static int CountParts(ReadOnlySpan<byte> pixels, int width, int height, int rowBytes)
    {
        var parent = new List<int>();
        var above = new List<(int From, int To, int Label)>();
        for (var y = 0; y < height; y++)
        {
            var row = pixels.Slice(y * rowBytes, width);
            var current = new List<(int From, int To, int Label)>();
            var next = 0;
            for (var x = 0; x < width; x++)
            {
                if (row[x] < 128)
                {
                    var skip = row[x..].IndexOfAnyExcept((byte)0);
                    x += skip < 0 ? width : Math.Max(0, skip - 1);
                    continue;
                }

                var from = x;
                while (x < width && row[x] >= 128)
                {
                    x++;
                }

                var label = -1;
                while (next < above.Count && above[next].To <= from)
                {
                    next++;
                }

                for (var i = next; i < above.Count && above[i].From < x; i++)
                {
                    var other = Root(parent, above[i].Label);
                    label = label < 0 ? other : Join(parent, label, other);
                }

                if (label < 0)
                {
                    label = parent.Count;
                    parent.Add(label);
                }

                current.Add((from, x, label));
            }

            above = current;
        }

        return parent.Where((p, i) => p == i).Count();
    }

    private static int Root(List<int> parent, int label)
    {
        while (parent[label] != label)
        {
            label = parent[label] = parent[parent[label]];
        }

        return label;
    }

    private static int Join(List<int> parent, int a, int b)
    {
        var (low, high) = (Math.Min(Root(parent, a), b), Math.Max(Root(parent, a), b));
        parent[high] = low;
        return low;
    }
}
