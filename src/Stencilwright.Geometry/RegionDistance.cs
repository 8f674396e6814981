namespace Stencilwright.Geometry;

/// <summary>A point's nearest point on something.</summary>
/// <param name="DistanceMm">How far, at least 0.</param>
/// <param name="Nearest">The nearest point.</param>
public readonly record struct NearestPoint(double DistanceMm, Point2 Nearest);

/// <summary>Where two things come nearest.</summary>
/// <param name="DistanceMm">How far, at least 0.</param>
/// <param name="OnA">The nearest point of the first.</param>
/// <param name="OnB">The nearest point of the second.</param>
public readonly record struct NearestPair(double DistanceMm, Point2 OnA, Point2 OnB)
{
    internal static NearestPair None { get; } = new(double.PositiveInfinity, default, default);

    internal NearestPair Swapped => new(DistanceMm, OnB, OnA);
}

/// <summary>Least distances between points, boundaries and regions, exact for lines and arcs.</summary>
public static class RegionDistance
{
    // Above it a radius is at most 250 chords, and a point reckoned from the centre is good to 1e-13 chords.
    private const double ShallowBulge = 1e-3;

    /// <summary>From a point to a segment.</summary>
    public static NearestPoint ToSegment(Segment segment, Point2 p)
    {
        var chord = segment.Chord;
        if (segment.IsLine || chord == default)
        {
            var c2 = Vector2.Dot(chord, chord);
            var t = c2 > 0 ? Math.Clamp(Vector2.Dot(p - segment.Start, chord) / c2, 0, 1) : 0;
            var foot = t == 1 ? segment.End : segment.Start + (chord * t);
            return new(Point2.Distance(p, foot), foot);
        }

        var form = new ArcForm(segment);
        var onCircle = form.Foot(p);
        if (segment.IsOnArcSide(onCircle))
        {
            return new(Math.Abs(form.Off(p.X, p.Y)), onCircle);
        }

        var (toStart, toEnd) = (Point2.Distance(p, segment.Start), Point2.Distance(p, segment.End));
        return toStart <= toEnd ? new(toStart, segment.Start) : new(toEnd, segment.End);
    }

    /// <summary>From a point to a contour's path; inside or outside makes no difference.</summary>
    public static NearestPoint ToContour(Contour contour, Point2 p)
    {
        ArgumentNullException.ThrowIfNull(contour);
        var best = new NearestPoint(double.PositiveInfinity, default);
        for (var i = 0; i < contour.Count; i++)
        {
            var here = ToSegment(contour.SegmentAt(i), p);
            if (here.DistanceMm < best.DistanceMm)
            {
                best = here;
            }
        }

        return best;
    }

    /// <summary>From a point to a region's boundary; infinite when the region is empty.</summary>
    public static NearestPoint ToBoundary(Region region, Point2 p)
    {
        ArgumentNullException.ThrowIfNull(region);
        var best = new NearestPoint(double.PositiveInfinity, default);
        foreach (var contour in region.Contours)
        {
            if (BoxDistance(contour.Bounds, new(p.X, p.Y, p.X, p.Y)) < best.DistanceMm
                && ToContour(contour, p) is var here && here.DistanceMm < best.DistanceMm)
            {
                best = here;
            }
        }

        return best;
    }

    /// <summary>Between two contours' paths; 0 where they touch or cross, with a point where they do.</summary>
    public static NearestPair Between(Contour a, Contour b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        var best = NearestPair.None;
        Narrow(a, b, ref best);
        return best;
    }

    /// <summary>
    /// Between two regions; 0 where they touch or overlap, infinite when one is empty. For overlapping regions both points are
    /// the same point of both.
    /// </summary>
    public static NearestPair Between(Region a, Region b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        var best = NearestPair.None;
        foreach (var outer in a.Contours)
        {
            foreach (var other in b.Contours)
            {
                if (BoxDistance(outer.Bounds, other.Bounds) < best.DistanceMm)
                {
                    Narrow(outer, other, ref best);
                }
            }
        }

        return best.DistanceMm > 0 && CommonPoint(a, b) is { } common ? new(0, common, common) : best;
    }

