using System.Globalization;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Recognises a panel whose outline is one loop by its openings, which repeat as a whole in columns and rows.</summary>
/// <remarks>
/// A step is one that takes every opening to another one, or from another one. The copies must lie apart, each in its
/// own cell, be equally many for every opening, and leave nothing over. A line or a cut-out must part every column, and
/// every row, from the next: without it a strip of equal lamps would be a panel too.
/// </remarks>
internal static class PanelRepeats
{
    private const double NearlyAll = 0.98;

    // For a first look at a step, before all openings are asked.
    private const int FirstLook = 100;
    private const int MostSteps = 400;

    // What repeats and holds less is a part, not a board.
    private const int FewestOpenings = 4;

    public static PanelLayout? Find(BoardOutline? outline, PaintedLayer? artwork, OpeningPattern pattern)
    {
        if (outline is null || pattern.Items.Length < 2 * FewestOpenings || pattern.Sizes() is not [{ Count: > 1 } rarest, ..])
        {
            return null;
        }

        var (stepX, stepY) = Steps(pattern, rarest);
        var columns = stepX > 0 ? CountAlong(pattern, new Vector2(stepX, 0)) : 1;
        var rows = stepY > 0 ? CountAlong(pattern, new Vector2(0, stepY)) : 1;
        if (columns * rows < 2)
        {
            return null;
        }

        var first = FirstCopy(pattern, stepX, stepY);
        if (first.Count < FewestOpenings || first.Count * columns * rows < NearlyAll * pattern.Items.Length)
        {
            return null;
        }

        var box = first.Aggregate(Bounds2.Empty, (b, i) => Bounds2.Union(b, pattern.Items[i].Box));
        var partings = new Partings(outline, artwork);
        if (partings.Along(true, box.MinX, box.MaxX, stepX, columns) is not var (left, right)
            || partings.Along(false, box.MinY, box.MaxY, stepY, rows) is not var (low, high))
        {
            return null;
        }

        var board = Region.Of(Contour.Rectangle(new Bounds2(left, low, right, high)));
        var middles = new List<Point2>();
        for (var i = 0; i < columns * rows; i++)
        {
            middles.Add(board.Bounds.Center + new Vector2(stepX * (i % columns), stepY * (i / columns)));
        }

        return PanelLayout.Of(middles, board, false, string.Create(
            CultureInfo.InvariantCulture, $"{first.Count} openings repeat as a whole between lines or cut-outs that part the boards"));
    }

    // The least step along x and along y that takes all openings to others.
    private static (double X, double Y) Steps(OpeningPattern pattern, List<int> rarest)
    {
        var anchor = rarest.MinBy(i => (pattern.Items[i].At.Y, pattern.Items[i].At.X));
        var from = pattern.Items[anchor].At;
        double x = 0, y = 0;
        foreach (var move in rarest.Select(i => pattern.Items[i].At - from).OrderBy(m => Math.Abs(m.X) + Math.Abs(m.Y)).Take(MostSteps))
        {
            var (alongX, alongY) = (Math.Abs(move.Y) < 0.03 && Math.Abs(move.X) > 1, Math.Abs(move.X) < 0.03 && Math.Abs(move.Y) > 1);
            if (alongX && x == 0 && IsStep(pattern, new Vector2(move.X, 0)))
            {
                x = Math.Abs(move.X);
            }
            else if (alongY && y == 0 && IsStep(pattern, new Vector2(0, move.Y)))
            {
                y = Math.Abs(move.Y);
            }
        }

        return (x, y);
    }

    private static bool IsStep(OpeningPattern pattern, Vector2 step)
    {
        var (forth, back) = (Affine2.Translation(step.X, step.Y), Affine2.Translation(-step.X, -step.Y));
        return pattern.ShareMoved(forth, back, FirstLook) >= NearlyAll && pattern.ShareMoved(forth, back, int.MaxValue) >= NearlyAll;
    }

