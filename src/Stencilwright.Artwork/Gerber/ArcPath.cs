using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Turns an arc operation into segments of at most half a turn.</summary>
internal static class ArcPath
{
    // A radius that changes by more than this fraction is no rounding: the arc becomes a spiral of quarter turns.
    private const double SpiralFraction = 0.02;

    // Slack on the quarter turn of single-quadrant arcs, whose end points and centres are rounded separately.
    private const double QuadrantSlackRad = 0.02;

    /// <summary>Appends the segments of an arc about a centre.</summary>
    /// <param name="start">First point, kept exactly.</param>
    /// <param name="end">Last point, kept exactly; equal to <paramref name="start"/> for a full turn.</param>
    /// <param name="center">The centre as the file states it.</param>
    /// <param name="clockwise">Direction.</param>
    /// <param name="into">Receives the segments.</param>
    /// <returns>Difference of the two radii in millimetres: what had to be evened out.</returns>
    /// <remarks>
    /// The radius runs evenly from the first end's to the last end's, so both end points stay where they are and the
    /// middle has the mean radius.
    /// </remarks>
    public static double Append(Point2 start, Point2 end, Point2 center, bool clockwise, List<Segment> into)
    {
        var (u, v) = (start - center, end - center);
        var (r1, r2) = (u.Length, v.Length);
        var sweep = Sweep(u, v, clockwise);
        var magnitude = Math.Abs(sweep);
        var isSpiral = Math.Abs(r1 - r2) > SpiralFraction * Math.Max(r1, r2);
        var parts = isSpiral
            ? Math.Max(1, (int)Math.Ceiling(magnitude / (Math.PI / 2)))
            : magnitude <= Math.PI + 1e-9 ? 1 : 2;
        var startAngle = Math.Atan2(u.Y, u.X);
        var from = start;
        for (var i = 1; i <= parts; i++)
        {
            var to = end;
            if (i < parts)
            {
                var fraction = (double)i / parts;
                to = start == end
                    ? center - u
                    : OnCircle(center, r1 + ((r2 - r1) * fraction), startAngle + (sweep * fraction));
            }

            into.Add(Segment.Arc(from, to, sweep / parts));
            from = to;
        }

        return Math.Abs(r1 - r2);
    }

    /// <summary>The centre of a single-quadrant arc: of the four candidates, the one that fits best within a quarter turn.</summary>
    /// <returns>Null when none does.</returns>
    public static Point2? QuadrantCenter(Point2 start, Point2 end, double i, double j, bool clockwise)
    {
        Point2? best = null;
        var bestMismatch = double.PositiveInfinity;
        foreach (var (sx, sy) in (ReadOnlySpan<(int, int)>)[(1, 1), (-1, 1), (-1, -1), (1, -1)])
        {
            var center = new Point2(start.X + (sx * Math.Abs(i)), start.Y + (sy * Math.Abs(j)));
            var (u, v) = (start - center, end - center);
            if (Math.Abs(Sweep(u, v, clockwise)) > (Math.PI / 2) + QuadrantSlackRad)
            {
                continue;
            }

            var mismatch = Math.Abs(u.Length - v.Length);
            if (mismatch < bestMismatch)
            {
                (best, bestMismatch) = (center, mismatch);
            }
        }

        return best;
    }

    /// <summary>Cuts an arc into pieces and maps them by unequal scales, each piece an arc through its mapped middle.</summary>
    public static void Stretch(List<Segment> arcs, double factorX, double factorY)
    {
        const double PieceRad = Math.PI / 36;
        var source = arcs.ToArray();
        arcs.Clear();
        foreach (var arc in source)
        {
            var pieces = Math.Max(1, (int)Math.Ceiling(Math.Abs(arc.SweepRad) / PieceRad));
            var from = arc.Start;
            for (var i = 1; i <= pieces; i++)
            {
                var to = i == pieces ? arc.End : arc.PointAt((double)i / pieces);
                var middle = arc.PointAt((i - 0.5) / pieces);
                arcs.Add(Through(Map(from), Map(middle), Map(to)));
                from = to;
            }
        }

        Point2 Map(Point2 p) => new(p.X * factorX, p.Y * factorY);
    }

    // Bulge is sagitta over half chord when the middle point halves the arc, which it nearly does.
    private static Segment Through(Point2 a, Point2 middle, Point2 b)
    {
        var chord = b - a;
        var length = chord.Length;
        if (length == 0)
        {
            return new Segment(a, b, 0);
        }

        var sagitta = -Vector2.Cross(chord, middle - a) / length;
        return new Segment(a, b, 2 * sagitta / length);
    }

    private static double Sweep(Vector2 u, Vector2 v, bool clockwise)
    {
        if (u == v)
        {
            return clockwise ? -2 * Math.PI : 2 * Math.PI;
        }

        var angle = Math.Atan2(Vector2.Cross(u, v), Vector2.Dot(u, v));
        return clockwise
            ? (angle >= 0 ? angle - (2 * Math.PI) : angle)
            : (angle <= 0 ? angle + (2 * Math.PI) : angle);
    }

    private static Point2 OnCircle(Point2 center, double radius, double angle)
    {
        var (sin, cos) = Math.SinCos(angle);
        return new(center.X + (radius * cos), center.Y + (radius * sin));
    }
}
