using System.Globalization;
using System.Text;
using CsCheck;
using Stencilwright.Foundation;
using Stencilwright.Output.Machine;
using Stencilwright.Testing;
using Stencilwright.Workbench.Settings;
using Xunit;

namespace Stencilwright.Workbench.Tests;

public sealed class SettingsTests
{
    [Fact]
    public void What_is_described_is_read_back_unchanged()
    {
        var changed = JobSettings.Default with
        {
            KerfXMm = 0.1374,
            FilmBlankMm = new BlankSize(200, 101.6),
            CutFromBoardSide = true,
            Title = "A \"quoted\" \\ name",
            OrderEffort = "250",
            SkewMrad = -1.5,
        };
        Assert.Equal(changed, Read(SettingsCatalogue.Describe(changed)).Value);
    }

    [Fact]
    public void Every_property_of_a_job_has_a_setting_of_its_name()
    {
        // film_blank_mm ↔ FilmBlankMm: a property without a setting could never be changed by anybody.
        var names = SettingsCatalogue.All.Select(s => s.Name.Replace("_", "", StringComparison.Ordinal)).ToHashSet(StringComparer.OrdinalIgnoreCase);
        foreach (var property in typeof(JobSettings).GetProperties().Where(p => p.GetMethod!.IsStatic == false && p.CanWrite))
        {
            Assert.Contains(property.Name, names);
        }

        Assert.Equal(SettingsCatalogue.All.Length, names.Count);
    }

    [Fact]
    public void Every_setting_changes_its_own_value_and_no_other()
    {
        foreach (var setting in SettingsCatalogue.All)
        {
            var before = setting.Get(JobSettings.Default);
            var wanted = setting.Kind switch
            {
                SettingKind.Size => new SettingValue(Size: new BlankSize(12.5, 13.5)),
                SettingKind.Flag => new SettingValue(Flag: !before.Flag),
                SettingKind.Text => new SettingValue(Text: "other"),
                _ => new SettingValue(Number: before.Number + (setting.IsWhole ? 1 : 0.5)),
            };
            var after = setting.With(JobSettings.Default, wanted);
            Assert.Equal(wanted, setting.Get(after));
            Assert.NotEqual(JobSettings.Default, after);
            foreach (var other in SettingsCatalogue.All.Where(o => o.Name != setting.Name))
            {
                Assert.Equal(other.Get(JobSettings.Default), other.Get(after));
            }
        }
    }

    [Theory]
    [InlineData("1.5", false)]
    [InlineData("0", false)]
    [InlineData("21", false)]
    [InlineData("3", true)]
    public void A_count_of_passes_is_a_whole_number(string passes, bool isAllowed)
    {
        var read = Read($"film_passes = {passes}\n");
        Assert.Equal(isAllowed, read.Diagnostics.IsEmpty);
        Assert.True(isAllowed || read.Diagnostics[0].Message.Contains("a whole number", StringComparison.Ordinal));
    }

    [Fact]
    public void Defaults_lie_in_their_own_ranges()
    {
        var read = Read(SettingsCatalogue.Describe(JobSettings.Default));
        Assert.Empty(read.Diagnostics);
        Assert.Equal(JobSettings.Default, read.Value);
    }

    [Theory]
    [InlineData("film_thickness_mm=4mil", 0.1016)]
    [InlineData("film_thickness_mm=0.004in", 0.1016)]
    [InlineData("film_thickness_mm=100um", 0.1)]
    [InlineData("film_thickness_mm = 0.125", 0.125)]
    public void A_length_may_carry_a_unit(string set, double expectedMm)
    {
        var read = SettingsReader.Read([], [set]);
        Assert.Empty(read.Diagnostics);
        Assert.Equal(expectedMm, read.Value!.FilmThicknessMm, 12);
    }

    [Theory]
    [InlineData("film_blank_mm=101.6x50.8")]
    [InlineData("film_blank_mm=4inx2in")]
    [InlineData("film_blank_mm=4in x 2in")]
    [InlineData("film_blank_mm=4\"×2\"")]
    public void A_size_is_two_lengths(string set)
    {
        var read = SettingsReader.Read([], [set]);
        Assert.Empty(read.Diagnostics);
        Assert.Equal(101.6, read.Value!.FilmBlankMm.WidthMm, 9);
        Assert.Equal(50.8, read.Value.FilmBlankMm.HeightMm, 9);
    }

