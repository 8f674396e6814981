using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace Stencilwright.Design.Rules;

/// <summary>A number that stands in a rule file, with its place in the text: it can be changed without touching anything else.</summary>
/// <param name="Rule">Name of its rule.</param>
/// <param name="Key">Its key with the table, such as <c>change.reduce_width_mm</c>.</param>
/// <param name="End">0 for a single number and for the least of a range, 1 for the most.</param>
/// <param name="Value">As written.</param>
/// <param name="Least">Least that is allowed.</param>
/// <param name="Most">Greatest that is allowed.</param>
/// <param name="Start">First character.</param>
/// <param name="Length">How many characters.</param>
public sealed record RuleNumber(string Rule, string Key, int End, double Value, double Least, double Most, int Start, int Length)
{
    /// <summary>The key without its table.</summary>
    public string Name => Key[(Key.LastIndexOf('.') + 1)..];
}

/// <summary>Finds and replaces single numbers of a rule file, keeping its comments and its layout.</summary>
public static class RuleNumbers
{
    /// <summary>The numbers of all rules that stand under their own <c>[[rule]]</c>, in the order of the file.</summary>
    /// <param name="text">A rule file without a fault; of one with faults what can be found.</param>
    public static ImmutableArray<RuleNumber> In(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (RuleSetReader.Read(new SourceText("", System.Text.Encoding.UTF8.GetBytes(text))).Failed)
        {
            return [];
        }

        var numbers = ImmutableArray.CreateBuilder<RuleNumber>();
        var rule = "";
        foreach (var table in SyntaxParser.Parse(text, "", validate: true).Tables)
        {
            var path = (table.Name?.ToString() ?? "").Replace(" ", "", StringComparison.Ordinal).Trim();
            if (path == "rule")
            {
                rule = NameIn(table);
            }

            var prefix = path == "rule" ? "" : path["rule.".Length..] + ".";
            foreach (var entry in table.Items)
            {
                var key = prefix + entry.Key?.ToString().Trim();
                if (RuleKeys.All.FirstOrDefault(k => k.Path == key) is not { Kind: KeyKind.Number or KeyKind.Range } known)
                {
                    continue;
                }

                var values = entry.Value is ArraySyntax array ? array.Items.Select(i => (SyntaxNode?)i.Value) : [entry.Value];
                foreach (var (value, end) in values.Select((v, i) => (v, i)))
                {
                    Add(numbers, text, rule, known, end, value?.Span.Start.Offset ?? -1);
                }
            }
        }

        return numbers.ToImmutable();
    }

    /// <summary>The text with one number replaced.</summary>
    public static string Replace(string text, RuleNumber number, double value)
    {
        ArgumentNullException.ThrowIfNull(text);
        ArgumentNullException.ThrowIfNull(number);
        return string.Concat(text.AsSpan(0, number.Start), value.ToString("0.######", CultureInfo.InvariantCulture), text.AsSpan(number.Start + number.Length));
    }

    private static string NameIn(TableSyntaxBase table)
    {
        foreach (var entry in table.Items)
        {
            if (entry is { Key: { } key, Value: StringValueSyntax name } && key.ToString().Trim() == "name")
            {
                return name.Value ?? "";
            }
        }

        return "";
    }

    private static void Add(ImmutableArray<RuleNumber>.Builder numbers, string text, string rule, RuleKey key, int end, int start)
    {
        while (start >= 0 && start < text.Length && char.IsWhiteSpace(text[start]))
        {
            start++;
        }

        var length = 0;
        while (start >= 0 && start + length < text.Length && (char.IsAsciiDigit(text[start + length]) || text[start + length] is '+' or '-' or '.' or 'e' or 'E' or '_'))
        {
            length++;
        }

        if (length > 0 && double.TryParse(text.AsSpan(start, length).ToString().Replace("_", "", StringComparison.Ordinal), NumberStyles.Float, CultureInfo.InvariantCulture, out var value))
        {
            numbers.Add(new(rule, key.Path, end, value, key.Kind == KeyKind.Range ? 0 : key.Least, key.Most, start, length));
        }
    }
}
