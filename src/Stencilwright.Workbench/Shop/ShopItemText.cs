using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;
using Tomlyn.Syntax;

namespace Stencilwright.Workbench.Shop;

/// <summary>Reads and writes things of the shop as TOML 1.0: four lines of words, then settings by their own names.</summary>
public static class ShopItemText
{
    private const int LongestTitle = 200;
    private const int LongestNote = 10_000;

    private static readonly string[] _words = ["kind", "name", "title", "note", "source"];

    /// <summary>Reads one thing.</summary>
    /// <param name="file">The file; without a <c>name</c> in it the file's own name serves.</param>
    /// <returns>The thing with every good value in it, null when its kind or name is unknown; and a SET diagnostic for every bad line.</returns>
    public static Outcome<ShopItem> Read(SourceText file)
    {
        ArgumentNullException.ThrowIfNull(file);
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var entries = TomlEntries.Of(file, "a description of a thing in the shop", diagnostics);
        if (diagnostics.Any(d => d.Code == "SET005"))
        {
            // What stands behind the fault is unread: nothing can be said to be missing.
            return new Outcome<ShopItem>(null, diagnostics.ToImmutable());
        }

        var words = new Dictionary<string, string>(StringComparer.Ordinal);
        foreach (var entry in entries.Where(e => _words.Contains(e.Name)))
        {
            if (Words(entry) is { } text)
            {
                words[entry.Name] = text;
            }
            else
            {
                diagnostics.Add(Error("SET201", $"{entry.Name} takes words in quotes, at most {Longest(entry.Name)} characters{(entry.Name == "note" ? "" : " on one line")}.", entry.ValuePlace));
            }
        }

        if (Kind(file, entries, words, diagnostics) is not { } kind || Name(file, entries, words, diagnostics) is not { } name)
        {
            return new Outcome<ShopItem>(null, diagnostics.ToImmutable());
        }

        var item = new ShopItem
        {
            Kind = kind,
            Name = name,
            Title = words.GetValueOrDefault("title", ""),
            Note = words.GetValueOrDefault("note", ""),
            Source = words.GetValueOrDefault("source", ""),
        };
        foreach (var entry in entries.Where(e => !_words.Contains(e.Name)))
        {
            item = WithEntry(item, entry, diagnostics);
        }

        return new Outcome<ShopItem>(item, diagnostics.ToImmutable());
    }

    /// <summary>Writes one thing, so that <see cref="Read"/> gives an equal one back.</summary>
    public static string Write(ShopItem item)
    {
        ArgumentNullException.ThrowIfNull(item);
        var text = new StringBuilder();
        Line("kind", item.Kind.Word());
        Line("name", item.Name);
        Line("title", item.Title);
        Line("note", item.Note);
        Line("source", item.Source);
        if (!item.Values.IsEmpty)
        {
            text.Append('\n');
        }

        foreach (var value in item.Values)
        {
            text.Append(value.Name).Append(" = ").Append(TomlText.Of(SettingsCatalogue.Find(value.Name)!, value.Value)).Append('\n');
        }

        return text.ToString();

        void Line(string name, string words)
        {
            if (words.Length > 0)
            {
                text.Append(name).Append(" = ").Append(TomlText.Quoted(words)).Append('\n');
            }
        }
    }

    private static ShopItem WithEntry(ShopItem item, TomlEntry entry, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        if (SettingsCatalogue.Find(entry.Name) is not { } setting)
        {
            var near = Suggestion.For(entry.Name, [.. _words, .. item.Kind.SettingsOf().Select(s => s.Name)]);
            diagnostics.Add(Error(
                "SET202",
                $"there is no setting {entry.Name}; {(near is null ? $"docs/shop.md lists those of a {item.Kind.Word()}." : $"did you mean {near}?")}",
                entry.NamePlace));
            return item;
        }

        if (!item.Kind.MayHold(entry.Name))
        {
            var homes = ShopKinds.All.Where(k => k.MayHold(entry.Name)).Select(k => k.Word()).ToArray();
            var remedy = homes.Length == 0 ? "keep it in a job file" : $"it belongs to {string.Join(" or ", homes)}, or into a job file";
            diagnostics.Add(Error("SET203", $"{entry.Name} is no setting of a {item.Kind.Word()}; {remedy}.", entry.NamePlace));
            return item;
        }

        return SettingJudge.Accept(setting, SettingParser.FromToml(setting, entry.Value), entry.ValuePlace, diagnostics) is { } value
            ? item.With(entry.Name, value)
            : item;
    }

    private static ShopKind? Kind(SourceText file, List<TomlEntry> entries, Dictionary<string, string> words, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        if (words.TryGetValue("kind", out var word) && ShopKinds.Parse(word) is { } kind)
        {
            return kind;
        }

        if (entries.Exists(e => e.Name == "kind") && word is null)
        {
            return null; // said already
        }

        var names = ShopKinds.All.Select(k => k.Word()).ToArray();
        var near = word is null ? null : Suggestion.For(word, names);
        diagnostics.Add(Error(
            "SET204",
            word is null ? $"say what this is with kind = \"film\" (or {string.Join(", ", names.Where(n => n != "film"))})."
                : $"there is no kind {word}; {(near is null ? $"there are {string.Join(", ", names)}." : $"did you mean {near}?")}",
            word is null ? SourcePlace.Whole(file.Name) : entries.Find(e => e.Name == "kind").ValuePlace));
        return null;
    }

    private static string? Name(SourceText file, List<TomlEntry> entries, Dictionary<string, string> words, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var isGiven = words.TryGetValue("name", out var given);
        var name = isGiven ? given! : Path.GetFileNameWithoutExtension(file.Name);
        if (ShopItem.IsName(name))
        {
            return name;
        }

        if (isGiven || !entries.Exists(e => e.Name == "name"))
        {
            diagnostics.Add(Error(
                "SET205",
                string.Create(CultureInfo.InvariantCulture, $"a name has at most {ShopItem.LongestName} small letters, digits, points and hyphens, such as {ShopItem.NameFrom(name)}; write name = \"{ShopItem.NameFrom(name)}\"."),
                isGiven ? entries.Find(e => e.Name == "name").ValuePlace : SourcePlace.Whole(file.Name)));
        }

        return null;
    }

    private static string? Words(TomlEntry entry) =>
        entry.Value is StringValueSyntax { Value: { } text } && text.Length <= Longest(entry.Name)
        && (entry.Name == "note" || !text.AsSpan().ContainsAnyInRange('\0', '\u001f')) ? text : null;

    private static int Longest(string name) => name == "note" ? LongestNote : LongestTitle;

    private static Diagnostic Error(string code, string message, SourcePlace place) => new(code, Severity.Error, message, place);
}
