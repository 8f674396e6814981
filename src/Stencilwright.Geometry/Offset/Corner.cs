using System.Runtime.CompilerServices;

namespace Stencilwright.Geometry;

/// <summary>Directions at the ends of segments, and where moved neighbours meet; shared by every offset.</summary>
internal static class Corner
{
    /// <summary>Below this sine two directions are the same: 1e-9 rad moves a point 10 mm away by 0.01 nm.</summary>
    public const double SameDirection = 1e-9;

    /// <summary>Unit directions at both ends of the segment that leaves <paramref name="a"/>; no trigonometry.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Tangents(in PathVertex a, in PathVertex b, out Vector2 start, out Vector2 end)
    {
        double dx = b.X - a.X, dy = b.Y - a.Y;
        var length = Math.Sqrt((dx * dx) + (dy * dy));
        dx /= length;
        dy /= length;
        if (a.Bulge == 0)
        {
            start = end = new(dx, dy);
            return;
        }

        // The chord turned by ∓θ/2, with tan(θ/4) = b: cos(θ/2) = (1-b²)/(1+b²), sin(θ/2) = 2b/(1+b²).
        var scale = 1 / (1 + (a.Bulge * a.Bulge));
        var cos = (1 - (a.Bulge * a.Bulge)) * scale;
        var sin = 2 * a.Bulge * scale;
        start = new((dx * cos) + (dy * sin), (dy * cos) - (dx * sin));
        end = new((dx * cos) - (dy * sin), (dy * cos) + (dx * sin));
    }

    /// <summary>Where two lines through v, moved to the right by d, meet.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Point2 Mitre(Point2 v, Vector2 before, Vector2 after, double dot, double rightMm)
    {
        var k = rightMm / (1 + dot);
        return new(v.X + (k * (before.Y + after.Y)), v.Y - (k * (before.X + after.X)));
    }

    /// <summary>The point moved to the right of a direction.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Point2 Right(Point2 v, Vector2 direction, double rightMm) => new(v.X + (rightMm * direction.Y), v.Y - (rightMm * direction.X));

    /// <summary>
    /// Where the carriers of two neighbours that share a vertex meet once both are moved to the right, on the branch that runs through
    /// it when they are not moved. At least one is an arc.
    /// </summary>
    /// <returns>False when they no longer meet.</returns>
    public static bool Meet(Segment first, Segment second, Vector2 before, Vector2 after, double rightMm, out Point2 meeting)
    {
        meeting = default;
        var v = second.Start;
        if (first.IsLine || second.IsLine)
        {
            // On the line, measured from the moved v along its direction, the circle's centre stands at s; v is one of
            // the two crossings, on the side that the sign of s tells, and moving the line does not change s.
            var arc = first.IsLine ? second : first;
            var direction = first.IsLine ? before : after;
            var radius = arc.Radius + (Math.Sign(arc.Bulge) * rightMm);
            var origin = Right(v, direction, rightMm);
            var toCenter = arc.Center - origin;
            var s = Vector2.Dot(toCenter, direction);
            var away = Vector2.Cross(direction, toCenter);
            var half2 = (radius * radius) - (away * away);
            if (radius <= 0 || half2 < 0)
            {
                return false;
            }

            meeting = origin + (direction * (s - Math.CopySign(Math.Sqrt(half2), s)));
            return true;
        }

        var r1 = first.Radius + (Math.Sign(first.Bulge) * rightMm);
        var r2 = second.Radius + (Math.Sign(second.Bulge) * rightMm);
        var (c1, c2) = (first.Center, second.Center);
        var axis = c2 - c1;
        var distance = axis.Length;
        if (r1 <= 0 || r2 <= 0 || distance < 1e-9)
        {
            return false;
        }

        var unit = axis * (1 / distance);
        var along = ((distance * distance) + (r1 * r1) - (r2 * r2)) / (2 * distance);
        var height2 = (r1 * r1) - (along * along);
        if (height2 < 0)
        {
            return false;
        }

        var side = Vector2.Cross(unit, v - c1);
        meeting = c1 + (unit * along) + (unit.Left * Math.CopySign(Math.Sqrt(height2), side));
        return true;
    }

    /// <summary>Bulge of the arc about a centre from one point to another that turns the given way by less than a whole turn.</summary>
    /// <returns>Not a number when the arc would turn further than half a turn, or the other way.</returns>
    public static double BulgeAbout(Point2 center, Point2 start, Point2 end, double sign)
    {
        var (a, b) = (start - center, end - center);
        var (cross, dot) = (Vector2.Cross(a, b) * sign, Vector2.Dot(a, b));
        if (cross < 0)
        {
            // A half circle may come out a hair over.
            return dot < 0 && cross > dot * 1e-9 ? sign : double.NaN;
        }

        return sign * Math.Tan(Math.Atan2(cross, dot) / 4);
    }
}
