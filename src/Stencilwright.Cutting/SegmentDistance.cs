using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Short cuts to exact distances, millimetres.</summary>
internal static class SegmentDistance
{
    public static double ToPoint(in Segment s, Point2 p) => RegionDistance.ToSegment(s, p).DistanceMm;

    /// <summary>0 where they cross.</summary>
    public static double Between(in Segment a, in Segment b) => RegionDistance.Between(a, b).DistanceMm;

    /// <summary>Distance from a point to a region's boundary.</summary>
    public static double ToBoundary(Region region, Point2 p)
    {
        var best = double.PositiveInfinity;
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                best = Math.Min(best, ToPoint(contour.SegmentAt(i), p));
            }
        }

        return best;
    }

    /// <summary>Distance between boxes; 0 when they overlap.</summary>
    public static double Between(in Bounds2 a, in Bounds2 b)
    {
        var dx = Math.Max(0, Math.Max(a.MinX - b.MaxX, b.MinX - a.MaxX));
        var dy = Math.Max(0, Math.Max(a.MinY - b.MaxY, b.MinY - a.MaxY));
        return Math.Sqrt((dx * dx) + (dy * dy));
    }

    /// <summary>For a point of an arc's circle: whether it lies on the arc.</summary>
    public static bool IsOnArc(in Segment arc, Point2 onCircle) =>
        Vector2.Cross(arc.Chord, onCircle - arc.Start) * arc.Bulge < 0;
}
