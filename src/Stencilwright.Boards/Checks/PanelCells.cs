using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Divides a panel of one outline into the rectangles between the lines and cut-outs that part its boards.</summary>
/// <remarks>
/// Scored panels have lines on the outline layer, routed ones slots. What runs across at least a third of the panel parts
/// it, and the rectangles between neighbouring partings are boards, rails and gaps; which are which is told by what they hold.
/// </remarks>
internal static class PanelCells
{
    private const double SameLineMm = 0.05;

    // Slots are interrupted by tabs, and may part one row only.
    private const double LeastAcross = 1.0 / 3;

    // More lines than this are a drawing and not a panel.
    private const int MostLines = 100;

    /// <summary>The rectangles; empty when nothing parts the panel.</summary>
    public static List<Contour> Of(BoardOutline outline, PaintedLayer? artwork)
    {
        var partings = Partings(outline, artwork);
        var (columns, rows) = (Lines(partings, outline.Shape.Bounds, true), Lines(partings, outline.Shape.Bounds, false));
        var cells = new List<Contour>();
        if (columns.Count * rows.Count <= 4 || columns.Count > MostLines || rows.Count > MostLines)
        {
            return cells;
        }

        for (var row = 0; row + 1 < rows.Count; row++)
        {
            for (var column = 0; column + 1 < columns.Count; column++)
            {
                cells.Add(Contour.Rectangle(new Bounds2(columns[column], rows[row], columns[column + 1], rows[row + 1])));
            }
        }

        return cells;
    }

    private static List<Bounds2> Partings(BoardOutline outline, PaintedLayer? artwork)
    {
        var boxes = new List<Bounds2>();
        foreach (var contour in outline.Shape.Contours)
        {
            if (contour.SignedAreaMm2 < 0)
            {
                boxes.Add(contour.Bounds);
            }
        }

        for (var i = 0; artwork is not null && i < artwork.Objects.Length; i++)
        {
            if (artwork.Objects[i].CenterLine is { IsLine: true } line
                && line.Bounds is var box && Math.Min(box.Width, box.Height) <= SameLineMm)
            {
                boxes.Add(box);
            }
        }

        return boxes;
    }

    // Where the panel is parted, ascending, its own ends included.
    private static List<double> Lines(List<Bounds2> partings, Bounds2 panel, bool isX)
    {
        var (panelLow, panelHigh) = isX ? (panel.MinX, panel.MaxX) : (panel.MinY, panel.MaxY);
        var sides = new List<(double At, double From, double To)>();
        foreach (var box in partings)
        {
            var (low, high, from, to) = isX ? (box.MinX, box.MaxX, box.MinY, box.MaxY) : (box.MinY, box.MaxY, box.MinX, box.MaxX);
            if (to - from > high - low && low > panelLow + SameLineMm && high < panelHigh - SameLineMm)
            {
                sides.Add((low, from, to));
                if (high - low > SameLineMm)
                {
                    sides.Add((high, from, to));
                }
            }
        }

        sides.Sort();
        var lines = new List<double> { panelLow };
        for (var i = 0; i < sides.Count;)
        {
            var first = i;
            while (i < sides.Count && sides[i].At - sides[first].At <= SameLineMm)
            {
                i++;
            }

            if (Covered(sides.GetRange(first, i - first)) >= LeastAcross * (isX ? panel.Height : panel.Width))
            {
                lines.Add(sides[first].At);
            }
        }

        lines.Add(panelHigh);
        return lines;
    }

    private static double Covered(List<(double At, double From, double To)> sides)
    {
        sides.Sort(static (a, b) => a.From.CompareTo(b.From));
        var (sum, end) = (0.0, double.NegativeInfinity);
        foreach (var (_, from, to) in sides)
        {
            sum += Math.Max(0, to - Math.Max(from, end));
            end = Math.Max(end, to);
        }

        return sum;
    }
}
