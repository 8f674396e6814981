using System.Text;
using CsCheck;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Shop;

public sealed class ShopItemTests
{
    // Words that a person may type: every plane of Unicode, quotes, backslashes, and for notes line ends.
    private static readonly Gen<string> _words = Gen.OneOf(
        Gen.String["abc \"\\'#=[]{}\u00e9\u00b5\u2028"],
        Gen.Int[0x20, 0x10FFFF].Where(c => c is < 0xD800 or > 0xDFFF).Array[0, 20].Select(c => string.Concat(c.Select(char.ConvertFromUtf32))));

    private static readonly Gen<string> _notes = Gen.Select(_words, Gen.OneOf(Gen.Const(""), Gen.Const("\n"), Gen.Const("\r\n"), Gen.Const("\t"), Gen.Const("\u0001\u007f")), _words, (a, between, b) => a + between + b);

    private static readonly Gen<ShopItem> _items = Gen.Select(
        Gen.Enum<ShopKind>(),
        Gen.Int[0, int.MaxValue],
        Gen.String["abcxyz0189"].Select(s => s.Length is 0 or > ShopItem.LongestName ? "x" : s).Where(ShopItem.IsName),
        _words.Where(w => w.Length <= 200),
        _notes,
        Gen.Double.Array[64],
        (kind, which, name, title, note, numbers) => Make(kind, which, name, title, note, numbers));

    [Fact]
    public void What_is_written_is_read_back_as_the_same() => _items.Check(
        item =>
        {
            var read = ShopCatalogue.Parse(ShopCatalogue.ToToml(item), "elsewhere.toml");
            Assert.Empty(read.Diagnostics);
            Assert.Equal(item, read.Value);
            Assert.Equal(ShopCatalogue.ToToml(item), ShopCatalogue.ToToml(read.Value!));
        },
        iter: 300);

    [Fact]
    public void A_thing_changes_what_it_brings_and_nothing_else() => _items.Check(
        item =>
        {
            var after = item.Over(JobSettings.Default);
            foreach (var setting in SettingsCatalogue.All)
            {
                Assert.Equal(item.Find(setting.Name) ?? setting.Get(JobSettings.Default), setting.Get(after));
            }
        },
        iter: 100);

    [Fact]
    public void Whatever_is_taken_out_of_settings_puts_them_back()
    {
        var tuned = JobSettings.Default with { FilmThicknessMm = 0.075, FilmPowerPercent = 7, KerfXMm = 0.13, GcodeArcs = false, TravelSpeedMmS = 120, BoardThicknessMm = 1.2 };
        var back = ShopKinds.All.Aggregate(JobSettings.Default, (settings, kind) => ShopItem.Of(kind, "kept", tuned).Over(settings));
        Assert.Equal(tuned, back);
    }

    [Fact]
    public void Names_made_of_any_words_are_names() => _words.Check(words => Assert.True(ShopItem.IsName(ShopItem.NameFrom(words))), iter: 500);

    [Theory]
    [InlineData("kind = \"film\nname = \"x\"\nfilm_power_percent = 5\n", 1)]
    [InlineData("kind = \"film\"\nname = \n[table\nframe_power_percent = = 3\n", 2)]
    [InlineData("junk = \n", 1)]
    public void Broken_TOML_is_told_once_where_it_breaks(string toml, int line)
    {
        var only = Assert.Single(ShopItemText.Read(new SourceText("x.toml", System.Text.Encoding.UTF8.GetBytes(toml))).Diagnostics);
        Assert.Equal(("SET005", line), (only.Code, only.Place.Line));
    }

    [Theory]
    [InlineData("polyester-102", true)]
    [InlineData("0.8", true)]
    [InlineData("", false)]
    [InlineData("Film", false)]
    [InlineData("../up", false)]
    [InlineData("a/b", false)]
    [InlineData("-a", false)]
    [InlineData("a.", false)]
    [InlineData("con", false)]
    [InlineData("com1.x", false)]
    [InlineData("nul.toml", false)]
    [InlineData("console", true)]
    public void A_name_is_safe_as_a_file_name_everywhere(string name, bool expected) => Assert.Equal(expected, ShopItem.IsName(name));