    [Fact]
    public void Later_wins_file_over_file_and_single_setting_over_files()
    {
        var read = SettingsReader.Read(
            [File("kerf_x_mm = 0.1\nkerf_y_mm = 0.11\nscale_x = 1.001", "a.toml"), File("kerf_y_mm = \"5mil\"\nscale_x = 1.002", "b.toml")],
            ["scale_x=1.003"]);
        Assert.Empty(read.Diagnostics);
        Assert.Equal((0.1, 0.127, 1.003), (read.Value!.KerfXMm, Math.Round(read.Value.KerfYMm, 9), read.Value.ScaleX));
    }

    [Fact]
    public void A_mistyped_name_is_answered_with_the_nearest()
    {
        var only = Assert.Single(Read("# laser\nkerfx_mm = 0.1\n").Diagnostics);
        Assert.Equal("job.toml:2:1: error: SET001: there is no setting kerfx_mm; did you mean kerf_x_mm?", only.ToString());
    }

    [Theory]
    [InlineData("kerf_x_mm = 2", "SET004", 1, 13)]
    [InlineData("kerf_x_mm = -0.1", "SET004", 1, 13)]
    [InlineData("film_thickness_mm = 0", "SET004", 1, 21)]
    [InlineData("film_thickness_mm = nan", "SET004", 1, 21)]
    [InlineData("film_blank_mm = [100, 0]", "SET004", 1, 17)]
    [InlineData("film_blank_mm = [100]", "SET002", 1, 17)]
    [InlineData("film_blank_mm = [1, 2, 3]", "SET002", 1, 17)]
    [InlineData("film_blank_mm = 100", "SET002", 1, 17)]
    [InlineData("kerf_x_mm = true", "SET002", 1, 13)]
    [InlineData("kerf_x_mm = \"3 furlongs\"", "SET003", 1, 13)]
    [InlineData("paste = 3", "SET002", 1, 9)]
    [InlineData("cut_from_board_side = 1", "SET002", 1, 23)]
    [InlineData("order_effort = \"slow\"", "SET008", 1, 16)]
    [InlineData("order_effort = 0", "SET008", 1, 16)]
    [InlineData("gcode_beam_on = \"M3\\nG0\"", "SET008", 1, 17)]
    [InlineData("[laser]\nkerf_x_mm = 0.1", "SET007", 1, 1)]
    [InlineData("kerf_x_mm = = 3", "SET005", 1, 13)]
    public void A_bad_value_is_named_with_its_place_and_keeps_the_default(string toml, string code, int line, int column)
    {
        var read = Read(toml);
        Assert.True(read.Failed);
        var first = read.Diagnostics[0];
        Assert.Equal((code, line, column), (first.Code, first.Place.Line, first.Place.Column));
        Assert.Equal(JobSettings.Default, read.Value);
    }

    [Fact]
    public void A_bad_value_does_not_cost_the_good_ones()
    {
        var read = Read("kerf_x_mm = 9\nkerf_y_mm = 0.2\n");
        Assert.Single(read.Diagnostics);
        Assert.Equal(0.2, read.Value!.KerfYMm);
    }

    [Fact]
    public void Columns_count_bytes_and_a_byte_order_mark_is_part_of_the_file()
    {
        var bytes = new byte[] { 0xEF, 0xBB, 0xBF }.Concat(Encoding.UTF8.GetBytes("title = \"é\"\nkerf_x_mm = 7")).ToArray();
        var only = Assert.Single(SettingsReader.Read([new SourceText("job.toml", bytes)], []).Diagnostics);
        Assert.Equal((2, 13), (only.Place.Line, only.Place.Column));
    }

    [Theory]
    [InlineData("kerf_x_mm", "SET006")]
    [InlineData("=3", "SET006")]
    [InlineData("kerf_x=3mm", "SET001")]
    [InlineData("kerf_x_mm=", "SET003")]
    [InlineData("kerf_x_mm=3mm", "SET004")]
    [InlineData("film_blank_mm=4in", "SET003")]
    [InlineData("cut_from_board_side=perhaps", "SET002")]
    public void A_bad_single_setting_is_named(string set, string code) =>
        Assert.Equal(code, Assert.Single(SettingsReader.Read([], [set]).Diagnostics).Code);

