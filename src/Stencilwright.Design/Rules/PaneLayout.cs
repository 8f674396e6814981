using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>A pane and the share of the pad it stands for, in the pad's own frame.</summary>
/// <param name="Box">The pane.</param>
/// <param name="Cells">Its share: its own cell, and those of panes that found no room near it.</param>
internal readonly record struct Pane(Bounds2 Box, ImmutableArray<Bounds2> Cells);

/// <summary>Panes over a pad.</summary>
/// <param name="Panes">Row by row.</param>
/// <param name="Reached">Area of all panes over the pad's box.</param>
/// <param name="Dropped">Panes that found no room.</param>
/// <param name="Columns">Cells along the pad's length.</param>
/// <param name="Rows">Cells along its width.</param>
internal sealed record PanePlan(ImmutableArray<Pane> Panes, double Reached, int Dropped, int Columns, int Rows);

/// <summary>Spreads panes over a rectangular pad for a wanted coverage, clear of holes.</summary>
/// <remarks>
/// A pad of side P in n cells has panes of side P·√c / n. Around holes a pane becomes the largest rectangle of its cell that
/// keeps clear, not larger than its due; what is missing there, or for webs' sake, is shared out among all as far as there is
/// room, and several numbers of cells are tried. Holes count as the squares round them where a pane has to give way, as circles where it need not.
/// </remarks>
internal static class PaneLayout
{
    // More cells than the fewest are tried along each axis only where holes are in the way.
    private const int ExtraCells = 3;

    // Sharing out what is missing settles in a few rounds.
    private const int Rounds = 4;

    // A coverage nearer to the wanted one than this is as good.
    private const double CoverageSlack = 0.005;

    // Above so many holes in one cell, rectangles between them would be slivers.
    private const int MostHolesInCell = 12;

    /// <summary>Finds the best plan; one without panes when nothing fits.</summary>
    /// <param name="hx">Half of the pad's length.</param>
    /// <param name="hy">Half of the pad's width.</param>
    /// <param name="keepOut">Circles in the pad's frame: middle and radius with the clearance.</param>
    /// <param name="wish">What the rule asks for; its web at least the smallest that survives cutting.</param>
    /// <param name="leastAreaOverPerimeterMm">Each pane's area over its perimeter at the least.</param>
    public static PanePlan Find(double hx, double hy, ReadOnlySpan<(Point2 Center, double Radius)> keepOut, PaneWish wish, double leastAreaOverPerimeterMm)
    {
        var root = Math.Sqrt(wish.CoveragePercent / 100);
        var (columns, rows) = (Fewest(2 * hx * root, wish.MostMm), Fewest(2 * hy * root, wish.MostMm));
        if (columns * rows == 1)
        {
            // One pane is no window: split the length, and the width too unless the pad is long.
            (columns, rows) = (2, hy > 0.6 * hx ? 2 : 1);
        }

        var circles = Near(keepOut, hx, hy);
        var extra = circles.Length == 0 ? 0 : ExtraCells;
        var best = new PanePlan([], 0, 0, columns, rows);
        for (var more = 0; more <= 2 * extra && !IsEnough(best, wish); more++)
        {
            // Fewer cells first: r rows and c columns more than the fewest.
            for (var r = Math.Max(0, more - extra); r <= Math.Min(more, extra); r++)
            {
                best = Better(best, Try(hx, hy, columns + more - r, rows + r, circles, wish, leastAreaOverPerimeterMm), wish);
            }
        }

        // Webs may leave too little of small panes: larger ones then.
        for (var fewer = 1; best.Panes.IsEmpty && fewer < 3; fewer++)
        {
            best = Better(best, Try(hx, hy, columns - fewer, rows, circles, wish, leastAreaOverPerimeterMm), wish);
            best = Better(best, Try(hx, hy, columns, rows - fewer, circles, wish, leastAreaOverPerimeterMm), wish);
        }

        return best;
    }

    private static bool IsEnough(PanePlan plan, PaneWish wish) => Math.Abs(plan.Reached - (wish.CoveragePercent / 100)) < CoverageSlack;

    private static PanePlan Better(PanePlan best, PanePlan? tried, PaneWish wish)
    {
        var wanted = wish.CoveragePercent / 100;
        return tried is not null && Math.Abs(tried.Reached - wanted) < Math.Abs(best.Reached - wanted) - (best.Panes.IsEmpty ? 0 : CoverageSlack) ? tried : best;
    }

