using SkiaSharp;
using Stencilwright.Design.Printing;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output.Tests;

/// <summary>Draws the pictures of <c>docs/printability.md</c>, when a folder is named for them.</summary>
public sealed class PrintabilityPictures
{
    private const double WidthMm = 150;
    private const double HeightMm = 90;

    [Fact]
    public void The_release_curve_can_be_drawn()
    {
        var png = Draw();
        using var read = SKBitmap.Decode(png);
        Assert.Equal(1200, read.Width);
        var folder = Environment.GetEnvironmentVariable("STENCILWRIGHT_PICTURES");
        if (!string.IsNullOrEmpty(folder))
        {
            File.WriteAllBytes(Path.Combine(folder, "release-curve.png"), png);
        }
    }

    private static byte[] Draw()
    {
        using var surface = SKSurface.Create(new SKImageInfo(1200, 720));
        surface.Canvas.Scale(1200 / (float)WidthMm);
        surface.Canvas.Clear(Ink.Paper);
        using var pad = new Pad(surface.Canvas);
        pad.Text("Paste released, by area ratio", 12, 10, 12, Ink.Line, bold: true);
        pad.Text("band: one standard deviation of the prints, as the default model has it", 12, 15.5, 8.5, Ink.Quiet);
        var model = ReleaseModel.Default;
        float X(double ratio) => (float)(18 + (ratio / 1.4 * 120));
        float Y(double share) => (float)(78 - (share * 54));
        for (var share = 0; share <= 100; share += 20)
        {
            pad.Line(X(0), Y(share / 100.0), X(1.4), Y(share / 100.0), Ink.Quiet.WithAlpha(60), Weight.Hair);
            pad.Text($"{share} %", X(0) - 2, Y(share / 100.0) + 1, 8, Ink.Line, SKTextAlign.Right);
        }

        for (var ratio = 0.0; ratio < 1.41; ratio += 0.2)
        {
            pad.Line(X(ratio), Y(0), X(ratio), Y(0) + 1.2, Ink.Line);
            pad.Text(PlainText.Of(Math.Round(ratio, 1), 1), X(ratio), Y(0) + 5, 8, Ink.Line, SKTextAlign.Center);
        }

        pad.Line(X(0), Y(0), X(1.4), Y(0), Ink.Line, Weight.Normal);
        pad.Text("area ratio", X(1.4), Y(0) + 9.5, 8.5, Ink.Line, SKTextAlign.Right);
        Limit(0.50);
        Limit(0.66);
        pad.Text("will not print", X(0.49), Y(0.03), 8, Ink.Line, SKTextAlign.Right);
        pad.Text("marginal", X(0.58), Y(0.03), 8, Ink.Line, SKTextAlign.Center);
        pad.Text("prints", X(0.67), Y(0.03), 8, Ink.Line);
        using var band = new SKPathBuilder();
        using var line = new SKPathBuilder();
        for (var i = 5; i <= 140; i++)
        {
            var ratio = i / 100.0;
            var (x, mean) = (X(ratio), model.Efficiency(ratio));
            if (i == 5)
            {
                band.MoveTo(x, Y(mean + model.Spread(ratio)));
                line.MoveTo(x, Y(mean));
            }
            else
            {
                band.LineTo(x, Y(Math.Min(1.08, mean + model.Spread(ratio))));
                line.LineTo(x, Y(mean));
            }
        }

        for (var i = 140; i >= 5; i--)
        {
            var ratio = i / 100.0;
            band.LineTo(X(ratio), Y(model.Efficiency(ratio) - model.Spread(ratio)));
        }

        band.Close();
        using var area = band.Detach();
        pad.FillPath(area, Ink.Film.WithAlpha(150));
        using var curve = line.Detach();
        pad.Outline(curve, Ink.Accent, Weight.Heavy);
        pad.Dot(X(0.66), Y(0.80), 0.9, Ink.Line);
        pad.Dot(X(0.50), Y(0.60), 0.9, Ink.Line);
        pad.Text("80 % at 0.66", X(0.64), Y(0.92), 8.5, Ink.Line, SKTextAlign.Right);
        pad.Text("60 % at 0.50", X(0.48), Y(0.74), 8.5, Ink.Line, SKTextAlign.Right);
        using var image = surface.Snapshot();
        using var data = image.Encode(SKEncodedImageFormat.Png, 90);
        return data.ToArray();

        void Limit(double ratio) => pad.Line(X(ratio), Y(0), X(ratio), Y(1.05), Ink.Line, Weight.Thin, Dash.Hidden);
    }
}
