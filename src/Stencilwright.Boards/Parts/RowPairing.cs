using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Two equal rows that face each other.</summary>
internal sealed record RowPair(PadRow First, PadRow Second)
{
    /// <summary>Middle between the rows.</summary>
    public Point2 Center { get; } = Point2.Lerp(First.Center, Second.Center, 0.5);

    /// <summary>From row to row, middle to middle, millimetres.</summary>
    public double DistanceMm { get; } = Point2.Distance(First.Center, Second.Center);

    /// <summary>Free width between the rows.</summary>
    public double GapMm => DistanceMm - ((First.DepthMm + Second.DepthMm) / 2);

    /// <summary>Pads in both rows.</summary>
    public int Count => First.Members.Length + Second.Members.Length;

    /// <summary>True while neither row has lost a pad.</summary>
    public bool IsFree(PadField field) => First.IsFree(field) && Second.IsFree(field);
}

/// <summary>Pairs equal, parallel rows that face each other.</summary>
/// <remarks>
/// Rows are sorted by direction, count and place along themselves, then across; only neighbours in that order are compared.
/// </remarks>
internal static class RowPairing
{
    // Rows of one part lie this well in front of each other.
    private const double AsideMm = 0.06;

    // The widest parts with two rows, thin outlines with the leads at their ends, are 20 mm across; quads go to 40.
    private const double FarthestMm = 42;

    /// <summary>Every pair of neighbours that may be one part: each row is in up to two.</summary>
    public static List<RowPair> Neighbours(PadField field, List<PadRow> rows)
    {
        var pairs = new List<RowPair>();
        foreach (var column in Columns(field, rows))
        {
            for (var k = 0; k + 1 < column.Count; k++)
            {
                if (Faces(column[k], column[k + 1], field))
                {
                    pairs.Add(new(column[k], column[k + 1]));
                }
            }
        }

        return pairs;
    }

    /// <summary>
    /// Pairs that leave as few rows as possible alone: in an unbroken stack of rows the first goes with the second, the
    /// third with the fourth, since any other way leaves both ends alone. In a stack of odd number the nearest go first.
    /// </summary>
    public static List<RowPair> Disjoint(PadField field, List<PadRow> rows)
    {
        var pairs = new List<RowPair>();
        foreach (var column in Columns(field, rows))
        {
            for (var from = 0; from < column.Count;)
            {
                var to = from;
                while (to + 1 < column.Count && Faces(column[to], column[to + 1], field) && IsNear(column[to], column[to + 1]))
                {
                    to++;
                }

                Stack(column.GetRange(from, to - from + 1), pairs);
                from = to + 1;
            }
        }

        return pairs;
    }

    private static void Stack(List<PadRow> stack, List<RowPair> pairs)
    {
        if (stack.Count % 2 == 0)
        {
            for (var k = 0; k < stack.Count; k += 2)
            {
                pairs.Add(new(stack[k], stack[k + 1]));
            }

            return;
        }

        // The row whose leaving makes the sum of distances least stays alone; only even places can. Moving the lone place on by two
        // turns one pair for another.
        var (best, sum, least) = (0, 0.0, 0.0);
        for (var alone = 2; alone < stack.Count; alone += 2)
        {
            sum += Point2.Distance(stack[alone - 2].Center, stack[alone - 1].Center) - Point2.Distance(stack[alone - 1].Center, stack[alone].Center);
            (best, least) = sum < least - 1e-9 ? (alone, sum) : (best, least);
        }

        for (var k = 0; k + 1 < stack.Count; k += 2)
        {
            var at = k < best ? k : k + 1;
            pairs.Add(new(stack[at], stack[at + 1]));
        }
    }

    // A pair much wider than it is long is two connectors rather than a part, unless it is of the usual width of one.
    private static bool IsNear(PadRow a, PadRow b) =>
        Point2.Distance(a.Center, b.Center) <= (a.Members.Length == 3 ? Math.Max(3.4 * a.PitchMm, 3.3) : Math.Max(11, 1.2 * a.SpanMm));

    private static bool Faces(PadRow a, PadRow b, PadField field)
    {
        var between = b.Center - a.Center;
        var distance = Math.Abs(Vector2.Dot(between, a.Along.Left));
        return distance <= FarthestMm
            && distance >= 1.2 * a.DepthMm
            && Math.Abs(Vector2.Dot(between, a.Along)) <= AsideMm
            && Math.Abs(a.SpanMm - b.SpanMm) <= 0.05 + (0.005 * a.SpanMm)
            && Math.Abs(a.DepthMm - b.DepthMm) <= 0.04 + (0.1 * a.DepthMm)
            && Math.Abs(a.WidthMm - b.WidthMm) <= 0.03 + (0.05 * a.WidthMm)
            && field.Pads[a.Members[a.Members.Length / 2]].IsSquareTo(field.Pads[b.Members[b.Members.Length / 2]]);
    }

    // Rows of one direction, count and place along themselves, sorted across.
    private static List<List<PadRow>> Columns(PadField field, List<PadRow> all)
    {
        var rows = all.Where(r => r.IsFree(field)).ToArray();
        var columns = new List<List<PadRow>>();
        if (rows.Length < 2)
        {
            return columns;
        }

        var angle = Clusters.Label([.. rows.Select(r => r.AngleDeg)], 0.25, 1, 180);
        var direction = new Vector2[rows.Length];
        var seen = new Dictionary<int, Vector2>();
        var origin = rows[0].Center;
        for (var i = 0; i < rows.Length; i++)
        {
            if (!seen.TryGetValue(angle[i], out direction[i]))
            {
                seen.Add(angle[i], direction[i] = rows[i].Along);
            }
        }

        var along = new double[rows.Length];
        for (var i = 0; i < rows.Length; i++)
        {
            along[i] = Vector2.Dot(rows[i].Center - origin, direction[i]);
        }

        var keys = new (int Angle, int Count, double Along)[rows.Length];
        var order = new int[rows.Length];
        for (var i = 0; i < rows.Length; i++)
        {
            (keys[i], order[i]) = ((angle[i], rows[i].Members.Length, along[i]), i);
        }

        Array.Sort(keys, order);
        for (var from = 0; from < order.Length;)
        {
            var to = from + 1;
            while (to < order.Length && keys[to].Angle == keys[from].Angle && keys[to].Count == keys[from].Count
                && keys[to].Along - keys[to - 1].Along <= AsideMm)
            {
                to++;
            }

            var left = direction[order[from]].Left;
            columns.Add([.. order[from..to].Select(k => rows[k]).OrderBy(r => Vector2.Dot(r.Center - origin, left))]);
            from = to;
        }

        return columns;
    }
}
