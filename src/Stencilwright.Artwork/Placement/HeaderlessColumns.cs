namespace Stencilwright.Artwork.Placement;

/// <summary>Decides by their content what the columns of a list without a header hold.</summary>
internal static class HeaderlessColumns
{
    private const int LinesLookedAt = 300;
    private const double Most = 0.8;

    /// <summary>The layout; null when the lines are no list of parts.</summary>
    public static PlacementTable? Find(IReadOnlyList<TextLine> lines)
    {
        PlacementTable? best = null;
        foreach (var delimiter in (ReadOnlySpan<char>)['\t', ';', ',', '|', ' '])
        {
            var splitter = CellSplitter.At(delimiter);
            var rows = RowsOf(lines, splitter, delimiter == ';');
            if (rows.Count > 0 && Decide(splitter, rows) is { } table && (best is null || table.KindCount > best.KindCount))
            {
                best = table;
            }
        }

        return best;
    }

    // Lines of the commonest number of cells; none when too many lines differ.
    private static List<List<Cell>> RowsOf(IReadOnlyList<TextLine> lines, CellSplitter splitter, bool isSemicolon)
    {
        var rows = new List<List<Cell>>();
        var counts = new Dictionary<int, int>();
        for (var i = 0; i < Math.Min(lines.Count, LinesLookedAt); i++)
        {
            if (HeaderFinder.IsAside(lines[i].Text, isSemicolon) || lines[i].Text.Length > 4000)
            {
                continue;
            }

            var cells = splitter.Split(lines[i].Text, out _);
            rows.Add(cells);
            counts[cells.Count] = counts.GetValueOrDefault(cells.Count) + 1;
        }

        var (common, count) = (0, 0);
        foreach (var (cells, n) in counts)
        {
            if (n > count || (n == count && cells > common))
            {
                (common, count) = (cells, n);
            }
        }

        var isTable = common >= 4 && count >= 2 && count >= rows.Count * Most;
        return isTable ? rows.FindAll(r => r.Count == common) : [];
    }

    private static PlacementTable? Decide(CellSplitter splitter, List<List<Cell>> rows)
    {
        var count = rows[0].Count;
        var columns = new List<TableColumn>();
        var (numbers, texts) = (new List<int>(), new List<int>());
        var reference = -1;
        for (var i = 0; i < count; i++)
        {
            if (reference < 0 && Share(rows, i, static c => IsReference(c.Text)) >= Most && Distinct(rows, i) >= rows.Count * 0.9)
            {
                reference = i;
            }
            else if (Share(rows, i, static c => SideWords.Read(c.Text) is not null) >= Most && Share(rows, i, static c => NumberText.IsNumber(c.Text)) < Most)
            {
                Add(columns, i, ColumnKind.Side);
            }
            else if (Share(rows, i, static c => NumberText.IsNumber(c.Text)) >= Most)
            {
                numbers.Add(i);
            }
            else
            {
                texts.Add(i);
            }
        }

        if (reference < 0 || numbers.Count < 2)
        {
            return null;
        }

        Add(columns, reference, ColumnKind.Reference);
        AddNumbers(columns, rows, numbers);
        AddTexts(columns, rows, texts);
        var table = new PlacementTable { Splitter = splitter, Columns = columns, CellCount = count, HeaderIndex = -1 };
        table.Settle();
        return table;
    }

    private static void AddNumbers(List<TableColumn> columns, List<List<Cell>> rows, List<int> numbers)
    {
        // Angles are mostly steps of 45 degrees; of several such columns the last, because lists end with the angle.
        var rotation = -1;
        foreach (var i in numbers)
        {
            if (numbers.Count > 2 && Share(rows, i, static c => IsRightAngle(c.Text)) >= Most)
            {
                rotation = i;
            }
        }

        if (rotation >= 0)
        {
            Add(columns, rotation, ColumnKind.Rotation);
        }

        numbers.Remove(rotation);
        Add(columns, numbers[0], ColumnKind.X);
        Add(columns, numbers[1], ColumnKind.Y);
    }

    // Packages repeat more than values do.
    private static void AddTexts(List<TableColumn> columns, List<List<Cell>> rows, List<int> texts)
    {
        if (texts.Count == 0)
        {
            return;
        }

        var package = texts[0];
        foreach (var i in texts)
        {
            package = Distinct(rows, i) < Distinct(rows, package) ? i : package;
        }

        Add(columns, package, ColumnKind.Package);
        var value = texts.FindIndex(i => i != package);
        if (value >= 0)
        {
            Add(columns, texts[value], ColumnKind.Value);
        }
    }

    private static void Add(List<TableColumn> columns, int index, ColumnKind kind) =>
        columns.Add(new TableColumn(index, "", new ColumnMeaning(kind, 0, null)));

    private static double Share(List<List<Cell>> rows, int column, Func<Cell, bool> test) => rows.Count(r => test(r[column])) / (double)rows.Count;

    private static int Distinct(List<List<Cell>> rows, int column) => rows.Select(r => r[column].Text).Distinct(StringComparer.Ordinal).Count();

    // One to four letters and a number: R1, LED12, TP3A.
    private static bool IsReference(string text)
    {
        var letters = 0;
        while (letters < text.Length && char.IsLetter(text[letters]))
        {
            letters++;
        }

        return letters is >= 1 and <= 5 && letters < text.Length && text.Length <= letters + 6 && char.IsAsciiDigit(text[letters])
            && text.AsSpan(letters).IndexOfAnyExceptInRange('0', '9') is -1 or > 0;
    }

    private static bool IsRightAngle(string text) =>
        NumberText.TryAngle(text, CommaMeaning.Decimal, out var degrees) && Math.Abs(degrees) <= 360 && Math.IEEERemainder(degrees, 45) == 0;
}

/// <summary>What lists call the two sides.</summary>
internal static class SideWords
{
    /// <summary>True for the top, false for the bottom, null for a word that means neither.</summary>
    public static bool? Read(string text)
    {
        Span<char> word = stackalloc char[24];
        var n = 0;
        foreach (var c in text)
        {
            if (char.IsLetterOrDigit(c))
            {
                if (n == word.Length)
                {
                    return null;
                }

                word[n++] = char.ToLowerInvariant(c);
            }
        }

        return word[..n] switch
        {
            "t" or "top" or "toplayer" or "topside" or "f" or "front" or "frontside" or "fcu" or "componentside" or "compside" or "cs" or "primary" or "primaryside" or "upper"
                or "oben" or "oberseite" or "bestückungsseite" or "haut" or "dessus" or "facesupérieure" or "topcopper" or "topcomponents" or "arriba" => true,
            "b" or "bot" or "bottom" or "bottomlayer" or "bottomside" or "botlayer" or "back" or "backside" or "bcu" or "solderside" or "ss" or "secondary" or "secondaryside" or "lower"
                or "unten" or "unterseite" or "lötseite" or "bas" or "dessous" or "faceinférieure" or "bottomcopper" or "bottomcomponents" or "abajo" => false,
            _ => null,
        };
    }

    /// <summary>True for a word that says mirrored, so the bottom; null for one that says neither.</summary>
    public static bool? IsMirrored(string text) => text.Trim().ToLowerInvariant() switch
    {
        "1" or "y" or "yes" or "true" or "m" or "mirror" or "mirrored" or "ja" or "oui" or "x" => true,
        "0" or "n" or "no" or "false" or "" or "-" or "nein" or "non" or "none" => false,
        _ => null,
    };
}
