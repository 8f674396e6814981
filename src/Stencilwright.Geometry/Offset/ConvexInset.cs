namespace Stencilwright.Geometry;

/// <summary>The inset of a convex contour by a disc, in one pass; see docs/algorithms/offset.md for why it is exact.</summary>
internal static class ConvexInset
{
    /// <summary>Reflex turning that is taken for noise of rounded coordinates, in all, radians: joined as if straight it costs d·τ²/8.</summary>
    public const double ReflexNoiseRad = 1e-3;

    /// <summary>Corners flatter than this between a line and an arc meet on the tangents: off the arc by (d·τ/2)²/2r only.</summary>
    private const double FlatRad = 1e-4;

    /// <summary>Sides that come out shorter than this have vanished.</summary>
    public const double VanishedMm = 1e-7;

    /// <summary>What became of the attempt.</summary>
    public enum Outcome
    {
        /// <summary>The contour is not convex, or an arc vanished beside one that did not.</summary>
        NotHere,

        /// <summary>Nothing survives.</summary>
        Nothing,

        /// <summary>The result is exact.</summary>
        Done,
    }

    /// <summary>Moves every side inwards by <paramref name="inMm"/> and lets neighbours meet.</summary>
    /// <param name="v">A simple counter-clockwise contour without short segments.</param>
    /// <param name="inMm">Above 0.</param>
    /// <param name="result">The inset, when done.</param>
    public static Outcome Try(ReadOnlySpan<PathVertex> v, double inMm, out Contour? result)
    {
        result = null;
        var moved = new PathVertex[v.Length];
        if (!Move(v, inMm, moved, out var isCollapsed))
        {
            return isCollapsed ? ConvexLines.TryInset(v, inMm, out result) : Outcome.NotHere;
        }

        var first = moved[0].Bulge;
        for (var i = 0; i < v.Length; i++)
        {
            var next = i + 1 == v.Length ? 0 : i + 1;
            double dx = moved[next].X - moved[i].X, dy = moved[next].Y - moved[i].Y;
            if (v[i].Bulge == 0)
            {
                double sx = v[next].X - v[i].X, sy = v[next].Y - v[i].Y;
                var along = (dx * sx) + (dy * sy);
                if (along <= 0 || (dx * dx) + (dy * dy) < VanishedMm * VanishedMm)
                {
                    return ConvexLines.TryInset(v, inMm, out result);
                }

                moved[i] = new(moved[i].X, moved[i].Y);
                continue;
            }

            var bulge = v[i].Bulge;
            if (moved[i].Bulge != 0 || (next == 0 ? first : moved[next].Bulge) != 0)
            {
                var center = new Segment(v[i].Point, v[next].Point, bulge).Center;
                var shorter = Corner.BulgeAbout(center, moved[i].Point, moved[next].Point, 1);
                if (!(shorter > 0 && shorter <= bulge + FlatRad))
                {
                    return Outcome.NotHere;
                }

                bulge = shorter;
            }

            if ((dx * dx) + (dy * dy) < VanishedMm * VanishedMm)
            {
                return Outcome.NotHere;
            }

            moved[i] = new(moved[i].X, moved[i].Y, bulge);
        }

        result = Contour.Adopt(moved);
        return Outcome.Done;
    }

    // Fills in the places; Bulge is 1 meanwhile where an arc's end has slid along its circle, and 0 where it kept its angle.
    private static bool Move(ReadOnlySpan<PathVertex> v, double inMm, PathVertex[] moved, out bool isCollapsed)
    {
        isCollapsed = false;
        var reflex = 0.0;
        var last = v.Length - 1;
        Corner.Tangents(v[last], v[0], out _, out var before);
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var next = ref v[i == last ? 0 : i + 1];
            Corner.Tangents(v[i], next, out var after, out var end);
            var cross = Vector2.Cross(before, after);
            var dot = Vector2.Dot(before, after);
            if (v[i].Bulge < 0 || dot < -0.9999)
            {
                return false;
            }

            if (cross < 0)
            {
                reflex -= cross;
                if (reflex > ReflexNoiseRad || dot < 0)
                {
                    return false;
                }
            }

            if (v[i].Bulge > 0 && Vector2.Cross(after, next.Point - v[i].Point) <= 0)
            {
                return false;
            }

            isCollapsed |= v[i].Bulge > 0 && new Segment(v[i].Point, next.Point, v[i].Bulge).Radius <= inMm + VanishedMm;
            ref readonly var previous = ref v[i == 0 ? last : i - 1];
            var place = Corner.Mitre(v[i].Point, before, after, dot, -inMm);
            var hasArc = v[i].Bulge != 0 || previous.Bulge != 0;
            var slid = hasArc && Math.Abs(cross) > Corner.SameDirection;
            if (hasArc && !isCollapsed && (cross > FlatRad || dot < 0)
                && !Corner.Meet(
                    new(previous.Point, v[i].Point, previous.Bulge), new(v[i].Point, next.Point, v[i].Bulge), before, after, -inMm, out place))
            {
                return false;
            }

            moved[i] = new(place.X, place.Y, slid ? 1 : 0);
            before = end;
        }

        return !isCollapsed;
    }
}
