using System.Text;
using System.Text.Json;
using Stencilwright.App.Cli;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.App.Tests;

/// <summary>Parts, rules, checks, advice and small stencils through the program's own door, read back from the report.</summary>
public sealed class BoardKnowledgeTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private string Out => Path.Combine(_folder, "out");

    private static string Dense => Path.Combine(RealBoards.CheckoutRoot, "samples", "dense");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Without_rules_openings_stay_as_the_artwork_has_them()
    {
        foreach (var aperture in Top("--set", "aperture_rules=none").GetProperty("apertures").EnumerateArray())
        {
            Assert.Equal(Number(aperture, "artworkAreaMm2"), Number(aperture, "designAreaMm2"));
            Assert.Equal("none", aperture.GetProperty("rule").GetString());
        }
    }

    [Fact]
    public void Rules_reduce_and_say_from_what_to_what()
    {
        var side = Top();
        Assert.True(Number(side, "designAreaMm2") < Number(side, "artworkAreaMm2"));
        var shaped = side.GetProperty("apertures").EnumerateArray().Where(a => a.GetProperty("rule").GetString() is not "none").ToList();
        Assert.NotEmpty(shaped);
        Assert.All(shaped, a => Assert.NotEqual("", a.GetProperty("change").GetString()));
        // No reduction may cost an opening its print: the floor of every default rule.
        Assert.All(shaped, a => Assert.True(Number(a, "areaRatio") >= 0.66 - 1e-6, a.GetProperty("id").GetString()));
        // Panes share their opening's artwork, so that the side's sum is the layer's.
        Assert.Equal(Number(Top("--set", "aperture_rules=none"), "artworkAreaMm2"), Number(side, "artworkAreaMm2"), 1e-4);
    }

    [Fact]
    public void The_sample_s_parts_are_all_told_with_their_names()
    {
        var parts = Top().GetProperty("parts").EnumerateArray().ToList();
        var classes = parts.GroupBy(p => p.GetProperty("class").GetString()!).ToDictionary(g => g.Key, g => g.Count());
        // As the sample's own drawing program places them.
        Assert.Equal(46, classes["chip"]);
        Assert.Equal(2, classes["quad-no-lead"]);
        Assert.Equal(1, classes["grid-array"]);
        Assert.All(parts, p => Assert.NotNull(p.GetProperty("component").GetString()));
        var used = parts.SelectMany(p => p.GetProperty("apertures").EnumerateArray().Select(a => a.GetString())).ToList();
        Assert.Equal(used.Count, used.Distinct().Count());
    }

    [Fact]
    public void Advice_compares_every_film_and_paste_at_hand()
    {
        var advice = Top("--set", "films_at_hand_mm=3mil, 4mil", "--set", "pastes_at_hand=sac305-t3, sac305-t5").GetProperty("advice");
        // Two films, and the paste in use beside the two on the shelf.
        Assert.Equal(6, advice.GetProperty("choices").GetArrayLength());
        Assert.Single(advice.GetProperty("choices").EnumerateArray(), c => c.GetProperty("current").GetBoolean());
        Assert.Single(advice.GetProperty("choices").EnumerateArray(), c => c.GetProperty("recommended").GetBoolean());
    }

    [Fact]
    public void Named_parts_make_a_small_stencil_with_an_edge_and_no_frame()
    {
        var side = Top("--only", "c1, R1");
        Assert.All(side.GetProperty("apertures").EnumerateArray(), a => Assert.Contains(a.GetProperty("component").GetString(), (string[])["C1", "R1"]));
        Assert.Equal(4, side.GetProperty("apertureCount").GetInt32());
        Assert.Contains("<g id=\"edge\"", File.ReadAllText(Path.Combine(Out, "top", "film.svg")), StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(Out, "top", "frame.svg")));
    }

    [Theory]
    [InlineData("C999", 3, "PKG098")]
    [InlineData("500,500,501,501", 3, "PKG099")]
    [InlineData("1,2,3", 2, "--only takes")]
    [InlineData("C1,,C2", 2, "--only takes")]
    public void A_choice_that_chooses_nothing_is_refused(string only, int exit, string said)
    {
        var (code, error) = Run("prepare", Dense, "--out", Out, "--only", only);
        Assert.Equal(exit, code);
        Assert.Contains(said, error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Out));
    }

    [Fact]
    public void A_rule_file_shapes_what_it_names()
    {
        var rules = Path.Combine(_folder, "rules.toml");
        File.WriteAllText(rules, "name = \"mine\"\n[[rule]]\nname = \"less\"\nsource = \"a test\"\n[rule.match]\npart_class = \"chip\"\n[rule.change]\ninset_mm = 0.02\n");
        var used = Top("--set", "aperture_rules=" + rules).GetProperty("apertures").EnumerateArray().CountBy(a => a.GetProperty("rule").GetString()!).ToDictionary();
        Assert.Equal(92, used["less"]);
    }

    [Theory]
    [InlineData("name = \"mine\"\n[[rule]]\nname = \"x\"\nsource = \"y\"\n[rule.change]\ninset_m = 0.02\n", "rules.toml:6:1: error: SET102")]
    [InlineData("[[rule", "SET101")]
    [InlineData("\0\u0001\u0002", "SET1")]
    [InlineData("deep", "SET101")]
    public void A_faulty_rule_file_is_exit_3_with_its_place(string content, string said)
    {
        var rules = Path.Combine(_folder, "rules.toml");
        File.WriteAllText(rules, content == "deep" ? "a = " + new string('[', 100_000) : content);
        var (code, error) = Run("prepare", Dense, "--out", Out, "--set", "aperture_rules=" + rules);
        Assert.Equal(3, code);
        Assert.Contains(said, error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(Out));
    }

    [Fact]
    public void A_rule_file_that_is_not_there_is_exit_3()
    {
        var (code, error) = Run("prepare", Dense, "--out", Out, "--set", "aperture_rules=defualt");
        Assert.Equal(3, code);
        Assert.Contains("did you mean default?", error, StringComparison.Ordinal);
    }

    // Two facing openings 40 µm apart: trimmed by default, left without rules, one opening when merged.
    [Theory]
    [InlineData("auto", "default", 2, 0.1)]
    [InlineData("auto", "none", 2, 0.04)]
    [InlineData("leave", "default", 2, 0.04)]
    [InlineData("merge", "none", 1, null)]
    public void Thin_webs_are_mended_as_asked(string policy, string rules, int count, double? web)
    {
        var package = Package("%ADD10R,1X2*%\nD10*\nX10000000Y10000000D03*\nX11040000Y10000000D03*\n");
        var side = Report(package, "--set", "thin_webs=" + policy, "--set", "aperture_rules=" + rules);
        Assert.Equal(count, side.GetProperty("apertureCount").GetInt32());
        if (web is { } width)
        {
            Assert.Equal(width, Number(side, "narrowestWebMm"), 1e-4);
        }
    }

    // Film that merged openings surround falls out, and what was to be cut in it goes with it.
    [Fact]
    public void What_merged_openings_surround_is_part_of_them()
    {
        var package = Package("%ADD10R,3X1*%\n%ADD11R,1X3*%\n%ADD12C,0.5*%\nD10*\nX10000000Y08500000D03*\nX10000000Y11500000D03*\nD11*\nX07960000Y10000000D03*\nX12040000Y10000000D03*\nD12*\nX10000000Y10000000D03*\n");
        var side = Report(package, "--set", "thin_webs=merge", "--set", "aperture_rules=none");
        var one = Assert.Single(side.GetProperty("apertures").EnumerateArray());
        Assert.Equal("merged", one.GetProperty("rule").GetString());
        Assert.True(Number(one, "designAreaMm2") > 4 * 3);
        Assert.Equal(Number(one, "designAreaMm2"), Number(one, "asCutAreaMm2"), 0.1);
    }

    [Fact]
    public void Openings_that_rules_made_overlap_become_one()
    {
        var rules = Path.Combine(_folder, "grow.toml");
        File.WriteAllText(rules, "name = \"grow\"\n[[rule]]\nname = \"more\"\nsource = \"a test\"\n[rule.change]\nreduce_width_mm = -0.5\nreduce_length_mm = -0.5\nmay_grow = true\n");
        var package = Package("%ADD10R,1X2*%\nD10*\nX10000000Y10000000D03*\nX11300000Y10000000D03*\nX20000000Y10000000D03*\n");
        var side = Report(package, "--set", "aperture_rules=" + rules);
        Assert.Equal(2, side.GetProperty("apertureCount").GetInt32());
        Assert.Contains(side.GetProperty("findings").EnumerateArray(), f => f.GetProperty("code").GetString() == "DSN023");
        // Two of 1.5 × 2.5 that overlap by 0.2: 2.8 × 2.5, and one alone.
        Assert.Equal((2.8 * 2.5) + (1.5 * 2.5), Number(side, "designAreaMm2"), 0.05);
    }

    [Fact]
    public void A_side_that_does_not_fit_says_that_nothing_was_written_for_it()
    {
        var (code, error) = Run("prepare", Dense, "--out", Out, "--set", "film_blank_mm=20x20");
        Assert.Equal(1, code);
        Assert.Contains("PKG095", error, StringComparison.Ordinal);
        Assert.False(File.Exists(Path.Combine(Out, "top", "film.svg")));
    }

    [Fact]
    public void What_a_former_run_wrote_among_the_artwork_is_not_read_as_a_list_of_parts()
    {
        var package = Package("%ADD10R,1X1*%\nD10*\nX5000000Y5000000D03*\nX7000000Y5000000D03*\n");
        Assert.Equal(0, Run("prepare", package, "--out", Path.Combine(package, "cut")).Code);
        foreach (var part in Report(package).GetProperty("parts").EnumerateArray())
        {
            Assert.Null(part.GetProperty("component").GetString());
        }
    }

    // Two boards side by side, 30 mm apart, eight pads each: offered as the panel or as one of them.
    [Fact]
    public void A_panel_is_made_whole_or_as_one_board()
    {
        var flashes = new StringBuilder("%ADD10R,1X1*%\nD10*\n");
        foreach (var (x, y) in (IEnumerable<(int, int)>)[(3, 3), (6, 4), (9, 3), (12, 7), (15, 5), (18, 9), (7, 12), (11, 15)])
        {
            flashes.Append(FormattableString.Invariant($"X{x}000000Y{y}000000D03*\nX{x + 30}000000Y{y}000000D03*\n"));
        }

        var package = Package(flashes.ToString());
        const string Loop = "X{0}000000Y0D02*\nX{1}000000Y0D01*\nX{1}000000Y20000000D01*\nX{0}000000Y20000000D01*\nX{0}000000Y0D01*\n";
        File.WriteAllText(
            Path.Combine(package, "board-Edge_Cuts.gbr"),
            "%FSLAX46Y46*%\n%MOMM*%\nG01*\n%ADD10C,0.1*%\nD10*\n" + Loop.Replace("{0}", "0", StringComparison.Ordinal).Replace("{1}", "25", StringComparison.Ordinal)
                + Loop.Replace("{0}", "30", StringComparison.Ordinal).Replace("{1}", "55", StringComparison.Ordinal) + "M02*\n");
        var whole = Report(package);
        Assert.Equal(16, whole.GetProperty("apertureCount").GetInt32());
        Assert.Contains(whole.GetProperty("findings").EnumerateArray(), f => f.GetProperty("code").GetString() is "BRD006" or "BRD177");
        Assert.Equal(8, Report(package, "--set", "panel=one").GetProperty("apertureCount").GetInt32());
    }

    [Fact]
    public void A_placement_list_beside_the_artwork_names_the_parts()
    {
        var flashes = new StringBuilder("%ADD10R,0.5X0.6*%\nD10*\n");
        var list = new StringBuilder("Designator,X (mm),Y (mm),Rotation,Side\n");
        for (var i = 0; i < 8; i++)
        {
            var (x, y) = (5 + (4 * (i % 4)), 5 + (6 * (i / 4)) + (i % 3));
            flashes.Append(FormattableString.Invariant($"X{x - 0.5:0.000000}Y{y}D03*\n").Replace(".", "", StringComparison.Ordinal).Replace($"Y{y}D", $"Y{y}000000D", StringComparison.Ordinal));
            flashes.Append(FormattableString.Invariant($"X{x + 0.5:0.000000}Y{y}D03*\n").Replace(".", "", StringComparison.Ordinal).Replace($"Y{y}D", $"Y{y}000000D", StringComparison.Ordinal));
            list.Append(FormattableString.Invariant($"R{i + 1},{x},{y},0,top\n"));
        }

        var package = Package(flashes.ToString());
        File.WriteAllText(Path.Combine(package, "board-pos.csv"), list.ToString());
        var names = Report(package).GetProperty("parts").EnumerateArray().Select(p => p.GetProperty("component").GetString()).Order(StringComparer.Ordinal);
        Assert.Equal(Enumerable.Range(1, 8).Select(i => $"R{i}"), names);
    }

    [Fact]
    public void Measured_prints_replace_the_release_curve()
    {
        var prints = Path.Combine(_folder, "prints.csv");
        // A shop whose film releases half of what the default model says everywhere above an area ratio of 0.4.
        File.WriteAllText(prints, "areaRatio,transferEfficiency\n" + string.Concat(Enumerable.Range(0, 20).Select(i =>
            FormattableString.Invariant($"{0.3 + (i * 0.05):0.00},{1 / (1 + Math.Exp(-4 * (0.3 + (i * 0.05) - 0.8))):0.000000}\n"))));
        var aperture = Top("--set", "release_measurements=" + prints).GetProperty("apertures")[0];
        var ratio = Number(aperture, "areaRatio");
        Assert.Equal(1 / (1 + Math.Exp(-4 * (ratio - 0.8))), Number(aperture, "transferEfficiency"), 1e-4);
    }

    [Theory]
    [InlineData("ratio\n", "prints.csv:1:1: error: SET011")]
    [InlineData("areaRatio,transferEfficiency\n0.5;0.6\n", "prints.csv:2:1: error: SET011")]
    [InlineData("areaRatio,transferEfficiency\n0.5,0.6\n", "too few")]
    public void Measured_prints_that_tell_nothing_are_exit_3(string content, string said)
    {
        var prints = Path.Combine(_folder, "prints.csv");
        File.WriteAllText(prints, content);
        var (code, error) = Run("prepare", Dense, "--out", Out, "--set", "release_measurements=" + prints);
        Assert.Equal(3, code);
        Assert.Contains(said, error, StringComparison.Ordinal);
    }

    private static double Number(JsonElement element, string name) => element.GetProperty(name).GetDouble();

    private string Package(string paste)
    {
        var folder = Path.Combine(_folder, "board");
        Directory.CreateDirectory(folder);
        const string Header = "%FSLAX46Y46*%\n%MOMM*%\nG01*\n";
        File.WriteAllText(Path.Combine(folder, "board-F_Paste.gbr"), Header + paste + "M02*\n");
        File.WriteAllText(
            Path.Combine(folder, "board-Edge_Cuts.gbr"),
            Header + "%ADD10C,0.1*%\nD10*\nX0Y0D02*\nX25000000Y0D01*\nX25000000Y20000000D01*\nX0Y20000000D01*\nX0Y0D01*\nM02*\n");
        return folder;
    }

    private JsonElement Top(params string[] more) => Report(Dense, more);

    private JsonElement Report(string package, params string[] more)
    {
        var (code, error) = Run([.. (string[])["prepare", package, "--out", Out], .. more]);
        Assert.True(code == 0, error);
        using var report = JsonDocument.Parse(File.ReadAllBytes(Path.Combine(Out, "report.json")));
        return report.RootElement.GetProperty("sides")[0].Clone();
    }

    private static (int Code, string Error) Run(params string[] args)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real).Run(args);
        return (code, error.ToString());
    }
}
