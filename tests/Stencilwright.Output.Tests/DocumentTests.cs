using System.Collections.Immutable;
using System.Text;
using System.Text.Json;
using SkiaSharp;
using Stencilwright.Foundation;
using UglyToad.PdfPig;
using UglyToad.PdfPig.Tokens;

namespace Stencilwright.Output.Tests;

/// <summary>Reports, tables, pages and pictures, read back by other programs' readers.</summary>
public sealed class DocumentTests
{
    private const double PointsPerMm = 72 / 25.4;

    [Fact]
    public void A_job_gives_the_contracts_files_and_no_others()
    {
        string[] side = ["film.svg", "film.dxf", "film.nc", "film-outline.nc", "frame.svg", "frame.dxf", "frame.nc", "frame-outline.nc", "template.pdf", "preview.png", "apertures.csv"];
        Assert.Equal(
            ["report.json", "traveller.pdf", .. side.Select(f => "top/" + f), .. side.Select(f => "bottom/" + f)],
            Write(SampleJob.Make()).Select(f => f.Path));
        Assert.Equal(
            ["report.json", "traveller.pdf", .. side.Where(f => !f.StartsWith("frame", StringComparison.Ordinal)).Select(f => "top/" + f)],
            Write(SampleJob.Make(withBottom: false, withFrame: false)).Select(f => f.Path));
    }

    [Fact]
    public void The_same_job_gives_the_same_bytes()
    {
        foreach (var (a, b) in Write(SampleJob.Make()).Zip(Write(SampleJob.Make())))
        {
            Assert.True(a.Bytes.AsSpan().SequenceEqual(b.Bytes), a.Path);
        }
    }

    [Fact]
    public void Asked_to_stop_it_stops()
    {
        using var source = new CancellationTokenSource();
        source.Cancel();
        Assert.Throws<OperationCanceledException>(() => JobFiles.Write(SampleJob.Make(), source.Token));
    }

    [Fact]
    public void The_report_has_every_name_of_the_contract()
    {
        var job = SampleJob.Make();
        using var json = JsonDocument.Parse(ReportJsonWriter.Write(job));
        var root = json.RootElement;
        Has(root, "formatVersion version settings sources board sides");
        Has(root.GetProperty("sources")[0], "file format role sha256");
        Has(root.GetProperty("board"), "outlineAreaMm2 widthMm heightMm cutoutCount");
        Has(
            root.GetProperty("settings"),
            "film_thickness_mm film_blank_mm frame_thickness_mm frame_blank_mm frame_clearance_mm kerf_x_mm kerf_y_mm frame_kerf_mm scale_x scale_y "
            + "skew_mrad film_power_percent film_speed_mm_s frame_power_percent frame_speed_mm_s smallest_web_mm aperture_rules paste order_effort");
        // Every setting there is, and no two under one name.
        Assert.Equal(
            typeof(JobSettings).GetProperties().Count(p => p.GetMethod is { IsStatic: false, IsPublic: true }),
            root.GetProperty("settings").EnumerateObject().Select(p => p.Name).Distinct().Count());
        var side = root.GetProperty("sides")[0];
        Has(
            side,
            "side placement apertureCount artworkAreaMm2 designAreaMm2 asCutAreaMm2 cutLengthMm travelLengthMm cutTimeS narrowestWebMm "
            + "smallestAreaRatio pasteVolumeMm3 pasteMassG materialCost apertures findings");
        Has(side.GetProperty("placement"), "xMm yMm rotationDeg mirrored");
        Has(
            side.GetProperty("apertures")[0],
            "id xMm yMm widthMm heightMm rotationDeg artworkAreaMm2 designAreaMm2 asCutAreaMm2 areaRatio aspectRatio webMm transferEfficiency "
            + "pasteVolumeMm3 component pin rule verdict");
        Has(side.GetProperty("findings")[0], "severity code message apertures xMm yMm source");
        Has(side.GetProperty("findings")[0].GetProperty("source"), "file line");
        Assert.Equal(JsonValueKind.Null, side.GetProperty("findings")[1].GetProperty("source").ValueKind);
        Assert.Equal("bottom", root.GetProperty("sides")[1].GetProperty("side").GetString());
        Assert.True(root.GetProperty("sides")[1].GetProperty("placement").GetProperty("mirrored").GetBoolean());
    }

