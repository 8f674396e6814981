using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>Dimension lines with ticks and scale bars. Source of the form: ISO 129-1, oblique strokes as terminators (from memory).</summary>
internal static class Dimensions
{
    private const double TickMm = 1.1;
    private const double Points = 7.5;

    /// <summary>A dimension along x, its line at page height <paramref name="y"/>, measured from points at height <paramref name="from"/>.</summary>
    public static void Along(Pad pad, double x1, double x2, double y, double from, double lengthMm, int decimals = 2)
    {
        var beyond = y > from ? 1.2 : -1.2;
        pad.Line(x1, from + (beyond * 0.8), x1, y + beyond, Ink.Quiet, Weight.Hair);
        pad.Line(x2, from + (beyond * 0.8), x2, y + beyond, Ink.Quiet, Weight.Hair);
        pad.Line(x1 - 1.5, y, x2 + 1.5, y, Ink.Line, Weight.Hair);
        Tick(pad, x1, y);
        Tick(pad, x2, y);
        pad.Figure(PlainText.Fixed(lengthMm, decimals), "mm", (x1 + x2) / 2, y - 0.9, Points, Ink.Line, SKTextAlign.Center);
    }

    /// <summary>A dimension along y, its line at page x; the figure is read from the right, as the convention has it.</summary>
    public static void Up(Pad pad, double y1, double y2, double x, double from, double lengthMm, int decimals = 2)
    {
        // The same figure, turned by a quarter to the left about the origin: (x, y) becomes (y, -x).
        pad.Canvas.Save();
        pad.Canvas.RotateDegrees(-90);
        Along(pad, -Math.Max(y1, y2), -Math.Min(y1, y2), x, from, lengthMm, decimals);
        pad.Canvas.Restore();
    }

    /// <summary>A divided scale with figures below; the length is the roundest that fits.</summary>
    public static void ScaleBar(Pad pad, double x, double y, double pageMmPerMm, double longestPageMm)
    {
        var length = 1000.0;
        foreach (var candidate in (ReadOnlySpan<double>)[500, 200, 100, 50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1])
        {
            length = candidate;
            if (candidate * pageMmPerMm <= longestPageMm)
            {
                break;
            }
        }

        const int Parts = 4;
        for (var i = 0; i < Parts; i++)
        {
            var (left, right) = (x + (length * pageMmPerMm * i / Parts), x + (length * pageMmPerMm * (i + 1) / Parts));
            var box = new SKRect((float)left, (float)y, (float)right, (float)(y + 1.3));
            if (i % 2 == 0)
            {
                pad.FillBox(box, Ink.Line);
            }

            pad.Box(box, Ink.Line, Weight.Thin);
        }

        for (var i = 0; i <= Parts; i += 2)
        {
            var at = x + (length * pageMmPerMm * i / Parts);
            pad.Figure(PlainText.Of(length * i / Parts, 3), i == Parts ? "mm" : "", at, y + 4.4, Points, Ink.Line, SKTextAlign.Center);
        }
    }

    private static void Tick(Pad pad, double x, double y) =>
        pad.Line(x - TickMm, y + TickMm, x + TickMm, y - TickMm, Ink.Line, Weight.Normal);
}
