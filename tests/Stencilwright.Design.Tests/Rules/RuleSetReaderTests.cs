using System.Text;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

public sealed class RuleSetReaderTests
{
    private const string Head = "[[rule]]\nname = \"it\"\nsource = \"test\"\n";

    [Fact]
    public void The_default_set_is_read_whole_and_every_rule_says_where_it_comes_from()
    {
        var outcome = RuleSetReader.Read(DefaultRules.Text());
        Assert.Empty(outcome.Diagnostics);
        Assert.Same(RuleSet.Default, RuleSet.Default);
        Assert.Equal(outcome.Value!.Rules.Select(r => r.Name), RuleSet.Default.Rules.Select(r => r.Name));
        Assert.Equal("hand printing, film of 0.1 mm", outcome.Value.Name);
        var lines = Encoding.UTF8.GetString(DefaultRules.Text().Bytes.Span).Split('\n');
        Assert.Equal(lines.Count(l => l == "[[rule]]"), outcome.Value.Rules.Length);
        foreach (var rule in outcome.Value.Rules)
        {
            Assert.Equal("[[rule]]", lines[rule.Place.Line - 1]);
            Assert.Equal($"name = \"{rule.Name}\"", lines[rule.Place.Line]);
            Assert.Equal($"source = \"{rule.Source}\"", lines[rule.Place.Line + 1]);
            Assert.Equal(0.66, rule.KeepAreaRatio);
        }
    }