    [Fact]
    public void The_report_measures_an_opening_along_its_own_rotation()
    {
        using var json = JsonDocument.Parse(ReportJsonWriter.Write(SampleJob.Make(withBottom: false)));
        var side = json.RootElement.GetProperty("sides")[0];
        // a0004 is a slot of 2.4 × 0.9 along x; a0002 a rectangle of 1.2 × 1.4 whose long side is turned to y.
        Assert.Equal(2.4, side.GetProperty("apertures")[3].GetProperty("widthMm").GetDouble(), 1e-6);
        Assert.Equal(0.9, side.GetProperty("apertures")[3].GetProperty("heightMm").GetDouble(), 1e-6);
        Assert.Equal(1.4, side.GetProperty("apertures")[1].GetProperty("widthMm").GetDouble(), 1e-6);
        Assert.Equal(34, side.GetProperty("apertures")[3].GetProperty("xMm").GetDouble(), 1e-6);
        Assert.Equal(13, side.GetProperty("apertures")[3].GetProperty("yMm").GetDouble(), 1e-6);
        // A rounded rectangle loses (4 - π)r²; the outline has four such corners of 2 mm and a hole of 1.6 mm radius.
        Assert.Equal(
            (42 * 28) - ((4 - Math.PI) * 4) - (Math.PI * 2.56),
            json.RootElement.GetProperty("board").GetProperty("outlineAreaMm2").GetDouble(),
            1e-5);
        Assert.Equal(
            side.GetProperty("apertures").EnumerateArray().Sum(a => a.GetProperty("asCutAreaMm2").GetDouble()),
            side.GetProperty("asCutAreaMm2").GetDouble(),
            1e-4);
    }

    [Fact]
    public void The_table_quotes_what_needs_it_and_holds_no_formula()
    {
        var text = Encoding.UTF8.GetString(ApertureCsvWriter.Write(SampleJob.Make().Sides[0]));
        var lines = text.Split('\n');
        using var json = JsonDocument.Parse(ReportJsonWriter.Write(SampleJob.Make()));
        var names = json.RootElement.GetProperty("sides")[0].GetProperty("apertures")[0].EnumerateObject().Select(p => p.Name);
        Assert.Equal(string.Join(',', names), lines[0]);
        var diode = lines.Single(l => l.Contains("D1", StringComparison.Ordinal));
        Assert.Contains(",'=D1,\"A,\"\"K\"\"\",", diode, StringComparison.Ordinal);
        Assert.DoesNotContain('\r', text);
        Assert.All(lines[1..^1], l => Assert.StartsWith("a", l, StringComparison.Ordinal));
    }

    [Fact]
    public void The_template_is_at_true_size_and_says_so_to_the_printer()
    {
        var job = SampleJob.Make();
        using var pdf = PdfDocument.Open(File("top/template.pdf", job));
        Assert.Equal(2, pdf.NumberOfPages);
        foreach (var page in pdf.GetPages())
        {
            // ISO 216 A4 in points of 1/72 inch (ISO 32000); the library rounds pages to whole points.
            Assert.Equal(595.28, Math.Min(page.Width, page.Height), 0.5);
            Assert.Equal(841.89, Math.Max(page.Width, page.Height), 0.5);
            Assert.Contains("100 %", page.Text, StringComparison.Ordinal);
            var boxes = page.Paths.Select(p => p.GetBoundingRectangle()).Where(b => b.HasValue).Select(b => b!.Value).ToList();
            // 100 mm are 283.46 points, across and up.
            Assert.Contains(boxes, b => Math.Abs(b.Width - (100 * PointsPerMm)) < 0.1 && b.Height < 0.1);
            Assert.Contains(boxes, b => Math.Abs(b.Height - (100 * PointsPerMm)) < 0.1 && b.Width < 0.1);
        }

        var film = pdf.GetPage(1).Paths.Select(p => p.GetBoundingRectangle()).Where(b => b.HasValue).Select(b => b!.Value).ToList();
        Assert.Contains(film, b => Math.Abs(b.Width - (101.6 * PointsPerMm)) < 0.1 && Math.Abs(b.Height - (101.6 * PointsPerMm)) < 0.1);
        var preferences = Assert.IsType<DictionaryToken>(pdf.Structure.Catalog.CatalogDictionary.Data["ViewerPreferences"]);
        Assert.Equal("None", Assert.IsType<NameToken>(preferences.Data["PrintScaling"]).Data);
    }

    [Fact]
    public void The_job_sheet_holds_title_settings_steps_and_cautions()
    {
        using var pdf = PdfDocument.Open(File("traveller.pdf", SampleJob.Make()));
        Assert.Equal(3, pdf.NumberOfPages);
        var text = string.Concat(pdf.GetPages().Select(p => p.Text));
        foreach (var words in new[] { "Weather vane, rev B", "2026-03-01", "Kerf, x", "0.150", "will not print", "interlocks", "polyester", "hydrogen chloride", "safety data sheet", "DSN012" })
        {
            Assert.Contains(words, text, StringComparison.Ordinal);
        }

        Assert.Null(pdf.Information.CreationDate);
        Assert.Equal("Stencilwright", pdf.Information.Producer);
        Assert.Equal("Weather vane, rev B, job sheet", pdf.Information.Title);
    }

