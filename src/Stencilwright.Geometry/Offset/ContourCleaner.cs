namespace Stencilwright.Geometry;

/// <summary>Takes segments out of contours that are too short to have a direction.</summary>
internal static class ContourCleaner
{
    /// <summary>Ends nearer than a nanometre are one point: no stage places film that finely, and shorter chords give noise for directions.</summary>
    public const double ShortestMm = 1e-6;

    /// <summary>The vertices themselves when all is well, a shorter copy otherwise; empty when nothing of any width is left.</summary>
    public static ReadOnlySpan<PathVertex> Clean(ReadOnlySpan<PathVertex> vertices)
    {
        var previous = vertices[^1];
        var isClean = true;
        foreach (ref readonly var vertex in vertices)
        {
            if (IsShort(previous, vertex))
            {
                isClean = false;
                break;
            }

            previous = vertex;
        }

        return isClean ? vertices : Shortened(vertices);
    }

    private static ReadOnlySpan<PathVertex> Shortened(ReadOnlySpan<PathVertex> vertices)
    {
        var kept = new List<PathVertex>(vertices.Length) { vertices[0] };
        foreach (ref readonly var vertex in vertices[1..])
        {
            if (IsShort(kept[^1], vertex))
            {
                // The short segment goes; the one that leaves its end now leaves its start.
                kept[^1] = kept[^1] with { Bulge = vertex.Bulge };
            }
            else
            {
                kept.Add(vertex);
            }
        }

        while (kept.Count > 1 && IsShort(kept[^1], kept[0]))
        {
            kept.RemoveAt(kept.Count - 1);
        }

        return kept.Count < 2 || (kept.Count == 2 && kept[0].Bulge == 0 && kept[1].Bulge == 0) ? [] : kept.ToArray();
    }

    private static bool IsShort(in PathVertex a, in PathVertex b)
    {
        double dx = b.X - a.X, dy = b.Y - a.Y;
        return (dx * dx) + (dy * dy) < ShortestMm * ShortestMm;
    }
}
