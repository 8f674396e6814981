using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Few lines and arcs through many points.</summary>
internal static class LineFit
{
    /// <summary>The path through the points with as few lines and arcs as keep within a tolerance of all of them.</summary>
    /// <param name="points">At least two.</param>
    /// <param name="toleranceMm">How far a point may lie off.</param>
    /// <param name="straightOnly">True for no arcs.</param>
    public static OpenPath Fit(List<Point2> points, double toleranceMm, bool straightOnly = false)
    {
        var path = new List<PathVertex>();
        for (var at = 0; at < points.Count - 1;)
        {
            // Doubling, then halving, finds nearly the longest run; the last that fitted is kept.
            var (best, bulge) = (at + 1, 0.0);
            for (var step = 1; step > 0;)
            {
                var to = Math.Min(best + step, points.Count - 1);
                if (to > best && Fits(points, at, to, toleranceMm, straightOnly, out var found))
                {
                    (best, bulge) = (to, found);
                    step *= 2;
                }
                else
                {
                    step /= 2;
                }
            }

            path.Add(new PathVertex(points[at].X, points[at].Y, bulge));
            at = best;
        }

        path.Add(new PathVertex(points[^1].X, points[^1].Y));
        return new OpenPath(path.ToArray());
    }

    private static bool Fits(List<Point2> points, int from, int to, double toleranceMm, bool straightOnly, out double bulge)
    {
        bulge = 0;
        var line = new Segment(points[from], points[to], 0);
        if (IsNear(points, from, to, line, toleranceMm))
        {
            return true;
        }

        if (straightOnly)
        {
            return false;
        }

        // The arc through both ends and the point between them that lies furthest from their chord.
        var far = from + 1;
        for (var i = from + 1; i < to; i++)
        {
            far = Math.Abs(Off(i)) > Math.Abs(Off(far)) ? i : far;
        }

        var (a, b) = (points[from] - points[far], points[to] - points[far]);
        bulge = Math.Tan((Math.PI - Math.Abs(Math.Atan2(Vector2.Cross(a, b), Vector2.Dot(a, b)))) / 2) * Math.Sign(Vector2.Cross(points[far] - points[from], line.Chord));
        return to - from > 3 && Math.Abs(bulge) <= 0.9 && IsNear(points, from, to, line with { Bulge = bulge }, toleranceMm);

        double Off(int i) => Vector2.Cross(points[i] - points[from], line.Chord);
    }

    private static bool IsNear(List<Point2> points, int from, int to, Segment segment, double toleranceMm)
    {
        for (var i = from + 1; i < to; i++)
        {
            if (RegionDistance.ToSegment(segment, points[i]).DistanceMm > toleranceMm)
            {
                return false;
            }
        }

        return true;
    }
}
