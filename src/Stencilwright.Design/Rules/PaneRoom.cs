using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>Finds room for one pane between holes.</summary>
internal static class PaneRoom
{
    /// <summary>The pane due where it is clear of the holes, otherwise the largest clear rectangle of the room up to the area due.</summary>
    /// <param name="due">The pane as it should be.</param>
    /// <param name="room">Where it may lie.</param>
    /// <param name="circles">Holes with their clearance that reach into the room.</param>
    /// <param name="leastMm">Shortest side of a pane.</param>
    /// <returns>Null when there is no room.</returns>
    public static Bounds2? Fit(Bounds2 due, Bounds2 room, List<(Point2 Center, double Radius)> circles, double leastMm)
    {
        if (due.Width <= 0 || due.Height <= 0)
        {
            return null;
        }

        if (IsClear(due, circles))
        {
            return due;
        }

        // A rectangle that cannot grow ends at the room's edge or at a hole on either side; between two such x the holes that
        // reach in leave gaps of y.
        var xs = Edges(room, circles);
        circles.Sort((a, b) => (a.Center.Y - a.Radius).CompareTo(b.Center.Y - b.Radius));
        Bounds2? best = null;
        for (var x0 = 0; x0 < xs.Count; x0++)
        {
            for (var x1 = x0 + 1; x1 < xs.Count; x1++)
            {
                if (xs[x1] - xs[x0] < leastMm)
                {
                    continue;
                }

                var from = room.MinY;
                foreach (var (center, radius) in circles)
                {
                    if (center.X + radius > xs[x0] + 1e-9 && center.X - radius < xs[x1] - 1e-9)
                    {
                        best = Better(best, new(xs[x0], from, xs[x1], center.Y - radius), due, leastMm);
                        from = Math.Max(from, center.Y + radius);
                    }
                }

                best = Better(best, new(xs[x0], from, xs[x1], room.MaxY), due, leastMm);
            }
        }

        return best;
    }

    /// <summary>From a box to a point; 0 inside.</summary>
    public static double Distance(Bounds2 box, Point2 p)
    {
        var (dx, dy) = (Math.Max(0, Math.Max(box.MinX - p.X, p.X - box.MaxX)), Math.Max(0, Math.Max(box.MinY - p.Y, p.Y - box.MaxY)));
        return Math.Sqrt((dx * dx) + (dy * dy));
    }

    private static bool IsClear(Bounds2 box, List<(Point2 Center, double Radius)> circles)
    {
        foreach (var (center, radius) in circles)
        {
            if (Distance(box, center) < radius)
            {
                return false;
            }
        }

        return true;
    }

    private static List<double> Edges(Bounds2 room, List<(Point2 Center, double Radius)> circles)
    {
        var edges = new List<double> { room.MinX, room.MaxX };
        foreach (var (center, radius) in circles)
        {
            foreach (var edge in (ReadOnlySpan<double>)[center.X - radius, center.X + radius])
            {
                if (edge > room.MinX && edge < room.MaxX)
                {
                    edges.Add(edge);
                }
            }
        }

        edges.Sort();
        return edges;
    }

    // No larger than due in area: as near to the due shape and place as the free rectangle lets it.
    private static Bounds2 Trimmed(Bounds2 free, Bounds2 due)
    {
        var area = due.Width * due.Height;
        var w = Math.Min(free.Width, Math.Max(due.Width, area / free.Height));
        var h = Math.Min(free.Height, area / w);
        var x = Math.Clamp(due.Center.X - (w / 2), free.MinX, Math.Max(free.MinX, free.MaxX - w));
        var y = Math.Clamp(due.Center.Y - (h / 2), free.MinY, Math.Max(free.MinY, free.MaxY - h));
        return new(x, y, x + w, y + h);
    }

    private static Bounds2? Better(Bounds2? best, Bounds2 free, Bounds2 due, double leastMm)
    {
        if (free.MaxY - free.MinY < leastMm)
        {
            return best;
        }

        var tried = Trimmed(free, due);
        if (best is not { } b)
        {
            return tried;
        }

        var more = (tried.Width * tried.Height) - (b.Width * b.Height);
        var slack = 0.001 * due.Width * due.Height;
        if (Math.Abs(more) > slack)
        {
            return more > 0 ? tried : b;
        }

        return Point2.Distance(tried.Center, due.Center) < Point2.Distance(b.Center, due.Center) - 1e-9 ? tried : b;
    }
}
