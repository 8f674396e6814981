using System.Collections.Immutable;
using System.Text;
using Stencilwright.Foundation;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace Stencilwright.Workbench.Settings;

/// <summary>One <c>name = value</c> of a TOML file and where it stands.</summary>
internal readonly record struct TomlEntry(string Name, ValueSyntax Value, SourcePlace NamePlace, SourcePlace ValuePlace);

/// <summary>Reads TOML 1.0 without tables, as job files and the shop's things are written.</summary>
internal static class TomlEntries
{
    private const int LongestName = 80;

    /// <summary>The entries in the order of the file, as far as it can be read; what cannot is said.</summary>
    /// <param name="file">The file.</param>
    /// <param name="noun">What it is, such as <c>a job file</c>.</param>
    /// <param name="diagnostics">Takes SET005 and SET007.</param>
    public static List<TomlEntry> Of(SourceText file, string noun, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var entries = new List<TomlEntry>();
        var bytes = file.Bytes.Span;
        var markLength = bytes.StartsWith((ReadOnlySpan<byte>)[0xEF, 0xBB, 0xBF]) ? 3 : 0;
        var text = Encoding.UTF8.GetString(bytes[markLength..]);
        if (TryParse(text, file.Name) is not { } document)
        {
            diagnostics.Add(Error("SET005", "this is not valid TOML; look for a wrong escape after a backslash or brackets within brackets without end, put it right and run again.", SourcePlace.Whole(file.Name)));
            return entries;
        }

        SourcePlace PlaceOf(SyntaxNode? node) => Place(node?.Span.Start.Offset ?? 0);
        SourcePlace Place(int offset) =>
            file.PlaceOf(markLength + Encoding.UTF8.GetByteCount(text.AsSpan(0, Math.Clamp(offset, 0, text.Length))));

        // What the parser says after its first complaint mostly follows from it, and so does what is read from there on.
        var problem = document.Diagnostics.MinBy(d => d.Span.Start.Offset);
        var brokenFrom = problem is null ? int.MaxValue : LineStart(text, problem.Span.Start.Offset);
        if (problem is not null)
        {
            diagnostics.Add(Error(
                "SET005", $"this is not valid TOML ({OneLine(problem.Message)}); put it right and run again.", Place(problem.Span.Start.Offset)));
        }

        foreach (var table in document.Tables.Where(t => t.Span.Start.Offset < brokenFrom))
        {
            diagnostics.Add(Error(
                "SET007", $"{noun} has no tables; remove [{Shown(table.Name?.ToString().Trim() ?? "")}] and keep its settings at the top.", PlaceOf(table)));
        }

        foreach (var entry in document.KeyValues)
        {
            var name = entry.Key?.ToString().Trim().Trim('"', '\'') ?? "";
            if (name.Length > 0 && entry.Value is { } value && entry.Span.Start.Offset < brokenFrom)
            {
                entries.Add(new(Shown(name), value, PlaceOf(entry.Key), PlaceOf(value)));
            }
        }

        return entries;
    }

    // The parser answers some broken escapes by throwing (seen: an escape followed by half of a surrogate pair).
    private static DocumentSyntax? TryParse(string text, string name)
    {
        try
        {
            return SyntaxParser.Parse(text, name, validate: true);
        }
        catch (Exception failure) when (failure is Tomlyn.TomlException or ArgumentException or InvalidOperationException or FormatException or IndexOutOfRangeException)
        {
            return null;
        }
    }

    // No name is that long; what is said of one must be readable.
    private static string Shown(string name) => name.Length > LongestName ? name[..LongestName] + "…" : name;

    private static int LineStart(string text, int offset) =>
        text.AsSpan(0, Math.Clamp(offset, 0, text.Length)).LastIndexOf('\n') + 1;

    private static string OneLine(string text) => text.ReplaceLineEndings(" ").TrimEnd('.', ' ');

    private static Diagnostic Error(string code, string message, SourcePlace place) => new(code, Severity.Error, message, place);
}
