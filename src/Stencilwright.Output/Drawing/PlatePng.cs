using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>Turns a plate, A4 landscape, into a picture of 1600 × 1132 pixels.</summary>
internal static class PlatePng
{
    public const int WidthPx = 1600;
    public const int HeightPx = 1132;

    public static byte[] Write(Action<Pad> draw)
    {
        using var bitmap = new SKBitmap(new SKImageInfo(WidthPx, HeightPx, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Scale((float)(WidthPx / PreviewPlate.WidthMm));
        using (var pad = new Pad(canvas))
        {
            draw(pad);
        }

        canvas.Flush();
        return Pack(bitmap);
    }

    /// <summary>Packs a picture of flat colours and thin lines.</summary>
    public static byte[] Pack(SKBitmap bitmap)
    {
        using var pixels = bitmap.PeekPixels();
        // Flat colours and thin lines: one simple filter and moderate packing are as small as any, and quick.
        using var data = pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 4))
            ?? throw new InvalidOperationException("The picture could not be packed.");
        return data.ToArray();
    }
}
