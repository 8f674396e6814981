namespace Stencilwright.Geometry;

/// <summary>Makes points of contours, for machines and checks that know no arcs.</summary>
public static class Flattening
{
    /// <summary>How many equal chords keep within a sagitta of an arc: θ / (2 acos(1 - e/r)), rounded up.</summary>
    /// <param name="radiusMm">The arc's radius.</param>
    /// <param name="sweepRad">The angle it turns by; its sign does not matter.</param>
    /// <param name="chordErrorMm">Greatest distance between arc and chord, above 0.</param>
    public static int ChordCount(double radiusMm, double sweepRad, double chordErrorMm)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(chordErrorMm);
        if (!double.IsFinite(radiusMm))
        {
            // An arc so flat that its radius overflows is a line.
            return 1;
        }

        // A chord over more than a third of a turn would make a circle less than a triangle. acos(1 - x) is 2 asin √(x/2),
        // which keeps its digits where a huge radius makes x vanish beside 1.
        var step = chordErrorMm >= radiusMm / 2 ? 2 * Math.PI / 3 : 4 * Math.Asin(Math.Sqrt(chordErrorMm / (2 * radiusMm)));
        return Math.Max(1, (int)Math.Ceiling((Math.Abs(sweepRad) / step) - 1e-9));
    }

    /// <summary>Points on the contour whose chords stay within the given error; the first point is not repeated.</summary>
    /// <param name="contour">Any contour.</param>
    /// <param name="chordErrorMm">Greatest distance between an arc and its chords, above 0.</param>
    public static Point2[] Flatten(this Contour contour, double chordErrorMm)
    {
        ArgumentNullException.ThrowIfNull(contour);
        var points = new List<Point2>(contour.Count * 4);
        for (var i = 0; i < contour.Count; i++)
        {
            AppendChords(contour.SegmentAt(i), chordErrorMm, points);
        }

        return points.ToArray();
    }

    /// <summary>Points on the path whose chords stay within the given error, both ends included.</summary>
    /// <param name="path">Any path.</param>
    /// <param name="chordErrorMm">Greatest distance between an arc and its chords, above 0.</param>
    public static Point2[] Flatten(this OpenPath path, double chordErrorMm)
    {
        ArgumentNullException.ThrowIfNull(path);
        var points = new List<Point2>((path.SegmentCount * 4) + 1);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            AppendChords(path.SegmentAt(i), chordErrorMm, points);
        }

        points.Add(path.Vertices[^1].Point);
        return points.ToArray();
    }

    // The start and what lies between; the end is the next one's start.
    private static void AppendChords(Segment s, double chordErrorMm, List<Point2> into)
    {
        into.Add(s.Start);
        if (s.IsLine)
        {
            return;
        }

        var chords = ChordCount(s.Radius, s.SweepRad, chordErrorMm);
        for (var k = 1; k < chords; k++)
        {
            into.Add(s.PointAt((double)k / chords));
        }
    }
}
