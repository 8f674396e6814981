namespace Stencilwright.Geometry;

/// <summary>Finds the arcs that a contour of short chords was made of.</summary>
internal static class ArcRecovery
{
    private const int FewestChords = 6;
    private const double MostTurnRad = (2 * Math.PI / 24) + 1e-3;
    private const double UnevenChords = 1.5;

    /// <summary>See <see cref="ArcFit.RecoverArcs"/>.</summary>
    public static Contour Recover(Contour contour, double toleranceMm)
    {
        var v = ContourCleaner.Clean(contour.Vertices);
        if (v.Length < FewestChords)
        {
            return contour;
        }

        var start = FirstBreak(v);
        if (start < 0)
        {
            return WholeCircle(v, toleranceMm) ?? FromStart(contour, v, 0, toleranceMm);
        }

        return FromStart(contour, v, start, toleranceMm);
    }

    private static Contour FromStart(Contour contour, ReadOnlySpan<PathVertex> v, int start, double toleranceMm)
    {
        var path = new List<PathVertex>(v.Length);
        var found = false;
        for (var done = 0; done < v.Length;)
        {
            var at = (start + done) % v.Length;
            var chords = RunFrom(v, at, v.Length - done, toleranceMm);
            if (chords < FewestChords)
            {
                path.Add(v[at]);
                done++;
                continue;
            }

            found = true;
            AddArc(v, at, chords, path);
            done += chords;
        }

        return found ? Contour.Adopt(path.ToArray()) : contour;
    }

    // How many chords from here on lie on one circle; 0 when this is no run.
    private static int RunFrom(ReadOnlySpan<PathVertex> v, int at, int most, double toleranceMm)
    {
        var chords = 1;
        while (chords < most && IsLine(v, at + chords - 1) && IsSmooth(v, at + chords))
        {
            chords++;
        }

        if (!IsLine(v, at))
        {
            return 0;
        }

        // The longest run whose circle fits; circles through first, middle and last point, so halving finds it quickly
        // enough and shrinking by one at a time finishes it.
        while (chords >= FewestChords && !Fits(v, at, chords, toleranceMm))
        {
            chords--;
        }

        return chords >= FewestChords ? chords : 0;
    }

    private static bool Fits(ReadOnlySpan<PathVertex> v, int at, int chords, double toleranceMm)
    {
        if (!TryCircle(P(v, at), P(v, at + (chords / 2)), P(v, at + chords), out var center, out var radius))
        {
            return false;
        }

        for (var i = 1; i < chords; i++)
        {
            if (Math.Abs(Point2.Distance(P(v, at + i), center) - radius) > toleranceMm)
            {
                return false;
            }
        }

        // A chord's turn must be that of the circle, or the run is a straight piece between bends.
        for (var i = 0; i < chords; i++)
        {
            var half = Point2.Distance(P(v, at + i), P(v, at + i + 1)) / (2 * radius);
            if (half > MostTurnRad / 2)
            {
                return false;
            }
        }

        return true;
    }

    private static void AddArc(ReadOnlySpan<PathVertex> v, int at, int chords, List<PathVertex> path)
    {
        TryCircle(P(v, at), P(v, at + (chords / 2)), P(v, at + chords), out var center, out _);
        var sign = Math.Sign(Vector2.Cross(P(v, at + 1) - P(v, at), P(v, at + 2) - P(v, at + 1)));
        // A sum of chords' angles is sure about whole turns, which the end points alone are not.
        var sweep = 0.0;
        for (var i = 0; i < chords; i++)
        {
            var (a, b) = (P(v, at + i) - center, P(v, at + i + 1) - center);
            sweep += Math.Atan2(Vector2.Cross(a, b), Vector2.Dot(a, b));
        }

        var pieces = Math.Abs(sweep) > Math.PI - 1e-9 ? 2 : 1;
        var middle = at + (chords / 2);
        var start = P(v, at);
        if (pieces == 1)
        {
            path.Add(new(start.X, start.Y, Math.Tan(sweep / 4)));
            return;
        }

        var half = P(v, middle);
        path.Add(new(start.X, start.Y, Corner.BulgeAbout(center, start, half, sign)));
        path.Add(new(half.X, half.Y, Corner.BulgeAbout(center, half, P(v, at + chords), sign)));
    }

    private static Contour? WholeCircle(ReadOnlySpan<PathVertex> v, double toleranceMm)
    {
        var origin = v[0].Point;
        var mean = default(Vector2);
        foreach (ref readonly var vertex in v)
        {
            mean += vertex.Point - origin;
        }

        var center = origin + (mean * (1.0 / v.Length));
        var radius = 0.0;
        foreach (ref readonly var vertex in v)
        {
            radius += Point2.Distance(center, vertex.Point) / v.Length;
        }

        foreach (ref readonly var vertex in v)
        {
            if (Math.Abs(Point2.Distance(center, vertex.Point) - radius) > toleranceMm)
            {
                return null;
            }
        }

        var unit = (origin - center).Unit * radius;
        var sign = Math.Sign(Measure.SignedArea(v));
        var (a, b) = (center + unit, center - unit);
        return Contour.Adopt([new(a.X, a.Y, sign), new(b.X, b.Y, sign)]);
    }

    private static int FirstBreak(ReadOnlySpan<PathVertex> v)
    {
        for (var i = 0; i < v.Length; i++)
        {
            if (!IsSmooth(v, i + v.Length))
            {
                return i;
            }
        }

        return -1;
    }

    // True when the corner at a vertex may lie inside a run of chords: lines of about one length on either side, a small
    // turn, and the same way as at the vertex before.
    private static bool IsSmooth(ReadOnlySpan<PathVertex> v, int at)
    {
        if (!IsLine(v, at) || !IsLine(v, at - 1))
        {
            return false;
        }

        var (a, b) = (P(v, at) - P(v, at - 1), P(v, at + 1) - P(v, at));
        var (x, y) = (a.Length, b.Length);
        var cross = Vector2.Cross(a, b);
        var turn = Math.Atan2(cross, Vector2.Dot(a, b));
        return x <= UnevenChords * y && y <= UnevenChords * x && Math.Abs(turn) is > 1e-4 and <= MostTurnRad;
    }

    private static bool TryCircle(Point2 a, Point2 b, Point2 c, out Point2 center, out double radius)
    {
        var (u, w) = (b - a, c - a);
        var cross = 2 * Vector2.Cross(u, w);
        center = default;
        radius = 0;
        var (u2, w2) = (Vector2.Dot(u, u), Vector2.Dot(w, w));
        if (Math.Abs(cross) < 1e-6 * (u2 + w2) && w2 > u2)
        {
            return false;
        }

        if (w2 < 1e-12)
        {
            // First and last point are one: the middle one lies opposite.
            center = Point2.Lerp(a, b, 0.5);
            radius = Math.Sqrt(u2) / 2;
            return true;
        }

        center = a + new Vector2(((w.Y * u2) - (u.Y * w2)) / cross, ((u.X * w2) - (w.X * u2)) / cross);
        radius = Point2.Distance(center, a);
        return true;
    }

    private static Point2 P(ReadOnlySpan<PathVertex> v, int i) => v[((i % v.Length) + v.Length) % v.Length].Point;

    private static bool IsLine(ReadOnlySpan<PathVertex> v, int i) => v[((i % v.Length) + v.Length) % v.Length].Bulge == 0;
}
