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
        // On one line but for rounding, both parameters are noise over noise: what shares no box shares no point.
        if (cross == 0 || !a.Bounds.Overlaps(b.Bounds))
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
        var unit = line.Chord.Unit;
        if (!new ArcForm(arc).TryMeetLine(line.Start, unit, out var first, out var second, out _))
        {
            return false;
        }

        foreach (var t in (ReadOnlySpan<double>)[first, second])
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
        var (flat, round) = (new ArcForm(a), new ArcForm(b));
        if (flat.Curvature > round.Curvature)
        {
            (flat, round) = (round, flat);
        }

        if (!flat.TryShare(round, out var from, out var unit) || !round.TryMeetLine(from, unit, out var first, out var second, out _))
        {
            return false;
        }

        foreach (var t in (ReadOnlySpan<double>)[first, second])
        {
            var p = from + (unit * t);
            if (a.IsOnArcSide(p) && b.IsOnArcSide(p))
            {
                crossing = p;
                return true;
            }
        }

        return false;
    }
}
