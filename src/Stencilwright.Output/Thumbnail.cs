using SkiaSharp;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>A small picture of a job for lists: the film of its first side as it will be cut, on paper.</summary>
public static class Thumbnail
{
    private const int WidthPx = 320;
    private const int HeightPx = 200;

    // The drawing's weights are millimetres on paper: this many of them are the picture's width.
    private const float WidthMm = 80;

    /// <summary>As PNG.</summary>
    public static byte[] Png(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        using var bitmap = new SKBitmap(new SKImageInfo(WidthPx, HeightPx, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(Ink.Paper);
        if (job.Sides is [var side, ..])
        {
            var scale = WidthPx / WidthMm;
            canvas.Scale(scale);
            using var pad = new Pad(canvas);
            var window = SheetDrawing.Window(side, job.Outline);
            var sheet = new SKRect(3, 3, WidthMm - 3, (HeightPx / scale) - 3);
            var map = SheetMap.Fit(window, sheet);
            SheetDrawing.Film(pad, map, new SKRect(0, 0, WidthMm, HeightPx / scale), side, job.Outline, Ink.Paper);
        }

        canvas.Flush();
        return PlatePng.Pack(bitmap);
    }
}