    // How many copies lie in a line; 0 when that differs from opening to opening, as with repeated parts.
    private static int CountAlong(OpeningPattern pattern, Vector2 step)
    {
        var (forth, back) = (Affine2.Translation(step.X, step.Y), Affine2.Translation(-step.X, -step.Y));
        var counts = new SortedDictionary<int, int>();
        for (var i = 0; i < pattern.Items.Length; i++)
        {
            if (pattern.Find(pattern.Items[i].Mapped(back)) >= 0)
            {
                continue;
            }

            var length = 1;
            for (var at = pattern.Find(pattern.Items[i].Mapped(forth)); at >= 0 && length <= pattern.Items.Length; length++)
            {
                at = pattern.Find(pattern.Items[at].Mapped(forth));
            }

            counts[length] = counts.GetValueOrDefault(length) + length;
        }

        var most = counts.MaxBy(c => c.Value);
        return most.Value >= NearlyAll * pattern.Items.Length ? most.Key : 0;
    }

    private static List<int> FirstCopy(OpeningPattern pattern, double stepX, double stepY)
    {
        var first = new List<int>();
        for (var i = 0; i < pattern.Items.Length; i++)
        {
            var item = pattern.Items[i];
            if ((stepX == 0 || pattern.Find(item.Mapped(Affine2.Translation(-stepX, 0))) < 0)
                && (stepY == 0 || pattern.Find(item.Mapped(Affine2.Translation(0, -stepY))) < 0))
            {
                first.Add(i);
            }
        }

        return first;
    }

    /// <summary>Lines and cut-outs that may part boards.</summary>
    private sealed class Partings
    {
        private readonly Bounds2 _panel;
        private readonly List<Bounds2> _boxes = [];

        public Partings(BoardOutline outline, PaintedLayer? artwork)
        {
            _panel = outline.Shape.Bounds;
            foreach (var contour in outline.Shape.Contours)
            {
                if (contour.SignedAreaMm2 < 0)
                {
                    _boxes.Add(contour.Bounds);
                }
            }

            for (var i = 0; artwork is not null && i < artwork.Objects.Length; i++)
            {
                if (artwork.Objects[i].CenterLine is { } line)
                {
                    _boxes.Add(line.Bounds);
                }
            }
        }

        /// <summary>Ends of the first cell in one direction; null when the copies overlap or nothing parts them.</summary>
        public (double Low, double High)? Along(bool isX, double low, double high, double step, int count)
        {
            var (panelLow, panelHigh) = isX ? (_panel.MinX, _panel.MaxX) : (_panel.MinY, _panel.MaxY);
            if (count == 1)
            {
                return (panelLow, panelHigh);
            }

            if (high - low >= step)
            {
                return null;
            }

            (double Low, double High)? cell = null;
            for (var k = 0; k + 1 < count; k++)
            {
                var (from, to) = (high + (k * step), low + ((k + 1) * step));
                if (Gap(isX, from, to) is not var (leftLine, rightLine))
                {
                    return null;
                }

                // The first board ends at the gap's first line and begins one step before the gap's last.
                cell ??= (rightLine - step, leftLine);
            }

            return cell;
        }

        // First and last parting between two places, when partings cover at least a third of the panel across.
        private (double First, double Last)? Gap(bool isX, double from, double to)
        {
            var (first, last) = (double.PositiveInfinity, double.NegativeInfinity);
            var covered = new List<(double From, double To)>();
            foreach (var box in _boxes)
            {
                var (low, high, sideLow, sideHigh) = isX ? (box.MinX, box.MaxX, box.MinY, box.MaxY) : (box.MinY, box.MaxY, box.MinX, box.MaxX);
                if (low >= from && high <= to && sideHigh - sideLow > high - low)
                {
                    (first, last) = (Math.Min(first, low), Math.Max(last, high));
                    covered.Add((sideLow, sideHigh));
                }
            }

            covered.Sort();
            var (sum, end) = (0.0, double.NegativeInfinity);
            foreach (var (start, stop) in covered)
            {
                sum += Math.Max(0, stop - Math.Max(start, end));
                end = Math.Max(end, stop);
            }

            return sum >= (isX ? _panel.Height : _panel.Width) / 3 ? (first, last) : null;
        }
    }
}
