namespace Stencilwright.Geometry;

/// <summary>A cheap proof that a closed curve does not touch itself; without it the curve has to be resolved.</summary>
internal static class SimpleCurve
{
    /// <summary>Comparing all pairs of sides pays up to about here.</summary>
    private const int MostSides = 96;

    /// <summary>Boxes must be this far apart; far above rounding, far below anything cut.</summary>
    private const double MarginMm = 1e-7;

    /// <summary>True only when no two sides touch but neighbours at their common end.</summary>
    public static bool IsCertain(Contour contour)
    {
        var n = contour.Count;
        if (n is < 4 or > MostSides)
        {
            return false;
        }

        Span<Bounds2> boxes = stackalloc Bounds2[n];
        for (var i = 0; i < n; i++)
        {
            boxes[i] = contour.SegmentAt(i).Bounds;
        }

        for (var i = 0; i < n; i++)
        {
            if (!MeetsNextOnce(contour, i, (i + 1) % n))
            {
                return false;
            }

            for (var j = i + 2; j < n; j++)
            {
                if (i == 0 && j == n - 1)
                {
                    continue;
                }

                if (AreNear(boxes[i], boxes[j]) && !AreLinesApart(contour.SegmentAt(i), contour.SegmentAt(j)))
                {
                    return false;
                }
            }
        }

        return true;
    }

    // Two neighbours meet a second time only when an arc comes back; both turning less than a quarter past their common
    // tangent cannot.
    private static bool MeetsNextOnce(Contour contour, int i, int next)
    {
        var (a, b) = (contour.SegmentAt(i), contour.SegmentAt(next));
        var (leave, enter) = (a.EndTangent, b.StartTangent);
        var dot = Vector2.Dot(leave, enter);
        if (a.IsLine && b.IsLine)
        {
            return dot > -0.999999;
        }

        // All of a lies behind a line through the common end and all of b before it, when each stays within a right
        // angle of a common direction.
        var middle = (leave + enter).Unit;
        return dot > -0.99 && StaysAhead(b, middle, b.Start) && StaysAhead(a.Reversed, middle * -1, a.End);
    }

    private static bool StaysAhead(Segment s, Vector2 direction, Point2 from)
    {
        if (Vector2.Dot(s.End - from, direction) <= 0 || Vector2.Dot(s.StartTangent, direction) <= 0)
        {
            return false;
        }

        // An arc of at most half a turn that starts forwards and ends ahead is ahead all the way.
        return true;
    }

    private static bool AreNear(Bounds2 a, Bounds2 b) =>
        a.MinX <= b.MaxX + MarginMm && b.MinX <= a.MaxX + MarginMm && a.MinY <= b.MaxY + MarginMm && b.MinY <= a.MaxY + MarginMm;

    // True when both are lines and all of one lies clearly on one side of the other.
    private static bool AreLinesApart(Segment a, Segment b) => a.IsLine && b.IsLine && (IsBeside(a, b) || IsBeside(b, a));

    private static bool IsBeside(Segment line, Segment other)
    {
        var chord = line.Chord;
        var margin = MarginMm * chord.Length;
        var (s, e) = (Vector2.Cross(chord, other.Start - line.Start), Vector2.Cross(chord, other.End - line.Start));
        return (s > margin && e > margin) || (s < -margin && e < -margin);
    }
}
