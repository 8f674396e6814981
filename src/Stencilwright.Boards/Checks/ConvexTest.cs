using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Tells quickly whether a convex shape holds another; "no" may only mean that it is not obvious.</summary>
internal static class ConvexTest
{
    /// <summary>True when the holder is convex and no point of the other lies outside it by more than the slack.</summary>
    public static bool Holds(Region holder, Region held, double slackMm)
    {
        if (holder.Contours.Length != 1 || !IsConvex(holder.Contours[0]))
        {
            return false;
        }

        foreach (var contour in held.Contours)
        {
            // A hole's outline lies within its outer contour.
            if (contour.SignedAreaMm2 > 0 && !Holds(holder.Contours[0], contour, slackMm))
            {
                return false;
            }
        }

        return true;
    }

    private static bool Holds(Contour holder, Contour held, double slackMm)
    {
        for (var i = 0; i < holder.Count; i++)
        {
            var edge = holder.SegmentAt(i);
            var length = edge.Chord.Length;
            if (!(length > 0))
            {
                continue;
            }

            var along = edge.Chord * (1 / length);
            var (center, radius) = edge.IsLine ? (default, 0) : (edge.Center, edge.Radius);
            for (var k = 0; k < held.Count; k++)
            {
                var segment = held.SegmentAt(k);
                // Left of the chord, or in the cap beyond it: for a whole segment, one or the other.
                if (!IsLeft(segment, edge.Start, along, slackMm) && (edge.IsLine || !IsInDisc(segment, center, radius + slackMm)))
                {
                    return false;
                }
            }
        }

        return true;
    }

    private static bool IsLeft(Segment segment, Point2 on, Vector2 along, double slackMm)
    {
        if (Vector2.Cross(along, segment.Start - on) < -slackMm || Vector2.Cross(along, segment.End - on) < -slackMm)
        {
            return false;
        }

        // An arc that turns clockwise bends inwards; the other kind bulges at most as far as its whole circle does.
        return segment.Bulge <= 0 || Vector2.Cross(along, segment.Center - on) - segment.Radius >= -slackMm || !ReachesRight(segment, on, along, slackMm);
    }

    // Does the arc itself reach its circle's rightmost point?
    private static bool ReachesRight(Segment arc, Point2 on, Vector2 along, double slackMm)
    {
        var rightmost = arc.Center - (along.Left * arc.Radius);
        return Vector2.Cross(along, rightmost - on) < -slackMm && Vector2.Cross(arc.Chord, rightmost - arc.Start) < 0;
    }

    private static bool IsInDisc(Segment segment, Point2 center, double radiusMm)
    {
        if (Point2.Distance(segment.Start, center) > radiusMm || Point2.Distance(segment.End, center) > radiusMm)
        {
            return false;
        }

        return segment.Bulge <= 0 || Point2.Distance(segment.Center, center) + segment.Radius <= radiusMm;
    }

    private static bool IsConvex(Contour contour)
    {
        for (var i = 0; i < contour.Count; i++)
        {
            var (here, next) = (contour.SegmentAt(i), contour.SegmentAt(i + 1 == contour.Count ? 0 : i + 1));
            if (here.Bulge < 0)
            {
                return false;
            }

            var (u, v) = (Tangent(here, 1), Tangent(next, -1));
            var cross = Vector2.Cross(u, v);
            if (cross < 0 && cross * cross > 1e-18 * Vector2.Dot(u, u) * Vector2.Dot(v, v))
            {
                return false;
            }
        }

        return true;
    }

    // The chord turned by half the arc's angle, forwards for the end and backwards for the start; its length does not matter.
    private static Vector2 Tangent(Segment s, int sign) =>
        (s.Chord * (1 - (s.Bulge * s.Bulge))) + (s.Chord.Left * (2 * s.Bulge * sign));
}
