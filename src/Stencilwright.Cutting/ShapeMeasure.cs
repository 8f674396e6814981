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

    /// <summary>Half-width found by search is right within this (0.1 µm).</summary>
    private const double SearchToleranceMm = 1e-4;

    // A long bent slot is as wide all along, and every place must be looked at: after so many, a micrometre is enough.
    private const int ManyCells = 2000;
    private const double RoughToleranceMm = 5e-4;

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
        : new(opened.AreaMm2, opened.PerimeterMm, InscribedDiameter(opened), NarrowestBox(opened).LengthMm);

    /// <summary>Diameter of the largest circle inside a region, millimetres: its narrowest width where it has no neck.</summary>
    /// <remarks>
    /// When a circle as wide as the narrowest box fits in the box's middle, that is the answer, exactly: true of every
    /// rectangle, rounded rectangle, obround, circle and regular shape. Other shapes are searched by halving squares on
    /// exact distances, to 0.2 µm (long bent slots, whose width is the same all along, to 1 µm).
    /// </remarks>
    public static double InscribedDiameter(Region region)
    {
        if (region.IsEmpty)
        {
            return 0;
        }

        var box = NarrowestBox(region);
        if (region.Contains(box.Center)
            && 2 * SegmentDistance.ToBoundary(region, box.Center) is var centred
            && centred >= box.WidthMm - 1e-9)
        {
            return box.WidthMm;
        }

        return 2 * SearchInscribedRadius(region);
    }

    /// <summary>Least and greatest reach of a region along a direction.</summary>
    public static (double Low, double High) Extent(Region region, Vector2 u)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                var at = (s.Start.X * u.X) + (s.Start.Y * u.Y);
                (low, high) = (Math.Min(low, at), Math.Max(high, at));
                if (s.IsLine)
                {
                    continue;
                }

                var (c, r) = (s.Center, s.Radius);
                if (SegmentDistance.IsOnArc(s, c + (u * r)))
                {
                    high = Math.Max(high, (c.X * u.X) + (c.Y * u.Y) + r);
                }

                if (SegmentDistance.IsOnArc(s, c - (u * r)))
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

    private static TurnedBox Narrower(TurnedBox a, TurnedBox b) =>
        Math.Min(b.LengthMm, b.WidthMm) < Math.Min(a.LengthMm, a.WidthMm) - 1e-12 ? b : a;

    private static TurnedBox BoxAlong(Region region, Vector2 u)
    {
        var (a0, a1) = Extent(region, u);
        var (b0, b1) = Extent(region, u.Left);
        var center = new Point2(0, 0) + (u * ((a0 + a1) / 2)) + (u.Left * ((b0 + b1) / 2));
        return new TurnedBox(center, u, a1 - a0, b1 - b0);
    }

    // Squares, the most promising first: none can hold a centre deeper than its own depth plus half its diagonal.
    private static double SearchInscribedRadius(Region region)
    {
        var bounds = region.Bounds;
        var half = Math.Max(1e-6, Math.Min(bounds.Width, bounds.Height) / 2);
        var queue = new PriorityQueue<(Point2 Center, double Half, double Reach), double>();
        var best = 0.0;
        for (var x = bounds.MinX + half; x - half < bounds.MaxX; x += 2 * half)
        {
            for (var y = bounds.MinY + half; y - half < bounds.MaxY; y += 2 * half)
            {
                Push(new Point2(x, y), half);
            }
        }

        var tolerance = SearchToleranceMm;
        for (var seen = 0; queue.TryDequeue(out var cell, out _) && cell.Reach > best + tolerance; seen++)
        {
            tolerance = seen < ManyCells ? SearchToleranceMm : RoughToleranceMm;
            var h = cell.Half / 2;
            foreach (var (sx, sy) in (ReadOnlySpan<(int, int)>)[(-1, -1), (1, -1), (-1, 1), (1, 1)])
            {
                Push(new Point2(cell.Center.X + (sx * h), cell.Center.Y + (sy * h)), h);
            }
        }

        return best;

        void Push(Point2 center, double h)
        {
            var depth = SegmentDistance.ToBoundary(region, center) * (region.Contains(center) ? 1 : -1);
            best = Math.Max(best, depth);
            var reach = depth + (h * Math.Sqrt(2));
            if (reach > best + SearchToleranceMm)
            {
                queue.Enqueue((center, h, reach), -reach);
            }
        }
    }
}
