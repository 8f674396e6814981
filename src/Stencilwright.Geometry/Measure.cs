using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>Exact measures of closed paths of lines and arcs.</summary>
public static class Measure
{
    /// <summary>Signed enclosed area, square millimetres; what is wound round twice counts twice.</summary>
    /// <remarks>Shoelace about the first vertex, so that rounding grows with the path's size and not its place, plus each arc's cap.</remarks>
    public static double SignedArea(ReadOnlySpan<PathVertex> closed)
    {
        var sum = 0.0;
        var origin = closed[0].Point;
        for (var i = 0; i < closed.Length; i++)
        {
            var a = closed[i];
            var b = closed[i + 1 == closed.Length ? 0 : i + 1];
            sum += Vector2.Cross(a.Point - origin, b.Point - origin) / 2;
            if (a.Bulge != 0)
            {
                sum += new Segment(a.Point, b.Point, a.Bulge).CapArea;
            }
        }

        return sum;
    }

    /// <summary>Length of the closed path, millimetres.</summary>
    public static double Perimeter(ReadOnlySpan<PathVertex> closed)
    {
        var sum = 0.0;
        for (var i = 0; i < closed.Length; i++)
        {
            var b = closed[i + 1 == closed.Length ? 0 : i + 1];
            sum += new Segment(closed[i].Point, b.Point, closed[i].Bulge).Length;
        }

        return sum;
    }

    /// <summary>Exact box of the closed path.</summary>
    public static Bounds2 Bounds(ReadOnlySpan<PathVertex> closed)
    {
        var box = Bounds2.Empty;
        for (var i = 0; i < closed.Length; i++)
        {
            var a = closed[i];
            box = box.Include(a.Point);
            if (a.Bulge != 0)
            {
                var b = closed[i + 1 == closed.Length ? 0 : i + 1];
                box = Bounds2.Union(box, new Segment(a.Point, b.Point, a.Bulge).Bounds);
            }
        }

        return box;
    }

    /// <summary>Centre of area of contours taken together (holes clockwise); not a number for zero area.</summary>
    public static Point2 Centroid(ImmutableArray<Contour> contours)
    {
        if (contours.IsEmpty)
        {
            return new(double.NaN, double.NaN);
        }

        var origin = contours[0].Vertices[0].Point;
        double area = 0, mx = 0, my = 0;
        foreach (var contour in contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var segment = contour.SegmentAt(i);
                var (a, b) = (segment.Start - origin, segment.End - origin);
                var triangle = Vector2.Cross(a, b) / 2;
                area += triangle;
                mx += triangle * (a.X + b.X) / 3;
                my += triangle * (a.Y + b.Y) / 3;
                if (!segment.IsLine)
                {
                    var cap = segment.CapArea;
                    var c = CapCentroid(segment) - origin;
                    area += cap;
                    mx += cap * c.X;
                    my += cap * c.Y;
                }
            }
        }

        return origin + new Vector2(mx / area, my / area);
    }

    /// <summary>How often the closed path winds round a point, counter-clockwise positive.</summary>
    /// <remarks>
    /// The polygon of chords is counted by upward and downward crossings of the ray to the right; a point between an
    /// arc and its chord adds the arc's direction. No intersection is computed, so tangent rays need no special case.
    /// </remarks>
    public static int WindingNumber(ReadOnlySpan<PathVertex> closed, Point2 p)
    {
        var winding = 0;
        for (var i = 0; i < closed.Length; i++)
        {
            var a = closed[i];
            var b = closed[i + 1 == closed.Length ? 0 : i + 1];
            var cross = Vector2.Cross(b.Point - a.Point, p - a.Point);
            if (a.Y <= p.Y)
            {
                if (b.Y > p.Y && cross > 0)
                {
                    winding++;
                }
            }
            else if (b.Y <= p.Y && cross < 0)
            {
                winding--;
            }

            if (a.Bulge != 0)
            {
                winding += CapWinding(new Segment(a.Point, b.Point, a.Bulge), p, cross);
            }
        }

        return winding;
    }

    private static int CapWinding(Segment arc, Point2 p, double chordCross)
    {
        // The cap lies right of the chord for a counter-clockwise arc, left of it for a clockwise one. A point on the
        // chord is moved as the polygon's rule moves it: a hair to the right, and far less upwards.
        var isRight = chordCross < 0;
        if (chordCross == 0)
        {
            var (a, b) = (arc.Start, arc.End);
            isRight = b.Y > a.Y || (b.Y == a.Y && b.X < a.X);
        }

        if (isRight != arc.Bulge > 0)
        {
            return 0;
        }

        // Seen from a point of the arc the chord spans π - θ/2, from inside more: sin(span - π + θ/2) > 0 written in the
        // bulge. It needs no centre, which lies very far away for a shallow arc.
        var (u, v) = (arc.Start - p, arc.End - p);
        var bulge = Math.Abs(arc.Bulge);
        return (Math.Abs(Vector2.Cross(u, v)) * (1 - (bulge * bulge))) + (2 * bulge * Vector2.Dot(u, v)) < 0 ? Math.Sign(arc.Bulge) : 0;
    }

    private static Point2 CapCentroid(Segment arc)
    {
        var theta = Math.Abs(arc.SweepRad);
        var middle = Point2.Lerp(arc.Start, arc.End, 0.5);
        var outward = arc.Middle - middle;
        if (theta < 0.02)
        {
            // A shallow cap is a parabola: its centroid lies at 2/5 of the sagitta from the chord.
            return middle + (outward * 0.4);
        }

        // Circular segment: distance from the centre 4 r sin³(θ/2) / (3 (θ - sin θ)).
        var half = Math.Sin(theta / 2);
        var distance = 4 * arc.Radius * half * half * half / (3 * (theta - Math.Sin(theta)));
        return arc.Center + (outward.Unit * distance);
    }
}