    [Theory]
    [InlineData("SET202", "film_thicknes_mm", 3, "kind = \"film\"\nname = \"a\"\nfilm_thicknes_mm = 0.1\n")]
    [InlineData("SET203", "laser", 2, "kind = \"film\"\ngcode_arcs = false\nname = \"a\"\n")]
    [InlineData("SET203", "job file", 3, "kind = \"film\"\nname = \"a\"\ndate = \"today\"\n")]
    [InlineData("SET004", "at most 2 mm", 3, "kind = \"film\"\nname = \"a\"\nfilm_thickness_mm = 4\n")]
    [InlineData("SET002", "length", 3, "kind = \"film\"\nname = \"a\"\nfilm_thickness_mm = true\n")]
    [InlineData("SET201", "quotes", 3, "kind = \"film\"\nname = \"a\"\ntitle = 7\n")]
    [InlineData("SET201", "quotes", 1, "kind = 5\nname = \"a\"\n")]
    [InlineData("SET204", "did you mean film?", 1, "kind = \"flim\"\nname = \"a\"\n")]
    [InlineData("SET204", "say what this is", 0, "name = \"a\"\n")]
    [InlineData("SET205", "my-film", 2, "kind = \"film\"\nname = \"My film\"\n")]
    [InlineData("SET007", "no tables", 2, "kind = \"film\"\n[x]\n")]
    [InlineData("SET005", "TOML", 2, "kind = \"film\"\nname = \n")]
    public void A_bad_line_is_named_with_its_place_and_remedy(string code, string words, int line, string toml)
    {
        var read = ShopCatalogue.Parse(toml, "a.toml");
        Assert.True(read.Failed);
        var said = Assert.Single(read.Diagnostics, d => d.Code == code);
        Assert.Contains(words, said.Message, StringComparison.Ordinal);
        Assert.Equal(("a.toml", line), (said.Place.File, said.Place.Line));
    }

    [Fact]
    public void Good_lines_are_kept_beside_bad_ones()
    {
        var read = ShopCatalogue.Parse("kind = \"film\"\nfilm_thickness_mm = 0.1\nkerf_x_mm = 9\nkerf_y_mm = \"5mil\"\n", "thin.toml");
        Assert.Equal("thin", read.Value!.Name);
        Assert.Equal(0.1, read.Value.Find("film_thickness_mm")!.Value.Number);
        Assert.Null(read.Value.Find("kerf_x_mm"));
        Assert.Equal(0.127, read.Value.Find("kerf_y_mm")!.Value.Number, 1e-12);
    }

    [Fact]
    public void Any_bytes_are_read_without_a_fault() => Gen.Byte.Array[0, 200].Check(
        bytes => Assert.NotNull(ShopItemText.Read(new SourceText("a.toml", bytes))), iter: 300);

    [Fact]
    public void A_description_with_pieces_missing_is_read_without_a_fault() => Gen.Select(_items, Gen.Int[0, 2000], Gen.Int[0, 40]).Check(
        (item, at, count) =>
        {
            var text = Encoding.UTF8.GetBytes(ShopCatalogue.ToToml(item));
            var from = Math.Min(at, text.Length);
            byte[] cut = [.. text[..from], .. text[Math.Min(from + count, text.Length)..]];
            Assert.NotNull(ShopItemText.Read(new SourceText("a.toml", cut)));
        },
        iter: 200);

    private static ShopItem Make(ShopKind kind, int which, string name, string title, string note, double[] numbers)
    {
        var item = new ShopItem { Kind = kind, Name = name, Title = OneLine(title), Note = note, Source = OneLine(title) };
        var settings = kind.SettingsOf();
        for (var i = 0; i < settings.Length; i++)
        {
            if (((which >> (i % 31)) & 1) == 0)
            {
                continue;
            }

            var setting = settings[i];
            var share = Math.Abs(numbers[i] % 1);
            share = double.IsNaN(share) ? 0.5 : Math.Clamp(share, 0.001, 0.999);
            var (least, most) = (Math.Max(setting.Least, -1000), Math.Min(setting.Most, 1000));
            item = item.With(setting.Name, setting.Kind switch
            {
                SettingKind.Size => new SettingValue(Size: new BlankSize(least + (share * (most - least)), most - (share * (most - least)))),
                SettingKind.Flag => new SettingValue(Flag: share > 0.5),
                SettingKind.Text => setting.Get(JobSettings.Default),
                _ when setting.IsWhole => new SettingValue(Number: Math.Round(least + (share * (most - least)))),
                _ => new SettingValue(Number: least + (share * (most - least))),
            });
        }

        return item;
    }

    private static string OneLine(string words) => string.Concat(words.Where(c => c >= ' '));
}
