namespace Stencilwright.Geometry.Arranging;

/// <summary>Groups regions whose boxes overlap, directly or through others.</summary>
internal sealed class RegionClusters
{
    [ThreadStatic]
    private static RegionClusters? _spare;

    private readonly BandIndex _bands = new();
    private Bounds2[] _boxes = [];
    private int[] _regions = [];
    private int[] _seenIn = [];
    private int[] _parent = [];
    private int[] _starts = [];
    private int[] _members = [];

    /// <summary>Number of groups, in the order of their first members; empty regions are left out.</summary>
    public int Count { get; private set; }

    /// <summary>A group's regions, ascending.</summary>
    public ReadOnlySpan<int> this[int cluster] => _members.AsSpan(_starts[cluster], _starts[cluster + 1] - _starts[cluster]);

    /// <summary>Groups regions. Give the groups back with <see cref="Return"/> when done.</summary>
    public static RegionClusters Of(ReadOnlySpan<Region> regions)
    {
        var clusters = _spare ?? new RegionClusters();
        _spare = null;
        clusters.Find(regions);
        return clusters;
    }

    /// <summary>Gives the working arrays back for the next call.</summary>
    public void Return()
    {
        if (_regions.Length < 1 << 20)
            _spare = this;
    }

    private void Find(ReadOnlySpan<Region> regions)
    {
        Grow.Ensure(ref _boxes, regions.Length);
        Grow.Ensure(ref _regions, regions.Length);
        Grow.Ensure(ref _parent, regions.Length);
        var n = 0;
        for (var i = 0; i < regions.Length; i++)
        {
            var box = regions[i].Bounds;
            if (box.IsEmpty)
                continue;

            // Shapes that touch but for rounding belong together.
            _boxes[n] = box.Inflate(1e-9 * Math.Max(box.Width, box.Height));
            _regions[n] = i;
            _parent[n] = n;
            n++;
        }

        if (n > 0)
            JoinOverlapping(_boxes.AsSpan(0, n));

        Collect(n);
    }

    /// <summary>The union of one group.</summary>
    public static Region Merge(ReadOnlySpan<Region> regions, ReadOnlySpan<int> cluster)
    {
        if (cluster.Length == 1)
            return regions[cluster[0]];

        if (cluster.Length == 2 && regions[cluster[0]].Contours.Length == 1 && regions[cluster[1]].Contours.Length == 1)
            return MergeTwo(regions[cluster[0]], regions[cluster[1]]);

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

    private static Region MergeTwo(Region a, Region b)
    {
        if (PairUnion.Try(a, b) is { } plain)
            return plain;

        ReadOnlySpan<Contour> two = [a.Contours[0], b.Contours[0]];
        var count = IsSame(a, b) ? 1 : 2;
        return Arrangement.Run(two[..count], count, Selection.Positive);
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

    private void JoinOverlapping(ReadOnlySpan<Bounds2> boxes)
    {
        _bands.Build(boxes, byRightEdge: false);
        Grow.Ensure(ref _seenIn, boxes.Length);
        Array.Fill(_seenIn, -1, 0, boxes.Length);
        for (var band = 0; band < _bands.BandCount; band++)
            JoinBand(boxes, _bands.Band(band), band);
    }

    // Where everything lies on everything, looking at every pair would take for ever: a band that is one group is done.
    private void JoinBand(ReadOnlySpan<Bounds2> boxes, ReadOnlySpan<int> items, int band)
    {
        var groups = 0;
        foreach (var item in items)
        {
            ref var seen = ref _seenIn[Root(item)];
            groups += seen == band ? 0 : 1;
            seen = band;
        }

        for (var k = 0; k < items.Length && groups > 1; k++)
        {
            ref readonly var box = ref boxes[items[k]];
            for (var m = k + 1; m < items.Length; m++)
            {
                ref readonly var other = ref boxes[items[m]];
                if (other.MinX > box.MaxX)
                    break;

                if (box.MinY <= other.MaxY && other.MinY <= box.MaxY && Join(items[k], items[m]) && --groups == 1)
                    break;
            }
        }
    }

    // The lowest stands for its group. False when they were one already.
    private bool Join(int a, int b)
    {
        (a, b) = (Root(a), Root(b));
        if (a < b)
            _parent[b] = a;
        else
            _parent[a] = b;

        return a != b;
    }

    private int Root(int i)
    {
        while (_parent[i] != i)
        {
            _parent[i] = _parent[_parent[i]];
            i = _parent[i];
        }

        return i;
    }

    private void Collect(int n)
    {
        Grow.Ensure(ref _starts, n + 2);
        Grow.Ensure(ref _members, n);
        Array.Clear(_starts, 0, n + 2);
        Count = 0;

        // Roots come before all others of their groups, so their numbers are known when these ask: kept as complements.
        for (var i = 0; i < n; i++)
        {
            var number = _parent[i] == i ? Count++ : ~_parent[NumberedRoot(i)];
            _parent[i] = ~number;
            _starts[number + 2]++;
        }

        for (var c = 2; c < Count + 2; c++)
            _starts[c] += _starts[c - 1];

        for (var i = 0; i < n; i++)
            _members[_starts[~_parent[i] + 1]++] = _regions[i];
    }

    private int NumberedRoot(int i)
    {
        while (_parent[i] >= 0)
            i = _parent[i];

        return i;
    }
}
