namespace Stencilwright.Geometry.Arranging;

/// <summary>Finds a point well inside a region, next to one of its outer contours.</summary>
internal static class InteriorPoint
{
    // Heights as fractions of the box; not halves, where symmetric shapes have vertices.
    private static readonly double[] s_heights = [0.5137, 0.2671, 0.7613, 0.1139, 0.8839, 0.0427, 0.9581];

    /// <summary>A point inside <paramref name="region"/> and <paramref name="outer"/>, or null for a shape of no width.</summary>
    public static Point2? Find(Region region, Contour outer)
    {
        var box = outer.Bounds;
        // A little off the middle, where symmetric shapes have no vertex that a ray could hit.
        var middle = box.Center + new Vector2(0, 0.0137 * box.Height);
        if (region.Contours.Length == 1 && outer.Count <= 4 && outer.WindingNumber(middle) > 0)
            return middle;

        var crossings = new List<double>();
        foreach (var height in s_heights)
        {
            var y = box.MinY + (height * (box.MaxY - box.MinY));
            crossings.Clear();
            foreach (var contour in region.Contours)
            {
                if (contour.Bounds.MinY <= y && contour.Bounds.MaxY >= y)
                    AddCrossings(contour, y, crossings);
            }

            crossings.Sort();
            var (best, at) = (0.0, default(Point2));
            for (var i = 0; i + 1 < crossings.Count; i++)
            {
                var width = crossings[i + 1] - crossings[i];
                var p = new Point2((crossings[i] + crossings[i + 1]) / 2, y);
                if (width > best && outer.WindingNumber(p) > 0 && region.Contains(p))
                    (best, at) = (width, p);
            }

            if (best > box.Width * 1e-6)
                return at;
        }

        return null;
    }

    private static void AddCrossings(Contour contour, double y, List<double> crossings)
    {
        for (var i = 0; i < contour.Count; i++)
        {
            var segment = contour.SegmentAt(i);
            if (segment.IsLine)
            {
                var (a, b) = (segment.Start, segment.End);
                if ((a.Y <= y) != (b.Y <= y))
                    crossings.Add(a.X + ((y - a.Y) / (b.Y - a.Y) * (b.X - a.X)));

                continue;
            }

            var (center, radius) = (segment.Center, segment.Radius);
            var dy = Math.Abs(y - center.Y);
            if (dy >= radius)
                continue;

            var half = Math.Sqrt((radius - dy) * (radius + dy));
            foreach (var x in (ReadOnlySpan<double>)[center.X - half, center.X + half])
            {
                if (segment.IsOnArcSide(new(x, y)))
                    crossings.Add(x);
            }
        }
    }
}
