using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Where two segments cross, and the nearest point of a segment: all that chaining an outline needs.</summary>
internal static class SegmentMeeting
{
    // An arc that bows by less than a nanometre has a centre too far away to compute with.
    private const double StraightBowMm = 1e-6;

    /// <summary>The segment, as a line when it bows by less than a nanometre.</summary>
    public static Segment Straightened(Segment s) =>
        s.IsLine || Math.Abs(s.Bulge) * s.Chord.Length / 2 >= StraightBowMm ? s : s with { Bulge = 0 };

    /// <summary>The fraction of the segment's length at which it is nearest to a point, and the distance, millimetres.</summary>
    public static (double Fraction, double DistanceMm) Nearest(Segment s, Point2 p)
    {
        if (s.IsLine)
        {
            var chord = s.Chord;
            var length2 = Vector2.Dot(chord, chord);
            var t = length2 == 0 ? 0 : Math.Clamp(Vector2.Dot(p - s.Start, chord) / length2, 0, 1);
            return (t, Point2.Distance(p, Point2.Lerp(s.Start, s.End, t)));
        }

        var center = s.Center;
        var out1 = p - center;
        if (out1.Length > 0)
        {
            var f = FractionOnArc(s, center, center + out1);
            if (f is >= 0 and <= 1)
            {
                return (f, Math.Abs(out1.Length - s.Radius));
            }
        }

        var (toStart, toEnd) = (Point2.Distance(p, s.Start), Point2.Distance(p, s.End));
        return toStart <= toEnd ? (0, toStart) : (1, toEnd);
    }

    /// <summary>The part of a segment between two fractions of its length, with given ends.</summary>
    public static double PartBulge(Segment s, double from, double to) =>
        s.IsLine ? 0 : from == 0 && to == 1 ? s.Bulge : Math.Tan(s.SweepRad * (to - from) / 4);

    /// <summary>
    /// The fraction of an arc's length at which a point lies that is near one of its ends: below 0 or above 1 beyond
    /// them. A line, or a point further than a tenth of the arc from its end, gives the end itself.
    /// </summary>
    public static double FractionAlong(Segment s, Point2 p, int end)
    {
        if (s.IsLine)
        {
            return end;
        }

        var fraction = FractionOnArc(s, s.Center, p);
        return Math.Abs(fraction - end) < 0.1 ? fraction : end;
    }

    /// <summary>Appends the points at which two segments cross or touch; those that run along one another give none.</summary>
    public static void Crossings(Segment a, Segment b, List<Point2> found)
    {
        found.Clear();
        if (a.IsLine && b.IsLine)
        {
            LineLine(a, b, found);
        }
        else if (a.IsLine)
        {
            LineArc(a, b, found);
        }
        else if (b.IsLine)
        {
            LineArc(b, a, found);
        }
        else
        {
            ArcArc(a, b, found);
        }
    }

    private static void LineLine(Segment a, Segment b, List<Point2> found)
    {
        var (u, v) = (a.Chord, b.Chord);
        var cross = Vector2.Cross(u, v);
        // Nearly parallel: sine below 1e-9, where an intersection would be noise.
        if (Math.Abs(cross) <= 1e-9 * u.Length * v.Length)
        {
            return;
        }

        var w = b.Start - a.Start;
        var (s, t) = (Vector2.Cross(w, v) / cross, Vector2.Cross(w, u) / cross);
        if (s is >= 0 and <= 1 && t is >= 0 and <= 1)
        {
            found.Add(Point2.Lerp(a.Start, a.End, s));
        }
    }

    private static void LineArc(Segment line, Segment arc, List<Point2> found)
    {
        var (center, radius) = (arc.Center, arc.Radius);
        var u = line.Chord.Unit;
        var along = Vector2.Dot(center - line.Start, u);
        var foot = line.Start + (u * along);
        var h2 = (radius * radius) - Math.Pow(Point2.Distance(center, foot), 2);
        if (h2 < 0)
        {
            return;
        }

        var h = Math.Sqrt(h2);
        foreach (var at in (ReadOnlySpan<double>)[along - h, along + h])
        {
            var p = line.Start + (u * at);
            if (at >= 0 && at <= line.Chord.Length && FractionOnArc(arc, center, p) is >= 0 and <= 1)
            {
                found.Add(p);
            }
        }
    }

    private static void ArcArc(Segment a, Segment b, List<Point2> found)
    {
        var (ca, cb) = (a.Center, b.Center);
        var (ra, rb) = (a.Radius, b.Radius);
        var between = cb - ca;
        var d = between.Length;
        if (d < 1e-9 || d > ra + rb || d < Math.Abs(ra - rb))
        {
            return;
        }

        var along = ((d * d) + (ra * ra) - (rb * rb)) / (2 * d);
        var h = Math.Sqrt(Math.Max(0, (ra * ra) - (along * along)));
        var foot = ca + (between.Unit * along);
        foreach (var side in (ReadOnlySpan<double>)[-h, h])
        {
            var p = foot + (between.Unit.Left * side);
            if (FractionOnArc(a, ca, p) is >= 0 and <= 1 && FractionOnArc(b, cb, p) is >= 0 and <= 1)
            {
                found.Add(p);
            }
        }
    }

    // The angle from the arc's middle, where it is far from the cut of atan2, as a fraction of the sweep.
    private static double FractionOnArc(Segment arc, Point2 center, Point2 p)
    {
        var m = arc.Middle - center;
        var v = p - center;
        var angle = Math.Atan2(Vector2.Cross(m, v), Vector2.Dot(m, v));
        return 0.5 + (angle / arc.SweepRad);
    }
}
