namespace Stencilwright.Geometry.Arranging;

/// <summary>Boxes sorted into horizontal bands, each band in the order of one x edge; finds overlapping pairs and answers rays.</summary>
internal sealed class BandIndex
{
    private double[] _keys = [];
    private int[] _order = [];
    private int[] _first = [];
    private int[] _items = [];
    private (double Key, int Item)[] _sorted = [];
    private double _bottom;
    private double _perHeight;

    /// <summary>Number of bands.</summary>
    public int BandCount { get; private set; }

    /// <summary>Indices of the boxes that reach into a band, in sorted order.</summary>
    public ReadOnlySpan<int> Band(int band) => _items.AsSpan(_first[band], _first[band + 1] - _first[band]);

    /// <summary>The band that holds a height; heights outside go to the nearest band.</summary>
    public int BandOf(double y)
    {
        var band = (y - _bottom) * _perHeight;
        return band <= 0 ? 0 : band >= BandCount ? BandCount - 1 : (int)band;
    }

    /// <summary>Sorts boxes by left edge ascending, or by right edge descending for rays that travel to the right.</summary>
    public void Build(ReadOnlySpan<Bounds2> boxes, bool byRightEdge)
    {
        var n = boxes.Length;
        Grow.Ensure(ref _keys, n);
        Grow.Ensure(ref _order, n);
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        var heights = 0.0;
        for (var i = 0; i < n; i++)
        {
            _keys[i] = byRightEdge ? -boxes[i].MaxX : boxes[i].MinX;
            _order[i] = i;
            low = Math.Min(low, boxes[i].MinY);
            high = Math.Max(high, boxes[i].MaxY);
            heights += boxes[i].MaxY - boxes[i].MinY;
        }

        Sort(n);

        // Bands much lower than the boxes would only repeat them.
        var useful = heights > 0 ? Math.Min(4 * Math.Sqrt(n), 1 + (3 * n * (high - low) / heights)) : 1;
        BandCount = Math.Max(1, Math.Min(n / 8, (int)useful));
        _bottom = low;
        _perHeight = high > low ? BandCount / (high - low) : 0;
        Fill(boxes);
    }

    // Evenly spread edges are sorted by counting into as many buckets as there are; crowded ones in the general way.
    private void Sort(int n)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        for (var i = 0; i < n; i++)
        {
            low = Math.Min(low, _keys[i]);
            high = Math.Max(high, _keys[i]);
        }

        var scale = (n - 1) / (high - low);
        if (n < 64 || !double.IsFinite(scale))
        {
            Array.Sort(_keys, _order, 0, n);
            return;
        }

        Grow.Ensure(ref _first, n + 1);
        Grow.Ensure(ref _sorted, n);
        Array.Clear(_first, 0, n + 1);
        for (var i = 0; i < n; i++)
            _first[(int)((_keys[i] - low) * scale) + 1]++;

        var work = 0L;
        for (var b = 1; b <= n; b++)
        {
            work += (long)_first[b] * _first[b];
            _first[b] += _first[b - 1];
        }

        if (work > 32L * n)
        {
            Array.Sort(_keys, _order, 0, n);
            return;
        }

        for (var i = 0; i < n; i++)
            _sorted[_first[(int)((_keys[i] - low) * scale)]++] = (_keys[i], i);

        for (var k = 0; k < n; k++)
        {
            var item = _sorted[k];
            var at = k;
            for (; at > 0 && _sorted[at - 1].Key > item.Key; at--)
                _sorted[at] = _sorted[at - 1];

            _sorted[at] = item;
        }

        for (var k = 0; k < n; k++)
            _order[k] = _sorted[k].Item;
    }

    private void Fill(ReadOnlySpan<Bounds2> boxes)
    {
        Grow.Ensure(ref _first, BandCount + 2);
        Array.Clear(_first, 0, BandCount + 2);
        for (var i = 0; i < boxes.Length; i++)
        {
            var last = BandOf(boxes[i].MaxY);
            for (var band = BandOf(boxes[i].MinY); band <= last; band++)
                _first[band + 2]++;
        }

        for (var band = 2; band < BandCount + 2; band++)
            _first[band] += _first[band - 1];

        Grow.Ensure(ref _items, _first[BandCount + 1]);
        for (var k = 0; k < boxes.Length; k++)
        {
            var i = _order[k];
            var last = BandOf(boxes[i].MaxY);
            for (var band = BandOf(boxes[i].MinY); band <= last; band++)
                _items[_first[band + 1]++] = i;
        }
    }
}

/// <summary>Working arrays that grow and are kept.</summary>
internal static class Grow
{
    /// <summary>Makes room for <paramref name="count"/> elements; what was there stays.</summary>
    public static void Ensure<T>(ref T[] array, int count)
    {
        if (array.Length < count)
            Array.Resize(ref array, Math.Max(count, Math.Max(16, array.Length * 2)));
    }
}
