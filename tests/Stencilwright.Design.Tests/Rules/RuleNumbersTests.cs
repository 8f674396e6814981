using System.Text;
using Stencilwright.Foundation;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

public sealed class RuleNumbersTests
{
    private static string Default => Encoding.UTF8.GetString(DefaultRules.Text().Bytes.Span);

    [Fact]
    public void Every_number_stands_where_it_is_said_to_stand()
    {
        var numbers = RuleNumbers.In(Default);
        Assert.NotEmpty(numbers);
        Assert.All(numbers, n => Assert.Equal(n.Value, double.Parse(Default.AsSpan(n.Start, n.Length), System.Globalization.CultureInfo.InvariantCulture)));
        Assert.All(numbers, n => Assert.InRange(n.Value, n.Least, n.Most));
        Assert.Equal(RuleSet.Default.Rules.Select(r => r.Name).Where(n => n != "thermal-pad-paned"), numbers.Select(n => n.Rule).Distinct());
    }

    [Fact]
    public void Replacing_a_number_changes_that_one_and_leaves_every_other_character_alone()
    {
        var numbers = RuleNumbers.In(Default);
        foreach (var (number, at) in numbers.Select((n, i) => (n, i)))
        {
            // Both ends of a range stay in order when the least falls and the most rises.
            var value = number.End == 0 && number.Key.StartsWith("match.", StringComparison.Ordinal) ? number.Value / 2 : number.Value + 0.5;
            value = Math.Min(value, number.Most);
            var text = RuleNumbers.Replace(Default, number, value);
            Assert.Equal(Default[..number.Start], text[..number.Start]);
            Assert.EndsWith(Default[(number.Start + number.Length)..], text, StringComparison.Ordinal);
            Assert.False(RuleSetReader.Read(new SourceText("t", Encoding.UTF8.GetBytes(text))).Failed);
            var again = RuleNumbers.In(text);
            Assert.Equal(numbers.Length, again.Length);
            Assert.Equal(value, again[at].Value, 6);
            Assert.All(again.Where((_, i) => i != at).Zip(numbers.Where((_, i) => i != at)), pair => Assert.Equal(pair.Second.Value, pair.First.Value));
        }
    }

    [Fact]
    public void Ends_of_a_range_are_two_numbers_and_a_file_with_a_fault_has_none()
    {
        const string Text = "name = \"µ\"\n[[rule]]\nname = \"a\"\nsource = \"own trial\"\nkeep_area_ratio = 0.5 # as tried\n[rule.match]\npitch_mm = [ 0.4 , 0.65 ]\n[rule.change]\ninset_mm = -0.01\nmay_grow = true\n";
        var numbers = RuleNumbers.In(Text);
        Assert.Equal([("keep_area_ratio", 0, 0.5), ("pitch_mm", 0, 0.4), ("pitch_mm", 1, 0.65), ("inset_mm", 0, -0.01)], numbers.Select(n => (n.Name, n.End, n.Value)));
        Assert.Contains("# as tried", RuleNumbers.Replace(Text, numbers[0], 0.6), StringComparison.Ordinal);
        Assert.Empty(RuleNumbers.In(Text + "nonsense = 1\n"));
    }
}
