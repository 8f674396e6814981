using System.CommandLine;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Stencilwright.Foundation;
using Stencilwright.Workbench;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.App.Cli;

/// <summary>The command <c>shop</c>: lasers, films, frame materials, boards, pastes and rules.</summary>
internal sealed class ShopCommands
{
    private static readonly string[] _verbs = ["list", "show", "add", "copy", "remove"];

    private static readonly JsonWriterOptions _json = new() { Indented = true, NewLine = "\n", Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    private readonly CommandLineDoor _door;
    private readonly ShopCatalogue _shop;
    private readonly Options _options;
    private readonly Argument<string[]> _words = new("WORD") { Arity = ArgumentArity.ZeroOrMore };

    public ShopCommands(CommandLineDoor door, ShopCatalogue shop, Options options)
    {
        (_door, _shop, _options) = (door, shop, options);
        Shop = new Command("shop") { _words, options.Json, options.Quiet, options.NoColor };
        Shop.SetAction(Run);
    }

    public Command Shop { get; }

    private int Run(ParseResult parsed)
    {
        var terminal = _door.For(parsed);
        var words = parsed.GetValue(_words) ?? [];
        if (parsed.GetValue(_options.Json) && words is not ["list", ..])
        {
            return Usage(terminal, "--json goes with shop list; shop show prints TOML.");
        }

        switch (words)
        {
            case ["list"]:
                return List(parsed, terminal, ShopKinds.All);
            case ["list", var word]:
                return Kind(terminal, word) is { } kind ? List(parsed, terminal, [kind]) : ExitCodes.Usage;
            case ["show", var word, var name]:
                return Kind(terminal, word) is { } shown ? Show(terminal, shown, name) : ExitCodes.Usage;
            case ["add", _, ..]:
                return Add(parsed, terminal, words[1..]);
            case ["copy", var word, var name, var newName]:
                return Kind(terminal, word) is { } copied ? Copy(parsed, terminal, copied, name, newName) : ExitCodes.Usage;
            case ["remove", var word, var name]:
                return Kind(terminal, word) is { } removed ? Remove(parsed, terminal, removed, name) : ExitCodes.Usage;
            default:
                return Usage(terminal, Wrong(words));
        }
    }

    private static string Wrong(string[] words)
    {
        switch (words)
        {
            case []:
                return $"shop needs one of {string.Join(", ", _verbs)}.";
            case ["list", ..]:
                return "shop list takes at most one kind, such as films.";
            case ["show", ..]:
                return "shop show needs a kind and a name, such as film polyester-102.";
            case ["add", ..]:
                return "shop add needs a TOML file.";
            case ["copy", ..]:
                return "shop copy needs a kind, a name and a new name, such as film polyester-102 my-film.";
            case ["remove", ..]:
                return "shop remove needs a kind and a name, such as film my-film.";
            default:
                var near = Suggestion.For(words[0], _verbs);
                return $"shop has no {words[0]}; {(near is null ? $"it has {string.Join(", ", _verbs)}." : $"did you mean {near}?")}";
        }
    }

    private int List(ParseResult parsed, Terminal terminal, IReadOnlyList<ShopKind> kinds)
    {
        var listings = kinds.Select(k => (Kind: k, Listing: _shop.List(k))).ToArray();
        Say(terminal, listings.SelectMany(l => l.Listing.Diagnostics));
        if (parsed.GetValue(_options.Json))
        {
            WriteJson(terminal.Out, listings.SelectMany(l => l.Listing.Entries));
        }
        else if (!parsed.GetValue(_options.Quiet))
        {
            WriteTable(terminal.Out, listings);
        }

        return listings.Any(l => !l.Listing.Diagnostics.IsEmpty) ? ExitCodes.DoneWithFindings : ExitCodes.Done;
    }

    private int Show(Terminal terminal, ShopKind kind, string name)
    {
        var found = _shop.Find(kind, name);
        Say(terminal, found.Diagnostics);
        if (found.Value is not { } entry)
        {
            return ExitCodes.BadInput;
        }

        terminal.Out.Write(ShopCatalogue.ToToml(entry.Item));
        return ExitCodes.Done;
    }

    private int Add(ParseResult parsed, Terminal terminal, string[] paths)
    {
        // All are read before the first is kept: a mistake in one leaves the shop as it was.
        var read = paths.Select(ShopCatalogue.ReadFile).ToArray();
        Say(terminal, read.SelectMany(r => r.Diagnostics));
        if (read.Any(r => r.Failed))
        {
            return ExitCodes.BadInput;
        }

        foreach (var item in read.Select(r => r.Value!))
        {
            if (Keep(parsed, terminal, item) is var code and not ExitCodes.Done)
            {
                return code;
            }
        }

        return ExitCodes.Done;
    }

    private int Copy(ParseResult parsed, Terminal terminal, ShopKind kind, string name, string newName)
    {
        if (!ShopItem.IsName(newName))
        {
            return Usage(terminal, $"a name has small letters, digits, points and hyphens, such as {ShopItem.NameFrom(newName)}, not {newName}.");
        }

        if (_shop.Knows(kind, newName))
        {
            return Usage(terminal, $"there is a {kind.Word()} {newName} already; {_shop.FreeName(kind, newName)} is free.");
        }

        var found = _shop.Find(kind, name);
        Say(terminal, found.Diagnostics);
        return found.Value is { } entry ? Keep(parsed, terminal, entry.Item with { Name = newName }) : ExitCodes.BadInput;
    }

    private int Keep(ParseResult parsed, Terminal terminal, ShopItem item)
    {
        var wrong = _shop.Save(item);
        Say(terminal, wrong);
        if (!wrong.IsEmpty)
        {
            return ExitCodes.NotWritten;
        }

        if (!parsed.GetValue(_options.Quiet))
        {
            terminal.Out.WriteLine($"Kept {item.Kind.Word()} {item.Name} in {Printable.Text(_shop.Folder!)}.");
        }

        return ExitCodes.Done;
    }

    private int Remove(ParseResult parsed, Terminal terminal, ShopKind kind, string name)
    {
        var wrong = _shop.Delete(kind, name);
        Say(terminal, wrong);
        if (!wrong.IsEmpty)
        {
            return wrong[0].Code == "SET207" ? ExitCodes.NotWritten : ExitCodes.BadInput;
        }

        if (!parsed.GetValue(_options.Quiet))
        {
            terminal.Out.WriteLine($"Removed {kind.Word()} {Printable.Text(name)}.");
        }

        return ExitCodes.Done;
    }

    private static void WriteTable(TextWriter output, (ShopKind Kind, ShopListing Listing)[] listings)
    {
        var entries = listings.SelectMany(l => l.Listing.Entries).ToArray();
        var widest = entries.Select(e => e.Item.Name.Length).DefaultIfEmpty(0).Max();
        var isFirst = true;
        foreach (var (kind, listing) in listings)
        {
            output.WriteLine($"{(isFirst ? "" : "\n")}{char.ToUpperInvariant(kind.Plural()[0])}{kind.Plural()[1..]}");
            isFirst = false;
            foreach (var entry in listing.Entries)
            {
                var whose = entry.IsShipped ? "shipped" : entry.HidesShipped ? "yours, covers a shipped one" : "yours";
                output.WriteLine($"  {entry.Item.Name.PadRight(widest)}  {Printable.Text(entry.Item.Title)}{(entry.Item.Title.Length > 0 ? " " : "")}({whose})");
            }

            if (listing.Entries.IsEmpty)
            {
                output.WriteLine("  none");
            }
        }
    }

    private static void WriteJson(TextWriter output, IEnumerable<ShopEntry> entries)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes, _json))
        {
            json.WriteStartObject();
            json.WriteNumber("formatVersion", 1);
            json.WriteStartArray("items");
            foreach (var entry in entries)
            {
                json.WriteStartObject();
                json.WriteString("kind", entry.Item.Kind.Word());
                json.WriteString("name", entry.Item.Name);
                json.WriteString("title", entry.Item.Title);
                json.WriteString("note", entry.Item.Note);
                json.WriteString("source", entry.Item.Source);
                json.WriteBoolean("shipped", entry.IsShipped);
                json.WriteString("file", entry.File);
                json.WriteStartObject("settings");
                foreach (var value in entry.Item.Values)
                {
                    WriteValue(json, SettingsCatalogue.Find(value.Name)!, value.Value);
                }

                json.WriteEndObject();
                json.WriteEndObject();
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }

        output.Write(Encoding.UTF8.GetString(bytes.GetBuffer().AsSpan(0, (int)bytes.Length)));
        output.Write('\n');
    }

    // As in report.json.
    private static void WriteValue(Utf8JsonWriter json, Setting setting, SettingValue value)
    {
        switch (setting.Kind)
        {
            case SettingKind.Size:
                json.WriteStartArray(setting.Name);
                json.WriteNumberValue(value.Size.WidthMm);
                json.WriteNumberValue(value.Size.HeightMm);
                json.WriteEndArray();
                break;
            case SettingKind.Flag:
                json.WriteBoolean(setting.Name, value.Flag);
                break;
            case SettingKind.Text:
                json.WriteString(setting.Name, value.Text);
                break;
            default:
                json.WriteNumber(setting.Name, value.Number);
                break;
        }
    }

    private static ShopKind? Kind(Terminal terminal, string word)
    {
        if (ShopKinds.Parse(word) is { } kind)
        {
            return kind;
        }

        var names = ShopKinds.All.Select(k => k.Plural()).ToArray();
        var near = Suggestion.For(word, names);
        terminal.SayUsage($"the shop keeps no {word}; {(near is null ? $"it keeps {string.Join(", ", names)}." : $"did you mean {near}?")}");
        return null;
    }

    private static int Usage(Terminal terminal, string message)
    {
        terminal.SayUsage(message);
        return ExitCodes.Usage;
    }

    private static void Say(Terminal terminal, IEnumerable<Diagnostic> diagnostics)
    {
        foreach (var diagnostic in diagnostics)
        {
            terminal.Say(diagnostic);
        }
    }
}
