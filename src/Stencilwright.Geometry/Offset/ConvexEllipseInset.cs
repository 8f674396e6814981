namespace Stencilwright.Geometry;

/// <summary>
/// The inset of a smooth convex contour of lines and arcs by an axis-parallel ellipse, in one pass: lines move by the ellipse's support,
/// arcs become the curves parallel to them, fitted once. See docs/algorithms/offset.md.
/// </summary>
internal static class ConvexEllipseInset
{
    /// <summary>Corners beside an arc that turn by more than this are not smooth; they move by this times the half width at most.</summary>
    private const double SmoothRad = 1e-6;

    private enum Fate
    {
        Line,
        Kept,
        Vanished,
    }

    /// <summary>The inset; null when the contour is none of these, or something vanishes in a way that needs the general method.</summary>
    /// <param name="v">A clean counter-clockwise contour.</param>
    /// <param name="halfXMm">Above 0.</param>
    /// <param name="halfYMm">Above 0.</param>
    /// <param name="toleranceMm">How near the arcs come to the true curve.</param>
    public static Contour? Try(ReadOnlySpan<PathVertex> v, double halfXMm, double halfYMm, double toleranceMm)
    {
        if (!ConvexOutset.IsConvex(v, SmoothRad))
        {
            return null;
        }

        Span<Side> sides = v.Length <= 64 ? stackalloc Side[v.Length] : new Side[v.Length];
        var count = 0;
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var next = ref v[i + 1 == v.Length ? 0 : i + 1];
            ref readonly var last = ref v[i == 0 ? v.Length - 1 : i - 1];
            Corner.Tangents(v[i], next, out var direction, out var end);
            Corner.Tangents(last, v[i], out _, out var before);
            if ((v[i].Bulge != 0 || last.Bulge != 0) && Math.Abs(Vector2.Cross(before, direction)) > SmoothRad)
            {
                return null;
            }

            var side = new Side(Fate.Line, v[i].Point + Inward(direction, halfXMm, halfYMm), next.Point + Inward(end, halfXMm, halfYMm), direction, i);
            if (v[i].Bulge != 0)
            {
                if (FateOf(new(v[i].Point, next.Point, v[i].Bulge), direction, end, halfXMm, halfYMm) is not { } fate)
                {
                    return null;
                }

                side = side with { Fate = fate };
            }

            if (side.Fate != Fate.Vanished)
            {
                sides[count++] = side;
            }
        }