    [Fact]
    public void No_text_makes_the_reader_throw_or_leaves_a_value_out_of_range() =>
        Gen.Select(Gen.Int[0, SettingsCatalogue.All.Length - 1], Gen.String).Check(
            (index, text) =>
            {
                var setting = SettingsCatalogue.All[index];
                var read = SettingsReader.Read([File($"{setting.Name} = {text}")], [$"{setting.Name}={text}"]);
                Assert.NotNull(read.Value);
                var value = setting.Get(read.Value);
                Assert.True(setting.Kind is not (SettingKind.Length or SettingKind.Number) || setting.Allows(value.Number));
            },
            iter: 2000);

    [Fact]
    public void The_machine_s_culture_does_not_matter()
    {
        var before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = new CultureInfo("") { NumberFormat = { NumberDecimalSeparator = "," } };
            Assert.Equal(0.125, SettingsReader.Read([], ["kerf_x_mm=0.125"]).Value!.KerfXMm);
            Assert.Contains("kerf_x_mm = 0.15\n", SettingsCatalogue.Describe(JobSettings.Default), StringComparison.Ordinal);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }

    [Theory]
    [InlineData("gcode_preamble = [\"G90\", \"G17 (plane)\"]", "G90 | G17 (plane)")]
    [InlineData("gcode_preamble = \"\"\"\nG90\nG17\"\"\"", "G90\nG17")]
    [InlineData("gcode_preamble = \"\"", "")]
    public void Lines_of_a_controller_come_as_a_list_or_in_one_text(string toml, string expected)
    {
        var read = Read(toml);
        Assert.Empty(read.Diagnostics);
        Assert.Equal(expected, read.Value!.GcodePreamble);
        Assert.Equal(read.Value, Read(SettingsCatalogue.Describe(read.Value)).Value);
    }

    [Theory]
    [InlineData("sheet_at_mm = [12.5, -8]\nplaced_from_mm = [[5, 5], [96.6, 5]]\nplaced_at_mm = \"12.1,8.3 103.6,9.9\"")]
    [InlineData("sheet_at_mm = \"12.5 -8mm\"\nplaced_from_mm = \"5,5; 96.6,5\"\nplaced_at_mm = [\"12.1,8.3\", \"103.6,9.9\"]")]
    public void Points_come_as_arrays_or_as_words(string toml)
    {
        var read = Read(toml);
        Assert.Empty(read.Diagnostics);
        Assert.True(Places.TryParse(read.Value!.SheetAtMm, 1, out var at));
        Assert.Equal((12.5, -8), (at[0].X, at[0].Y));
        Assert.True(Places.TryParse(read.Value.PlacedFromMm, 2, out var from));
        Assert.Equal((5, 5, 96.6, 5), (from[0].X, from[0].Y, from[1].X, from[1].Y));
        Assert.True(Places.TryParse(read.Value.PlacedAtMm, 2, out var told));
        Assert.Equal((12.1, 8.3, 103.6, 9.9), (told[0].X, told[0].Y, told[1].X, told[1].Y));
    }

    [Theory]
    [InlineData("sheet_at_mm=5", "SET008")]
    [InlineData("sheet_at_mm=5,6,7", "SET008")]
    [InlineData("placed_from_mm=5,5", "SET008")]
    [InlineData("placed_at_mm=5,5 6,x", "SET008")]
    [InlineData("placed_at_mm=5,5 1e9,6", "SET008")]
    [InlineData("machine_origin=top", "SET008")]
    [InlineData("machine_y=up", "SET008")]
    [InlineData("gcode_units=cm", "SET008")]
    [InlineData("gcode_preamble=G21", "SET008")]
    [InlineData("gcode_ending=100%", "SET008")]
    [InlineData("dxf_cut_layer=two words", "SET008")]
    [InlineData("dxf_cut_layer=", "SET008")]
    [InlineData("svg_blank_pen=grey", "SET008")]
    [InlineData("gcode_decimals=2", "SET004")]
    [InlineData("gcode_chord_error_mm=0", "SET004")]
    [InlineData("pointer_power_percent=50", "SET004")]
    [InlineData("work_area_mm=-1x5", "SET004")]
    public void A_machine_that_cannot_be_is_refused(string set, string code)
    {
        var read = SettingsReader.Read([], [set]);
        Assert.Equal(code, Assert.Single(read.Diagnostics).Code);
        Assert.Equal(JobSettings.Default, read.Value);
    }

    private static Outcome<JobSettings> Read(string toml) => SettingsReader.Read([File(toml)], []);

    private static SourceText File(string toml, string name = "job.toml") => new(name, Encoding.UTF8.GetBytes(toml));
}
