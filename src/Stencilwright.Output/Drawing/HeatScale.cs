using System.Globalization;
using SkiaSharp;
using Stencilwright.Cutting.Heat;

namespace Stencilwright.Output.Drawing;

/// <summary>The scale of temperatures, with how the webs are spread over it and the film's own limits marked.</summary>
internal static class HeatScale
{
    private const int Bins = 30;
    private const double BarWidth = 7;
    private const double FiguresWidth = 9;

    private static readonly (double Celsius, string Words)[] _limits =
    [
        (FilmConditions.GlassC, "glass transition"), (FilmConditions.ShrinkC, "shrinks markedly"), (FilmConditions.MeltC, "melts"),
    ];

    /// <summary>Draws the scale in a box; returns the page height below it.</summary>
    public static double Draw(Pad pad, JobSide side, SKRect box)
    {
        Span<int> counts = stackalloc int[Bins];
        var webs = 0;
        var over = 0;
        foreach (var opening in side.Plan.Openings)
        {
            if (opening.WebHeat is { } heat)
            {
                webs++;
                over += heat.PeakC > FilmConditions.GlassC ? 1 : 0;
                counts[(int)Math.Clamp(HeatField.Share(heat.PeakC) * Bins, 0, Bins - 1)]++;
            }
        }

        var (top, bottom) = (box.Top + 7.0, box.Bottom - 1.0);
        pad.Text("°C", box.Left + FiguresWidth - 1.5, box.Top + 4, 7.5, Ink.Quiet, SKTextAlign.Right);
        pad.Text(
            string.Create(CultureInfo.InvariantCulture, $"middles of webs: {webs}, {over} over 78 °C"), box.Right, box.Top + 4, 7.5, Ink.Quiet, SKTextAlign.Right);
        var bar = new SKRect((float)(box.Left + FiguresWidth), (float)top, (float)(box.Left + FiguresWidth + BarWidth), (float)bottom);
        Colours(pad, bar);
        Spread(pad, counts, bar.Right + 1, box.Right, top, bottom);
        for (var celsius = 50; celsius <= 250; celsius += 50)
        {
            Figure(pad, bar, Height(celsius, top, bottom), celsius);
        }

        Figure(pad, bar, bottom, (int)FilmConditions.RoomC);
        foreach (var (celsius, words) in _limits)
        {
            var y = Height(celsius, top, bottom);
            pad.Line(bar.Left, y, box.Right, y, Ink.WillNotPrint, Weight.Thin, Dash.Hidden);
            var label = string.Create(CultureInfo.InvariantCulture, $"{words} {celsius:0}");
            var line = celsius < FilmConditions.MeltC ? y - 0.8 : y + 2.8;
            // Paper behind the words, so that they can be read over a bar.
            pad.FillBox(new((float)(box.Right - pad.Measure(label, 7.5) - 0.6), (float)(line - 2.2), box.Right, (float)(line + 0.5)), Ink.Paper);
            pad.Text(label, box.Right, line, 7.5, Ink.WillNotPrint, SKTextAlign.Right);
        }

        return box.Bottom;
    }

    private static double Height(double celsius, double top, double bottom) => bottom - (HeatField.Share(celsius) * (bottom - top));

    private static void Colours(Pad pad, SKRect bar)
    {
        const int Steps = 64;
        for (var i = 0; i < Steps; i++)
        {
            // Each step runs on to the top, so that no gap shows between two.
            var low = bar.Bottom - (bar.Height * i / Steps);
            pad.FillBox(new(bar.Left, bar.Top, bar.Right, low), QuantityScale.Of((i + 0.5) / Steps));
        }

        pad.Box(bar, Ink.Line, Weight.Thin);
    }

    private static void Spread(Pad pad, ReadOnlySpan<int> counts, double left, double right, double top, double bottom)
    {
        var most = 1;
        foreach (var count in counts)
        {
            most = Math.Max(most, count);
        }

        var step = (bottom - top) / Bins;
        for (var i = 0; i < Bins; i++)
        {
            if (counts[i] > 0)
            {
                var length = Math.Max((right - left) * counts[i] / most, 0.6);
                pad.FillBox(new((float)left, (float)(bottom - ((i + 1) * step) + 0.15), (float)(left + length), (float)(bottom - (i * step) - 0.15)), Ink.Quiet.WithAlpha(150));
            }
        }
    }

    private static void Figure(Pad pad, SKRect bar, double y, int celsius)
    {
        pad.Line(bar.Left - 0.9, y, bar.Left, y, Ink.Line, Weight.Thin);
        pad.Text(celsius.ToString(CultureInfo.InvariantCulture), bar.Left - 1.5, y + 0.9, 7.5, Ink.Line, SKTextAlign.Right);
    }
}
