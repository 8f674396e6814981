using System.Runtime.InteropServices;

namespace Stencilwright.Geometry;

/// <summary>
/// The inset of a smooth convex contour of lines and arcs by an axis-parallel ellipse, in one pass: lines move by the ellipse's support,
/// arcs become the curves parallel to them, cut where these run backwards and fitted once. See docs/algorithms/offset.md.
/// </summary>
internal static class ConvexEllipseInset
{
    /// <summary>Corners beside an arc that turn by more than this are not smooth; they move by this times the half width at most.</summary>
    private const double SmoothRad = 1e-6;

    /// <summary>Sides must turn by this much where what was between them is gone, for the place where they meet to be certain.</summary>
    private const double LeastTurnRad = 1e-3;

    /// <summary>Ends that run into each other come this near.</summary>
    private const double SamePlaceMm = 1e-6;

    /// <summary>The inset; null when the contour is none of these, or something vanishes in a way that needs the general method.</summary>
    /// <param name="v">A clean counter-clockwise contour.</param>
    /// <param name="halfXMm">Above 0.</param>
    /// <param name="halfYMm">Above 0, not the same.</param>
    /// <param name="toleranceMm">How near the arcs come to the true curve.</param>
    public static Contour? Try(ReadOnlySpan<PathVertex> v, double halfXMm, double halfYMm, double toleranceMm)
    {
        if (!ConvexOutset.IsConvex(v, SmoothRad))
        {
            return null;
        }

        var sides = new List<Side>(v.Length);
        if (!Move(v, halfXMm, halfYMm, sides))
        {
            return null;
        }

        DropSwallowed(sides);
        var joined = CollectionsMarshal.AsSpan(sides);
        return joined.Length < 2 || !Join(joined) ? null : Written(joined, toleranceMm);
    }

    private static bool Move(ReadOnlySpan<PathVertex> v, double halfXMm, double halfYMm, List<Side> sides)
    {
        var isGap = false;
        Corner.Tangents(v[^1], v[0], out _, out var before);
        var hadArc = v[^1].Bulge != 0;
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var next = ref v[i + 1 == v.Length ? 0 : i + 1];
            Corner.Tangents(v[i], next, out var direction, out var end);
            var isArc = v[i].Bulge != 0;
            if ((isArc || hadArc) && Math.Abs(Vector2.Cross(before, direction)) > SmoothRad)
            {
                return false;
            }

            if (isArc)
            {
                AddArc(new(v[i].Point, next.Point, v[i].Bulge), halfXMm, halfYMm, sides, ref isGap);
            }
            else
            {
                var inward = InsetArc.Inward(direction, halfXMm, halfYMm);
                sides.Add(new() { IsLine = true, Start = v[i].Point + inward, End = next.Point + inward, Direction = direction, IsAfterGap = isGap });
                isGap = false;
            }

            (before, hadArc) = (end, isArc);
        }

        if (isGap && sides.Count > 0)
        {
            CollectionsMarshal.AsSpan(sides)[0].IsAfterGap = true;
        }

