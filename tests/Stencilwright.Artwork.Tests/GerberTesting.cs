using System.Globalization;
using System.Text;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Xunit;

namespace Stencilwright.Artwork.Tests;

/// <summary>Short ways to read Gerber text in tests.</summary>
internal static class GerberTesting
{
    public const string Metric = "%FSLAX46Y46*%%MOMM*%";

    public static Outcome<GerberDocument> Read(string text, ReadLimits? limits = null) =>
        Read(Encoding.UTF8.GetBytes(text), limits);

    public static Outcome<GerberDocument> Read(byte[] bytes, ReadLimits? limits = null, string name = "layer.gbr") =>
        GerberReader.Read(new SourceText(name, bytes), limits ?? ReadLimits.Default, TestContext.Current.CancellationToken);

    public static LayerImage Image(string text)
    {
        var read = Read(text);
        Assert.NotNull(read.Value);
        return Image(read.Value);
    }

    public static LayerImage Image(GerberDocument document)
    {
        var composed = GerberImage.Compose(document, ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.NotNull(composed.Value);
        return composed.Value;
    }

    /// <summary>Reads text that must give no diagnostic at all.</summary>
    public static LayerImage CleanImage(string text)
    {
        var read = Read(text);
        Assert.Empty(read.Diagnostics);
        var composed = GerberImage.Compose(read.Value!, ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.Empty(composed.Diagnostics);
        return composed.Value!;
    }

    public static string[] Codes<T>(Outcome<T> outcome)
        where T : class => [.. outcome.Diagnostics.Select(d => d.Code)];

    public static void Near(double expected, double actual, double relative = 1e-9) =>
        Assert.True(
            Math.Abs(expected - actual) <= relative * Math.Max(1e-6, Math.Abs(expected)),
            string.Create(CultureInfo.InvariantCulture, $"expected {expected:R}, got {actual:R}"));

    /// <summary>The same islands, whatever order and starting vertices: areas, boxes and perimeters agree.</summary>
    public static void SameImage(LayerImage expected, LayerImage actual, double toleranceMm = 1e-6, double dx = 0, double dy = 0)
    {
        Assert.Equal(expected.Islands.Length, actual.Islands.Length);
        for (var i = 0; i < expected.Islands.Length; i++)
        {
            var (a, b) = (expected.Islands[i].Shape, actual.Islands[i].Shape);
            Assert.Equal(a.AreaMm2, b.AreaMm2, toleranceMm);
            Assert.Equal(a.PerimeterMm, b.PerimeterMm, toleranceMm);
            Assert.Equal(a.Bounds.MinX + dx, b.Bounds.MinX, toleranceMm);
            Assert.Equal(a.Bounds.MaxX + dx, b.Bounds.MaxX, toleranceMm);
            Assert.Equal(a.Bounds.MinY + dy, b.Bounds.MinY, toleranceMm);
            Assert.Equal(a.Bounds.MaxY + dy, b.Bounds.MaxY, toleranceMm);
            Assert.Equal(expected.Islands[i].Objects.AsEnumerable(), actual.Islands[i].Objects);
        }
    }
}
