namespace Stencilwright.Cutting;

/// <summary>A first ring for the search: the cheapest legs that fit together, and the pieces joined by going on to the nearest.</summary>
/// <remarks>Greedy matching of legs: Bentley 1992, "Fast algorithms for geometric traveling salesman problems", from memory.</remarks>
internal sealed class TourStart
{
    private readonly int[] _first;
    private readonly int[] _second;
    private readonly int[] _root;
    private readonly int[] _way;
    private int _filled;

    private TourStart(int count)
    {
        (_first, _second, _root, _way) = (new int[count], new int[count], new int[count], new int[count]);
        Array.Fill(_first, -1);
        Array.Fill(_second, -1);
        for (var i = 0; i < count; i++)
        {
            _root[i] = i;
        }
    }

    /// <summary>A ring through all nodes in which the last node and node 0 are neighbours.</summary>
    /// <param name="x">Places of the nodes.</param>
    /// <param name="y">Places of the nodes.</param>
    /// <param name="near">Near nodes.</param>
    /// <param name="isEndFree">Whether the last node is at no place.</param>
    public static int[] Find(double[] x, double[] y, TourNear near, bool isEndFree)
    {
        var start = new TourStart(x.Length);
        start.Join(x.Length - 1, 0);
        start.Match(near);
        start.Chain(x, y, isEndFree ? x.Length - 1 : x.Length);
        return start._way;
    }

    private void Match(TourNear near)
    {
        var legs = new int[near.Nodes.Length];
        var keys = new double[near.Nodes.Length];
        var count = 0;
        for (var i = 0; i < legs.Length; i++)
        {
            var (a, b) = (i / near.PerNode, near.Nodes[i]);
            if (b > a || (b >= 0 && !near.Holds(b, a)))
            {
                (legs[count], keys[count++]) = (i, near.Costs[i]);
            }
        }

        Array.Sort(keys, legs, 0, count);
        foreach (var leg in legs.AsSpan(0, count))
        {
            var (a, b) = (leg / near.PerNode, near.Nodes[leg]);
            if (_second[a] < 0 && _second[b] < 0 && RootOf(a) != RootOf(b))
            {
                Join(a, b);
            }
        }
    }

    // Walks the pieces one after the other, always on to the nearest loose end.
    private void Chain(double[] x, double[] y, int placed)
    {
        var loose = new List<int>();
        var index = new int[_way.Length];
        for (var i = 0; i < placed; i++)
        {
            if (_second[i] < 0)
            {
                index[i] = loose.Count;
                loose.Add(i);
            }
        }

        // The piece with the last node and node 0 comes first, from the end that lies behind the last node.
        var tail = FarEnd(_way.Length - 1, 0);
        Walk(tail);
        if (_filled == _way.Length)
        {
            return;
        }

        var (looseX, looseY) = (new double[loose.Count], new double[loose.Count]);
        for (var i = 0; i < loose.Count; i++)
        {
            (looseX[i], looseY[i]) = (x[loose[i]], y[loose[i]]);
        }

        var grid = new PointGrid(looseX, looseY);
        RemovePiece(tail);
        while (_filled < _way.Length)
        {
            var here = _way[_filled - 1];
            var next = loose[grid.NearestLeft(x[here], y[here])];
            Walk(next);
            RemovePiece(next);
        }

        void RemovePiece(int from)
        {
            if (from < placed)
            {
                grid.Remove(index[from]);
            }

            if (_way[_filled - 1] is var to && to != from)
            {
                grid.Remove(index[to]);
            }
        }
    }

    private void Walk(int node)
    {
        var before = -1;
        while (node >= 0)
        {
            _way[_filled++] = node;
            (before, node) = (node, Beyond(node, before));
        }
    }

    private int FarEnd(int node, int before)
    {
        while (Beyond(node, before) is >= 0 and var next)
        {
            (before, node) = (node, next);
        }

        return node;
    }

    private int Beyond(int node, int before) => _first[node] == before ? _second[node] : _first[node];

    private void Join(int a, int b)
    {
        Link(a, b);
        Link(b, a);
        _root[RootOf(a)] = RootOf(b);
    }

    private void Link(int a, int b)
    {
        if (_first[a] < 0)
        {
            _first[a] = b;
        }
        else
        {
            _second[a] = b;
        }
    }

    private int RootOf(int node)
    {
        while (_root[node] != node)
        {
            _root[node] = _root[_root[node]];
            node = _root[node];
        }

        return node;
    }
}