    private static PanePlan? Try(
        double hx, double hy, int columns, int rows, (Point2 Center, double Radius)[] circles, PaneWish wish, double leastAreaOverPerimeterMm)
    {
        if (columns < 1 || rows < 1 || columns * rows < 2)
        {
            return null;
        }

        var grid = new PaneGrid(hx, hy, columns, rows, wish);
        return grid.Holds(leastAreaOverPerimeterMm) ? InGrid(grid, circles, wish, leastAreaOverPerimeterMm) : null;
    }

    private static int Fewest(double totalMm, double mostMm) => Math.Max(1, (int)Math.Ceiling((totalMm / mostMm) - 1e-9));

    private static (Point2 Center, double Radius)[] Near(ReadOnlySpan<(Point2 Center, double Radius)> circles, double hx, double hy)
    {
        var near = new List<(Point2, double)>();
        foreach (var (center, radius) in circles)
        {
            if (Math.Abs(center.X) < hx + radius && Math.Abs(center.Y) < hy + radius)
            {
                near.Add((center, radius));
            }
        }

        return [.. near];
    }

    private static PanePlan InGrid(PaneGrid grid, (Point2 Center, double Radius)[] circles, PaneWish wish, double leastAreaOverPerimeterMm)
    {
        var wanted = wish.CoveragePercent / 100;
        var (factor, boxes, reached) = (1.0, (Bounds2?[])[], 0.0);
        for (var round = 0; round < Rounds; round++)
        {
            var tried = Boxes(grid, circles, wish, leastAreaOverPerimeterMm, factor);
            var now = Covered(tried) / grid.AreaMm2;
            if (round == 0 || Math.Abs(now - wanted) < Math.Abs(reached - wanted))
            {
                (boxes, reached) = (tried, now);
            }

            if (now <= 0 || Math.Abs(now - wanted) < CoverageSlack / 5)
            {
                break;
            }

            factor *= wanted / now;
        }

        return Plan(grid, boxes, reached);
    }

    private static Bounds2?[] Boxes(PaneGrid grid, (Point2 Center, double Radius)[] circles, PaneWish wish, double leastAreaOverPerimeterMm, double factor)
    {
        var boxes = new Bounds2?[grid.Count];
        var inCell = new List<(Point2 Center, double Radius)>();
        for (var i = 0; i < boxes.Length; i++)
        {
            var (due, room) = (grid.Due(i, factor), grid.Room(i));
            inCell.Clear();
            foreach (var circle in circles)
            {
                if (PaneRoom.Distance(room, circle.Center) < circle.Radius)
                {
                    inCell.Add(circle);
                }
            }

            var box = inCell.Count > MostHolesInCell ? null : PaneRoom.Fit(due, room, inCell, wish.LeastMm);
            boxes[i] = box is { } b
                && Math.Min(b.Width, b.Height) >= wish.LeastMm - 1e-9
                && b.Width * b.Height >= leastAreaOverPerimeterMm * 2 * (b.Width + b.Height)
                    ? b
                    : null;
        }

        return boxes;
    }

    private static double Covered(Bounds2?[] boxes)
    {
        var sum = 0.0;
        foreach (var box in boxes)
        {
            sum += box is { } b ? b.Width * b.Height : 0;
        }

        return sum;
    }

    private static PanePlan Plan(PaneGrid grid, Bounds2?[] boxes, double reached)
    {
        var cells = new ImmutableArray<Bounds2>.Builder?[boxes.Length];
        var dropped = 0;
        for (var i = 0; i < boxes.Length; i++)
        {
            var home = boxes[i] is not null ? i : NearestKept(grid, boxes, i);
            dropped += boxes[i] is null ? 1 : 0;
            if (home >= 0)
            {
                (cells[home] ??= ImmutableArray.CreateBuilder<Bounds2>()).Add(grid.Cell(i));
            }
        }

        var panes = ImmutableArray.CreateBuilder<Pane>();
        for (var i = 0; i < boxes.Length; i++)
        {
            if (boxes[i] is { } box)
            {
                panes.Add(new(box, cells[i]!.ToImmutable()));
            }
        }

        return new(panes.ToImmutable(), reached, dropped, grid.Columns, grid.Rows);
    }

    private static int NearestKept(PaneGrid grid, Bounds2?[] boxes, int i)
    {
        var (best, nearest) = (-1, double.PositiveInfinity);
        var from = grid.Cell(i).Center;
        for (var j = 0; j < boxes.Length; j++)
        {
            if (boxes[j] is not null && Point2.Distance(from, grid.Cell(j).Center) < nearest - 1e-9)
            {
                (best, nearest) = (j, Point2.Distance(from, grid.Cell(j).Center));
            }
        }

        return best;
    }
}
