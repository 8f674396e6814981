namespace Stencilwright.Artwork.Placement;

/// <summary>A cell of a line.</summary>
/// <param name="Start">Zero-based character at which it begins.</param>
/// <param name="Text">Without its quotes.</param>
internal readonly record struct Cell(int Start, string Text);

/// <summary>Parts lines into cells: at a sign, at white space, or at the columns of an aligned table.</summary>
internal sealed class CellSplitter
{
    private readonly char _delimiter;
    private readonly int[] _cuts;

    private CellSplitter(char delimiter, int[] cuts)
    {
        _delimiter = delimiter;
        _cuts = cuts;
    }

    /// <summary>Signs that part cells, the likeliest first.</summary>
    public static ReadOnlySpan<char> Delimiters => "\t;,|";

    /// <summary>In words.</summary>
    public string Name => _cuts.Length > 0 ? "aligned columns" : NameOf(_delimiter);

    /// <summary>True when cells are parted by a comma.</summary>
    public bool IsComma => _delimiter == ',';

    /// <summary>True when cells are parted by white space without more.</summary>
    public bool IsBlank => _delimiter == ' ' && _cuts.Length == 0;

    /// <summary>Parts at a sign; a blank stands for any white space.</summary>
    public static CellSplitter At(char delimiter) => new(delimiter, []);

    /// <summary>Parts before each of the given characters.</summary>
    public static CellSplitter Aligned(int[] cuts) => new(' ', cuts);

    public static string NameOf(char delimiter) => delimiter switch
    {
        '\t' => "tab",
        ';' => "semicolon",
        ',' => "comma",
        '|' => "bar",
        _ => "white space",
    };

    /// <summary>The cells of a line.</summary>
    /// <param name="line">The line.</param>
    /// <param name="hasOpenQuote">True when a quotation mark at the beginning of a cell has no partner.</param>
    public List<Cell> Split(string line, out bool hasOpenQuote)
    {
        hasOpenQuote = false;
        return _cuts.Length > 0 ? Slice(line) : _delimiter == ' ' ? Blanks(line, ref hasOpenQuote) : Signs(line, ref hasOpenQuote);
    }

    private List<Cell> Slice(string line)
    {
        var cells = new List<Cell>(_cuts.Length + 1);
        for (var i = 0; i <= _cuts.Length; i++)
        {
            var from = Math.Min(i == 0 ? 0 : _cuts[i - 1], line.Length);
            var to = Math.Min(i == _cuts.Length ? line.Length : _cuts[i], line.Length);
            while (from < to && char.IsWhiteSpace(line[from]))
            {
                from++;
            }

            cells.Add(new Cell(from, Unquoted(line[from..to].TrimEnd())));
        }

        return cells;
    }

    private List<Cell> Signs(string line, ref bool hasOpenQuote)
    {
        var cells = new List<Cell>();
        var at = 0;
        while (true)
        {
            var start = at;
            while (start < line.Length && line[start] is ' ' && line[start] != _delimiter)
            {
                start++;
            }

            int end;
            if (start < line.Length && line[start] is '"' or '\'')
            {
                end = CloseOf(line, start, ref hasOpenQuote);
            }
            else
            {
                var length = line.AsSpan(at).IndexOf(_delimiter);
                end = length < 0 ? line.Length : at + length;
            }

            start = Math.Min(start, end);
            cells.Add(new Cell(start, Unquoted(line[start..end].TrimEnd())));
            if (end >= line.Length)
            {
                return cells;
            }

            at = end + 1;
        }
    }

    private int CloseOf(string line, int start, ref bool hasOpenQuote)
    {
        var end = CloseOf(line, start, isDoubledInside: true);
        end = end < 0 ? CloseOf(line, start, isDoubledInside: false) : end;
        if (end >= 0)
        {
            return end;
        }

        // An apostrophe is more often just that.
        hasOpenQuote |= line[start] == '"';
        var length = _delimiter == ' ' ? line.AsSpan(start).IndexOfAny(' ', '\t') : line.AsSpan(start).IndexOf(_delimiter);
        return length < 0 ? line.Length : start + length;
    }

    // A mark ends a quoted cell only where the cell can end, so that 0.05" SMD inside quotes stays whole; -1 when none does.
    private int CloseOf(string line, int start, bool isDoubledInside)
    {
        var mark = line[start];
        for (var i = start + 1; i < line.Length; i++)
        {
            if (line[i] != mark)
            {
                continue;
            }

            if (isDoubledInside && i + 1 < line.Length && line[i + 1] == mark)
            {
                i++;
                continue;
            }

            var after = i + 1;
            while (after < line.Length && line[after] == ' ' && _delimiter != ' ')
            {
                after++;
            }

            if (after == line.Length || line[after] == _delimiter || (_delimiter == ' ' && char.IsWhiteSpace(line[after])))
            {
                return after;
            }
        }

        return -1;
    }

    private List<Cell> Blanks(string line, ref bool hasOpenQuote)
    {
        var cells = new List<Cell>();
        var at = 0;
        while (at < line.Length)
        {
            if (char.IsWhiteSpace(line[at]))
            {
                at++;
                continue;
            }

            var end = at;
            if (line[at] == '"')
            {
                end = CloseOf(line, at, ref hasOpenQuote);
            }
            else
            {
                while (end < line.Length && !char.IsWhiteSpace(line[end]))
                {
                    end++;
                }
            }

            cells.Add(new Cell(at, Unquoted(line[at..end])));
            at = end;
        }

        return cells;
    }

    private static string Unquoted(string text)
    {
        if (text.Length < 2 || text[0] is not ('"' or '\'') || text[^1] != text[0])
        {
            return text;
        }

        var inner = text[1..^1];
        return (text[0] == '"' && inner.Contains("\"\"", StringComparison.Ordinal) ? inner.Replace("\"\"", "\"", StringComparison.Ordinal) : inner).Trim();
    }
}
