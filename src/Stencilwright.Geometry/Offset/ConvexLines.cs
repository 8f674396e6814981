namespace Stencilwright.Geometry;

/// <summary>The inset of a convex contour whose sides vanish: an intersection of half planes already sorted by direction.</summary>
internal static class ConvexLines
{
    /// <summary>
    /// Reflex turning, in all, that passes for rounding of tangents: what a side turned back by as much cuts off more or less is under
    /// 0.1 nm on 10 mm. The directions of what is intersected may be out of order by this.
    /// </summary>
    private const double OutOfOrderRad = 1e-8;

    /// <summary>Insets a convex contour of which no arc survives.</summary>
    /// <remarks>
    /// An arc of radius r ≤ d bounds the inset nowhere that its two end tangents do not bound it already: for a direction
    /// u = αm + βn between theirs α + β ≥ 1, and the arc's allowance r - d is not positive.
    /// </remarks>
    public static ConvexInset.Outcome TryInset(ReadOnlySpan<PathVertex> v, double inMm, out Contour? result)
    {
        result = null;
        var sides = new List<Side>(v.Length + 4);
        var reflex = 0.0;
        Corner.Tangents(v[^1], v[0], out _, out var before);
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var next = ref v[i + 1 == v.Length ? 0 : i + 1];
            Corner.Tangents(v[i], next, out var start, out var end);
            reflex -= Math.Min(0, Vector2.Cross(before, start));
            before = end;
            if (reflex > OutOfOrderRad || v[i].Bulge < 0 || (v[i].Bulge > 0 && new Segment(v[i].Point, next.Point, v[i].Bulge).Radius > inMm + ConvexInset.VanishedMm))
            {
                return ConvexInset.Outcome.NotHere;
            }

            sides.Add(new(Corner.Right(v[i].Point, start, -inMm), start));
            if (v[i].Bulge > 0)
            {
                sides.Add(new(Corner.Right(next.Point, end, -inMm), end));
            }
        }

        result = Intersect(sides);
        return result is null ? ConvexInset.Outcome.Nothing : ConvexInset.Outcome.Done;
    }

    /// <summary>The part of the plane left of every side, or null when there is none of any width.</summary>
    /// <param name="sides">In the order of their directions, but for what rounding turns back: 1e-8 rad in all.</param>
    public static Contour? Intersect(List<Side> sides)
    {
        var next = new int[sides.Count];
        var previous = new int[sides.Count];
        for (var i = 0; i < sides.Count; i++)
        {
            next[i] = (i + 1) % sides.Count;
            previous[i] = (i + sides.Count - 1) % sides.Count;
        }

        var (alive, unchanged, at) = (sides.Count, 0, 0);
        while (unchanged < alive)
        {
            if (alive < 3)
            {
                return null;
            }

            var (a, b) = (previous[at], next[at]);
            var judged = Judge(sides[a], sides[at], sides[b]);
            if (judged == Verdict.Empty)
            {
                return null;
            }

            if (judged == Verdict.Keep)
            {
                unchanged++;
                at = b;
                continue;
            }

            next[a] = b;
            previous[b] = a;
            alive--;
            unchanged = 0;
            at = a;
        }

        var vertices = new PathVertex[alive];
        for (var i = 0; i < alive; i++)
        {
            var p = Meeting(sides[previous[at]], sides[at]);
            vertices[i] = new(p.X, p.Y);
            at = next[at];
        }

        var contour = Contour.Adopt(vertices);
        return contour.SignedAreaMm2 > 0 ? contour : null;
    }

    private static Verdict Judge(Side before, Side side, Side after)
    {
        // Of two parallel sides the looser goes; both are compared by the same sum, so that never both nor neither goes.
        if (IsParallel(before, side) && !IsTighter(before, side))
        {
            return Verdict.Drop;
        }

        if (IsParallel(side, after))
        {
            return IsTighter(side, after) ? Verdict.Drop : Verdict.Keep;
        }

        if (IsParallel(before, side))
        {
            return Verdict.Keep;
        }

        if (Vector2.Cross(before.Direction, side.Direction) <= 0 || Vector2.Cross(side.Direction, after.Direction) <= 0)
        {
            return Verdict.Empty;
        }

        var length = Vector2.Dot(Meeting(side, after) - Meeting(before, side), side.Direction);
        if (length > ConvexInset.VanishedMm)
        {
            return Verdict.Keep;
        }

        return Vector2.Cross(before.Direction, after.Direction) > Corner.SameDirection ? Verdict.Drop : Verdict.Empty;
    }

    // Neighbours turned back a little are parallel, however many of them it took: where a side between two is dropped, what they turned
    // back adds up. Taken for a turn of nearly a whole circle it would be the proof that nothing is left.
    private static bool IsParallel(Side a, Side b) =>
        Vector2.Cross(a.Direction, b.Direction) is <= Corner.SameDirection and >= -OutOfOrderRad - Corner.SameDirection
        && Vector2.Dot(a.Direction, b.Direction) > 0;

    // Whether the second of two parallel sides cuts off more.
    private static bool IsTighter(Side first, Side second) => Vector2.Cross(first.Direction, second.Point - first.Point) > 0;

    private static Point2 Meeting(Side a, Side b)
    {
        var t = Vector2.Cross(b.Point - a.Point, b.Direction) / Vector2.Cross(a.Direction, b.Direction);
        return a.Point + (a.Direction * t);
    }

    /// <summary>A directed line; what is to be kept lies on its left.</summary>
    internal readonly record struct Side(Point2 Point, Vector2 Direction);

    private enum Verdict
    {
        Keep,
        Drop,
        Empty,
    }
}
