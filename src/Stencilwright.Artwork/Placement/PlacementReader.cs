using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Placement;

/// <summary>Reads placement lists: tables of text in any of the layouts that people and programs write.</summary>
/// <remarks>See docs/formats/placement.md. Coordinates are taken as the list states them, for either side; nothing is mirrored.</remarks>
public static class PlacementReader
{
    private const int MostLines = 1_000_000;

    /// <summary>Reads a list; never throws for what the file holds.</summary>
    /// <param name="source">Name and bytes.</param>
    /// <param name="limits">Bounds on what is read.</param>
    /// <param name="cancellationToken">Ends the reading early.</param>
    /// <returns>The parts, and diagnostics ART300 to ART317. No list when no columns for a part and its place can be made out.</returns>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static Outcome<PlacementList> Read(SourceText source, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(source);
        var sink = new DiagnosticSink(source.Name, limits.MaxDiagnostics, PlacementCodes.MoreLeftOut);
        PlacementList? list = null;
        if (source.Bytes.IsEmpty)
        {
            sink.Error(PlacementCodes.NotPlacement, sink.Whole, "The file is empty; export the placement list again.");
        }
        else if (TextLines.Decode(source, Math.Min(MostLines, limits.MaxObjects)) is not { } text)
        {
            sink.Error(PlacementCodes.NotPlacement, sink.Whole, "The file holds zero bytes and is no text; export the placement list as text with columns (CSV), not as a spreadsheet's own file.");
        }
        else
        {
            list = Read(source, text, limits, sink, cancellationToken);
        }

        return new Outcome<PlacementList>(list, sink.ToImmutable());
    }

    /// <summary>Whether the beginning of a file is that of a placement list: a line that names its columns, or lines that hold a part, a place, an angle and a side.</summary>
    /// <param name="head">The file's first bytes.</param>
    public static bool LooksLikePlacement(ReadOnlySpan<byte> head)
    {
        if (TextLines.Decode(new SourceText("", head.ToArray()), HeaderFinder.SearchedLines) is not { } text)
        {
            return false;
        }

        // A list of materials names parts too, but no places.
        return HeaderFinder.Find(text.Lines) is { KindCount: >= 4 }
            || (HeaderlessColumns.Find(text.Lines) is { } table && table.Find(ColumnKind.Rotation) is not null && table.Find(ColumnKind.Side) is not null);
    }

    private static PlacementList? Read(SourceText source, TextLines text, ReadLimits limits, DiagnosticSink sink, CancellationToken cancellationToken)
    {
        if (text.IsGuessed)
        {
            sink.Note(PlacementCodes.EncodingAssumed, sink.Whole, "The bytes are no valid UTF-8 and were taken for Latin-1; if letters of names look wrong, save the list as UTF-8.");
        }

        var table = HeaderFinder.Find(text.Lines);
        if (table is null && (table = HeaderlessColumns.Find(text.Lines)) is null)
        {
            sink.Error(PlacementCodes.NotPlacement, sink.Whole,
                "No line names columns for the part, x and y, and the content does not show them either; add a first line such as: Ref,X (mm),Y (mm),Rotation,Side.");
            return null;
        }

        Say(table, text, sink);
        var rows = new PlacementRows(table, text, sink, limits);
        rows.Collect(cancellationToken);
        var statements = PlacementStatements.Find(text.Lines, table.HeaderIndex);
        var parts = new PlacementParts(table, text, sink, limits, statements).Make(rows.Rows, out var unit, out var isAssumed);
        if (text.IsCut)
        {
            sink.Error(PlacementCodes.LimitReached, sink.Whole, string.Create(CultureInfo.InvariantCulture, $"The file has more than {text.Lines.Count} lines; the rest was not read. Give the list of one board."));
        }

        if (parts.IsEmpty)
        {
            sink.Warn(PlacementCodes.NoParts, sink.Whole, "The list has columns but no line with a part; check what was exported.");
        }

        return new PlacementList { Source = source, Format = ArtworkFormat.Placement, Unit = unit, IsUnitAssumed = isAssumed, Parts = parts };
    }

    // What was decided about the layout, where another reading was possible.
    private static void Say(PlacementTable table, TextLines text, DiagnosticSink sink)
    {
        if (table.HeaderIndex < 0)
        {
            var columns = string.Join(", ", table.Columns.OrderBy(c => c.Index).Select(c => string.Create(CultureInfo.InvariantCulture, $"{c.Index + 1} {Words(c.Meaning.Kind)}")));
            sink.Warn(PlacementCodes.NoHeader, sink.Whole,
                $"No line names the columns, so they were told by their content: {columns}. Is that right? If not, add a first line that names them, such as: Ref,X (mm),Y (mm),Rotation,Side.");
            return;
        }

        var header = text.Lines[table.HeaderIndex];
        if (table.IsDelimiterDoubtful)
        {
            sink.Warn(PlacementCodes.DelimiterDoubtful, text.PlaceOf(header, 0),
                $"The line of names can be parted at a {table.Splitter.Name} or at another sign; the {table.Splitter.Name} was taken because it gives more known names. If that is wrong, save the list with one separator only.");
        }

        foreach (var kind in (ReadOnlySpan<ColumnKind>)[ColumnKind.X, ColumnKind.Y, ColumnKind.Rotation, ColumnKind.Side, ColumnKind.Reference])
        {
            var all = table.All(kind).ToList();
            if (all.Count > 1 && all[1].Meaning.Rank == all[0].Meaning.Rank)
            {
                sink.Warn(PlacementCodes.ColumnDoubtful, text.PlaceOf(header, 0),
                    $"Which column is the {Words(kind)}: '{DiagnosticSink.Shown(all[0].Name)}' or '{DiagnosticSink.Shown(all[1].Name)}'? The first was taken; to choose the other, rename or remove the first.");
            }
        }
    }

    internal static string Words(ColumnKind kind) => kind switch
    {
        ColumnKind.Reference => "part",
        ColumnKind.X => "x",
        ColumnKind.Y => "y",
        ColumnKind.Rotation => "rotation",
        ColumnKind.Side => "side",
        ColumnKind.Mirror => "mirror",
        ColumnKind.Value => "value",
        ColumnKind.Package => "package",
        _ => "unknown",
    };
}

