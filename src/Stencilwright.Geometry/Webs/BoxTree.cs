using Stencilwright.Geometry.Arranging;

namespace Stencilwright.Geometry;

/// <summary>Boxes in a packed tree: in vertical slices and each slice from bottom to top, eight to a node.</summary>
/// <remarks>Leutenegger, Lopez, Edgington, "STR: a simple and efficient algorithm for R-tree packing", 1997 (from memory).</remarks>
internal sealed class BoxTree
{
    private const int Fan = 8;
    private readonly int[] _items;

    // All boxes of a level together, the items' own first; the root's level last.
    private readonly Bounds2[] _boxes;
    private readonly List<int> _levels = [0];

    /// <summary>Empty boxes are left out.</summary>
    public BoxTree(ReadOnlySpan<Bounds2> boxes)
    {
        _items = new int[boxes.Length];
        var x = new double[boxes.Length];
        var n = 0;
        for (var i = 0; i < boxes.Length; i++)
        {
            if (!boxes[i].IsEmpty)
            {
                (x[n], _items[n]) = (boxes[i].MinX + boxes[i].MaxX, i);
                n++;
            }
        }

        Count = n;
        Order(boxes, x, n);
        var total = n;
        for (var size = n; size > 1; total += size)
        {
            size = (size + Fan - 1) / Fan;
        }

        _boxes = new Bounds2[total];
        for (var k = 0; k < n; k++)
        {
            _boxes[k] = boxes[_items[k]];
        }

        var (from, count) = (0, n);
        while (count > 1)
        {
            var start = from + count;
            _levels.Add(start);
            for (var k = 0; k < count; k++)
            {
                ref var parent = ref _boxes[start + (k / Fan)];
                parent = k % Fan == 0 ? _boxes[from + k] : Bounds2.Union(parent, _boxes[from + k]);
            }

            (from, count) = (start, (count + Fan - 1) / Fan);
        }
    }

    /// <summary>Number of boxes in the tree.</summary>
    public int Count { get; }

    /// <summary>The item at a place in the tree's order.</summary>
    public int ItemAt(int place) => _items[place];

    private void Order(ReadOnlySpan<Bounds2> boxes, double[] x, int n)
    {
        Array.Sort(x, _items, 0, n);
        var slice = Fan * (int)Math.Ceiling(Math.Sqrt((n + Fan - 1) / Fan));
        for (var start = 0; start < n; start += slice)
        {
            var count = Math.Min(slice, n - start);
            for (var k = start; k < start + count; k++)
            {
                x[k] = boxes[_items[k]].MinY + boxes[_items[k]].MaxY;
            }

            Array.Sort(x, _items, start, count);
        }
    }

    /// <summary>Walks the items round a box, near ones early, leaving out what lies beyond a bound that may shrink on the way.</summary>
    internal sealed class Visit(BoxTree tree)
    {
        private Open[] _open = new Open[64];
        private int _count;
        private Bounds2 _box;

        /// <summary>Begins a walk.</summary>
        public void Start(Bounds2 box)
        {
            _box = box;
            _count = 0;
            if (tree.Count > 0)
            {
                _open[_count++] = new(RegionDistance.BoxDistance(box, tree._boxes[^1]), 0, tree._levels.Count - 1);
            }
        }

        /// <summary>The next item whose box lies nearer than a bound.</summary>
        public bool TryNext(double boundMm, out int item)
        {
            while (_count > 0)
            {
                var top = _open[--_count];
                if (!(top.Distance < boundMm))
                {
                    continue;
                }

                if (top.Level == 0)
                {
                    item = tree._items[top.Index];
                    return true;
                }

                Expand(top, boundMm);
            }

            item = -1;
            return false;
        }

        // The children go on the pile with the nearest on top.
        private void Expand(Open node, double boundMm)
        {
            Grow.Ensure(ref _open, _count + Fan);
            var (level, bottom) = (node.Level - 1, _count);
            var (from, end) = (tree._levels[level], tree._levels[level + 1]);
            for (var k = node.Index * Fan; k < (node.Index + 1) * Fan && from + k < end; k++)
            {
                var distance = RegionDistance.BoxDistance(_box, tree._boxes[from + k]);
                if (!(distance < boundMm))
                {
                    continue;
                }

                var at = _count++;
                for (; at > bottom && _open[at - 1].Distance < distance; at--)
                {
                    _open[at] = _open[at - 1];
                }

                _open[at] = new(distance, k, level);
            }
        }

        private readonly record struct Open(double Distance, int Index, int Level);
    }
}
