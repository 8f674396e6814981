using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Paths that are cut one after the other: the holes of an island and then its outer contour, or one line.</summary>
/// <param name="Paths">In the order of cutting.</param>
/// <param name="Holes">The holes as contours: what lies inside one is cut before.</param>
/// <param name="Opening">Index of the opening it belongs to; -1 for none.</param>
internal sealed record CutUnit(ImmutableArray<CutPath> Paths, ImmutableArray<Contour> Holes, int Opening = -1)
{
    private readonly Bounds2 _box = Measure.Bounds(Paths[^1].Vertices.AsSpan());

    /// <summary>Where the unit is, for the order: the middle of its last path's box.</summary>
    public Point2 Place => _box.Center;

    /// <summary>No point of the unit lies further from its place.</summary>
    public double ReachMm => Math.Sqrt((_box.Width * _box.Width) + (_box.Height * _box.Height)) / 2;
}

/// <summary>Puts units in an order with little travel, and chooses where each path starts.</summary>
internal static class PathOrder
{
    private const int MostStarts = StartSites.Most;

    /// <summary>Paths in an order with little cost, never more than in the order given.</summary>
    /// <param name="units">What is cut.</param>
    /// <param name="start">Where the beam comes from.</param>
    /// <param name="end">Where it goes after; null for anywhere.</param>
    /// <param name="cost">What travel, and coming back too soon, cost; its points are the units.</param>
    /// <param name="stepsPerUnit">Effort.</param>
    /// <param name="rule">Where closed paths may start.</param>
    /// <param name="enough">Ends the search with the best order so far.</param>
    public static List<CutPath> Arrange(
        List<CutUnit> units, Point2 start, Point2? end, TourCost cost, long stepsPerUnit, StartRule rule, CancellationToken enough)
    {
        var places = new Point2[units.Count];
        var given = new int[units.Count];
        for (var i = 0; i < places.Length; i++)
        {
            (places[i], given[i]) = (units[i].Place, i);
        }

        // The search sees units as points: where contours start decides about what is left.
        var (best, found) = Lay(units, Tour.Find(start, places, end, cost, stepsPerUnit, enough), start, end, cost, rule);
        if (LeastInGivenOrder(units, start, end, cost) >= found)
        {
            return best;
        }

        var (simple, plain) = Lay(units, given, start, end, cost, rule);
        return found <= plain ? best : simple;
    }

    // Less than the order given can cost wherever paths start; 0 when holes change that order.
    private static double LeastInGivenOrder(List<CutUnit> units, Point2 start, Point2? end, TourCost cost)
    {
        var (sum, at, reach) = (0.0, start, 0.0);
        for (var i = 0; i < units.Count; i++)
        {
            if (!units[i].Holes.IsEmpty)
            {
                return 0;
            }

            sum += Gap(at, units[i].Place, reach + units[i].ReachMm) + (i > 0 ? cost.Reheat(i, i + 1) : 0);
            (at, reach) = (units[i].Place, units[i].ReachMm);
        }

        return end is { } last ? sum + Gap(at, last, reach) : sum;

        double Gap(Point2 a, Point2 b, double less)
        {
            var clear = Math.Max(0, Point2.Distance(a, b) - less);
            return cost.Travel(clear * clear);
        }
    }

    private static (List<CutPath> Paths, double Cost) Lay(
        List<CutUnit> units, int[] order, Point2 start, Point2? end, TourCost cost, StartRule rule)
    {
        var (paths, openings) = (new List<CutPath>(units.Count), new List<int>(units.Count));
        var (reheat, last) = (0.0, -1);
        foreach (var i in InnerFirst(units, order))
        {
            foreach (var path in units[i].Paths)
            {
                paths.Add(path);
                openings.Add(units[i].Opening);
            }

            reheat += last >= 0 ? cost.Reheat(last + 1, i + 1) : 0;
            last = i;
        }

        return (paths, reheat + ChooseStarts(paths, openings, start, end, cost, rule));
    }

    // What lies in a unit's hole goes right before that unit. Holes are rare: the search is done only for them.
    private static IEnumerable<int> InnerFirst(List<CutUnit> units, int[] order)
    {
        if (!units.Exists(unit => !unit.Holes.IsEmpty))
        {
            foreach (var i in order)
            {
                yield return i;
            }

            yield break;
        }

        var done = new bool[units.Count];
        var stack = new Stack<(int Unit, bool IsReady)>();
        foreach (var root in order)
        {
            stack.Push((root, false));
            while (stack.TryPop(out var top))
            {
                var unit = units[top.Unit];
                if (done[top.Unit])
                {
                    continue;
                }

                if (top.IsReady || unit.Holes.IsEmpty)
                {
                    done[top.Unit] = true;
                    yield return top.Unit;
                    continue;
                }

                stack.Push((top.Unit, true));
                for (var k = order.Length - 1; k >= 0; k--)
                {
                    if (!done[order[k]] && order[k] != top.Unit && IsInHole(unit, units[order[k]]))
                    {
                        stack.Push((order[k], false));
                    }
                }
            }
        }
    }

