using SkiaSharp;
using Stencilwright.Cutting;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output.Coupons;

/// <summary>Draws a coupon as it will lie on the bench: film, openings and scores, 16 pixels a millimetre.</summary>
internal static class CouponPicture
{
    private const float BorderMm = 3;

    // Large blanks are drawn smaller, or the picture would not open everywhere.
    private const double MostPx = 2400;

    public static byte[] Write(Coupon coupon)
    {
        var blank = coupon.Sheet.Blank;
        var (w, h) = ((float)blank.WidthMm + (2 * BorderMm), (float)blank.HeightMm + (2 * BorderMm));
        var scale = (float)Math.Min(16, MostPx / Math.Max(w, h));
        using var bitmap = new SKBitmap(new SKImageInfo((int)Math.Ceiling(w * scale), (int)Math.Ceiling(h * scale), SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(Ink.Paper);
        canvas.Scale(scale);
        canvas.Translate(BorderMm, BorderMm);
        using (var pad = new Pad(canvas))
        {
            var sheet = new SKRect(0, 0, (float)blank.WidthMm, (float)blank.HeightMm);
            pad.FillBox(sheet, Ink.Film);
            pad.Box(sheet, Ink.Line, Weight.Thin);
            foreach (var path in coupon.Sheet.Paths)
            {
                using var line = PathOf(path, blank.HeightMm);
                if (path.Kind == CutKind.Score)
                {
                    pad.Outline(line, Ink.Score, Weight.Hair);
                }
                else
                {
                    pad.FillPath(line, Ink.White);
                    pad.Outline(line, Ink.Line, 0.08f);
                }
            }
        }

        canvas.Flush();
        using var pixels = bitmap.PeekPixels();
        using var data = pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 4))
            ?? throw new InvalidOperationException("The picture could not be packed.");
        return data.ToArray();
    }

    private static SKPath PathOf(CutPath path, double heightMm)
    {
        using var builder = new SKPathBuilder();
        builder.MoveTo((float)path.Start.X, (float)(heightMm - path.Start.Y));
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var segment = path.SegmentAt(i);
            var end = new SKPoint((float)segment.End.X, (float)(heightMm - segment.End.Y));
            if (segment.IsLine)
            {
                builder.LineTo(end);
            }
            else
            {
                var radius = (float)segment.Radius;
                builder.ArcTo(new SKPoint(radius, radius), 0, SKPathArcSize.Small, segment.Bulge > 0 ? SKPathDirection.CounterClockwise : SKPathDirection.Clockwise, end);
            }
        }

        if (path.IsClosed)
        {
            builder.Close();
        }

        return builder.Detach();
    }
}
