using SkiaSharp;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>Draws a side as a sheet in the manner of a technical drawing, 1600 × 1132 pixels.</summary>
public static class PreviewPng
{
    /// <summary>Width of the picture in pixels.</summary>
    public const int WidthPx = 1600;

    /// <summary>Height of the picture in pixels, in A4's proportion.</summary>
    public const int HeightPx = 1132;

    /// <summary>Draws and packs a side.</summary>
    /// <exception cref="ArgumentException">Design and plan do not have the same openings.</exception>
    public static byte[] Write(Job job, JobSide side)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(side);
        using var bitmap = new SKBitmap(new SKImageInfo(WidthPx, HeightPx, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Scale((float)(WidthPx / PreviewPlate.WidthMm));
        using (var pad = new Pad(canvas))
        {
            PreviewPlate.Draw(pad, job, side);
        }

        canvas.Flush();
        return Pack(bitmap);
    }

    internal static byte[] Pack(SKBitmap bitmap)
    {
        using var pixels = bitmap.PeekPixels();
        // Flat colours and thin lines: one simple filter and moderate packing are as small as any, and quick.
        using var data = pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 4))
            ?? throw new InvalidOperationException("The picture could not be packed.");
        return data.ToArray();
    }
}
