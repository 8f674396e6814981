using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Svg;

/// <summary>The simple part of CSS: type, class, id and universal selectors, joined, below one another, and in lists.</summary>
internal sealed class SvgStyleSheet
{
    private readonly List<Rule> _rules = [];

    /// <summary>True when no rule was found.</summary>
    public bool IsEmpty => _rules.Count == 0;

    /// <summary>Reads every style element of a document.</summary>
    public static SvgStyleSheet Read(SvgDocument document, SvgDiagnosticSink sink)
    {
        var sheet = new SvgStyleSheet();
        foreach (var element in document.StyleSheets)
        {
            sheet.Add(element, sink);
        }

        // A stable order: heavier selectors later, equal ones as written.
        var order = new int[sheet._rules.Count];
        for (var i = 0; i < order.Length; i++)
        {
            order[i] = i;
        }

        Array.Sort(order, (a, b) => sheet._rules[a].Weight != sheet._rules[b].Weight
            ? sheet._rules[a].Weight.CompareTo(sheet._rules[b].Weight)
            : a.CompareTo(b));
        var sorted = new List<Rule>(order.Length);
        foreach (var index in order)
        {
            sorted.Add(sheet._rules[index]);
        }

        sheet._rules.Clear();
        sheet._rules.AddRange(sorted);
        return sheet;
    }

    /// <summary>The declarations that meet an element, weakest first.</summary>
    public IEnumerable<(string Name, string Value)> DeclarationsFor(SvgElement element)
    {
        foreach (var rule in _rules)
        {
            if (rule.Meets(element))
            {
                foreach (var declaration in rule.Declarations)
                {
                    yield return declaration;
                }
            }
        }
    }

    /// <summary>Splits <c>name:value; name:value</c>.</summary>
    public static List<(string Name, string Value)> Declarations(string block)
    {
        var result = new List<(string Name, string Value)>();
        foreach (var part in block.Split(';'))
        {
            var colon = part.IndexOf(':', StringComparison.Ordinal);
            if (colon <= 0)
            {
                continue;
            }

            var value = part[(colon + 1)..].Trim();
            var important = value.IndexOf('!', StringComparison.Ordinal);
            result.Add((part[..colon].Trim().ToLowerInvariant(), important < 0 ? value : value[..important].TrimEnd()));
        }

        return result;
    }

    private void Add(SvgElement element, SvgDiagnosticSink sink)
    {
        var css = WithoutComments(element.Text);
        var at = 0;
        while (at < css.Length)
        {
            var open = css.IndexOf('{', at);
            var semicolon = css.IndexOf(';', at);
            if (css.AsSpan(at).TrimStart() is ['@', ..])
            {
                at = SkipAtRule(css, open, semicolon);
                sink.Once("at-rule", SvgCodes.SelectorIgnored, Severity.Warning, element.Offset,
                    "A rule of the style sheet that begins with @ was passed over; nothing outside the file is fetched. Write plain styles if shapes look different.");
                continue;
            }

            var close = open < 0 ? -1 : css.IndexOf('}', open);
            if (close < 0)
            {
                return;
            }

            AddRules(css[at..open], Declarations(css[(open + 1)..close]), element, sink);
            at = close + 1;
        }
    }

    private static int SkipAtRule(string css, int open, int semicolon)
    {
        if (open < 0 || (semicolon >= 0 && semicolon < open))
        {
            return semicolon < 0 ? css.Length : semicolon + 1;
        }

        var depth = 0;
        for (var i = open; i < css.Length; i++)
        {
            depth += css[i] switch { '{' => 1, '}' => -1, _ => 0 };
            if (depth == 0)
            {
                return i + 1;
            }
        }

        return css.Length;
    }

    private void AddRules(string selectors, List<(string Name, string Value)> declarations, SvgElement element, SvgDiagnosticSink sink)
    {
        foreach (var text in selectors.Split(','))
        {
            var selector = text.Trim();
            if (Rule.TryParse(selector, declarations) is { } rule)
            {
                _rules.Add(rule);
            }
            else if (selector.Length > 0)
            {
                sink.Once("selector " + selector, SvgCodes.SelectorIgnored, Severity.Warning, element.Offset,
                    $"The style sheet's selector '{SvgText.Short(selector)}' is of a kind that is not understood and was passed over; use type, class or id selectors, alone or below one another.");
            }
        }
    }

    private static string WithoutComments(string css)
    {
        var from = css.IndexOf("/*", StringComparison.Ordinal);
        if (from < 0)
        {
            return css;
        }

        var kept = new System.Text.StringBuilder(css.Length);
        var at = 0;
        while (from >= 0)
        {
            kept.Append(css, at, from - at);
            var end = css.IndexOf("*/", from + 2, StringComparison.Ordinal);
            at = end < 0 ? css.Length : end + 2;
            from = css.IndexOf("/*", at, StringComparison.Ordinal);
        }

        return kept.Append(css, at, css.Length - at).ToString();
    }

    private sealed record Rule(SvgSelector Selector, List<(string Name, string Value)> Declarations)
    {
        public int Weight => Selector.Weight;

        public static Rule? TryParse(string selector, List<(string Name, string Value)> declarations) =>
            SvgSelector.TryParse(selector) is { } parsed ? new Rule(parsed, declarations) : null;

        public bool Meets(SvgElement element) => Selector.Meets(element);
    }
}
