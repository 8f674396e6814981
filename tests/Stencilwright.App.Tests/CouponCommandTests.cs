using System.Globalization;
using System.Text;
using System.Text.Json;
using Stencilwright.App.Cli;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>From an uncut coupon to a job cut with what it told, through the same door as a person.</summary>
public sealed class CouponCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private static string Blinky => Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky");

    private string Coupon => Path.Combine(_folder, "coupon");

    private string Measured => Path.Combine(_folder, "measured.csv");

    private string Recipe => Path.Combine(_folder, "recipe.toml");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData("coupon")]
    [InlineData("calibrate")]
    public void Help_reads_as_approved(string command)
    {
        var run = Run(command, "--help");
        Assert.Equal((0, ""), (run.Code, run.Error));
        Approve.Text(run.Out, name: "help-" + command);
    }

    [Fact]
    public void A_coupon_is_written_and_the_same_bytes_again()
    {
        var first = Run("coupon", "--out", Coupon, "--json");
        var again = Run("coupon", "--out", Coupon + "2");
        Assert.Equal((0, "", 0, ""), (first.Code, first.Error, again.Code, again.Error));
        Assert.Equal(File.ReadAllText(Path.Combine(Coupon, "coupon.json")), first.Out);
        Assert.Contains("69 features", again.Out, StringComparison.Ordinal);
        foreach (var name in (string[])["coupon.svg", "coupon.dxf", "coupon.nc", "coupon.json", "coupon.png", "measured.csv"])
        {
            Assert.True(File.ReadAllBytes(Path.Combine(Coupon, name)).AsSpan().SequenceEqual(File.ReadAllBytes(Path.Combine(Coupon + "2", name))), name);
        }
    }

    [Fact]
    public void A_blank_that_is_too_small_is_exit_3_and_nothing_is_written()
    {
        var run = Run("coupon", "--out", Coupon, "--set", "film_blank_mm=40x40");
        Assert.Equal((3, ""), (run.Code, run.Out));
        Assert.Contains("error: CUT040: the film blank of 40 × 40 mm is too small", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Coupon));
    }

    [Fact]
    public void A_matrix_in_a_folder_with_a_coupon_says_what_does_not_belong_to_it()
    {
        Assert.Equal(0, Run("coupon", "--out", Coupon).Code);
        var run = Run("coupon", "--out", Coupon, "--matrix");
        Assert.Equal(0, run.Code);
        Assert.Contains("measured.csv: warning: PKG109", run.Error, StringComparison.Ordinal);
        Assert.Contains("49 squares", run.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_feature_larger_by_one_kerf_gives_that_kerf()
    {
        Cut(scaleX: 1, scaleY: 1, kerfX: 0.17, kerfY: 0.14);
        var run = Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--json", "--quiet");
        Assert.Equal((0, ""), (run.Code, run.Error));
        using var json = JsonDocument.Parse(run.Out);
        var root = json.RootElement;
        Assert.Equal(
            ["kerfXMm", "kerfYMm", "scaleX", "scaleY", "skewMrad", "narrowestOpenWebMm", "standardErrors", "featuresUsed", "featuresRejected", "residualRmsMm"],
            root.EnumerateObject().Select(p => p.Name));
        Assert.Equal(root.EnumerateObject().Select(p => p.Name).Take(6), root.GetProperty("standardErrors").EnumerateObject().Select(p => p.Name));
        foreach (var (name, expected) in ((string, double)[])[("kerfXMm", 0.17), ("kerfYMm", 0.14), ("scaleX", 1), ("scaleY", 1), ("skewMrad", 0)])
        {
            Assert.Equal(expected, root.GetProperty(name).GetDouble(), name == "skewMrad" ? 1e-3 : 1e-5);
        }

        Assert.Equal(69, root.GetProperty("featuresUsed").GetInt32());
        Assert.Equal(0, root.GetProperty("featuresRejected").GetArrayLength());
        Assert.InRange(root.GetProperty("residualRmsMm").GetDouble(), 0, 0.0001);
    }

    [Fact]
    public void What_a_person_reads_is_as_approved()
    {
        Cut(1.0021, 0.9978, 0.162, 0.131, offMm: 0.01);
        var lines = File.ReadAllLines(Measured);
        lines[Array.FindIndex(lines, l => l.StartsWith("S4,", StringComparison.Ordinal))] = "S4,2.9,2.13";
        lines[Array.FindIndex(lines, l => l.StartsWith("P9,", StringComparison.Ordinal))] = "P9,torn,";
        File.WriteAllLines(Measured, lines);
        var run = Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--out", Recipe);
        Assert.Equal(0, run.Code);
        Approve.Text(run.Out.Replace(_folder + Path.DirectorySeparatorChar, "", StringComparison.Ordinal), name: "calibrate");
        Approve.Text(File.ReadAllText(Recipe), "toml", "recipe");
        Assert.Contains("measured.csv:5:1: warning: CUT044: S4 is set aside: its width of 2.9 mm is 0.73", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_recipe_serves_prepare_alone_and_after_a_job_file_and_wins_over_it()
    {
        Cut(1.002, 0.998, 0.17, 0.14);
        Assert.Equal(0, Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--out", Recipe).Code);
        var job = Path.Combine(_folder, "job.toml");
        File.WriteAllText(job, "kerf_x_mm = 0.11\nfilm_thickness_mm = 0.127\n");
        var merged = Settings("--job", job, "--job", Recipe);
        Assert.Equal([0.17, 0.14, 1.002, 0.998, 0, 0.127], Read(merged, "kerf_x_mm", "kerf_y_mm", "scale_x", "scale_y", "skew_mrad", "film_thickness_mm"));
        Assert.Equal([0.17, 0.1016], Read(Settings("--job", Recipe), "kerf_x_mm", "film_thickness_mm"));
        Assert.Equal([0.11], Read(Settings("--job", Recipe, "--job", job), "kerf_x_mm"));

        static double[] Read(JsonElement settings, params string[] names) =>
            [.. names.Select(n => Math.Round(settings.GetProperty(n).GetDouble(), 5))];
    }

    [Fact]
    public void Readings_with_faults_are_exit_3_and_each_is_named_with_its_place()
    {
        Assert.Equal(0, Run("coupon", "--out", Coupon).Code);
        File.WriteAllText(Measured, "id,widthMm,heightMm\nS1,8.l5,8.14\nZ9,1,1\n");
        var run = Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--out", Recipe, "--json");
        Assert.Equal((3, ""), (run.Code, run.Out));
        Assert.Contains("measured.csv:2:4: error: PKG105", run.Error, StringComparison.Ordinal);
        Assert.Contains("measured.csv:3:1: error: PKG106", run.Error, StringComparison.Ordinal);
        Assert.False(File.Exists(Recipe));
    }

    [Fact]
    public void A_table_that_nobody_filled_in_is_exit_3_and_says_what_is_missing()
    {
        Assert.Equal(0, Run("coupon", "--out", Coupon).Code);
        var run = Run("calibrate", "--coupon", Coupon, "--measured", Path.Combine(Coupon, "measured.csv"));
        Assert.Equal((3, ""), (run.Code, run.Out));
        Assert.Contains("CUT041: only 0 widths were read, and at least 3 are needed", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Files_that_are_not_there_are_exit_3_and_both_are_named()
    {
        var run = Run("calibrate", "--coupon", Coupon, "--measured", Measured);
        Assert.Equal(3, run.Code);
        Assert.Contains("coupon.json: error: PKG100", run.Error, StringComparison.Ordinal);
        Assert.Contains("measured.csv: error: PKG103", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_recipe_that_cannot_be_written_is_exit_4()
    {
        Cut(1, 1, 0.15, 0.15);
        var run = Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--out", Coupon);
        Assert.Equal((4, ""), (run.Code, run.Out));
        Assert.Contains("error: PKG090", run.Error, StringComparison.Ordinal);
        Assert.Equal(4, Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--out", Coupon + Path.DirectorySeparatorChar).Code);
    }

    [Fact]
    public void A_reading_set_aside_is_exit_1_for_those_who_ask()
    {
        Cut(1, 1, 0.15, 0.15);
        File.AppendAllText(Measured, "S1,9.9,\nS1,9.9,\nS1,9.9,\n");
        Assert.Equal(0, Run("calibrate", "--coupon", Coupon, "--measured", Measured).Code);
        Assert.Equal(1, Run("calibrate", "--coupon", Coupon, "--measured", Measured, "--fail-on", "warning").Code);
    }

    [Theory]
    [InlineData("coupon needs --out DIR", "coupon")]
    [InlineData("did you mean coupon?", "cupon", "--out", "x")]
    [InlineData("did you mean --matrix?", "coupon", "--out", "x", "--matrx")]
    [InlineData("calibrate needs --coupon DIR", "calibrate", "--measured", "x.csv")]
    [InlineData("calibrate needs --measured FILE.csv", "calibrate", "--coupon", "x")]
    [InlineData("calibrate does not read scans yet", "calibrate", "--coupon", "x", "--scan", "x.png")]
    [InlineData("did you mean warning?", "calibrate", "--coupon", "x", "--measured", "y", "--fail-on", "warnin")]
    [InlineData("did you mean film_blank_mm?", "coupon", "--out", "x", "--set", "film_blnk_mm=9x9")]
    public void A_mistake_on_the_command_line_is_exit_2_and_says_what_was_meant(string expected, params string[] args)
    {
        var run = Run(args);
        Assert.Equal((2, ""), (run.Code, run.Out));
        Assert.Contains(expected, run.Error, StringComparison.Ordinal);
    }

    // Cuts and measures: each feature as large as the contract says, with nothing but coupon.json to go by.
    private void Cut(double scaleX, double scaleY, double kerfX, double kerfY, double offMm = 1e-5)
    {
        Assert.Equal(0, Run("coupon", "--out", Coupon).Code);
        using var json = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(Coupon, "coupon.json")));
        var table = new StringBuilder("id,widthMm,heightMm\n");
        var number = 0;
        foreach (var feature in json.RootElement.GetProperty("features").EnumerateArray())
        {
            // The hand is off now up, now down.
            var off = ((number++ % 3) - 1) * offMm;
            table.Append(CultureInfo.InvariantCulture, $"{feature.GetProperty("id").GetString()},{(scaleX * feature.GetProperty("widthMm").GetDouble()) + kerfX + off:0.000000},{(scaleY * feature.GetProperty("heightMm").GetDouble()) + kerfY - off:0.000000}\n");
        }

        File.WriteAllText(Measured, table.ToString());
    }

    private JsonElement Settings(params string[] jobs)
    {
        var run = Run(["prepare", Blinky, "--out", Path.Combine(_folder, "job"), "--json", .. jobs]);
        Assert.True(run.Code == 0, run.Error);
        using var json = JsonDocument.Parse(run.Out);
        return json.RootElement.GetProperty("settings").Clone();
    }

    private static (int Code, string Out, string Error) Run(params string[] args)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real).Run(args);
        return (code, output.ToString(), error.ToString());
    }
}
