using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Paths that are cut one after the other: the holes of an island and then its outer contour, or one line.</summary>
/// <param name="Paths">In the order of cutting.</param>
/// <param name="Holes">The holes as contours: what lies inside one is cut before.</param>
internal sealed record CutUnit(ImmutableArray<CutPath> Paths, ImmutableArray<Contour> Holes)
{
    /// <summary>Where the unit is, for the order: the middle of its last path's box.</summary>
    public Point2 Place { get; } = Measure.Bounds(Paths[^1].Vertices.AsSpan()).Center;
}

/// <summary>Puts units in an order with little travel, and chooses where each path starts.</summary>
internal static class PathOrder
{
    // Vertices of a closed path that are considered as its start.
    private const int MostStarts = 8;

    public static List<CutPath> Arrange(List<CutUnit> units, Point2 start, long stepsPerUnit, CancellationToken cancellation)
    {
        var places = new Point2[units.Count];
        for (var i = 0; i < places.Length; i++)
        {
            places[i] = units[i].Place;
        }

        var order = Tour.Find(start, places, stepsPerUnit, cancellation);
        var paths = new List<CutPath>(units.Count);
        foreach (var unit in InnerFirst(units, order))
        {
            paths.AddRange(unit.Paths);
        }

        ChooseStarts(paths, start);
        return paths;
    }

    // What lies in a unit's hole goes right before that unit. Holes are rare: the search is done only for them.
    private static IEnumerable<CutUnit> InnerFirst(List<CutUnit> units, int[] order)
    {
        if (!units.Exists(unit => !unit.Holes.IsEmpty))
        {
            foreach (var i in order)
            {
                yield return units[i];
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
                    yield return unit;
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

    // Shortest travel for the given order, exactly over the starts considered: one row of least costs a path.
    private static void ChooseStarts(List<CutPath> paths, Point2 start)
    {
        if (paths.Count == 0)
        {
            return;
        }

        var from = new byte[paths.Count * MostStarts];
        Span<double> before = stackalloc double[MostStarts];
        Span<double> now = stackalloc double[MostStarts];
        Span<Point2> ends = stackalloc Point2[MostStarts];
        ends[0] = start;
        var count = 1;
        before[0] = 0;
        Span<Point2> nextEnds = stackalloc Point2[MostStarts];
        for (var i = 0; i < paths.Count; i++)
        {
            var options = OptionCount(paths[i]);
            for (var k = 0; k < options; k++)
            {
                var (enter, leave) = Option(paths[i], k, options);
                var (best, source) = (double.PositiveInfinity, 0);
                for (var j = 0; j < count; j++)
                {
                    var cost = before[j] + Point2.Distance(ends[j], enter);
                    if (cost < best)
                    {
                        (best, source) = (cost, j);
                    }
                }

                (now[k], nextEnds[k], from[(i * MostStarts) + k]) = (best, leave, (byte)source);
            }

            now.CopyTo(before);
            nextEnds.CopyTo(ends);
            count = options;
        }

        var choice = before[..count].IndexOf(Min(before[..count]));
        for (var i = paths.Count - 1; i >= 0; i--)
        {
            var source = from[(i * MostStarts) + choice];
            paths[i] = StartAt(paths[i], choice, OptionCount(paths[i]));
            choice = source;
        }
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

    private static int OptionCount(CutPath path) => path.IsClosed ? Math.Min(MostStarts, path.Vertices.Length) : 2;

    private static (Point2 Enter, Point2 Leave) Option(CutPath path, int k, int options)
    {
        if (path.IsClosed)
        {
            var p = path.Vertices[VertexOf(path, k, options)].Point;
            return (p, p);
        }

        return k == 0 ? (path.Start, path.End) : (path.End, path.Start);
    }

    private static int VertexOf(CutPath path, int k, int options) => (int)((long)k * path.Vertices.Length / options);

    private static CutPath StartAt(CutPath path, int k, int options)
    {
        if (path.IsClosed)
        {
            var at = VertexOf(path, k, options);
            if (at == 0)
            {
                return path;
            }

            var turned = new PathVertex[path.Vertices.Length];
            path.Vertices.AsSpan()[at..].CopyTo(turned);
            path.Vertices.AsSpan()[..at].CopyTo(turned.AsSpan(turned.Length - at));
            return path with { Vertices = ImmutableCollectionsMarshal.AsImmutableArray(turned) };
        }

        return k == 0 ? path : path with { Vertices = Reversed(path.Vertices) };
    }

    // An open path the other way round: each segment's bend now belongs to the vertex it used to end in.
    private static ImmutableArray<PathVertex> Reversed(ImmutableArray<PathVertex> vertices)
    {
        var n = vertices.Length;
        var result = new PathVertex[n];
        for (var i = 0; i < n; i++)
        {
            var p = vertices[n - 1 - i];
            result[i] = new(p.X, p.Y, i == n - 1 ? 0 : -vertices[n - 2 - i].Bulge);
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(result);
    }
}
