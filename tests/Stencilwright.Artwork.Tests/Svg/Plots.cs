using System.Globalization;
using System.Text;
using Stencilwright.Artwork.Svg;
using Stencilwright.Foundation;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

/// <summary>Small plots for tests: a page of 100 × 80 mm whose user unit is a millimetre unless said otherwise.</summary>
internal static class Plots
{
    public const string Root = """<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="80mm" viewBox="0 0 100 80">""";

    public static Outcome<LayerImage> Read(string svg, ReadLimits? limits = null) =>
        SvgReader.Read(new SourceText("plot.svg", Encoding.UTF8.GetBytes(svg)), limits ?? ReadLimits.Default, TestContext.Current.CancellationToken);

    public static Outcome<LayerImage> Drawn(string body, ReadLimits? limits = null) => Read(Root + body + "</svg>", limits);

    /// <summary>The layer of a body that must read without a word.</summary>
    public static LayerImage Layer(string body)
    {
        var outcome = Drawn(body);
        Assert.Empty(outcome.Diagnostics);
        return outcome.Value!;
    }

    public static double Area(string body) => Layer(body).PaintedAreaMm2;

    public static string Text(double number) => number.ToString("R", CultureInfo.InvariantCulture);
}