    [Fact]
    public void The_gravest_findings_come_first_and_the_rest_are_counted()
    {
        var job = SampleJob.Make(withBottom: false);
        var many = Enumerable.Range(0, 60).Select(i => new Finding { Code = "BRD003", Severity = Severity.Note, Message = $"Note number {i}." });
        job = job with { Sides = [job.Sides[0] with { Findings = [.. many, .. job.Sides[0].Findings] }] };
        using var pdf = PdfDocument.Open(TravellerPdf.Write(job));
        var text = pdf.GetPage(2).Text;
        Assert.True(text.IndexOf("CUT004", StringComparison.Ordinal) < text.IndexOf("DSN012", StringComparison.Ordinal));
        var shown = text.Split("Note number").Length - 1;
        Assert.Contains($"and {61 - shown} more in report.json", text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("traveller.pdf")]
    [InlineData("top/template.pdf")]
    public void Pages_carry_their_own_fonts(string path)
    {
        using var pdf = PdfDocument.Open(File(path, SampleJob.Make("Ωµ ± ° 🙂 العربية")));
        var descriptors = 0;
        foreach (var number in pdf.Structure.CrossReferenceTable.ObjectOffsets.Keys)
        {
            if (pdf.Structure.GetObject(number)?.Data is DictionaryToken d && d.Data.TryGetValue("Type", out var type) && type is NameToken { Data: "FontDescriptor" })
            {
                descriptors++;
                Assert.True(d.ContainsKey(NameToken.FontFile2) || d.ContainsKey(NameToken.FontFile3) || d.ContainsKey(NameToken.FontFile));
            }
        }

        Assert.InRange(descriptors, 1, 4);
    }

    [Fact]
    public void A_larger_blank_takes_a_larger_page()
    {
        var job = SampleJob.Make(withBottom: false);
        var side = job.Sides[0];
        side = side with { Design = side.Design with { FilmBlank = new(300, 250), Frame = null } };
        using var pdf = PdfDocument.Open(TemplatePdf.Write(job, side));
        Assert.Equal(1, pdf.NumberOfPages);
        Assert.Equal(420 * PointsPerMm, pdf.GetPage(1).Width, 0.5);
        Assert.Equal(594 * PointsPerMm, pdf.GetPage(1).Height, 0.5);
    }

    [Fact]
    public void The_preview_is_a_picture_with_film_ink_and_both_verdict_colours()
    {
        using var bitmap = SKBitmap.Decode(File("top/preview.png", SampleJob.Make()));
        Assert.Equal((PreviewPng.WidthPx, PreviewPng.HeightPx), (bitmap.Width, bitmap.Height));
        var counts = bitmap.Pixels.GroupBy(p => p).ToDictionary(g => g.Key, g => g.Count());
        Assert.True(counts[new SKColor(0xFB, 0xF8, 0xF1)] > 200_000);
        Assert.True(counts.Count > 50);
        // Film is 35 % of its colour over paper.
        Assert.Contains(counts, c => c.Value > 50_000 && Near(c.Key, 0xD0, 0xDB, 0xDD));
        Assert.Contains(counts.Keys, c => Near(c, 0xB3, 0x26, 0x1E));
        Assert.Contains(counts.Keys, c => Near(c, 0x9C, 0x5D, 0x00));
    }

    [Fact]
    public void Figures_of_the_face_all_have_one_width()
    {
        using var font = new SKFont(Drawing.Faces.Regular, 100);
        using var bold = new SKFont(Drawing.Faces.Semibold, 100);
        foreach (var face in new[] { font, bold })
        {
            Assert.Single("0123456789".Select(c => face.MeasureText(c.ToString())).Distinct());
            foreach (var sign in "×±µ°²³·–…")
            {
                Assert.NotEqual(0, face.GetGlyph(sign));
            }
        }
    }

    [Fact]
    public void A_job_whose_plan_and_design_differ_is_the_callers_mistake()
    {
        var job = SampleJob.Make(withBottom: false);
        var side = job.Sides[0];
        side = side with { Plan = side.Plan with { Openings = side.Plan.Openings.RemoveAt(3) } };
        Assert.Throws<ArgumentException>(() => ReportJsonWriter.Write(job with { Sides = [side] }));
    }

    private static bool Near(SKColor c, int r, int g, int b) => Math.Abs(c.Red - r) + Math.Abs(c.Green - g) + Math.Abs(c.Blue - b) < 12;

    private static ImmutableArray<OutputFile> Write(Job job) => JobFiles.Write(job, TestContext.Current.CancellationToken);

    private static byte[] File(string path, Job job) => Write(job).Single(f => f.Path == path).Bytes;

    private static void Has(JsonElement element, string names)
    {
        foreach (var name in names.Split(' '))
        {
            Assert.True(element.TryGetProperty(name, out _), name);
        }
    }
}
