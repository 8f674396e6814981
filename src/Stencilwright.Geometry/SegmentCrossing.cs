namespace Stencilwright.Geometry;

/// <summary>A point that two segments share.</summary>
internal static class SegmentCrossing
{
    /// <summary>Finds a point where two segments cross; touching ends are left to the distance between ends.</summary>
    public static bool TryFind(Segment a, Segment b, out Point2 crossing)
    {
        if (a.IsLine && b.IsLine)
        {
            return Lines(a, b, out crossing);
        }

        if (a.IsLine)
        {
            return LineAndArc(a, b, out crossing);
        }

        return b.IsLine ? LineAndArc(b, a, out crossing) : Arcs(a, b, out crossing);
    }

    private static bool Lines(Segment a, Segment b, out Point2 crossing)
    {
        crossing = default;
        var (u, w) = (a.Chord, b.Chord);
        var cross = Vector2.Cross(u, w);
        if (cross == 0)
        {
            return false;
        }

        var t = Vector2.Cross(b.Start - a.Start, w) / cross;
        var s = Vector2.Cross(b.Start - a.Start, u) / cross;
        crossing = a.PointAt(t);
        return t is >= 0 and <= 1 && s is >= 0 and <= 1;
    }

    private static bool LineAndArc(Segment line, Segment arc, out Point2 crossing)
    {
        crossing = default;
        var (center, radius, unit) = (arc.Center, arc.Radius, line.Chord.Unit);
        var along = Vector2.Dot(center - line.Start, unit);
        var away = Vector2.Cross(unit, center - line.Start);
        if (Math.Abs(away) > radius)
        {
            return false;
        }

        var half = Math.Sqrt((radius - away) * (radius + away));
        foreach (var t in (ReadOnlySpan<double>)[along - half, along + half])
        {
            var p = line.Start + (unit * t);
            if (t >= 0 && t <= line.Chord.Length && arc.IsOnArcSide(p))
            {
                crossing = p;
                return true;
            }
        }

        return false;
    }

    private static bool Arcs(Segment a, Segment b, out Point2 crossing)
    {
        crossing = default;
        var axis = b.Center - a.Center;
        var distance = axis.Length;
        var (r1, r2) = (a.Radius, b.Radius);
        if (distance == 0 || distance > r1 + r2 || distance < Math.Abs(r1 - r2))
        {
            return false;
        }

        var unit = axis * (1 / distance);
        var along = ((distance * distance) + ((r1 - r2) * (r1 + r2))) / (2 * distance);
        var height = Math.Sqrt(Math.Max(0, (r1 - along) * (r1 + along)));
        foreach (var side in (ReadOnlySpan<double>)[height, -height])
        {
            var p = a.Center + (unit * along) + (unit.Left * side);
            if (a.IsOnArcSide(p) && b.IsOnArcSide(p))
            {
                crossing = p;
                return true;
            }
        }

        return false;
    }
}