    private static bool IsInHole(CutUnit outer, CutUnit inner)
    {
        var p = inner.Paths[^1].Start;
        foreach (var hole in outer.Holes)
        {
            if (hole.Bounds.Contains(p) && hole.WindingNumber(p) != 0)
            {
                return true;
            }
        }

        return false;
    }

    // Least travel for the given order, exactly over the starts considered: one row of least costs a path. Returns its cost.
    private static double ChooseStarts(
        List<CutPath> paths, List<int> openings, Point2 start, Point2? end, TourCost cost, StartRule rule)
    {
        if (paths.Count == 0)
        {
            return 0;
        }

        var from = new byte[paths.Count * MostStarts];
        Span<double> before = stackalloc double[MostStarts];
        Span<double> now = stackalloc double[MostStarts];
        Span<Point2> ends = stackalloc Point2[MostStarts];
        ends[0] = start;
        var count = 1;
        before[0] = 0;
        Span<Point2> nextEnds = stackalloc Point2[MostStarts];
        // Kept for the way back: finding them takes longer than all else here.
        var all = new StartSite[paths.Count * MostStarts];
        for (var i = 0; i < paths.Count; i++)
        {
            var sites = all.AsSpan(i * MostStarts, MostStarts);
            var options = SitesOf(paths[i], openings[i], rule, sites);
            for (var k = 0; k < options; k++)
            {
                var enter = sites[k].At;
                var (best, source) = (double.PositiveInfinity, 0);
                for (var j = 0; j < count; j++)
                {
                    if (before[j] < best && before[j] + cost.Travel(Square(ends[j], enter)) is var sum && sum < best)
                    {
                        (best, source) = (sum, j);
                    }
                }

                (now[k], nextEnds[k], from[(i * MostStarts) + k]) = (best, Leave(paths[i], sites[k]), (byte)source);
            }

            now.CopyTo(before);
            nextEnds.CopyTo(ends);
            count = options;
        }

        for (var j = 0; j < count && end is not null; j++)
        {
            before[j] += cost.Travel(Square(ends[j], end.Value));
        }

        var least = Min(before[..count]);
        var choice = before[..count].IndexOf(least);
        for (var i = paths.Count - 1; i >= 0; i--)
        {
            var taken = (i * MostStarts) + choice;
            paths[i] = StartAt(paths[i], all[taken]);
            choice = from[taken];
        }

        return least;
    }

    private static double Square(Point2 a, Point2 b)
    {
        var (dx, dy) = (a.X - b.X, a.Y - b.Y);
        return (dx * dx) + (dy * dy);
    }

    private static double Min(ReadOnlySpan<double> values)
    {
        var least = values[0];
        foreach (var value in values)
        {
            least = Math.Min(least, value);
        }

        return least;
    }

    // Where a path may be entered, and where it is left then: at places along it, or at either end.
    private static int SitesOf(CutPath path, int opening, StartRule rule, Span<StartSite> sites)
    {
        if (path.IsClosed)
        {
            return StartSites.Of(path, opening, rule, sites);
        }

        (sites[0], sites[1]) = (new(path.Start, 0, 0), new(path.End, 1, 0));
        return 2;
    }

    private static Point2 Leave(CutPath path, in StartSite site) =>
        path.IsClosed ? site.At : site.Segment == 0 ? path.End : path.Start;

    private static CutPath StartAt(CutPath path, in StartSite site) =>
        path.IsClosed ? StartSites.StartAt(path, site) : site.Segment == 0 ? path : Reversed(path);

    // An open path the other way round: each segment's bend now belongs to the vertex it used to end in.
    internal static CutPath Reversed(CutPath path)
    {
        var vertices = path.Vertices;
        var n = vertices.Length;
        var result = new PathVertex[n];
        for (var i = 0; i < n; i++)
        {
            var p = vertices[n - 1 - i];
            result[i] = new(p.X, p.Y, i == n - 1 ? 0 : -vertices[n - 2 - i].Bulge);
        }

        return path with { Vertices = ImmutableCollectionsMarshal.AsImmutableArray(result) };
    }
}
