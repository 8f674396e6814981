using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Stencilwright.Foundation;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace Stencilwright.Design.Rules;

/// <summary>Reads aperture rules from a TOML file; keys and their meaning stand in docs/aperture-rules.md.</summary>
public static class RuleSetReader
{
    /// <summary>Reads a rule file.</summary>
    /// <param name="file">TOML 1.0, UTF-8.</param>
    /// <returns>The rules without a fault, in order, and a SET1xx diagnostic with its place for every fault.</returns>
    public static Outcome<RuleSet> Read(SourceText file)
    {
        ArgumentNullException.ThrowIfNull(file);
        return new Reading(file).Run();
    }

    private sealed class Reading(SourceText file)
    {
        // Rules are kept with every step that can be taken back, and read at each.
        private const int LargestBytes = 200 << 10;

        private readonly ImmutableArray<Diagnostic>.Builder _diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        private readonly List<RuleDraft> _drafts = [];
        private readonly int _markLength = file.Bytes.Span.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]) ? 3 : 0;
        private string _text = "";
        private string _title = file.Name;

        public Outcome<RuleSet> Run()
        {
            if (file.Bytes.Length > LargestBytes)
            {
                Say("SET101", string.Create(CultureInfo.InvariantCulture, $"this is longer than the {LargestBytes >> 10} KB that rules may have; keep only the rules."), SourcePlace.Whole(file.Name));
                return new(null, _diagnostics.ToImmutable());
            }

            _text = Encoding.UTF8.GetString(file.Bytes.Span[_markLength..]);
            if (TryParse() is not { } document)
            {
                Say("SET101", "this is not valid TOML; look for a wrong escape after a backslash or brackets within brackets without end, and put it right.", SourcePlace.Whole(file.Name));
                return new(null, _diagnostics.ToImmutable());
            }

            if (document.Diagnostics.MinBy(d => d.Span.Start.Offset) is { } problem)
            {
                // What is said after the first fault mostly follows from it, and so would whatever a half-read rule seems to lack.
                Say("SET101", $"this is not valid TOML ({problem.Message.ReplaceLineEndings(" ").TrimEnd('.', ' ')}); put it right.", Place(problem.Span.Start.Offset));
                return new(null, _diagnostics.ToImmutable());
            }

            foreach (var entry in document.KeyValues)
            {
                TakeTop(entry);
            }

            foreach (var table in document.Tables)
            {
                TakeTable(table);
            }

            return new(new RuleSet(_title, file.Name, Finish()), _diagnostics.ToImmutable());
        }

        private void TakeTop(KeyValueSyntax entry)
        {
            var path = PathOf(entry.Key);
            if (path is ["name"] && entry.Value is StringValueSyntax title)
            {
                _title = title.Value ?? "";
            }
            else if (path is ["name"])
            {
                Say("SET103", "name takes words in quotes.", PlaceOf(entry.Value));
            }
            else if (path is ["rule"] && entry.Value is ArraySyntax rules)
            {
                TakeInlineRules(rules);
            }
            else if (path.Count > 0)
            {
                SayUnknown(string.Join('.', path), ["name", "[[rule]]"], "a key at the top of a rule file", PlaceOf(entry.Key));
            }
        }

        private void TakeInlineRules(ArraySyntax rules)
        {
            foreach (var item in rules.Items)
            {
                if (item.Value is not InlineTableSyntax inline)
                {
                    Say("SET103", "rule takes tables; write each rule under its own [[rule]].", PlaceOf(item));
                    continue;
                }

                var draft = Begin(PlaceOf(item));
                foreach (var member in inline.Items)
                {
                    TakeEntry(draft, [], member.KeyValue!);
                }
            }
        }

        private void TakeTable(TableSyntaxBase table)
        {
            var path = PathOf(table.Name);
            var isArray = table is TableArraySyntax;
            if (path is ["rule"] && isArray)
            {
                Begin(PlaceOf(table));
                path = [];
            }
            else if (path is ["rule", "match" or "change"] && !isArray)
            {
                if (_drafts.Count == 0)
                {
                    Say("SET102", $"[{string.Join('.', path)}] belongs below a [[rule]]; write [[rule]] and its name first.", PlaceOf(table));
                    return;
                }

                path.RemoveAt(0);
            }
            else
            {
                SayUnknown(string.Join('.', path), ["rule", "rule.match", "rule.change"], "a table of a rule file; it has [[rule]], [rule.match] and [rule.change]", PlaceOf(table));
                return;
            }

            foreach (var entry in table.Items)
            {
                TakeEntry(_drafts[^1], path, entry);
            }
        }

        private RuleDraft Begin(SourcePlace place)
        {
            var draft = new RuleDraft { Place = place };
            _drafts.Add(draft);
            return draft;
        }

        private void TakeEntry(RuleDraft draft, List<string> table, KeyValueSyntax entry)
        {
            List<string> path = [.. table, .. PathOf(entry.Key)];
            if (path.Count == table.Count || entry.Value is null)
            {
                return;
            }

            if (entry.Value is InlineTableSyntax inline && path is ["match" or "change"])
            {
                foreach (var member in inline.Items)
                {
                    TakeEntry(draft, path, member.KeyValue!);
                }

                return;
            }

            var name = string.Join('.', path);
            var key = Find(name);
            if (key is null)
            {
                draft.IsSpoilt = true;
                SayUnknown(name, RuleKeys.All.Select(k => k.Path), "a key of a rule", PlaceOf(entry.Key));
                return;
            }

            draft.Given[name] = PlaceOf(entry.Key);
            var (value, fault) = RuleValue.Read(key, entry.Value);
            if (fault is null)
            {
                key.Set(draft, value);
                return;
            }

            draft.IsSpoilt = true;
            Say(fault.Code, fault.Message, PlaceOf(fault.At));
        }

        private ImmutableArray<ApertureRule> Finish()
        {
            var rules = ImmutableArray.CreateBuilder<ApertureRule>(_drafts.Count);
            var names = new Dictionary<string, SourcePlace>(StringComparer.Ordinal);
            foreach (var draft in _drafts)
            {
                foreach (var (code, message, key) in RuleChecks.Of(draft))
                {
                    draft.IsSpoilt = true;
                    Say(code, message, key is not null && draft.Given.TryGetValue(key, out var at) ? at : draft.Place);
                }

                if (draft.Name is { } name && !names.TryAdd(name, draft.Place))
                {
                    draft.IsSpoilt = true;
                    Say("SET106", $"a rule named {name} stands at line {names[name].Line.ToString(CultureInfo.InvariantCulture)} already; give this one another name.", draft.Given["name"]);
                }

                if (!draft.IsSpoilt)
                {
                    rules.Add(draft.Finish());
                }
            }

            return rules.ToImmutable();
        }

        private static RuleKey? Find(string path)
        {
            foreach (var key in RuleKeys.All)
            {
                if (key.Path == path)
                {
                    return key;
                }
            }

            return null;
        }

        private static List<string> PathOf(KeySyntax? key)
        {
            var path = new List<string>();
            if (key?.Key is null)
            {
                return path;
            }

            path.Add(NameOf(key.Key));
            foreach (var dotted in key.DotKeys)
            {
                path.Add(NameOf(dotted.Key));
            }

            return path;
        }

        private static string NameOf(BareKeyOrStringValueSyntax? part) => part switch
        {
            StringValueSyntax quoted => quoted.Value ?? "",
            BareKeySyntax bare => bare.Key?.Text ?? "",
            _ => "",
        };

        private void SayUnknown(string name, IEnumerable<string> known, string what, SourcePlace place)
        {
            var nearest = Suggestion.For(name, known);
            Say("SET102", nearest is null ? $"{name} is not {what}; docs/aperture-rules.md lists them." : $"{name} is not {what}; did you mean {nearest}?", place);
        }

        private void Say(string code, string message, SourcePlace place) => _diagnostics.Add(new(code, Severity.Error, message, place));

        private SourcePlace PlaceOf(SyntaxNode? node) => Place(node?.Span.Start.Offset ?? 0);

        private SourcePlace Place(int offset) =>
            file.PlaceOf(_markLength + Encoding.UTF8.GetByteCount(_text.AsSpan(0, Math.Clamp(offset, 0, _text.Length))));

        // The parser answers some broken escapes by throwing (seen: an escape followed by half of a surrogate pair).
        private DocumentSyntax? TryParse()
        {
            try
            {
                return SyntaxParser.Parse(_text, file.Name, validate: true);
            }
            catch (Exception failure) when (failure is Tomlyn.TomlException or ArgumentException or InvalidOperationException or FormatException or IndexOutOfRangeException)
            {
                return null;
            }
        }
    }
}
