namespace Stencilwright.Geometry.Arranging;

/// <summary>Groups regions whose boxes overlap, directly or through others.</summary>
internal static class RegionClusters
{
    /// <summary>The groups, each ascending, in the order of their first members; empty regions are left out.</summary>
    public static List<int[]> Of(ReadOnlySpan<Region> regions)
    {
        var boxes = new Bounds2[regions.Length];
        var indices = new int[regions.Length];
        var n = 0;
        for (var i = 0; i < regions.Length; i++)
        {
            var box = regions[i].Bounds;
            if (box.IsEmpty)
                continue;

            // Shapes that touch but for rounding belong together.
            boxes[n] = box.Inflate(1e-9 * Math.Max(box.Width, box.Height));
            indices[n++] = i;
        }

        var parent = new int[n];
        for (var i = 0; i < n; i++)
            parent[i] = i;

        if (n > 0)
            JoinOverlapping(boxes.AsSpan(0, n), parent);

        return Collect(parent, indices);
    }

    /// <summary>The union of one group.</summary>
    public static Region Merge(ReadOnlySpan<Region> regions, int[] cluster)
    {
        if (cluster.Length == 1)
            return regions[cluster[0]];

        var count = 0;
        foreach (var i in cluster)
            count += regions[i].Contours.Length;

        var contours = new Contour[count];
        count = 0;

        // The same thing painted again adds nothing; thousands of copies would meet each other everywhere.
        var seen = cluster.Length > 2 ? new Dictionary<ulong, int>(cluster.Length) : null;
        foreach (var i in cluster)
        {
            var isRepeated = seen is null
                ? i != cluster[0] && IsSame(regions[cluster[0]], regions[i])
                : !seen.TryAdd(Fingerprint(regions[i]), i) && IsSame(regions[seen[Fingerprint(regions[i])]], regions[i]);
            if (!isRepeated)
            {
                regions[i].Contours.CopyTo(contours, count);
                count += regions[i].Contours.Length;
            }
        }

        return Arrangement.Run(contours.AsSpan(0, count), count, Selection.Positive);
    }

    private static ulong Fingerprint(Region region)
    {
        var hash = 14695981039346656037UL;
        foreach (var contour in region.Contours)
        {
            foreach (ref readonly var vertex in contour.Vertices)
            {
                hash = (hash ^ (ulong)BitConverter.DoubleToInt64Bits(vertex.X)) * 1099511628211UL;
                hash = (hash ^ (hash >> 29) ^ (ulong)BitConverter.DoubleToInt64Bits(vertex.Y)) * 1099511628211UL;
                hash = (hash ^ (hash >> 31) ^ (ulong)BitConverter.DoubleToInt64Bits(vertex.Bulge)) * 1099511628211UL;
            }
        }

        return hash;
    }

    private static bool IsSame(Region a, Region b)
    {
        if (ReferenceEquals(a, b))
            return true;

        if (a.Contours.Length != b.Contours.Length)
            return false;

        for (var i = 0; i < a.Contours.Length; i++)
        {
            if (!a.Contours[i].Vertices.SequenceEqual(b.Contours[i].Vertices))
                return false;
        }

        return true;
    }

    private static void JoinOverlapping(ReadOnlySpan<Bounds2> boxes, int[] parent)
    {
        var bands = new BandIndex();
        bands.Build(boxes, byRightEdge: false);
        for (var band = 0; band < bands.BandCount; band++)
        {
            var items = bands.Band(band);
            for (var k = 0; k < items.Length; k++)
            {
                var box = boxes[items[k]];
                for (var m = k + 1; m < items.Length; m++)
                {
                    ref readonly var other = ref boxes[items[m]];
                    if (other.MinX > box.MaxX)
                        break;

                    if (box.MinY <= other.MaxY && other.MinY <= box.MaxY)
                        Join(parent, items[k], items[m]);
                }
            }
        }
    }

    private static void Join(int[] parent, int a, int b)
    {
        (a, b) = (Root(parent, a), Root(parent, b));
        if (a < b)
            parent[b] = a;
        else
            parent[a] = b;
    }

    private static int Root(int[] parent, int i)
    {
        while (parent[i] != i)
        {
            parent[i] = parent[parent[i]];
            i = parent[i];
        }

        return i;
    }

    private static List<int[]> Collect(int[] parent, int[] indices)
    {
        var size = new int[parent.Length];
        for (var i = 0; i < parent.Length; i++)
            size[Root(parent, i)]++;

        var result = new List<int[]>();
        var slot = new int[parent.Length];
        for (var i = 0; i < parent.Length; i++)
        {
            var root = Root(parent, i);
            if (root == i)
            {
                slot[i] = result.Count;
                result.Add(new int[size[i]]);
                size[i] = 0;
            }

            result[slot[root]][size[root]++] = indices[i];
        }

        return result;
    }
}
