using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Ends a middle line where the beam should be switched on and off.</summary>
internal static class LineEnds
{
    /// <summary>The run's points with its free ends put right; null when nothing is left of it.</summary>
    /// <param name="run">A middle line, which near its ends wavers into corners.</param>
    /// <param name="shape">The narrow part it runs in.</param>
    /// <param name="opened">What is open anyway: an end that runs into it goes all the way.</param>
    /// <param name="halfMm">Half the beam's width: a blind end stays as far from the part's end.</param>
    public static List<Point2>? Finish(MiddleRun run, Region shape, Region opened, double halfMm)
    {
        var points = run.Points;
        if (!run.IsClosed)
        {
            points = [.. points];
            if (run.EndIsFree)
            {
                FinishEnd(points, shape, opened, halfMm);
            }

            if (run.StartIsFree)
            {
                points.Reverse();
                FinishEnd(points, shape, opened, halfMm);
                points.Reverse();
            }
        }

        return points.Count >= 2 && Length(points) >= halfMm / 2 ? points : null;
    }

    // Straight on from where the line last ran in the middle, to the part's end; then back by half the beam.
    private static void FinishEnd(List<Point2> points, Region shape, Region opened, double halfMm)
    {
        if (points.Count < 2)
        {
            return;
        }

        var all = Length(points);
        var depth = LeaveCorner(points, shape, Math.Min(3 * halfMm, all / 2));
        CutBack(points, Math.Min(depth / 2, 0.2 * all));
        var from = Back(points, Math.Min(2 * depth, 0.5 * all));
        var u = (points[^1] - from).Unit;
        if (u == default)
        {
            return;
        }

        var tip = points[^1] + (u * ToTip(points[^1], u, shape, halfMm));
        points.Add(tip);
        if (opened.IsEmpty || !(opened.Contains(tip) || RegionDistance.ToBoundary(opened, tip).DistanceMm < halfMm / 2))
        {
            CutBack(points, halfMm);
        }
    }

    // Takes away what runs into a corner, where the sides come nearer than they were; gives how far they were, millimetres.
    private static double LeaveCorner(List<Point2> points, Region shape, double withinMm)
    {
        var depths = new List<double>();
        var deepest = 0.0;
        var way = 0.0;
        for (var i = points.Count - 1; i >= 0 && way <= withinMm; i--)
        {
            depths.Add(RegionDistance.ToBoundary(shape, points[i]).DistanceMm);
            deepest = Math.Max(deepest, depths[^1]);
            way += i == 0 ? 0 : Point2.Distance(points[i], points[i - 1]);
        }

        foreach (var depth in depths)
        {
            if (depth >= 0.9 * deepest || points.Count == 2)
            {
                break;
            }

            points.RemoveAt(points.Count - 1);
        }

        return deepest;
    }

    private static double ToTip(Point2 from, Vector2 u, Region shape, double halfMm)
    {
        var (inside, outside) = (0.0, halfMm / 4);
        while (shape.Contains(from + (u * outside)))
        {
            (inside, outside) = (outside, outside + (halfMm / 4));
        }

        for (var step = 0; step < 40; step++)
        {
            var middle = (inside + outside) / 2;
            (inside, outside) = shape.Contains(from + (u * middle)) ? (middle, outside) : (inside, middle);
        }

        return inside;
    }

    private static double Length(List<Point2> points)
    {
        var sum = 0.0;
        for (var i = 1; i < points.Count; i++)
        {
            sum += Point2.Distance(points[i - 1], points[i]);
        }

        return sum;
    }

    // The point this far back along the line from its end.
    private static Point2 Back(List<Point2> points, double byMm)
    {
        for (var i = points.Count - 1; i > 0; i--)
        {
            var step = Point2.Distance(points[i], points[i - 1]);
            if (step >= byMm)
            {
                return step == 0 ? points[i] : Point2.Lerp(points[i], points[i - 1], byMm / step);
            }

            byMm -= step;
        }

        return points[0];
    }

    private static void CutBack(List<Point2> points, double byMm)
    {
        var end = Back(points, byMm);
        while (points.Count > 1 && Point2.Distance(points[^1], points[^2]) is var step && step <= byMm)
        {
            byMm -= step;
            points.RemoveAt(points.Count - 1);
        }

        points[^1] = end;
    }
}