/// <summary>What comments and preambles state about the whole list.</summary>
/// <param name="Unit">The unit of lengths; null when they state none.</param>
/// <param name="UnitLine">Index of the line that states it.</param>
/// <param name="IsTop">The side of all parts; null when they state none.</param>
internal readonly record struct PlacementStatements(ListUnit? Unit, int UnitLine, bool? IsTop)
{
    /// <summary>Searches the lines before the header, and comments anywhere near the beginning.</summary>
    public static PlacementStatements Find(IReadOnlyList<TextLine> lines, int headerIndex)
    {
        var result = default(PlacementStatements);
        for (var i = 0; i < Math.Min(lines.Count, HeaderFinder.SearchedLines); i++)
        {
            var text = lines[i].Text;
            if (i == headerIndex || text.Length > 400 || (i > headerIndex && !HeaderFinder.IsAside(text, delimiterIsSemicolon: true)))
            {
                continue;
            }

            var words = Words(text);
            for (var j = 0; j + 1 < words.Count; j++)
            {
                if (result.Unit is null && IsAboutUnits(words[j]) && UnitAfter(words, j) is { } unit)
                {
                    result = result with { Unit = unit, UnitLine = i };
                }
                else if (result.IsTop is null && words[j] is "side" or "seite" or "face" && words.Count <= 4)
                {
                    result = result with { IsTop = SideWords.Read(words[j + 1]) };
                }
            }
        }

        return result;
    }

    private static bool IsAboutUnits(string word) =>
        word.StartsWith("unit", StringComparison.Ordinal) || word.EndsWith("units", StringComparison.Ordinal) || word.StartsWith("einheit", StringComparison.Ordinal)
        || word is "dimensions" or "dimension" or "coordinates" or "koordinaten" or "coordonnées" or "maße" or "unité" or "unités" or "values" or "lengths";

    private static ListUnit? UnitAfter(List<string> words, int at)
    {
        for (var i = at + 1; i < Math.Min(words.Count, at + 5); i++)
        {
            // "in" is a preposition unless nothing follows.
            if (words[i] == "in" && i + 1 < words.Count && ListUnit.Find(words[i + 1]) is not null)
            {
                continue;
            }

            if (ListUnit.Find(words[i]) is { } unit)
            {
                return unit;
            }
        }

        return null;
    }

    private static List<string> Words(string text)
    {
        var words = new List<string>();
        foreach (var range in text.AsSpan().SplitAny(" \t:=,;#|*/()[]\"'."))
        {
            if (!text.AsSpan()[range].IsEmpty)
            {
                words.Add(text[range].ToLowerInvariant());
            }
        }

        return words;
    }
}
