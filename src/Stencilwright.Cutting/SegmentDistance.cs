using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Exact distances between points, segments and boundaries of regions, millimetres.</summary>
internal static class SegmentDistance
{
    public static double ToPoint(in Segment s, Point2 p)
    {
        if (s.IsLine)
        {
            var along = s.Chord;
            var length2 = Vector2.Dot(along, along);
            var t = length2 == 0 ? 0 : Math.Clamp(Vector2.Dot(p - s.Start, along) / length2, 0, 1);
            return Point2.Distance(p, s.Start + (along * t));
        }

        var (c, r) = (s.Center, s.Radius);
        var out_ = p - c;
        var distance = out_.Length;
        if (distance > 0 && IsOnArc(s, c + (out_ * (r / distance))))
        {
            return Math.Abs(distance - r);
        }

        return Math.Min(Point2.Distance(p, s.Start), Point2.Distance(p, s.End));
    }

    /// <summary>0 when they cross; otherwise the least distance lies at an end or on a line through an arc's centre.</summary>
    public static double Between(in Segment a, in Segment b)
    {
        if (Crosses(a, b))
        {
            return 0;
        }

        var best = Math.Min(
            Math.Min(ToPoint(a, b.Start), ToPoint(a, b.End)), Math.Min(ToPoint(b, a.Start), ToPoint(b, a.End)));
        best = Math.Min(best, FromArcPoints(a, b));
        return Math.Min(best, FromArcPoints(b, a));
    }

    /// <summary>Distance from a point to a region's boundary.</summary>
    public static double ToBoundary(Region region, Point2 p)
    {
        var best = double.PositiveInfinity;
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                best = Math.Min(best, ToPoint(contour.SegmentAt(i), p));
            }
        }

        return best;
    }

    /// <summary>Distance between boxes; 0 when they overlap.</summary>
    public static double Between(in Bounds2 a, in Bounds2 b)
    {
        var dx = Math.Max(0, Math.Max(a.MinX - b.MaxX, b.MinX - a.MaxX));
        var dy = Math.Max(0, Math.Max(a.MinY - b.MaxY, b.MinY - a.MaxY));
        return Math.Sqrt((dx * dx) + (dy * dy));
    }

    internal static bool IsOnArc(in Segment arc, Point2 onCircle) =>
        Vector2.Cross(arc.Chord, onCircle - arc.Start) * arc.Bulge < 0;

    // Points of an arc that may be nearest to the other segment without being ends: those towards and away from the
    // other's centre, or across the other's line.
    private static double FromArcPoints(in Segment arc, in Segment other)
    {
        if (arc.IsLine)
        {
            return double.PositiveInfinity;
        }

        var c = arc.Center;
        var direction = other.IsLine ? other.Chord.Left.Unit : (other.Center - c).Unit;
        var best = double.PositiveInfinity;
        foreach (var sign in (ReadOnlySpan<int>)[1, -1])
        {
            var p = c + (direction * (sign * arc.Radius));
            if (IsOnArc(arc, p))
            {
                best = Math.Min(best, ToPoint(other, p));
            }
        }

        return best;
    }

    private static bool Crosses(in Segment a, in Segment b)
    {
        if (a.IsLine && b.IsLine)
        {
            return Vector2.Cross(a.Chord, b.Start - a.Start) * Vector2.Cross(a.Chord, b.End - a.Start) < 0
                && Vector2.Cross(b.Chord, a.Start - b.Start) * Vector2.Cross(b.Chord, a.End - b.Start) < 0;
        }

        return a.IsLine ? LineCrossesArc(a, b) : b.IsLine ? LineCrossesArc(b, a) : ArcCrossesArc(a, b);
    }

    private static bool LineCrossesArc(in Segment line, in Segment arc)
    {
        var u = line.Chord.Unit;
        var toCenter = arc.Center - line.Start;
        var (along, across, r) = (Vector2.Dot(toCenter, u), Vector2.Cross(u, toCenter), arc.Radius);
        var half2 = (r * r) - (across * across);
        if (half2 <= 0)
        {
            return false;
        }

        var (half, length) = (Math.Sqrt(half2), line.Chord.Length);
        return Hits(line, arc, u, along - half, length) || Hits(line, arc, u, along + half, length);

        static bool Hits(in Segment line, in Segment arc, Vector2 u, double t, double length) =>
            t > 0 && t < length && IsOnArc(arc, line.Start + (u * t));
    }

    private static bool ArcCrossesArc(in Segment a, in Segment b)
    {
        var between = b.Center - a.Center;
        var (d, ra, rb) = (between.Length, a.Radius, b.Radius);
        if (d == 0 || d >= ra + rb || d <= Math.Abs(ra - rb))
        {
            return false;
        }

        var along = ((d * d) + (ra * ra) - (rb * rb)) / (2 * d);
        var across = Math.Sqrt(Math.Max(0, (ra * ra) - (along * along)));
        var u = between.Unit;
        var p = a.Center + (u * along) + (u.Left * across);
        var q = a.Center + (u * along) - (u.Left * across);
        return (IsOnArc(a, p) && IsOnArc(b, p)) || (IsOnArc(a, q) && IsOnArc(b, q));
    }
}
