using Stencilwright.App.Web;
using Stencilwright.App.Web.Components.Pages;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Web.Tests;

/// <summary>What files and the command line name in their way is named on a page as the page names it.</summary>
public sealed class PlainWordsTests
{
    [Theory]
    [InlineData("take a larger frame blank (frame_blank_mm).", "take a larger frame blank.")]
    [InlineData("merge them (thin_webs = \"merge\") or accept it.", "merge them (Thinner webs: make one opening) or accept it.")]
    [InlineData("give a blank of at least 60 × 80 mm, --set film_blank_mm=60x80.", "give a blank of at least 60 × 80 mm, Film blank: 60 × 80 mm.")]
    [InlineData("gcode_units says what the unit is", "Unit of G-code says what the unit is")]
    [InlineData("heat (reheat_weight) or its effort (order_effort).", "heat or its effort.")]
    [InlineData("another_mm and paste, title and frame stay", "another_mm and paste, title and frame stay")]
    [InlineData("change pane_web_mm if that is wrong", "change “Web between panes” if that is wrong")]
    [InlineData("", "")]
    public void Settings_are_called_by_their_names_on_the_pages(string said, string shown) => Assert.Equal(shown, PlainWords.Of(Words.English, said, LengthUnits.Of("mm")));

    [Fact]
    public void Values_come_in_the_unit_that_was_chosen() =>
        Assert.Equal("Narrowest web: 4 mil", PlainWords.Of(Words.English, "smallest_web_mm=0.1016", LengthUnits.Of("mil")));

    [Theory]
    [InlineData("Only 0.0508 mm of film stays", "Only 2.0 mil of film stays")]
    [InlineData("a blank of at least 25.4 × 50.8 mm (film_blank_mm).", "a blank of at least 1000.0 × 2000.0 mil.")]
    [InlineData("moved by -0.127 mm; 3.2 mm² at 40 mm/s, 5 mms, mm", "moved by −5.0 mil; 3.2 mm² at 40 mm/s, 5 mms, mm")]
    [InlineData("0.0254 mm and 2.54 mm", "1.0 mil and 100.0 mil")]
    public void Lengths_in_sentences_come_in_the_unit_that_was_chosen(string said, string shown) => Assert.Equal(shown, PlainWords.Of(Words.English, said, LengthUnits.Of("mil")));

    [Theory]
    [InlineData("0,02", "0.02")]
    [InlineData("−0,02", "-0.02")]
    [InlineData(" 4mil ", "4mil")]
    [InlineData("0,5mm", "0.5mm")]
    [InlineData("1,2,3", "1,2,3")]
    [InlineData("1.5,2", "1.5,2")]
    [InlineData(",5", ",5")]
    public void Numbers_are_taken_with_a_comma_too(string typed, string read) => Assert.Equal(read, Entered.Plain(typed));

    [Fact]
    public void No_help_names_a_setting_or_a_command_as_files_do()
    {
        foreach (var setting in SettingsCatalogue.All)
        {
            var help = Words.English.Help(setting, LengthUnits.Of("mm"));
            Assert.DoesNotContain("_", help, StringComparison.Ordinal);
            Assert.DoesNotContain("--", help, StringComparison.Ordinal);
            Assert.DoesNotContain("stencilwright", help, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Every_setting_has_one_place_on_the_page_of_settings()
    {
        // Over the web no file of the machine is named: measured prints come with a paste of the shop.
        var expected = SettingsCatalogue.All.Select(s => s.Name).Where(n => n != "release_measurements").Order(StringComparer.Ordinal);
        Assert.Equal(expected, SettingsPage.Groups.SelectMany(g => g.Names).Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData("kerf_x_mm", "abc", "mil", "Kerf along x takes a length in mil, or with a unit such as 4mil, 0.004in or 100um.")]
    [InlineData("kerf_x_mm", "3", "inch", "Kerf along x must be at least 0 and less than 0.07874 inch.")]
    [InlineData("film_blank_mm", "ax5", "mil", "Film blank takes a length in mil for each side, or with a unit such as 4in.")]
    [InlineData("film", "none", "mm", "the shop has no film none; the page Shop shows what it has.")]
    [InlineData("aperture_rules", "gone", "mm", "the shop has no aperture rules gone; choose others, or put them back into the shop.")]
    public void A_refusal_speaks_of_the_unit_of_the_field_and_of_pages(string name, string text, string unit, string shown) =>
        Assert.Equal(shown, Words.English.Refusal(SettingsCatalogue.Find(name)!, WorkshopSettings.Wrong(name, text)!, LengthUnits.Of(unit)));

    [Fact]
    public void Remedies_of_the_command_line_are_told_in_words_of_the_pages()
    {
        var said = PlainWords.Of(Words.English, "Aperture rules (a) shaped 2 of 3 openings: leads 2; --set aperture_rules=none leaves them as the artwork has them.", LengthUnits.Of("mm"));
        Assert.DoesNotContain("--", said, StringComparison.Ordinal);
        Assert.Contains("page Openings", said, StringComparison.Ordinal);
        Assert.Equal(
            "'x' was left aside; if it is needed, give it its role on the page Artwork.",
            PlainWords.Of(Words.English, "'x' was left aside; if it is needed, use --role \"x=paste-top\" or another role.", LengthUnits.Of("mm")));
        Assert.Equal("nothing of the kind", PlainWords.Of(Words.English, "nothing of the kind", LengthUnits.Of("mm")));
    }
}
