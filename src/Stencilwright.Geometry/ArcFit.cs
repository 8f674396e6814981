using System.Diagnostics.CodeAnalysis;

namespace Stencilwright.Geometry;

/// <summary>Makes lines and circular arcs of curves that are neither, within a stated tolerance.</summary>
/// <remarks>
/// Curves become biarcs: pairs of arcs that share the curve's ends and end directions and meet smoothly, so that the
/// result has no corners the curve had not. Pieces are halved until every sampled point of the curve lies within the
/// tolerance of its biarc. K. M. Bolton, Biarc curves, Computer-Aided Design 7 (1975).
/// </remarks>
[SuppressMessage("Design", "CA1002:Do not expose generic lists", Justification = "Callers build paths in lists; appending through an interface would cost a virtual call per vertex.")]
public static class ArcFit
{
    /// <summary>Maps a contour by a map that turns circles into ellipses, and fits arcs to the ellipses.</summary>
    /// <param name="contour">What to map.</param>
    /// <param name="map">Any affine map; a mirroring one turns the direction round so that the signed area keeps its sign.</param>
    /// <param name="toleranceMm">Greatest distance between the true ellipse and its arcs.</param>
    public static Contour TransformByFit(Contour contour, Affine2 map, double toleranceMm)
    {
        ArgumentNullException.ThrowIfNull(contour);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(toleranceMm);
        var source = map.Determinant < 0 ? contour.Reversed() : contour;
        var path = new List<PathVertex>(source.Count * 4);
        for (var i = 0; i < source.Count; i++)
        {
            var s = source.SegmentAt(i);
            var start = map.Apply(s.Start);
            var first = path.Count;
            if (s.IsLine)
            {
                path.Add(new(start.X, start.Y));
                continue;
            }

            var radius = s.Radius;
            var from = s.Start - s.Center;
            EllipticalArc(
                map.Apply(s.Center), map.Apply(new Vector2(radius, 0)), map.Apply(new Vector2(0, radius)),
                Math.Atan2(from.Y, from.X), s.SweepRad, toleranceMm, path);
            path[first] = path[first] with { X = start.X, Y = start.Y };
        }

        return Contour.Adopt(path.ToArray());
    }

    /// <summary>Appends arcs for a cubic Bézier curve: its vertices from <paramref name="p0"/> on, without the end point.</summary>
    /// <param name="p0">Start.</param>
    /// <param name="p1">First control point.</param>
    /// <param name="p2">Second control point.</param>
    /// <param name="p3">End.</param>
    /// <param name="toleranceMm">Greatest distance between curve and arcs.</param>
    /// <param name="into">Where vertices are appended.</param>
    public static void Bezier(Point2 p0, Point2 p1, Point2 p2, Point2 p3, double toleranceMm, List<PathVertex> into)
    {
        ArgumentNullException.ThrowIfNull(into);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(toleranceMm);
        BiarcFit.Append(new CubicCurve(p0, p1, p2, p3), 0, 1, 1, toleranceMm, into);
    }

    /// <summary>Appends arcs for a quadratic Bézier curve: its vertices from <paramref name="p0"/> on, without the end point.</summary>
    /// <param name="p0">Start.</param>
    /// <param name="p1">Control point.</param>
    /// <param name="p2">End.</param>
    /// <param name="toleranceMm">Greatest distance between curve and arcs.</param>
    /// <param name="into">Where vertices are appended.</param>
    public static void Quadratic(Point2 p0, Point2 p1, Point2 p2, double toleranceMm, List<PathVertex> into) =>
        Bezier(p0, Point2.Lerp(p0, p1, 2.0 / 3), Point2.Lerp(p2, p1, 2.0 / 3), p2, toleranceMm, into);

    /// <summary>
    /// Appends arcs for a part of an ellipse, center + axisU·cos t + axisV·sin t with t from <paramref name="startRad"/> on over
    /// <paramref name="sweepRad"/>: its vertices without the end point. The axes may be any two conjugate half diameters.
    /// </summary>
    /// <param name="center">The ellipse's centre.</param>
    /// <param name="axisU">From the centre to the point at t = 0.</param>
    /// <param name="axisV">From the centre to the point at t = π/2.</param>
    /// <param name="startRad">Parameter of the first point.</param>
    /// <param name="sweepRad">Signed range of the parameter, at most a whole turn in magnitude.</param>
    /// <param name="toleranceMm">Greatest distance between ellipse and arcs.</param>
    /// <param name="into">Where vertices are appended.</param>
    public static void EllipticalArc(
        Point2 center, Vector2 axisU, Vector2 axisV, double startRad, double sweepRad, double toleranceMm, List<PathVertex> into)
    {
        ArgumentNullException.ThrowIfNull(into);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(toleranceMm);
        var (u, v) = (axisU.Length, axisV.Length);
        var size = Math.Max(u, v);
        var curve = new EllipseCurve(center, axisU, axisV);
        var quarters = Math.Max(1, (int)Math.Ceiling((Math.Abs(sweepRad) / (Math.PI / 2)) - 1e-9));
        if (Math.Abs(u - v) <= size * 1e-12 && Math.Abs(Vector2.Dot(axisU, axisV)) <= size * size * 1e-12)
        {
            var halves = Math.Max(1, (int)Math.Ceiling((Math.Abs(sweepRad) / Math.PI) - 1e-9));
            var turn = Math.Sign(Vector2.Cross(axisU, axisV));
            for (var i = 0; i < halves; i++)
            {
                var p = curve.PointAt(startRad + (sweepRad * i / halves));
                into.Add(new(p.X, p.Y, Math.Clamp(Math.Tan(turn * sweepRad / halves / 4), -1, 1)));
            }

            return;
        }

        if (Math.Abs(Vector2.Cross(axisU, axisV)) <= size * toleranceMm * 0.1)
        {
            AppendFlat(curve, axisU, axisV, startRad, sweepRad, into);
            return;
        }

        BiarcFit.Append(curve, startRad, startRad + sweepRad, quarters, toleranceMm, into);
    }

    /// <summary>Makes arcs of the runs of short chords in a contour that lie on a common circle, such as circles exported as polygons.</summary>
    /// <remarks>
    /// Conservative: at least six chords in a row, none turning by more than a 24th of a circle, of about one length, all
    /// their ends within the tolerance of one circle. Octagons and rounded corners of three chords stay what they are.
    /// </remarks>
    /// <param name="contour">What to look through; arcs in it stay.</param>
    /// <param name="toleranceMm">How far a vertex may lie from the circle it is taken to lie on.</param>
    public static Contour RecoverArcs(Contour contour, double toleranceMm)
    {
        ArgumentNullException.ThrowIfNull(contour);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(toleranceMm);
        return ArcRecovery.Recover(contour, toleranceMm);
    }

    // An ellipse squeezed flat: straight there and back, turning at its two tips.
    private static void AppendFlat(EllipseCurve curve, Vector2 axisU, Vector2 axisV, double startRad, double sweepRad, List<PathVertex> into)
    {
        var first = curve.PointAt(startRad);
        into.Add(new(first.X, first.Y));
        var direction = axisU.Length > axisV.Length ? axisU : axisV;
        var tip = Math.Atan2(Vector2.Dot(axisV, direction), Vector2.Dot(axisU, direction));
        var sign = Math.Sign(sweepRad);
        for (var k = -4; k <= 8; k++)
        {
            var t = tip + (sign * k * Math.PI);
            if ((t - startRad) * sign > 1e-9 && (startRad + sweepRad - t) * sign > 1e-9)
            {
                var p = curve.PointAt(t);
                into.Add(new(p.X, p.Y));
            }
        }
    }
}
