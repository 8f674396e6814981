using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Several copies of one board on one artwork, in columns and rows.</summary>
public sealed record PanelLayout
{
    /// <summary>Copies found; <see cref="Columns"/> × <see cref="Rows"/> unless places of the grid are empty.</summary>
    public required int Copies { get; init; }

    /// <summary>Columns, from left to right.</summary>
    public required int Columns { get; init; }

    /// <summary>Rows, from bottom to top.</summary>
    public required int Rows { get; init; }

    /// <summary>From one column to the next, millimetres; 0 when there is one.</summary>
    public required double StepXMm { get; init; }

    /// <summary>From one row to the next, millimetres; 0 when there is one.</summary>
    public required double StepYMm { get; init; }

    /// <summary>The copy that is kept as the one board: the lowest, and of those the leftmost.</summary>
    public required Region Board { get; init; }

    /// <summary>True when some copies are turned against others.</summary>
    public bool HasTurnedCopies { get; init; }

    /// <summary>How the copies were recognised, in words.</summary>
    public required string Why { get; init; }

    /// <summary>Extent of one board along x, millimetres.</summary>
    public double BoardWidthMm => Board.Bounds.Width;

    /// <summary>Extent of one board along y, millimetres.</summary>
    public double BoardHeightMm => Board.Bounds.Height;

    /// <summary>Keeps what belongs to the one board; nothing is moved.</summary>
    /// <param name="paste">The paste layer of either side.</param>
    /// <param name="outline">The panel's outline; null when none was found.</param>
    /// <returns>The paste layer with only the openings, and set-aside parts, whose middle lies on the board, and the board's own edge.</returns>
    public (PasteLayer Paste, BoardOutline Outline) OneBoard(PasteLayer paste, BoardOutline? outline)
    {
        ArgumentNullException.ThrowIfNull(paste);
        var kept = paste with
        {
            Openings = [.. paste.Openings.Where(o => Holds(o.Shape))],
            SetAside = [.. paste.SetAside.Where(s => Holds(s.Shape))],
        };
        return (kept, new BoardOutline(Board, outline?.File ?? "", $"one of {Copies} boards: {Why}"));
    }

    internal string Describe()
    {
        var grid = string.Create(CultureInfo.InvariantCulture, $"{Columns} × {Rows} boards of {BoardWidthMm:0.##} mm × {BoardHeightMm:0.##} mm");
        var steps = new List<string>();
        if (Columns > 1)
        {
            steps.Add(string.Create(CultureInfo.InvariantCulture, $"{StepXMm:0.###} mm from column to column"));
        }

        if (Rows > 1)
        {
            steps.Add(string.Create(CultureInfo.InvariantCulture, $"{StepYMm:0.###} mm from row to row"));
        }

        var missing = Copies == Columns * Rows ? "" : string.Create(CultureInfo.InvariantCulture, $", {Copies} places taken");
        var turned = HasTurnedCopies ? ", some of them turned" : "";
        return $"This is a panel of {grid} ({string.Join(" and ", steps)}{missing}{turned}; {Why}): the whole panel is cut unless one board is asked for.";
    }

    /// <summary>Makes a layout of places in a grid.</summary>
    /// <param name="middles">Middles of the copies.</param>
    /// <param name="board">The copy to keep.</param>
    /// <param name="turned">Whether some are turned.</param>
    /// <param name="why">How they were recognised.</param>
    internal static PanelLayout Of(IReadOnlyList<Point2> middles, Region board, bool turned, string why)
    {
        var xs = Lines(middles.Select(m => m.X));
        var ys = Lines(middles.Select(m => m.Y));
        return new PanelLayout
        {
            Copies = middles.Count,
            Columns = xs.Length,
            Rows = ys.Length,
            StepXMm = Step(xs),
            StepYMm = Step(ys),
            Board = board,
            HasTurnedCopies = turned,
            Why = why,
        };
    }

    private static double Step(ImmutableArray<double> lines) =>
        lines.Length < 2 ? 0 : Math.Round((lines[^1] - lines[0]) / (lines.Length - 1), 4);

    // Middles in one column may differ by rounding, and turned copies by a little more.
    private static ImmutableArray<double> Lines(IEnumerable<double> values)
    {
        var lines = ImmutableArray.CreateBuilder<double>();
        foreach (var value in values.Order())
        {
            if (lines.Count == 0 || value - lines[^1] > 0.5)
            {
                lines.Add(value);
            }
        }

        return lines.ToImmutable();
    }

    private bool Holds(Region shape) => Board.Bounds.Contains(shape.Bounds.Center)
        && Board.Contours.Any(c => c.SignedAreaMm2 > 0 && c.WindingNumber(shape.Bounds.Center) > 0);
}
