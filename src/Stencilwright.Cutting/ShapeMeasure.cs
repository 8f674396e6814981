using Stencilwright.Design.Printing;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A box turned any way.</summary>
/// <param name="Center">Its middle.</param>
/// <param name="Long">Unit direction of its long side.</param>
/// <param name="LengthMm">Long side.</param>
/// <param name="WidthMm">Short side.</param>
internal readonly record struct TurnedBox(Point2 Center, Vector2 Long, double LengthMm, double WidthMm);

/// <summary>Widths of openings.</summary>
internal static class ShapeMeasure
{
    private const int MostDirections = 64;

    /// <summary>The narrowest box round a region with a side along one of its segments (or an axis).</summary>
    public static TurnedBox NarrowestBox(Region region)
    {
        var best = BoxAlong(region, new Vector2(1, 0));
        best = Narrower(best, BoxAlong(region, new Vector2(0, 1)));
        var count = 0;
        foreach (var contour in region.Contours)
        {
            if (contour.SignedAreaMm2 <= 0)
            {
                continue;
            }

            for (var i = 0; i < contour.Count && count < MostDirections; i++, count++)
            {
                var chord = contour.SegmentAt(i).Chord;
                if (chord.Length > 1e-9)
                {
                    best = Narrower(best, BoxAlong(region, chord.Unit));
                }
            }
        }

        return best.LengthMm >= best.WidthMm
            ? best
            : new TurnedBox(best.Center, best.Long.Left, best.WidthMm, best.LengthMm);
    }

    /// <summary>An opening's size and shape for judging its print.</summary>
    public static OpeningForm FormOf(Region opened) => opened.IsEmpty
        ? default
        : new(opened.AreaMm2, opened.PerimeterMm, RegionWidth.Narrowest(opened).DiameterMm, NarrowestBox(opened).LengthMm);

    /// <summary>Least and greatest reach of a region along a direction.</summary>
    public static (double Low, double High) Extent(Region region, Vector2 u)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var contour in region.Contours)
        {
            foreach (ref readonly var v in contour.Vertices)
            {
                var at = (v.X * u.X) + (v.Y * u.Y);
                (low, high) = (Math.Min(low, at), Math.Max(high, at));
            }
        }

        // A bend of up to half a circle goes no further than its corners and its belly, so few need to be asked about.
        var (least, most) = (low, high);
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                if (s.IsLine)
                {
                    continue;
                }

                var (from, to) = (Along(s.Start, u), Along(s.End, u));
                var belly = Vector2.Dot(s.Chord.Left, u) * (-s.Bulge / 2);
                if (Math.Abs(s.Bulge) <= 1 && Math.Max(from, to) + Math.Max(0, belly) < most && Math.Min(from, to) + Math.Min(0, belly) > least)
                {
                    continue;
                }

                var (c, r) = (s.Center, s.Radius);
                if (IsOnArc(s, c + (u * r)))
                {
                    high = Math.Max(high, (c.X * u.X) + (c.Y * u.Y) + r);
                }

                if (IsOnArc(s, c - (u * r)))
                {
                    low = Math.Min(low, (c.X * u.X) + (c.Y * u.Y) - r);
                }
            }
        }

        return (low, high);
    }

    /// <summary>Where a line across direction <paramref name="u"/> at <paramref name="at"/> meets a boundary: extremes along the line.</summary>
    public static (double Low, double High) Across(Region region, Vector2 u, double at)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                var (a, b) = (Along(s.Start, u) - at, Along(s.End, u) - at);
                if (a * b > 0 || a == b)
                {
                    continue;
                }

                var (from, to) = (0.0, 1.0);
                for (var step = 0; step < 40; step++)
                {
                    var middle = (from + to) / 2;
                    (from, to) = (Along(s.PointAt(middle), u) - at) * a > 0 ? (middle, to) : (from, middle);
                }

                var v = Along(s.PointAt(to), u.Left);
                (low, high) = (Math.Min(low, v), Math.Max(high, v));
            }
        }

        return (low, high);
    }

    public static double Along(Point2 p, Vector2 u) => (p.X * u.X) + (p.Y * u.Y);

    // For a point of the arc's circle: whether it lies on the arc.
    private static bool IsOnArc(in Segment arc, Point2 onCircle) => Vector2.Cross(arc.Chord, onCircle - arc.Start) * arc.Bulge < 0;

    private static TurnedBox Narrower(TurnedBox a, TurnedBox b) =>
        Math.Min(b.LengthMm, b.WidthMm) < Math.Min(a.LengthMm, a.WidthMm) - 1e-12 ? b : a;

    private static TurnedBox BoxAlong(Region region, Vector2 u)
    {
        var (a0, a1) = Extent(region, u);
        var (b0, b1) = Extent(region, u.Left);
        var center = new Point2(0, 0) + (u * ((a0 + a1) / 2)) + (u.Left * ((b0 + b1) / 2));
        return new TurnedBox(center, u, a1 - a0, b1 - b0);
    }
}
