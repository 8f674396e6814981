namespace Stencilwright.Geometry;

/// <summary>A plane curve with a direction, by parameter.</summary>
internal interface IPlaneCurve
{
    /// <summary>The point at a parameter.</summary>
    Point2 PointAt(double t);

    /// <summary>The derivative by the parameter; may vanish.</summary>
    Vector2 DerivativeAt(double t);
}

/// <summary>A cubic Bézier curve over 0 to 1.</summary>
internal readonly record struct CubicCurve(Point2 P0, Point2 P1, Point2 P2, Point2 P3) : IPlaneCurve
{
    /// <inheritdoc/>
    public Point2 PointAt(double t)
    {
        var s = 1 - t;
        var (a, b, c, d) = (s * s * s, 3 * s * s * t, 3 * s * t * t, t * t * t);
        return new((a * P0.X) + (b * P1.X) + (c * P2.X) + (d * P3.X), (a * P0.Y) + (b * P1.Y) + (c * P2.Y) + (d * P3.Y));
    }

    /// <inheritdoc/>
    public Vector2 DerivativeAt(double t)
    {
        var s = 1 - t;
        return ((P1 - P0) * (3 * s * s)) + ((P2 - P1) * (6 * s * t)) + ((P3 - P2) * (3 * t * t));
    }
}

/// <summary>An ellipse by two conjugate half diameters, over radians.</summary>
internal readonly record struct EllipseCurve(Point2 Center, Vector2 U, Vector2 V) : IPlaneCurve
{
    /// <inheritdoc/>
    public Point2 PointAt(double t)
    {
        var (sin, cos) = Math.SinCos(t);
        return Center + (U * cos) + (V * sin);
    }

    /// <inheritdoc/>
    public Vector2 DerivativeAt(double t)
    {
        var (sin, cos) = Math.SinCos(t);
        return (V * cos) - (U * sin);
    }
}

/// <summary>Fits pairs of arcs to a curve by halving it until they lie near enough.</summary>
internal static class BiarcFit
{
    /// <summary>Halvings at most: a million pieces. A curve that needs more (a cusp) gets a straight line over what is left, far below any tolerance.</summary>
    private const int Deepest = 20;

    /// <summary>Points of a piece compared with its biarc. The distance has at most a few humps per piece.</summary>
    private const int Samples = 9;

    /// <summary>Appends the vertices of arcs from parameter <paramref name="from"/> on to <paramref name="to"/>, the end left out.</summary>
    public static void Append<TCurve>(TCurve curve, double from, double to, int pieces, double toleranceMm, List<PathVertex> into)
        where TCurve : struct, IPlaneCurve
    {
        for (var i = 0; i < pieces; i++)
        {
            var (a, b) = (from + ((to - from) * i / pieces), from + ((to - from) * (i + 1) / pieces));
            Halve(curve, a, b, toleranceMm, 0, into);
        }
    }

    private static void Halve<TCurve>(TCurve curve, double from, double to, double toleranceMm, int depth, List<PathVertex> into)
        where TCurve : struct, IPlaneCurve
    {
        var (a, b) = (curve.PointAt(from), curve.PointAt(to));
        var (isForwards, hullMm) = Course(curve, from, to, b - a);
        if (depth == Deepest || hullMm < toleranceMm / 4)
        {
            into.Add(new(a.X, a.Y));
            return;
        }

        if (isForwards
            && TryBiarc(a, Direction(curve, from, to, true), b, Direction(curve, from, to, false), out var first, out var second)
            && IsNear(curve, from, to, first, second, toleranceMm))
        {
            into.Add(new(a.X, a.Y, first.Bulge));
            if (second is { } other)
            {
                into.Add(new(other.Start.X, other.Start.Y, other.Bulge));
            }

            return;
        }

        var middle = (from + to) / 2;
        Halve(curve, from, middle, toleranceMm, depth + 1, into);
        Halve(curve, middle, to, toleranceMm, depth + 1, into);
    }