        return true;
    }

    // The parts of an arc that are flatter than the ellipse is where both face the same way: round the axis of the greater half width.
    private static void AddArc(Segment s, double halfXMm, double halfYMm, List<Side> sides, ref bool isGap)
    {
        var curve = new InsetArc(s.Center, s.Radius, halfXMm, halfYMm);
        var from = Math.Atan2(s.Start.Y - curve.Center.Y, s.Start.X - curve.Center.X);
        var to = from + s.SweepRad;
        var half = curve.KeptHalfRad();
        if (half >= Math.PI)
        {
            AddCurve(curve, from, to, sides, ref isGap);
            return;
        }

        var axis = halfXMm > halfYMm ? 0 : Math.PI / 2;
        var at = from;
        for (var k = (int)Math.Floor((from - half - axis) / Math.PI); axis + (k * Math.PI) - half < to; k++)
        {
            var (low, high) = (Math.Max(from, axis + (k * Math.PI) - half), Math.Min(to, axis + (k * Math.PI) + half));
            if (high - low <= SmoothRad)
            {
                continue;
            }

            isGap |= low > at;
            AddCurve(curve, low, high, sides, ref isGap);
            at = high;
        }

        isGap |= at < to;
    }

    private static void AddCurve(in InsetArc curve, double from, double to, List<Side> sides, ref bool isGap)
    {
        sides.Add(new() { Curve = curve, From = from, To = to, Start = curve.PointAt(from), End = curve.PointAt(to), IsAfterGap = isGap });
        isGap = false;
    }

    // A curve that runs smoothly out of one line and, beyond its gap, lies outside the next bounds nothing: the lines meet.
    private static void DropSwallowed(List<Side> sides)
    {
        for (var k = 0; k < sides.Count && sides.Count > 2; k++)
        {
            var (side, before, after) = (sides[k], sides[k == 0 ? sides.Count - 1 : k - 1], sides[k + 1 == sides.Count ? 0 : k + 1]);
            if (side.IsLine || !before.IsLine || !after.IsLine || side.IsAfterGap == after.IsAfterGap)
            {
                continue;
            }

            if (side.IsAfterGap ? before.Beyond(side.End) >= 0 : after.Beyond(side.Start) >= 0)
            {
                sides.RemoveAt(k--);
            }
        }
    }

    private static bool Join(Span<Side> sides)
    {
        for (var k = 0; k < sides.Length; k++)
        {
            ref var a = ref sides[k];
            ref var b = ref sides[k + 1 == sides.Length ? 0 : k + 1];
            if (a.IsLine && b.IsLine ? !MeetLines(ref a, ref b) : b.IsAfterGap ? !Meet(ref a, ref b) : Point2.Distance(a.End, b.Start) > SamePlaceMm)
            {
                return false;
            }

            // One point for both, so that the contour closes.
            b.Start = a.End;
        }

        foreach (ref readonly var side in sides)
        {
            if (side.IsLine ? Vector2.Dot(side.End - side.Start, side.Direction) < ConvexInset.VanishedMm : side.To - side.From < SmoothRad)
            {
                return false;
            }
        }

        return true;
    }

    private static bool MeetLines(ref Side a, ref Side b)
    {
        var cross = Vector2.Cross(a.Direction, b.Direction);
        if (cross < LeastTurnRad)
        {
            return false;
        }

        a.End = a.Start + (a.Direction * (Vector2.Cross(b.Start - a.Start, b.Direction) / cross));
        return true;
    }

    private static bool Meet(ref Side a, ref Side b)
    {
        if (a.IsLine)
        {
            if (!MeetsLine(b.Curve, b.To, b.From, a, 1, out var at))
            {
                return false;
            }

            b.From = at;
            a.End = b.Curve.PointAt(at);
            return true;
        }

        if (b.IsLine)
        {
            if (!MeetsLine(a.Curve, a.From, a.To, b, -1, out var at))
            {
                return false;
            }

            a.To = at;
            a.End = a.Curve.PointAt(at);
            return true;
        }

        // The two branches of one circle are mirrored and meet in the middle.
        if (Point2.Distance(a.Curve.Center, b.Curve.Center) > 1e-9 || Math.Abs(a.Curve.RadiusMm - b.Curve.RadiusMm) > 1e-9
            || a.Curve.CrossesMiddleRad() is not { } middle)
        {
            return false;
        }

        var back = a.Curve.KeptHalfRad() - middle;
        (a.To, b.From) = (a.To - back, b.From + back);
        a.End = a.Curve.PointAt(a.To);
        return back > 0 && a.To > a.From && b.From < b.To && Point2.Distance(a.End, b.Curve.PointAt(b.From)) < SamePlaceMm;
    }

    // From inside the line on, the curve goes outwards steadily until it would turn back.
    private static bool MeetsLine(in InsetArc curve, double inside, double outside, in Side line, int sign, out double at)
    {
        at = inside;
        if (sign * TurnFrom(line, inside) < LeastTurnRad || sign * TurnFrom(line, outside) < LeastTurnRad
            || line.Beyond(curve.PointAt(inside)) >= 0 || line.Beyond(curve.PointAt(outside)) < 0)
        {
            return false;
        }

        at = (inside + outside) / 2;
        for (var i = 0; i < 60; i++)
        {
            var beyond = line.Beyond(curve.PointAt(at));
            (inside, outside) = beyond < 0 ? (at, outside) : (inside, at);
            var slope = -TurnFrom(line, at) * curve.CurvatureRadiusAt(at);
            var next = at - (beyond / slope);
            if (!((next - inside) * (next - outside) < 0))
            {
                next = (inside + outside) / 2;
            }

            var moved = Math.Abs(next - at);
            at = next;
            if (moved < 1e-12)
            {
                break;
            }
        }

        return true;
    }

    // Sine of the turn from a line's direction to the curve's at an angle it faces.
    private static double TurnFrom(in Side line, double facingRad)
    {
        var (sin, cos) = Math.SinCos(facingRad);
        return (line.Direction.X * cos) + (line.Direction.Y * sin);
    }

    private static Contour Written(ReadOnlySpan<Side> sides, double toleranceMm)
    {
        var path = new List<PathVertex>(sides.Length * 5);
        var fit = InsetArcFit.Fresh(toleranceMm);
        foreach (ref readonly var side in sides)
        {
            var first = path.Count;
            if (side.IsLine)
            {
                path.Add(new(side.Start.X, side.Start.Y));
                continue;
            }

            fit.Append(side.Curve, side.From, side.To, path);
            if (path.Count > first)
            {
                path[first] = path[first] with { X = side.Start.X, Y = side.Start.Y };
            }
        }

        return Contour.Adopt(path.ToArray());
    }

    private struct Side
    {
        public bool IsLine;

        /// <summary>Something between it and the side before has vanished.</summary>
        public bool IsAfterGap;
        public Point2 Start;
        public Point2 End;
        public Vector2 Direction;
        public InsetArc Curve;
        public double From;
        public double To;

        /// <summary>How far outside of this line a point lies.</summary>
        public readonly double Beyond(Point2 p) => -Vector2.Cross(Direction, p - Start);
    }
}
