using System.Buffers;

namespace Stencilwright.Artwork.Placement;

/// <summary>A column that was recognised.</summary>
/// <param name="Index">Zero-based among the cells.</param>
/// <param name="Name">As the header writes it; empty without a header.</param>
/// <param name="Meaning">What it holds.</param>
internal readonly record struct TableColumn(int Index, string Name, ColumnMeaning Meaning);

/// <summary>How a list is laid out: what parts its cells, and which column holds what.</summary>
internal sealed class PlacementTable
{
    public required CellSplitter Splitter { get; init; }

    /// <summary>Recognised columns, the best name first within a kind.</summary>
    public required List<TableColumn> Columns { get; init; }

    /// <summary>Cells of a line as the header has them.</summary>
    public required int CellCount { get; init; }

    /// <summary>Index of the header among the lines; -1 without one.</summary>
    public required int HeaderIndex { get; init; }

    /// <summary>The header's text; empty without one.</summary>
    public string Header { get; init; } = "";

    /// <summary>True when another sign parts the header into usable names too.</summary>
    public bool IsDelimiterDoubtful { get; init; }

    /// <summary>Kinds that are there.</summary>
    public int KindCount { get; private set; }

    /// <summary>The column that holds a kind; null when none does.</summary>
    public TableColumn? Find(ColumnKind kind)
    {
        foreach (var column in Columns)
        {
            if (column.Meaning.Kind == kind)
            {
                return column;
            }
        }

        return null;
    }

    /// <summary>All columns of a kind, the best first.</summary>
    public IEnumerable<TableColumn> All(ColumnKind kind) => Columns.Where(c => c.Meaning.Kind == kind);

    /// <summary>Sorts the columns and gives a word such as "component" beside a better name for the part to what it then means.</summary>
    public void Settle()
    {
        // A stable order: by rank, then by place in the line.
        Columns.Sort(static (a, b) => (a.Meaning.Rank, a.Index).CompareTo((b.Meaning.Rank, b.Index)));
        var kinds = 0;
        foreach (var column in Columns)
        {
            kinds |= 1 << (int)column.Meaning.Kind;
        }

        var isNamed = false;
        for (var i = 0; i < Columns.Count; i++)
        {
            var (kind, rank) = (Columns[i].Meaning.Kind, Columns[i].Meaning.Rank);
            if (kind == ColumnKind.Reference && isNamed && rank > 0)
            {
                var free = (kinds & (1 << (int)ColumnKind.Package)) == 0 ? ColumnKind.Package
                    : (kinds & (1 << (int)ColumnKind.Value)) == 0 ? ColumnKind.Value : ColumnKind.None;
                Columns[i] = Columns[i] with { Meaning = new ColumnMeaning(free, 9, null) };
                kinds |= 1 << (int)free;
            }

            isNamed |= kind == ColumnKind.Reference;
        }

        KindCount = int.PopCount(kinds & ~1);
    }
}

/// <summary>Finds the line that names the columns.</summary>
internal static class HeaderFinder
{
    /// <summary>Lines searched: preambles are shorter.</summary>
    public const int SearchedLines = 400;

    private const int LongestHeader = 8000;
    private const int LinesLookedAt = 500;

    private static readonly SearchValues<char> _ruleSigns = SearchValues.Create("-=_+*|:~ \t");

    /// <summary>The layout, from the first line that names a part, an x and a y; null when there is none.</summary>
    public static PlacementTable? Find(IReadOnlyList<TextLine> lines)
    {
        for (var i = 0; i < Math.Min(lines.Count, SearchedLines); i++)
        {
            var text = lines[i].Text;
            if (text.Length is >= 5 and <= LongestHeader && text.AsSpan().ContainsAny("xX") && text.AsSpan().ContainsAny("yY")
                && Best(Uncommented(text), i, lines) is { } table)
            {
                return table;
            }
        }

        return null;
    }

    /// <summary>Whether a line is a comment, a rule or empty.</summary>
    /// <param name="text">The line.</param>
    /// <param name="delimiterIsSemicolon">Then a semicolon begins no comment.</param>
    public static bool IsAside(string text, bool delimiterIsSemicolon)
    {
        var start = text.AsSpan().Trim();
        return start.IsEmpty || start[0] is '#' or '!' or '%' || start.StartsWith("//") || (start[0] == ';' && !delimiterIsSemicolon)
            || (start[0] == '*' && start.Length > 1 && start[1] is '*' or ' ')
            || !start.ContainsAnyExcept(_ruleSigns);
    }

    // A header behind a comment's sign is a header all the same; positions stay.
    private static string Uncommented(string text)
    {
        var start = text.AsSpan().IndexOfAnyExcept(' ', '\t');
        if (start < 0 || text[start] is not ('#' or ';' or '!' or '/' or '*' or '%'))
        {
            return text;
        }

        var end = start;
        while (end < text.Length && text[end] is '#' or ';' or '!' or '/' or '*' or '%')
        {
            end++;
        }

        return string.Concat(new string(' ', end), text.AsSpan(end));
    }

