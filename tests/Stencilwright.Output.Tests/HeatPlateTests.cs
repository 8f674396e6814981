using SkiaSharp;
using Stencilwright.Cutting.Heat;
using Stencilwright.Output.Drawing;
using UglyToad.PdfPig;

namespace Stencilwright.Output.Tests;

public sealed class HeatPlateTests
{
    [Fact]
    public void The_picture_and_its_pages_are_made_only_where_they_are_asked_for_and_there_is_heat()
    {
        var job = Asked();
        var files = JobFiles.Write(job, TestContext.Current.CancellationToken);
        Assert.Equal(["top/heat.png", "bottom/heat.png"], files.Where(f => f.Path.Contains("heat", StringComparison.Ordinal)).Select(f => f.Path));
        Assert.Equal(5, Pages(files[1].Bytes));
        Assert.Equal(5, Pages(TravellerPdf.Write(job)));
        foreach (var other in new[] { SampleJob.Make(), job with { Settings = job.Settings with { FilmHeatPercent = 0 } } })
        {
            files = JobFiles.Write(other, TestContext.Current.CancellationToken);
            Assert.DoesNotContain(files, f => f.Path.EndsWith("heat.png", StringComparison.Ordinal));
            Assert.Equal(3, Pages(files[1].Bytes));
        }
    }

    [Fact]
    public void The_same_job_gives_the_same_picture() =>
        Assert.True(Picture(Asked(), withWebs: true).AsSpan().SequenceEqual(Picture(Asked(), withWebs: true)));

    [Fact]
    public void More_heat_darkens_the_picture_and_no_place_gets_lighter()
    {
        var job = Asked();
        var (cool, hot) = (Pixels(job with { Settings = job.Settings with { FilmHeatPercent = 2.5 } }), Pixels(job));
        var darker = 0;
        for (var y = 60; y < 900; y += 6)
        {
            for (var x = 150; x < 1150; x += 6)
            {
                var (before, after) = (cool.GetPixel(x, y), hot.GetPixel(x, y));
                // Lines of equal temperature move; only surfaces are compared.
                if (!IsSurface(before) || !IsSurface(after))
                {
                    continue;
                }

                var change = QuantityScale.Lightness(after) - QuantityScale.Lightness(before);
                Assert.True(change < 0.02, $"{x}, {y}: {before} to {after}");
                darker += change < -0.02 ? 1 : 0;
            }
        }

        Assert.True(darker > 100, $"{darker}");
    }

    [Fact]
    public void The_limit_is_marked_and_the_hottest_web_picked_out()
    {
        var job = Asked();
        using var bitmap = SKBitmap.Decode(Picture(job, withWebs: true));
        Assert.Equal((PreviewPng.WidthPx, PreviewPng.HeightPx), (bitmap.Width, bitmap.Height));
        Assert.Contains(Ink.WillNotPrint, bitmap.Pixels);
        Assert.True(bitmap.Pixels.Count(p => p == Ink.Accent) > 500);
        using var without = SKBitmap.Decode(Picture(job, withWebs: false));
        Assert.DoesNotContain(Ink.Accent, without.Pixels);
    }

    [Fact]
    public void The_scale_runs_from_paper_to_dark_in_even_steps()
    {
        Assert.Equal(Ink.Paper, QuantityScale.Of(0));
        Assert.Equal(QuantityScale.Of(0), QuantityScale.Of(-1));
        Assert.Equal(QuantityScale.Of(1), QuantityScale.Of(double.PositiveInfinity));
        var lightness = Enumerable.Range(0, 17).Select(i => QuantityScale.Lightness(QuantityScale.Of(i / 16.0))).ToArray();
        var even = (lightness[0] - lightness[^1]) / 16;
        Assert.True(lightness[^1] < 0.3);
        for (var i = 1; i < lightness.Length; i++)
        {
            Assert.Equal(even, lightness[i - 1] - lightness[i], even / 8);
        }
    }

    [Theory]
    // Björn Ottosson, "A perceptual color space for image processing", 2020: white has lightness 1, black 0; sRGB red 0.628 (from memory).
    [InlineData(255, 255, 255, 1.0)]
    [InlineData(0, 0, 0, 0.0)]
    [InlineData(255, 0, 0, 0.628)]
    public void Lightness_is_the_published_one(byte red, byte green, byte blue, double expected) =>
        Assert.Equal(expected, QuantityScale.Lightness(new SKColor(red, green, blue)), 1e-3);

    [Fact]
    public void Where_film_was_cut_away_the_surface_takes_the_hottest_beside_it()
    {
        var map = new HeatMap { Corner = new(0, 0), CellMm = 1, Columns = 3, Rows = 1, PeakRiseK = [10, float.NaN, 117.5f], ResidualRiseK = [0, 0, 0] };
        using var bitmap = new SKBitmap(new SKImageInfo(30, 10, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        using var pad = new Pad(canvas);
        new HeatField(map).Draw(pad, new SheetMap(10, 0, 10));
        Assert.Equal(QuantityScale.Of(0.5), bitmap.GetPixel(15, 5));
        Assert.Equal(QuantityScale.Of(0.5), bitmap.GetPixel(27, 5));
        Assert.Equal(0.5, HeatField.Share(137.5));
    }

    private static Job Asked()
    {
        var job = SampleJob.Make();
        return job with { Settings = job.Settings with { HeatMap = true } };
    }

    private static bool IsSurface(SKColor colour) =>
        Enumerable.Range(0, 256).Min(i => Distance(QuantityScale.Of(i / 255.0), colour)) < 12;

    private static int Distance(SKColor a, SKColor b) => Math.Abs(a.Red - b.Red) + Math.Abs(a.Green - b.Green) + Math.Abs(a.Blue - b.Blue);

    private static SKBitmap Pixels(Job job) => SKBitmap.Decode(Picture(job, withWebs: false));

    private static byte[] Picture(Job job, bool withWebs)
    {
        var side = job.Sides[0];
        if (withWebs)
        {
            var openings = side.Plan.Openings.Select((o, i) => o with { WebHeat = new HeatReading(10 + (i * 3), 1, 5) });
            side = side with { Plan = side.Plan with { Openings = [.. openings] } };
        }

        var views = HeatPlate.Measure(job, side, TestContext.Current.CancellationToken);
        return PlatePng.Write(pad => HeatPlate.Draw(pad, job, side, views));
    }

    private static int Pages(byte[] pdf)
    {
        using var document = PdfDocument.Open(pdf);
        return document.NumberOfPages;
    }
}