        return count < 2 || !Join(sides[..count]) ? null : Written(sides[..count], v, halfXMm, halfYMm, toleranceMm);
    }

    // Sides keep their ends where nothing vanished between them; elsewhere two lines meet anew.
    private static bool Join(Span<Side> sides)
    {
        for (var k = 0; k < sides.Length; k++)
        {
            ref var a = ref sides[k];
            ref var b = ref sides[k + 1 == sides.Length ? 0 : k + 1];
            if (a.Fate != Fate.Line || b.Fate != Fate.Line)
            {
                if (Point2.Distance(a.End, b.Start) > 1e-6)
                {
                    return false;
                }

                // One point for both, so that the contour closes.
                b = b with { Start = a.End };
                continue;
            }

            var cross = Vector2.Cross(a.Direction, b.Direction);
            if (cross < 1e-3)
            {
                return false;
            }

            var meeting = a.Start + (a.Direction * (Vector2.Cross(b.Start - a.Start, b.Direction) / cross));
            a = a with { End = meeting };
            b = b with { Start = meeting };
        }

        foreach (ref readonly var side in sides)
        {
            if (side.Fate == Fate.Line && Vector2.Dot(side.End - side.Start, side.Direction) < ConvexInset.VanishedMm)
            {
                return false;
            }
        }

        return true;
    }

    private static Contour Written(ReadOnlySpan<Side> sides, ReadOnlySpan<PathVertex> v, double halfXMm, double halfYMm, double toleranceMm)
    {
        var path = new List<PathVertex>(sides.Length * 3);
        foreach (ref readonly var side in sides)
        {
            var first = path.Count;
            if (side.Fate == Fate.Line)
            {
                path.Add(new(side.Start.X, side.Start.Y));
                continue;
            }

            var s = new Segment(v[side.Index].Point, v[side.Index + 1 == v.Length ? 0 : side.Index + 1].Point, v[side.Index].Bulge);
            var curve = new InsetArc(s.Center, s.Radius, halfXMm, halfYMm);
            var from = Math.Atan2(s.Start.Y - s.Center.Y, s.Start.X - s.Center.X);
            BiarcFit.Append(curve, from, from + s.SweepRad, PiecesOf(curve, from, s.SweepRad, toleranceMm), toleranceMm, path);
            path[first] = path[first] with { X = side.Start.X, Y = side.Start.Y };
        }

        return Contour.Adopt(path.ToArray());
    }

    // A biarc misses a curve by about the cube of its angle times what the radius changes by a radian, over a hundred. Beginning with
    // the pieces that this asks for saves fits that would fail; the fit itself decides.
    private static int PiecesOf(in InsetArc curve, double fromRad, double sweepRad, double toleranceMm)
    {
        var steepest = 0.0;
        var last = 0.0;
        for (var k = 0; k <= 6; k++)
        {
            var (sin, cos) = Math.SinCos(fromRad + (sweepRad * k / 6));
            var radius = RadiusOf(new(-sin, cos), curve.HalfXMm, curve.HalfYMm);
            steepest = k == 0 ? 0 : Math.Max(steepest, Math.Abs(radius - last) * 6 / sweepRad);
            last = radius;
        }

        var least = sweepRad > 2 ? 2 : 1;
        var wanted = sweepRad / Math.Cbrt(100 * toleranceMm / Math.Max(steepest, 1e-12));
        var pieces = least;
        while (pieces * 1.42 < wanted)
        {
            pieces *= 2;
        }

        return pieces;
    }

    // An arc stays a smooth curve when it is everywhere flatter than the ellipse is where both face the same way, and constrains nothing
    // that its end tangents do not when it is everywhere rounder.
    private static Fate? FateOf(Segment s, Vector2 start, Vector2 end, double halfXMm, double halfYMm)
    {
        var (a, b) = (RadiusOf(start, halfXMm, halfYMm), RadiusOf(end, halfXMm, halfYMm));
        var (least, most) = (Math.Min(a, b), Math.Max(a, b));

        // Between the ends the ellipse's radius has its extremes where it faces along an axis.
        foreach (var facing in (ReadOnlySpan<Vector2>)[new(1, 0), new(0, 1), new(-1, 0), new(0, -1)])
        {
            if (s.IsOnArcSide(s.Center + (facing * s.Radius)))
            {
                var here = RadiusOf(facing.Left, halfXMm, halfYMm);
                (least, most) = (Math.Min(least, here), Math.Max(most, here));
            }
        }

        return s.Radius > most * 1.02 ? Fate.Kept : s.Radius < least ? Fate.Vanished : null;
    }

    // Radius of curvature where the ellipse's tangent has a direction: a²b²/s³, with s the support across it.
    private static double RadiusOf(Vector2 direction, double halfXMm, double halfYMm)
    {
        var (x, y) = (halfXMm * direction.Y, halfYMm * direction.X);
        var support = Math.Sqrt((x * x) + (y * y));
        return halfXMm * halfXMm * halfYMm * halfYMm / (support * support * support);
    }

    // Against the ellipse's point that faces the way a side with this direction does.
    private static Vector2 Inward(Vector2 direction, double halfXMm, double halfYMm)
    {
        var (x, y) = (halfXMm * direction.Y, -halfYMm * direction.X);
        var support = Math.Sqrt((x * x) + (y * y));
        return new(-halfXMm * x / support, -halfYMm * y / support);
    }

    private readonly record struct Side(Fate Fate, Point2 Start, Point2 End, Vector2 Direction, int Index);

    /// <summary>The curve that the middle of an ellipse follows inside an arc, by the angle that both face.</summary>
    private readonly record struct InsetArc(Point2 Center, double RadiusMm, double HalfXMm, double HalfYMm) : IPlaneCurve
    {
        public Point2 PointAt(double t)
        {
            var (sin, cos) = Math.SinCos(t);
            return Center + (new Vector2(cos, sin) * RadiusMm) + Inward(new(-sin, cos), HalfXMm, HalfYMm);
        }

        public Vector2 DerivativeAt(double t)
        {
            var (sin, cos) = Math.SinCos(t);
            var direction = new Vector2(-sin, cos);
            return direction * (RadiusMm - RadiusOf(direction, HalfXMm, HalfYMm));
        }
    }
}