    private static PlacementTable? Best(string header, int index, IReadOnlyList<TextLine> lines)
    {
        PlacementTable? best = null;
        var (usable, fewest) = (0, 0);
        foreach (var delimiter in CellSplitter.Delimiters)
        {
            if (!header.Contains(delimiter, StringComparison.Ordinal))
            {
                continue;
            }

            var splitter = CellSplitter.At(delimiter);
            var cells = splitter.Split(header, out _);
            var table = Make(splitter, cells, index, header);
            if (!IsUsable(table))
            {
                continue;
            }

            usable++;
            var unknown = cells.Count - table.Columns.Count;
            if (best is null || table.KindCount > best.KindCount || (table.KindCount == best.KindCount && unknown < fewest))
            {
                (best, fewest) = (table, unknown);
            }
        }

        return best is null ? Blank(header, index, lines)
            : usable == 1 ? best
            : Make(best.Splitter, best.Splitter.Split(header, out _), index, header, isDoubtful: true);
    }

    private static PlacementTable Make(CellSplitter splitter, List<Cell> cells, int index, string header, bool isDoubtful = false)
    {
        var columns = new List<TableColumn>();
        for (var i = 0; i < cells.Count; i++)
        {
            if (ColumnNames.Read(cells[i].Text) is { Kind: not ColumnKind.None } meaning)
            {
                columns.Add(new TableColumn(i, cells[i].Text, meaning));
            }
        }

        var table = new PlacementTable
        {
            Splitter = splitter,
            Columns = columns,
            CellCount = cells.Count,
            HeaderIndex = index,
            Header = header.Trim(),
            IsDelimiterDoubtful = isDoubtful,
        };
        table.Settle();
        return table;
    }

    // A part and both coordinates make a list; a sentence that happens to hold the words has no third thing.
    private static bool IsUsable(PlacementTable table) =>
        table.Find(ColumnKind.Reference) is not null && table.Find(ColumnKind.X) is not null && table.Find(ColumnKind.Y) is not null;

    private static PlacementTable? Blank(string header, int index, IReadOnlyList<TextLine> lines)
    {
        var words = CellSplitter.At(' ').Split(header, out _);
        if (words.Count < 3)
        {
            return null;
        }

        // Names of several words may or may not be meant: of both readings the one with fewer unknown names counts.
        PlacementTable? best = null;
        List<Cell>? names = null;
        foreach (var reading in (ReadOnlySpan<List<Cell>>)[words, Joined(header, words)])
        {
            var table = Make(CellSplitter.At(' '), reading, index, header);
            if (IsUsable(table) && (best is null || reading.Count - table.Columns.Count < names!.Count - best.Columns.Count))
            {
                (best, names) = (table, reading);
            }
        }

        // Words of a sentence: more unknown ones than known ones.
        if (best is null || names!.Count > 2 * best.Columns.Count || best.KindCount < 4)
        {
            return null;
        }

        return Cuts(header, names, index, lines) is { } cuts ? Make(CellSplitter.Aligned(cuts), names, index, header) : best;
    }

    private static List<Cell> Joined(string header, List<Cell> words)
    {
        var names = new List<Cell>(words.Count);
        for (var i = 0; i < words.Count; i++)
        {
            var last = i;
            for (var j = Math.Min(i + 2, words.Count - 1); j > i; j--)
            {
                var text = header[words[i].Start..(words[j].Start + words[j].Text.Length)];
                if (!text.Contains("  ", StringComparison.Ordinal) && ColumnNames.Read(text).Kind != ColumnKind.None)
                {
                    last = j;
                    break;
                }
            }

            var end = Math.Min(header.Length, words[last].Start + words[last].Text.Length);
            names.Add(new Cell(words[i].Start, header[words[i].Start..end]));
            i = last;
        }

        return names;
    }

    // Between two names, the last place before which every line has a blank.
    private static int[]? Cuts(string header, List<Cell> names, int index, IReadOnlyList<TextLine> lines)
    {
        var rows = new List<string>();
        for (var i = index + 1; i < Math.Min(lines.Count, index + LinesLookedAt); i++)
        {
            if (!IsAside(lines[i].Text, delimiterIsSemicolon: false))
            {
                rows.Add(lines[i].Text);
            }
        }

        var cuts = new int[names.Count - 1];
        for (var i = 0; i < cuts.Length; i++)
        {
            var end = Math.Min(header.Length, names[i].Start + names[i].Text.Length);
            cuts[i] = -1;
            for (var cut = names[i + 1].Start; cut > end && cuts[i] < 0; cut--)
            {
                if (rows.TrueForAll(row => row.Length < cut || char.IsWhiteSpace(row[cut - 1])))
                {
                    cuts[i] = cut;
                }
            }

            if (cuts[i] < 0)
            {
                return null;
            }
        }

        return rows.Count > 0 ? cuts : null;
    }
}