    [Fact]
    public void Every_key_and_every_default_rule_is_explained_in_the_document()
    {
        var document = File.ReadAllText(Path.Combine(RealBoards.CheckoutRoot, "docs", "aperture-rules.md"));
        Assert.All(RuleKeys.All, k => Assert.Contains($"`{k.Name}`", document, StringComparison.Ordinal));
        Assert.All(RuleKeys.All.SelectMany(k => k.Known), w => Assert.Contains($"`{w}`", document, StringComparison.Ordinal));
        Assert.All(RuleSet.Default.Rules, r => Assert.Contains($"| `{r.Name}` |", document, StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("[rule.match]\npart_clas = \"chip\"\n[rule.change]\nkeep = true", "SET102", 5, 1, "did you mean match.part_class?")]
    [InlineData("keep_area_ration = 1\n[rule.change]\nkeep = true", "SET102", 4, 1, "did you mean keep_area_ratio?")]
    [InlineData("[rule.chnge]\nkeep = true", "SET102", 4, 1, "did you mean rule.change?")]
    [InlineData("[rule.match]\npart_class = \"chop\"\n[rule.change]\nkeep = true", "SET105", 5, 14, "did you mean chip?")]
    [InlineData("[rule.match]\npart_class = [\"chip\", \"quad-flatt\"]\n[rule.change]\nkeep = true", "SET105", 5, 23, "did you mean quad-flat?")]
    [InlineData("[rule.match]\npart_class = 7\n[rule.change]\nkeep = true", "SET103", 5, 14, "a word in quotes or several")]
    [InlineData("[rule.match]\nside = \"left\"\n[rule.change]\nkeep = true", "SET105", 5, 8, "top, bottom")]
    [InlineData("[rule.match]\npitch_mm = 0.5\n[rule.change]\nkeep = true", "SET103", 5, 12, "two numbers")]
    [InlineData("[rule.match]\npitch_mm = [0.5, 0.4]\n[rule.change]\nkeep = true", "SET104", 5, 12, "the least first")]
    [InlineData("[rule.match]\npitch_mm = [0.5, 1e9]\n[rule.change]\nkeep = true", "SET104", 5, 18, "0 to 100")]
    [InlineData("[rule.change]\nreduce_width_mm = \"0.05\"", "SET103", 5, 19, "a number without a unit")]
    [InlineData("[rule.change]\nreduce_width_mm = nan", "SET103", 5, 19, "a number without a unit")]
    [InlineData("[rule.change]\npane_coverage_percent = 120", "SET104", 5, 25, "1 to 99, not 120")]
    [InlineData("[rule.change]\nkeep = 1", "SET103", 5, 8, "true or false")]
    [InlineData("[rule.change]\nkeep = true\nreduce_width_mm = 0.05", "SET108", 5, 1, "keep leaves nothing")]
    [InlineData("[rule.change]\nskip = true\nreduce_width_mm = 0.05", "SET108", 5, 1, "skip leaves nothing")]
    [InlineData("[rule.change]\nreduce_width_mm = -0.05", "SET108", 5, 1, "may_grow")]
    [InlineData("[rule.change]\nreshape = \"home-plate\"", "SET107", 5, 1, "proportions")]
    [InlineData("[rule.change]\nreshape = \"bow-tie\"\ntaper_depth_percent = 60\ntaper_flat_percent = 30", "SET104", 6, 1, "at most 50")]
    [InlineData("[rule.change]\nreshape = \"bow-tie\"\ntaper_depth_percent = 30\ntaper_flat_percent = 0", "SET104", 7, 1, "at least 5")]
    [InlineData("[rule.change]\ncorner_radius_mm = 0.1\ntaper_flat_percent = 30", "SET108", 6, 1, "a taper belongs")]
    [InlineData("[rule.change]\nkeep_it = true", "SET102", 5, 1, "is not a key of a rule")]
    [InlineData("[rule.change]\nsquare_less_mm = 0.1", "SET108", 5, 1, "rounded-square")]
    [InlineData("[rule.change]\npane_web_mm = 0.3", "SET107", 5, 1, "pane_coverage_percent")]
    [InlineData("[rule.change]\npane_coverage_percent = 60\npane_most_mm = 0.2\npane_least_mm = 0.5", "SET108", 7, 1, "no pane can fit")]
    [InlineData("[rule.change]\npane_coverage_percent = 60\nreshape = \"rounded-square\"", "SET108", 6, 1, "both reshape")]
    [InlineData("[rule.match]\nshape = \"circle\"", "SET107", 1, 1, "changes nothing")]
    [InlineData("[rule.change]\nkeep = true\n[[rule]]\nname = \"it\"\nsource = \"s\"\n[rule.change]\nkeep = true", "SET106", 7, 1, "line 1")]
    [InlineData("[rule.change]\nkeep = true\n[[rule]]\nsource = \"s\"\n[rule.change]\nkeep = true", "SET107", 6, 1, "no name")]
    [InlineData("[rule.change]\nkeep = true\n[[rule]]\nname = \"b\"\n[rule.change]\nkeep = true", "SET107", 6, 1, "where it comes from")]
    [InlineData("[rule.change]\nkeep = true\n[film]\nx = 1", "SET102", 6, 1, "is not a table of a rule file")]
    [InlineData("[rule.change]\nkeep = tru", "SET101", 5, 8, "not valid TOML")]
    public void A_fault_is_told_with_its_place_its_cause_and_a_remedy(string rest, string code, int line, int column, string says)
    {
        var outcome = Sketch.Read(Head + rest + "\n");
        Assert.True(outcome.Failed);
        var first = outcome.Diagnostics[0];
        Assert.Equal((code, line, column), (first.Code, first.Place.Line, first.Place.Column));
        Assert.Contains(says, first.Message, StringComparison.Ordinal);
        Assert.Equal("rules.toml", first.Place.File);
    }

    [Fact]
    public void A_key_at_the_top_that_is_none_is_told_and_a_table_before_any_rule_too()
    {
        Assert.Equal("SET102", Assert.Single(Sketch.Read("nam = \"x\"\n").Diagnostics).Code);
        Assert.Contains("below a [[rule]]", Assert.Single(Sketch.Read("[rule.change]\nkeep = true\n").Diagnostics).Message, StringComparison.Ordinal);
        Assert.Equal("SET103", Assert.Single(Sketch.Read("name = 3\n").Diagnostics).Code);
    }

    [Fact]
    public void Places_count_the_file_s_own_bytes_behind_a_mark_and_wide_letters()
    {
        var bytes = (byte[])[0xEF, 0xBB, 0xBF, .. Encoding.UTF8.GetBytes("name = \"Öffnung\" # ä\n[[rule]]\nname = \"x\"\nsource = \"ü\"\nkep = true\n")];
        var first = RuleSetReader.Read(new SourceText("r.toml", bytes)).Diagnostics[0];
        Assert.Equal((5, 1), (first.Place.Line, first.Place.Column));
    }

    [Fact]
    public void Rules_without_a_fault_survive_beside_a_bad_one()
    {
        var outcome = Sketch.Read("""
            [[rule]]
            name = "good"
            source = "s"
            [rule.change]
            keep = true
            [[rule]]
            name = "bad"
            source = "s"
            [rule.change]
            reduce_width_mm = 99
            [[rule]]
            name = "good too"
            source = "s"
            [rule.change]
            skip = true
            """);
        Assert.Equal(["good", "good too"], outcome.Value!.Rules.Select(r => r.Name));
        Assert.Single(outcome.Diagnostics);
    }

    [Theory]
    [InlineData("[rule.match]\npart_class = [\"chip\"]\npitch_mm = [0.4, 1]\n[rule.change]\nreduce_width_mm = 0.05")]
    [InlineData("match = { part_class = \"chip\", pitch_mm = [0.4, 1.0] }\nchange = { reduce_width_mm = 0.05 }")]
    [InlineData("match.part_class = \"chip\"\nmatch.pitch_mm = [0.4, 1]\nchange.\"reduce_width_mm\" = 5e-2")]
    public void Ways_of_writing_the_same_tables_are_the_same_rule(string rest)
    {
        var rule = Assert.Single(Sketch.Rules(Head + rest + "\n").Rules);
        Assert.Equal([PartClass.Chip], rule.Match.Classes);
        Assert.Equal(new NumberRange(0.4, 1), rule.Match.PitchMm);
        Assert.Equal(0.05, rule.Change.ReduceWidthMm);
        Assert.Equal((1, 1), (rule.Place.Line, rule.Place.Column));
    }

    [Fact]
    public void Rules_may_stand_in_one_array()
    {
        var rules = Sketch.Rules("rule = [ { name = \"a\", source = \"s\", change = { keep = true } }, { name = \"b\", source = \"s\", change.skip = true } ]\n").Rules;
        Assert.Equal([(true, false), (false, true)], rules.Select(r => (r.Change.Keep, r.Change.Skip)));
    }

    [Fact]
    public void Broken_text_of_any_kind_is_told_and_never_thrown()
    {
        var text = Encoding.UTF8.GetString(DefaultRules.Text().Bytes.Span);
        var random = new Random(7);
        for (var i = 0; i < 300; i++)
        {
            var at = random.Next(text.Length);
            var broken = (i % 3) switch
            {
                0 => text[..at],
                1 => text.Remove(at, Math.Min(random.Next(1, 30), text.Length - at)),
                _ => text.Insert(at, ((string[])["\"", "]", "\\ud800", "=", "{", "\0", "[[rule]]", "1e999"])[random.Next(8)]),
            };
            var outcome = Sketch.Read(broken);
            Assert.True(outcome.Value is not null || outcome.Diagnostics.Length > 0);
        }
    }
}
