using System.Text;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Shop;

public sealed class ShopCatalogueTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private ShopCatalogue Shop => new(Path.Combine(_folder, "shop"));

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Whatever_comes_with_the_program_reads_without_a_word_and_says_where_it_is_from()
    {
        foreach (var kind in ShopKinds.All)
        {
            var listing = ShopCatalogue.ShippedOnly.List(kind);
            Assert.Empty(listing.Diagnostics);
            Assert.NotEmpty(listing.Entries);
            foreach (var item in listing.Entries.Select(e => e.Item))
            {
                Assert.Equal(kind, item.Kind);
                Assert.NotEqual("", item.Source);
                Assert.NotEqual("", item.Title);
                Assert.NotEmpty(item.Values);
                var read = ShopCatalogue.Parse(ShopCatalogue.ToToml(item), "x.toml");
                Assert.Empty(read.Diagnostics);
                Assert.Equal(item, read.Value);
                Assert.Equal(item, ShopCatalogue.ShippedOnly.Find(kind, item.Name).Value!.Item);
            }
        }
    }

    [Fact]
    public void The_films_that_come_with_the_program_are_of_the_usual_gauges()
    {
        // 3, 4, 5, 7 and 7.5 thousandths of an inch: trade, from memory.
        var thicknesses = ShopCatalogue.ShippedOnly.List(ShopKind.Film).Entries.Select(e => e.Item.Find("film_thickness_mm")!.Value.Number).Order();
        Assert.Equal([0.0762, 0.1016, 0.127, 0.1778, 0.1905], thicknesses);
    }

    [Fact]
    public void Shipped_power_for_film_and_frame_is_in_proportion_to_thickness_at_one_speed()
    {
        // Energy a millimetre of cut is that of the material removed, ρ·t·w·H: textbook balance.
        foreach (var (kind, word) in new[] { (ShopKind.Film, "film"), (ShopKind.Frame, "frame") })
        {
            var ratios = ShopCatalogue.ShippedOnly.List(kind).Entries
                .Select(e => e.Item)
                .Select(i => i.Find(word + "_power_percent")!.Value.Number / i.Find(word + "_speed_mm_s")!.Value.Number / i.Find(word + "_thickness_mm")!.Value.Number)
                .ToArray();
            Assert.True(ratios.Max() / ratios.Min() < 1.05, $"{word}: {string.Join(", ", ratios)}");
        }
    }

    [Fact]
    public void No_price_is_made_up()
    {
        foreach (var item in ShopKinds.All.SelectMany(k => ShopCatalogue.ShippedOnly.List(k).Entries).Select(e => e.Item))
        {
            Assert.All(item.Values.Where(v => v.Name.EndsWith("_cost", StringComparison.Ordinal)), v => Assert.Equal(0, v.Value.Number));
        }
    }

    [Fact]
    public void A_thing_of_the_user_s_covers_a_shipped_one_until_it_is_removed()
    {
        var shipped = Shop.Find(ShopKind.Film, "polyester-102").Value!;
        Assert.True(shipped.IsShipped);
        var mine = shipped.Item.With("kerf_x_mm", new SettingValue(Number: 0.12));
        Assert.Empty(Shop.Save(mine));
        var found = Shop.Find(ShopKind.Film, "polyester-102").Value!;
        Assert.Equal((mine, false, true), (found.Item, found.IsShipped, found.HidesShipped));
        Assert.Single(Shop.List(ShopKind.Film).Entries, e => e.Item.Name == "polyester-102");
        Assert.Empty(Shop.Delete(ShopKind.Film, "polyester-102"));
        Assert.Equal(shipped, Shop.Find(ShopKind.Film, "polyester-102").Value);
    }

    [Fact]
    public void Saving_twice_leaves_one_file_and_nothing_beside_it()
    {
        var item = new ShopItem { Kind = ShopKind.Board, Name = "flex" }.With("board_thickness_mm", new SettingValue(Number: 0.2));
        Assert.Empty(Shop.Save(item));
        Assert.Empty(Shop.Save(item with { Title = "Flexible" }));
        Assert.Equal([Path.Combine(Shop.Folder!, "boards", "flex.toml")], Directory.GetFiles(_folder, "*", SearchOption.AllDirectories));
        Assert.Equal("Flexible", Shop.Find(ShopKind.Board, "flex").Value!.Item.Title);
    }

    [Fact]
    public void A_thing_that_could_not_be_read_back_is_not_kept()
    {
        Assert.NotEmpty(Shop.Save(new ShopItem { Kind = ShopKind.Board, Name = "../up" }));
        Assert.NotEmpty(Shop.Save(new ShopItem { Kind = ShopKind.Board, Name = "a", Title = "two\nlines" }));
        Assert.NotEmpty(Shop.Save(new ShopItem { Kind = ShopKind.Board, Name = "a" }.With("board_thickness_mm", new SettingValue(Number: -1))));
        Assert.Empty(Directory.GetFileSystemEntries(_folder));
        Assert.Equal("SET207", Assert.Single(ShopCatalogue.ShippedOnly.Save(new ShopItem { Kind = ShopKind.Board, Name = "a" })).Code);
    }

    [Fact]
    public void A_folder_in_the_way_is_said_and_nothing_is_left()
    {
        var way = Directory.CreateDirectory(Path.Combine(Shop.Folder!, "boards", "a.toml"));
        Assert.Equal("SET207", Assert.Single(Shop.Save(new ShopItem { Kind = ShopKind.Board, Name = "a" })).Code);
        Assert.Equal([way.FullName], Directory.GetFileSystemEntries(Path.Combine(Shop.Folder!, "boards")));
    }

    [Fact]
    public void A_file_under_a_wrong_name_or_in_a_wrong_folder_is_said_and_left_out()
    {
        Put("films/a.toml", "kind = \"film\"\nname = \"b\"\n");
        Put("films/c.toml", "kind = \"board\"\nname = \"c\"\n");
        Put("films/d.toml", "kind = \"film\"\nfilm_thickness_mm = 9\n");
        var listing = Shop.List(ShopKind.Film);
        Assert.Equal(["SET209", "SET209", "SET004"], listing.Diagnostics.Select(d => d.Code));
        Assert.All(listing.Entries, e => Assert.True(e.IsShipped));
        Assert.Null(Shop.Find(ShopKind.Film, "d").Value);
    }

    [Fact]
    public void A_name_leads_nowhere_but_into_the_shop()
    {
        File.WriteAllText(Path.Combine(_folder, "secret.toml"), "kind = \"film\"\n");
        Assert.Equal("SET210", Assert.Single(Shop.Find(ShopKind.Film, "../../secret").Diagnostics).Code);
        Assert.Equal("SET210", Assert.Single(Shop.Delete(ShopKind.Film, "../../secret")).Code);
        Assert.Contains("did you mean polyester-102?", Assert.Single(Shop.Find(ShopKind.Film, "polyster-102").Diagnostics).Message, StringComparison.Ordinal);
        Assert.Equal("SET208", Assert.Single(Shop.Delete(ShopKind.Film, "polyester-102")).Code);
    }

    [Fact]
    public void A_free_name_is_free()
    {
        Assert.Equal("thin", Shop.FreeName(ShopKind.Film, "thin"));
        Assert.Equal("polyester-102-2", Shop.FreeName(ShopKind.Film, "polyester-102"));
        Assert.Empty(Shop.Save(new ShopItem { Kind = ShopKind.Film, Name = "polyester-102-2" }));
        Assert.Equal("polyester-102-3", Shop.FreeName(ShopKind.Film, "polyester-102"));
        var longest = new string('x', ShopItem.LongestName);
        Assert.Empty(Shop.Save(new ShopItem { Kind = ShopKind.Film, Name = longest }));
        Assert.True(ShopItem.IsName(Shop.FreeName(ShopKind.Film, longest)));
    }

    [Fact]
    public void Later_layers_win_wherever_the_names_were_given()
    {
        Put("lasers/l.toml", "kind = \"laser\"\nkerf_x_mm = 0.11\nkerf_y_mm = 0.11\nframe_kerf_mm = 0.11\nsmallest_web_mm = 0.21\ntravel_speed_mm_s = 111\n");
        Put("films/f.toml", "kind = \"film\"\nkerf_x_mm = 0.12\nkerf_y_mm = 0.12\nsmallest_web_mm = 0.22\nfilm_speed_mm_s = 12\n");
        Put("frames/r.toml", "kind = \"frame\"\nframe_kerf_mm = 0.13\nframe_clearance_mm = 0.3\n");
        Put("boards/b.toml", "kind = \"board\"\nframe_clearance_mm = 0.4\nboard_thickness_mm = 0.8\n");
        var job = new SourceText("job.toml", "kerf_y_mm = 0.14\nfilm = \"f\"\nsmallest_web_mm = 0.24\n"u8.ToArray());
        var read = SettingsReader.Read([job], ["board=b", "smallest_web_mm=0.25", "frame=r", "laser=l"], Shop);
        Assert.Empty(read.Diagnostics);
        var expected = JobSettings.Default with
        {
            Laser = "l", Film = "f", Frame = "r", Board = "b", TravelSpeedMmS = 111, KerfXMm = 0.12, KerfYMm = 0.14, FilmSpeedMmS = 12,
            SmallestWebMm = 0.25, FrameKerfMm = 0.13, FrameClearanceMm = 0.4, BoardThicknessMm = 0.8,
        };
        Assert.Equal(expected, read.Value);
    }

    [Fact]
    public void The_order_in_which_names_are_given_does_not_matter()
    {
        string[] sets = ["laser=small-co2-lines", "film=polyester-127", "frame=greyboard-2.0", "board=board-1.2", "kerf_x_mm=0.1"];
        var expected = SettingsReader.Read([], sets, Shop).Value;
        for (var turn = 1; turn < sets.Length; turn++)
        {
            Assert.Equal(expected, SettingsReader.Read([], [.. sets[turn..], .. sets[..turn]], Shop).Value);
        }

        Assert.Equal((0.127, 2.0, 1.2, false, 0.1), (expected!.FilmThicknessMm, expected.FrameThicknessMm, expected.BoardThicknessMm, expected.GcodeArcs, expected.KerfXMm));
    }

    [Fact]
    public void Pastes_and_rules_of_the_shop_are_named_where_the_program_s_own_are()
    {
        Put("pastes/tub.toml", "kind = \"paste\"\npaste = \"sn63pb37-t4\"\nrelease_slope = 5\nrelease_measurements = \"tub.csv\"\n");
        Put("rules/fine.toml", "kind = \"rules\"\naperture_rules = \"fine-rules.toml\"\nthin_webs = \"merge\"\n");
        var job = new SourceText("job.toml", "paste = \"sac305-t3\"\n"u8.ToArray());
        var settings = SettingsReader.Read([job], ["paste=tub", "aperture_rules=fine"], Shop).Value!;
        Assert.Equal(
            ("sn63pb37-t4", 5.0, Path.Combine(Shop.Folder!, "pastes", "tub.csv"), "merge", Path.Combine(Shop.Folder!, "rules", "fine-rules.toml")),
            (settings.Paste, settings.ReleaseSlope, settings.ReleaseMeasurements, settings.ThinWebs, settings.ApertureRules));
        // The later name wins whole: no half of the tub stays behind.
        Assert.Equal(SettingsReader.Read([], ["paste=sac305-t5"]).Value, SettingsReader.Read([], ["paste=tub", "paste=sac305-t5"], Shop).Value);
        Assert.Equal("SET008", Assert.Single(SettingsReader.Read([], ["paste=tubs"], Shop).Diagnostics).Code);
    }

    [Fact]
    public void A_thing_may_be_a_file_and_an_empty_name_is_none()
    {
        Put("elsewhere.toml", "kind = \"board\"\nboard_thickness_mm = 0.6\n");
        var path = Path.Combine(Shop.Folder!, "elsewhere.toml");
        Assert.Equal(0.6, SettingsReader.Read([], [$"board={path}"]).Value!.BoardThicknessMm);
        Assert.Equal(JobSettings.Default, SettingsReader.Read([], [$"board={path}", "board="]).Value);
        Assert.Equal("SET211", Assert.Single(SettingsReader.Read([], [$"film={path}"]).Diagnostics).Code);
        Assert.Equal("SET206", Assert.Single(SettingsReader.Read([], ["film=./nothing.toml"]).Diagnostics).Code);
    }

    [Fact]
    public void A_wrong_name_is_said_where_it_was_written()
    {
        var job = new SourceText("job.toml", "kerf_x_mm = 0.1\nfilm = \"polyester-10\"\n"u8.ToArray());
        var said = Assert.Single(SettingsReader.Read([job], [], Shop).Diagnostics);
        Assert.Equal(("SET210", new SourcePlace("job.toml", 2, 8)), (said.Code, said.Place));
    }

    [Theory]
    [InlineData("/x/shop", false, "STENCILWRIGHT_SHOP=/x/shop", "XDG_DATA_HOME=/d", "HOME=/h")]
    [InlineData("/d/stencilwright/shop", false, "XDG_DATA_HOME=/d", "HOME=/h")]
    [InlineData("/h/.local/share/stencilwright/shop", false, "XDG_DATA_HOME=relative", "HOME=/h")]
    [InlineData("/l/stencilwright/shop", true, "LOCALAPPDATA=/l", "HOME=/h")]
    [InlineData(null, false)]
    public void The_usual_folder_is_where_the_system_keeps_a_user_s_data(string? expected, bool isWindows, params string[] variables)
    {
        // Source: XDG Base Directory Specification, version 0.8.
        var found = ShopFolder.Usual(name => variables.Where(v => v.StartsWith(name + "=", StringComparison.Ordinal)).Select(v => v[(name.Length + 1)..]).FirstOrDefault(), isWindows);
        Assert.Equal(expected, found?.Replace('\\', '/'));
    }

    private void Put(string relative, string toml)
    {
        var path = Path.Combine(Shop.Folder!, relative);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllBytes(path, Encoding.UTF8.GetBytes(toml));
    }
}