    /// <summary>Between two segments; 0 where they touch or cross.</summary>
    public static NearestPair Between(Segment a, Segment b)
    {
        (a, b) = (WithoutNoise(a), WithoutNoise(b));
        if (SegmentCrossing.TryFind(a, b, out var crossing))
        {
            return new(0, crossing, crossing);
        }

        var best = NearestPair.None;
        Take(ToSegment(b, a.Start), a.Start, ref best);
        Take(ToSegment(b, a.End), a.End, ref best);
        var swapped = best.Swapped;
        Take(ToSegment(a, b.Start), b.Start, ref swapped);
        Take(ToSegment(a, b.End), b.End, ref swapped);
        best = swapped.Swapped;
        // Two bellies come nearest on the line through the centres, a belly and a line on the square through the centre.
        if (!a.IsLine)
        {
            TakeBelly(a, b, ref best);
        }

        if (!b.IsLine)
        {
            swapped = best.Swapped;
            TakeBelly(b, a, ref swapped);
            best = swapped.Swapped;
        }

        return best;
    }

    /// <summary>Least distance between two boxes, 0 when they overlap.</summary>
    internal static double BoxDistance(Bounds2 a, Bounds2 b)
    {
        var dx = Math.Max(0, Math.Max(a.MinX - b.MaxX, b.MinX - a.MaxX));
        var dy = Math.Max(0, Math.Max(a.MinY - b.MaxY, b.MinY - a.MaxY));
        return Math.Sqrt((dx * dx) + (dy * dy));
    }

    /// <summary>A point of both, for regions whose boundaries do not meet.</summary>
    internal static Point2? CommonPoint(Region a, Region b) => PointInside(a, b) ?? PointInside(b, a);

    // A region that crosses no boundary of the other lies wholly inside or outside: one point of each island tells.
    private static Point2? PointInside(Region region, Region other)
    {
        foreach (var contour in region.Contours)
        {
            var p = contour.Vertices[0].Point;
            if (other.Contains(p))
            {
                return p;
            }
        }

        return null;
    }

    private static void Narrow(Contour a, Contour b, ref NearestPair best)
    {
        var boxes = new Bounds2[b.Count];
        for (var j = 0; j < boxes.Length; j++)
        {
            boxes[j] = b.SegmentAt(j).Bounds;
        }

        for (var i = 0; i < a.Count; i++)
        {
            var s = a.SegmentAt(i);
            var box = s.Bounds;
            if (BoxDistance(box, b.Bounds) >= best.DistanceMm)
            {
                continue;
            }

            for (var j = 0; j < boxes.Length; j++)
            {
                if (BoxDistance(box, boxes[j]) < best.DistanceMm && Between(s, b.SegmentAt(j)) is var here && here.DistanceMm < best.DistanceMm)
                {
                    best = here;
                }
            }
        }
    }

    // Half this bulge of its chord is less than the rounding of its ends: a line.
    private static Segment WithoutNoise(Segment s) => Math.Abs(s.Bulge) < 1e-13 || s.Chord == default ? s with { Bulge = 0 } : s;

    private static void Take(NearestPoint nearest, Point2 from, ref NearestPair best)
    {
        if (nearest.DistanceMm < best.DistanceMm)
        {
            best = new(nearest.DistanceMm, from, nearest.Nearest);
        }
    }

    // Distance from the arc's belly to the other segment where both nearest points are inner points.
    private static void TakeBelly(Segment arc, Segment other, ref NearestPair best)
    {
        var (center, radius) = (arc.Center, arc.Radius);
        var aim = other.IsLine ? ToSegment(other, center).Nearest : other.Center;
        var axis = (aim - center).Unit * radius;
        if (axis == default)
        {
            return;
        }

        var (near, across) = (center + axis, center - axis);
        if (Math.Abs(arc.Bulge) < ShallowBulge)
        {
            // From far away the foot misses by the rounding of that distance; from the miss it is exact.
            var form = new ArcForm(arc);
            near = form.Foot(form.Foot(aim));
        }

        foreach (var p in (ReadOnlySpan<Point2>)[near, across])
        {
            if (arc.IsOnArcSide(p))
            {
                Take(ToSegment(other, p), p, ref best);
            }
        }
    }
}
