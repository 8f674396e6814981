using System.Text.Json;
using Stencilwright.App.Cli;
using Stencilwright.Testing;
using Stencilwright.Workbench.Shop;
using Xunit;

namespace Stencilwright.App.Tests;

public sealed class ShopCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stencilwright-").FullName;

    private string ShopPath => Path.Combine(_folder, "shop");

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Help_reads_as_approved()
    {
        var run = Run("shop", "--help");
        Assert.Equal((0, ""), (run.Code, run.Error));
        Approve.Text(run.Out, name: "help-shop");
    }

    [Fact]
    public void The_list_reads_as_approved()
    {
        var run = Run("shop", "list");
        Assert.Equal((0, ""), (run.Code, run.Error));
        Approve.Text(run.Out, name: "list");
    }

    [Theory]
    [InlineData("one of list", "shop")]
    [InlineData("did you mean list?", "shop", "lst")]
    [InlineData("did you mean films?", "shop", "list", "filmz")]
    [InlineData("at most one kind", "shop", "list", "films", "frames")]
    [InlineData("a kind and a name", "shop", "show", "film")]
    [InlineData("a TOML file", "shop", "add")]
    [InlineData("a new name", "shop", "copy", "film", "polyester-102")]
    [InlineData("such as my-film", "shop", "copy", "film", "polyester-102", "My Film")]
    [InlineData("polyester-76-2 is free", "shop", "copy", "film", "polyester-102", "polyester-76")]
    [InlineData("a kind and a name", "shop", "remove")]
    [InlineData("no option --jsn; did you mean --json?", "shop", "list", "--jsn")]
    [InlineData("--json goes with shop list", "shop", "show", "film", "polyester-102", "--json")]
    [InlineData("did you mean polyester-102?", "prepare", "x", "--out", "y", "--set", "film=polyster-102")]
    public void A_mistake_on_the_command_line_is_exit_2_and_says_what_was_meant(string expected, params string[] args)
    {
        var run = Run(args);
        Assert.Equal((2, ""), (run.Code, run.Out));
        Assert.Contains(expected, run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(ShopPath));
    }

    [Fact]
    public void What_is_shown_can_be_added_under_another_name_listed_and_removed()
    {
        var file = Path.Combine(_folder, "mine.toml");
        var shown = Run("shop", "show", "film", "polyester-102").Out;
        File.WriteAllText(file, shown.Replace("polyester-102", "mine", StringComparison.Ordinal).Replace("film_blank_cost = 0", "film_blank_cost = 0.5", StringComparison.Ordinal));
        Assert.Equal(0, Run("shop", "add", file).Code);
        Assert.Equal(File.ReadAllText(file), Run("shop", "show", "films", "mine").Out);
        using (var json = JsonDocument.Parse(Run("shop", "list", "film", "--json").Out))
        {
            var mine = Assert.Single(json.RootElement.GetProperty("items").EnumerateArray(), i => i.GetProperty("name").GetString() == "mine");
            Assert.False(mine.GetProperty("shipped").GetBoolean());
            Assert.Equal(0.5, mine.GetProperty("settings").GetProperty("film_blank_cost").GetDouble());
        }

        Assert.Equal(0, Run("shop", "copy", "film", "mine", "mine-2", "--quiet").Code);
        Assert.Equal(0, Run("shop", "remove", "film", "mine").Code);
        Assert.Equal((3, ""), (Run("shop", "show", "film", "mine").Code, Run("shop", "show", "film", "mine").Out));
        Assert.Contains("film_blank_cost = 0.5", Run("shop", "show", "film", "mine-2").Out, StringComparison.Ordinal);
    }

    [Fact]
    public void A_bad_description_leaves_the_shop_as_it_was()
    {
        var good = Path.Combine(_folder, "good.toml");
        var bad = Path.Combine(_folder, "bad.toml");
        File.WriteAllText(good, "kind = \"board\"\nboard_thickness_mm = 0.6\n");
        File.WriteAllText(bad, "kind = \"board\"\nkerf_x_mm = 0.6\n");
        var run = Run("shop", "add", good, bad);
        Assert.Equal((3, ""), (run.Code, run.Out));
        Assert.Contains(bad + ":2:1: error: SET203", run.Error, StringComparison.Ordinal);
        Assert.False(Directory.Exists(ShopPath));
    }

    [Fact]
    public void What_comes_with_the_program_stays()
    {
        var run = Run("shop", "remove", "laser", "small-co2");
        Assert.Equal(3, run.Code);
        Assert.Contains("SET208", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_job_with_named_things_says_so_in_its_report()
    {
        var outDirectory = Path.Combine(_folder, "out");
        var run = Run(
            "prepare", Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky"), "--out", outDirectory, "--json",
            "--set", "film=polyester-127", "--set", "laser=small-co2-lines", "--set", "film_speed_mm_s=12");
        Assert.Equal(0, run.Code);
        using var json = JsonDocument.Parse(run.Out);
        var settings = json.RootElement.GetProperty("settings");
        Assert.Equal("polyester-127", settings.GetProperty("film").GetString());
        Assert.Equal((0.127, 12.0, false), (settings.GetProperty("film_thickness_mm").GetDouble(), settings.GetProperty("film_speed_mm_s").GetDouble(), settings.GetProperty("gcode_arcs").GetBoolean()));
        Assert.DoesNotContain("\nG2 ", File.ReadAllText(Path.Combine(outDirectory, "top", "film.nc")), StringComparison.Ordinal);
    }

    private (int Code, string Out, string Error) Run(params string[] args)
    {
        using var output = new StringWriter { NewLine = "\n" };
        using var error = new StringWriter { NewLine = "\n" };
        var code = new CommandLineDoor(new Terminal { Out = output, Error = error }, UseCases.Real, new ShopCatalogue(ShopPath)).Run(args);
        return (code, output.ToString(), error.ToString());
    }
}
