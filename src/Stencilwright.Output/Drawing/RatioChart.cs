using System.Globalization;
using SkiaSharp;
using Stencilwright.Foundation;

namespace Stencilwright.Output.Drawing;

/// <summary>How the openings' area ratios are spread, with the usual limit marked.</summary>
internal static class RatioChart
{
    private const int Bins = 24;
    private const double Most = 2.4;

    /// <summary>Smallest area ratio that releases paste well. Source: IPC-7525, section 3.2.</summary>
    private const double Limit = 0.66;

    /// <summary>Draws the chart in a box; returns the page height below it.</summary>
    public static double Draw(Pad pad, JobSide side, SKRect box)
    {
        Span<int> counts = stackalloc int[3 * Bins];
        Span<int> heights = stackalloc int[Bins];
        foreach (var opening in side.Plan.Openings)
        {
            if (double.IsFinite(opening.AreaRatio))
            {
                var bin = (int)Math.Clamp(opening.AreaRatio / Most * Bins, 0, Bins - 1);
                counts[((int)opening.Verdict * Bins) + bin]++;
                heights[bin]++;
            }
        }

        var tallest = 1;
        for (var i = 0; i < Bins; i++)
        {
            tallest = Math.Max(tallest, heights[i]);
        }

        pad.Text("Area ratio", box.Left, box.Top + 2.5, 8.5, Ink.Quiet);
        pad.Text("most in a bar " + tallest.ToString(CultureInfo.InvariantCulture), box.Right, box.Top + 2.5, 7, Ink.Quiet, SKTextAlign.Right);
        var (top, bottom, step) = (box.Top + 8, box.Bottom - 5, box.Width / Bins);
        for (var i = 0; i < Bins; i++)
        {
            var low = bottom;
            for (var verdict = 0; verdict < 3; verdict++)
            {
                var high = low - ((bottom - top) * counts[(verdict * Bins) + i] / tallest);
                Bar(pad, new(box.Left + (i * step) + 0.3f, high, box.Left + ((i + 1) * step) - 0.3f, low), (Verdict)verdict);
                low = high;
            }
        }

        pad.Line(box.Left, bottom, box.Right, bottom, Ink.Line, Weight.Thin);
        for (var tick = 0.0; tick <= Most; tick += 0.5)
        {
            var x = box.Left + (tick / Most * box.Width);
            pad.Line(x, bottom, x, bottom + 0.9, Ink.Line, Weight.Thin);
            pad.Text(PlainText.Of(tick, 1), x, bottom + 3.8, 7, Ink.Line, tick == 0 ? SKTextAlign.Left : SKTextAlign.Center);
        }

        var limit = box.Left + (Limit / Most * box.Width);
        pad.Line(limit, top - 3, limit, bottom, Ink.WillNotPrint, Weight.Thin, Dash.Hidden);
        pad.Text("0.66", limit + 0.8, top - 1, 7, Ink.WillNotPrint);
        return box.Bottom;
    }

    private static void Bar(Pad pad, SKRect box, Verdict verdict)
    {
        if (box.Height <= 0)
        {
            return;
        }

        if (verdict == Verdict.Prints)
        {
            pad.FillBox(box, Ink.Quiet);
            return;
        }

        using var builder = new SKPathBuilder();
        builder.AddRect(box, SKPathDirection.Clockwise);
        using var bar = builder.Detach();
        SheetDrawing.Verdicts(pad, bar, verdict, Weight.Thin);
    }
}