    // Whether a piece keeps going forwards along its chord, by the control points of its derivative (a quadratic's middle
    // one from its value halfway; near enough for an eighth of an ellipse), and no less than the length of its course.
    private static (bool IsForwards, double HullMm) Course<TCurve>(TCurve curve, double from, double to, Vector2 chord)
        where TCurve : struct, IPlaneCurve
    {
        var (start, end) = (curve.DerivativeAt(from), curve.DerivativeAt(to));
        var middle = (curve.DerivativeAt((from + to) / 2) * 2) - ((start + end) * 0.5);
        var span = to - from;
        var isForwards = Vector2.Dot(start * span, chord) >= 0 && Vector2.Dot(middle * span, chord) >= 0 && Vector2.Dot(end * span, chord) >= 0;
        return (isForwards, (start.Length + middle.Length + end.Length) * Math.Abs(span) / 3);
    }

    // The derivative vanishes where control points coincide; the direction there is that of the next control point or,
    // for any curve, of a point a little way in.
    private static Vector2 Direction<TCurve>(TCurve curve, double from, double to, bool isStart)
        where TCurve : struct, IPlaneCurve
    {
        var forwards = Math.Sign(to - from);
        var t = isStart ? from : to;
        var d = curve.DerivativeAt(t) * forwards;
        var chord = curve.PointAt(to) - curve.PointAt(from);
        if (d.Length * Math.Abs(to - from) > 1e-9 * chord.Length)
        {
            return d.Unit;
        }

        var step = (to - from) * 1e-4;
        return isStart ? (curve.PointAt(from + step) - curve.PointAt(from)).Unit : (curve.PointAt(to) - curve.PointAt(to - step)).Unit;
    }

    // The biarc whose two tangent lengths are equal: d with |v|² - 2d v·(s+e) + 2d²(s·e - 1) = 0, v the chord.
    private static bool TryBiarc(Point2 a, Vector2 s, Point2 b, Vector2 e, out Segment first, out Segment? second)
    {
        first = new(a, b, 0);
        second = null;
        var chord = b - a;
        var c2 = Vector2.Dot(chord, chord);
        var unit = chord.Unit;
        // Beyond 60 degrees either way a halved curve serves better than a swollen biarc.
        if (c2 == 0 || Vector2.Dot(s, unit) < 0.5 || Vector2.Dot(e, unit) < 0.5)
        {
            return false;
        }

        var (turnS, turnE) = (Vector2.Cross(s, unit), Vector2.Cross(unit, e));
        if (Math.Abs(turnS) < 1e-12 && Math.Abs(turnE) < 1e-12)
        {
            return true;
        }

        if (Math.Abs(turnS - turnE) < 1e-12)
        {
            first = new(a, b, BulgeOf(s, chord));
            return true;
        }

        var sum = Vector2.Dot(chord, s + e);
        var k = 2 * (1 - Vector2.Dot(s, e));
        var d = k < 1e-12 ? c2 / (2 * sum) : (Math.Sqrt((sum * sum) + (k * c2)) - sum) / k;
        var (p, q) = (a + (s * d), b - (e * d));
        var joint = Point2.Lerp(p, q, 0.5);
        first = new(a, joint, BulgeOf(s, joint - a));
        // The second arc's bulge from its end direction, seen backwards.
        second = new(joint, b, -BulgeOf(e * -1, joint - b));
        return true;
    }

    // An arc leaves its chord by half its sweep; tan(θ/4) from the half-angle.
    private static double BulgeOf(Vector2 tangent, Vector2 chord)
    {
        var (cross, dot) = (Vector2.Cross(tangent, chord), Vector2.Dot(tangent, chord));
        var bulge = Math.Tan(Math.Atan2(cross, dot) / 2);
        return Math.Abs(bulge) < 1e-13 ? 0 : Math.Clamp(bulge, -1, 1);
    }

    private static bool IsNear<TCurve>(TCurve curve, double from, double to, Segment first, Segment? second, double toleranceMm)
        where TCurve : struct, IPlaneCurve
    {
        for (var i = 1; i <= Samples; i++)
        {
            var p = curve.PointAt(from + ((to - from) * i / (Samples + 1)));
            var distance = RegionDistance.ToSegment(first, p).DistanceMm;
            if (second is { } other)
            {
                distance = Math.Min(distance, RegionDistance.ToSegment(other, p).DistanceMm);
            }

            // A tenth is left for what lies between the samples.
            if (distance > toleranceMm * 0.9)
            {
                return false;
            }
        }

        return true;
    }
}
