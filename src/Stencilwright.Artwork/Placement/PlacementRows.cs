using System.Globalization;

namespace Stencilwright.Artwork.Placement;

/// <summary>A line of a list whose cells have been assigned to the columns.</summary>
/// <param name="Line">The line.</param>
/// <param name="Cells">As many as the header has names.</param>
internal readonly record struct PlacementRow(TextLine Line, List<Cell> Cells);

/// <summary>Parts the lines of a list into rows; what is no row is passed over or left out with a word.</summary>
internal sealed class PlacementRows(PlacementTable table, TextLines text, DiagnosticSink sink, ReadLimits limits)
{
    private const int LongestLine = 64 * 1024;
    private const int CancellationInterval = 4096;

    private readonly int _reference = table.Find(ColumnKind.Reference)!.Value.Index;
    private readonly int _x = table.Find(ColumnKind.X)!.Value.Index;
    private readonly int _y = table.Find(ColumnKind.Y)!.Value.Index;
    private readonly int _side = table.Find(ColumnKind.Side)?.Index ?? -1;

    public List<PlacementRow> Rows { get; } = [];

    public void Collect(CancellationToken cancellationToken)
    {
        var lines = text.Lines;
        for (var i = table.HeaderIndex + 1; i < lines.Count; i++)
        {
            if ((i & (CancellationInterval - 1)) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            if (Rows.Count >= limits.MaxObjects)
            {
                sink.Error(PlacementCodes.LimitReached, text.PlaceOf(lines[i], 0), string.Create(CultureInfo.InvariantCulture, $"More than {limits.MaxObjects} parts; the rest was not read. Give the list of one board."));
                return;
            }

            Take(lines[i], i == lines.Count - 1 && !text.EndsWithLineEnd && !text.IsCut);
        }
    }

    private void Take(TextLine line, bool isCutOff)
    {
        if (HeaderFinder.IsAside(line.Text, delimiterIsSemicolon: table.Splitter.Name == "semicolon") || line.Text.AsSpan().Trim().SequenceEqual(table.Header))
        {
            return;
        }

        if (line.Text.Length > LongestLine)
        {
            sink.Error(PlacementCodes.LimitReached, text.PlaceOf(line, 0), string.Create(CultureInfo.InvariantCulture, $"The line is longer than {LongestLine} characters and was left out; check that the file is a placement list."));
            return;
        }

        var cells = table.Splitter.Split(line.Text, out var hasOpenQuote);
        if (hasOpenQuote)
        {
            sink.Warn(PlacementCodes.QuoteOpen, text.PlaceOf(line, line.Text.IndexOf('"', StringComparison.Ordinal)), "A quotation mark has no partner in this line and was taken as a sign of the text; check the line.");
        }

        while (cells.Count > table.CellCount && cells[^1].Text.Length == 0)
        {
            cells.RemoveAt(cells.Count - 1);
        }

        if (cells.TrueForAll(static c => c.Text.Length == 0))
        {
            return;
        }

        if (Fit(cells) is { } fitting)
        {
            Rows.Add(new PlacementRow(line, fitting));
            return;
        }

        var (code, why) = isCutOff && cells.Count < table.CellCount
            ? (PlacementCodes.CutShort, "the file ends in the middle of this line, which was left out; it may be cut short, so export it again")
            : (PlacementCodes.LineLeftOut, cells.Count > table.CellCount ? "and a separator inside a name or a number makes it doubtful which is which; put such cells in quotation marks" : "so its place is missing; complete or remove the line");
        sink.Warn(code, text.PlaceOf(line, 0), string.Create(CultureInfo.InvariantCulture, $"The line has {cells.Count} cells where the list has {table.CellCount} columns, {why}."));
    }

    // Cells too many: text with separators stands before or behind the numbers. Where the side's word and both numbers stand tells.
    private List<Cell>? Fit(List<Cell> cells)
    {
        var extra = cells.Count - table.CellCount;
        if (extra == 0)
        {
            return cells;
        }

        if (extra < 0)
        {
            return cells.Count > Math.Max(_reference, Math.Max(_x, _y)) ? Padded(cells) : null;
        }

        if (_side < 0)
        {
            return null;
        }

        if (IsSound(cells, 0))
        {
            return cells.GetRange(0, table.CellCount);
        }

        var first = Math.Min(_x, Math.Min(_y, _side));
        if (_reference + 1 >= first || !IsSound(cells, extra))
        {
            return null;
        }

        // The part is named by the first cells, numbers and side by the last; what lies between is left unsaid.
        var result = new List<Cell>(table.CellCount);
        for (var i = 0; i < table.CellCount; i++)
        {
            result.Add(i <= _reference ? cells[i] : i < first ? new Cell(cells[i].Start, "") : cells[i + extra]);
        }

        return result;
    }

    private bool IsSound(List<Cell> cells, int shift) => SideWords.Read(cells[_side + shift].Text) is not null
        && NumberText.IsNumber(cells[_x + shift].Text) && NumberText.IsNumber(cells[_y + shift].Text);

    private List<Cell> Padded(List<Cell> cells)
    {
        while (cells.Count < table.CellCount)
        {
            cells.Add(new Cell(cells[^1].Start, ""));
        }

        return cells;
    }
}
