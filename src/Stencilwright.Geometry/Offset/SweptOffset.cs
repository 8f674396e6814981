namespace Stencilwright.Geometry;

/// <summary>Offsets by a segment along one axis: an ellipse of which one half width is 0.</summary>
/// <remarks>
/// The same theorem as for a disc: sides are swept into parallelograms, corners into nothing, so the raw curve is every
/// side moved to the side it faces, joined along the axis. Arcs are cut where they turn from facing one way to the other,
/// and only moved: they stay exact.
/// </remarks>
internal static class SweptOffset
{
    /// <summary>Outset (<paramref name="sign"/> 1) or inset (-1) by the axis-parallel segment of the given half lengths.</summary>
    public static Region Of(Region region, double halfXMm, double halfYMm, int sign)
    {
        var reach = new Vector2(halfXMm, halfYMm) * sign;
        if (reach == default)
        {
            return region;
        }

        var raw = new List<Contour>(region.Contours.Length);
        var path = new List<PathVertex>();
        foreach (var contour in region.Contours)
        {
            path.Clear();
            var clean = ContourCleaner.Clean(contour.Vertices);
            for (var i = 0; i < clean.Length; i++)
            {
                var next = clean[i + 1 == clean.Length ? 0 : i + 1];
                AddCut(new Segment(clean[i].Point, next.Point, clean[i].Bulge), reach, path);
            }

            if (path.Count > 0 && ContourCleaner.Clean(path.ToArray()) is { IsEmpty: false } tidy)
            {
                raw.Add(new Contour(tidy));
            }
        }

        return DiscOffset.Resolve(raw);
    }

    private static void AddCut(Segment s, Vector2 reach, List<PathVertex> path)
    {
        if (!s.IsLine)
        {
            // Facing changes where the radius is square to the axis.
            var square = reach.Left.Unit * s.Radius;
            foreach (var at in (ReadOnlySpan<Point2>)[s.Center + square, s.Center - square])
            {
                var nearEnd = Point2.Distance(at, s.Start) < ContourCleaner.ShortestMm || Point2.Distance(at, s.End) < ContourCleaner.ShortestMm;
                if (!nearEnd && s.IsOnArcSide(at))
                {
                    var sign = Math.Sign(s.Bulge);
                    AddCut(new(s.Start, at, Corner.BulgeAbout(s.Center, s.Start, at, sign)), reach, path);
                    AddCut(new(at, s.End, Corner.BulgeAbout(s.Center, at, s.End, sign)), reach, path);
                    return;
                }
            }
        }

        // The whole piece faces the way its chord does.
        var facing = Vector2.Dot(new(s.Chord.Y, -s.Chord.X), reach);
        if (Math.Abs(facing) <= s.Chord.Length * reach.Length * 1e-12)
        {
            return;
        }

        // Growing moves a piece the way it faces. Shrinking has `reach` reversed, `facing` with it: moving by the reversed
        // reach where facing is positive would be growing again, so the sign is applied once more.
        var move = reach * (Math.Sign(facing) * Math.Sign(reach.X + reach.Y));
        var (a, b) = (s.Start + move, s.End + move);
        path.Add(new(a.X, a.Y, s.Bulge));
        path.Add(new(b.X, b.Y));
    }
}
