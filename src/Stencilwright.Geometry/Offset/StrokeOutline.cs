namespace Stencilwright.Geometry;

/// <summary>The outline of a round pen's stroke.</summary>
/// <remarks>
/// A path walked there and back encloses nothing, and the outset of that closed walk is what the pen covers; its raw
/// curve turns half a circle about either end. A path that closes on itself is outset on either side instead.
/// </remarks>
internal static class StrokeOutline
{
    /// <summary>What a disc of radius <paramref name="halfMm"/> covers along the path.</summary>
    public static Region Of(OpenPath path, double halfMm)
    {
        var kept = Cleaned(path.Vertices);
        if (kept.Count == 1)
        {
            return Region.Of(Contour.Circle(kept[0].Point, halfMm));
        }

        var builder = new RawOffset(halfMm, JoinStyle.Round, 1);
        var raw = new List<Contour>(2);
        if (kept.Count > 2 && Point2.Distance(kept[0].Point, kept[^1].Point) < ContourCleaner.ShortestMm)
        {
            kept.RemoveAt(kept.Count - 1);
            var loop = Contour.Adopt(kept.ToArray());
            AddBuilt(builder, loop, raw);
            AddBuilt(builder, loop.Reversed(), raw);
            return DiscOffset.Resolve(raw);
        }

        for (var i = kept.Count - 2; i > 0; i--)
        {
            kept.Add(kept[i] with { Bulge = -kept[i - 1].Bulge });
        }

        var last = kept.Count / 2;
        kept[last] = kept[last] with { Bulge = -kept[last - 1].Bulge };
        AddBuilt(builder, Contour.Adopt(kept.ToArray()), raw);
        return raw.Count == 1 && IsOneSegment(kept, halfMm) ? Region.Of(raw[0]) : DiscOffset.Resolve(raw);
    }

    // A line gives a capsule, and an arc wider than the pen a bent one: sound as they are.
    private static bool IsOneSegment(List<PathVertex> walk, double halfMm) =>
        walk.Count == 2 && (walk[0].Bulge == 0 || new Segment(walk[0].Point, walk[1].Point, walk[0].Bulge).Radius > halfMm + 1e-6);

    private static void AddBuilt(RawOffset builder, Contour contour, List<Contour> raw)
    {
        if (builder.Build(contour.Vertices) is { } curve)
        {
            raw.Add(curve);
        }
    }

    private static List<PathVertex> Cleaned(ReadOnlySpan<PathVertex> vertices)
    {
        var kept = new List<PathVertex>(vertices.Length * 2) { vertices[0] };
        foreach (ref readonly var vertex in vertices[1..])
        {
            if (Point2.Distance(kept[^1].Point, vertex.Point) < ContourCleaner.ShortestMm)
            {
                kept[^1] = kept[^1] with { Bulge = vertex.Bulge };
            }
            else
            {
                kept.Add(vertex);
            }
        }

        return kept;
    }
}
