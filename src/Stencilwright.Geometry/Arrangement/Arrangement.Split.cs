using System.Numerics;

namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    // An irrational-looking direction: points of a drawing rarely share a coordinate along it.
    private const double SortX = 0.80178372573727319;
    private const double SortY = 0.59761430466719682;
    // Up to this many points it is faster to look at all pairs, several at a time, than to sort.
    private const int FewPoints = 64;
    private double[] _sortKeys = [];
    private int[] _sortItems = [];
    private int[] _parent = [];
    private Vertex[] _vertices = [];
    private int _vertexCount;
    private Sub[] _subs = [];
    private int _subCount;
    private Edge[] _edges = [];
    private int _edgeCount;

    /// <summary>Gives points within tolerance one vertex, cuts the prims there, and merges the pieces that coincide.</summary>
    private void Split()
    {
        MergePoints();
        for (var i = 0; i < _primCount; i++)
            CutPrim(i);

        MergeEdges();
    }

    private void MergePoints()
    {
        var n = _pointCount;
        Grow.Ensure(ref _sortKeys, n);
        Grow.Ensure(ref _sortItems, n);
        Grow.Ensure(ref _parent, n);
        for (var i = 0; i < n; i++)
        {
            _sortKeys[i] = (_points[i].X * SortX) + (_points[i].Y * SortY);
            _sortItems[i] = i;
            _parent[i] = i;
        }

        if (n <= FewPoints)
            JoinAmongFew(n);
        else
            JoinSorted(n);

        // The given point of lowest index stands for its group, so that input coordinates come back unchanged.
        Grow.Ensure(ref _vertices, n);
        _vertexCount = 0;
        for (var i = 0; i < n; i++)
        {
            if (Root(i) == i)
            {
                _points[i].Id = _vertexCount;
                _vertices[_vertexCount++] = new Vertex { X = _points[i].X, Y = _points[i].Y, OutX = _points[i].OutX, OutY = _points[i].OutY };
            }
        }

        for (var i = 0; i < n; i++)
            _points[i].Id = _points[Root(i)].Id;
    }

    private void JoinAmongFew(int n)
    {
        var keys = _sortKeys.AsSpan(0, n);
        var reach = new Vector<double>(_tolerance);
        for (var i = 0; i < n; i++)
        {
            var key = new Vector<double>(keys[i]);
            var k = i + 1;
            for (; k + Vector<double>.Count <= n; k += Vector<double>.Count)
            {
                var apart = Vector.Abs(new Vector<double>(keys[k..]) - key);
                if (Vector.LessThanOrEqualAny(apart, reach))
                {
                    for (var m = k; m < k + Vector<double>.Count; m++)
                        JoinIfNear(i, m);
                }
            }

            for (; k < n; k++)
            {
                if (Math.Abs(keys[k] - keys[i]) <= _tolerance)
                    JoinIfNear(i, k);
            }
        }
    }

    private void JoinSorted(int n)
    {
        Array.Sort(_sortKeys, _sortItems, 0, n);
        for (var i = 0; i < n; i++)
        {
            for (var k = i + 1; k < n && _sortKeys[k] - _sortKeys[i] <= _tolerance; k++)
                JoinIfNear(_sortItems[i], _sortItems[k]);
        }
    }

    private void JoinIfNear(int a, int b)
    {
        if (Distance2(_points[a].X, _points[a].Y, _points[b].X, _points[b].Y) <= _tolerance2)
            Join(a, b);
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

    private void Join(int a, int b)
    {
        (a, b) = (Root(a), Root(b));
        if (a == b)
            return;

        var aStands = _points[a].IsGiven == _points[b].IsGiven ? a < b : _points[a].IsGiven;
        if (aStands)
            _parent[b] = a;
        else
            _parent[a] = b;
    }

    private void CutPrim(int index)
    {
        ref var prim = ref _prims[index];
        var from = _points[prim.From].Id;
        var to = _points[prim.To].Id;
        if (prim.FirstCut < 0)
        {
            AddSub(index, from, to);
            return;
        }

        var n = 0;
        Grow.Ensure(ref _sortKeys, prim.CutCount);
        Grow.Ensure(ref _sortItems, prim.CutCount);
        for (var cut = prim.FirstCut; cut >= 0; cut = _cuts[cut].Next)
        {
            var id = _points[_cuts[cut].Point].Id;
            if (id == from || id == to)
                continue;

            _sortKeys[n] = Parameter(prim, _vertices[id].X, _vertices[id].Y);
            _sortItems[n++] = id;
        }

        SortCuts(n);
        var last = from;
        for (var i = 0; i < n; i++)
        {
            AddSub(index, last, _sortItems[i]);
            last = _sortItems[i];
        }

        AddSub(index, last, to);
    }

    private void SortCuts(int n)
    {
        if (n > 16)
        {
            Array.Sort(_sortKeys, _sortItems, 0, n);
            return;
        }

        for (var k = 1; k < n; k++)
        {
            var (key, item) = (_sortKeys[k], _sortItems[k]);
            var at = k;
            for (; at > 0 && _sortKeys[at - 1] > key; at--)
                (_sortKeys[at], _sortItems[at]) = (_sortKeys[at - 1], _sortItems[at - 1]);

            (_sortKeys[at], _sortItems[at]) = (key, item);
        }
    }

    // Grows along the prim. Deep arcs use the direction seen from the centre, which is well conditioned up to the ends.
    private static double Parameter(in Prim prim, double x, double y)
    {
        if (!prim.IsDeep)
            return ((x - prim.X0) * prim.Ux) + ((y - prim.Y0) * prim.Uy);

        var (rx, ry) = (x - prim.CenterX, y - prim.CenterY);
        var cross = ((prim.MidX * ry) - (prim.MidY * rx)) * prim.Turn;
        var dot = (prim.MidX * rx) + (prim.MidY * ry);
        return dot >= 0 ? cross / (Math.Abs(cross) + dot) : Math.Sign(cross) * (2 - (Math.Abs(cross) / (Math.Abs(cross) - dot)));
    }

    private void AddSub(int prim, int from, int to)
    {
        if (from == to)
            return;

        Grow.Ensure(ref _subs, _subCount + 1);
        _subs[_subCount++] = from < to ? new() { V0 = from, V1 = to, Prim = prim } : new() { V0 = to, V1 = from, Prim = ~prim };
    }

    private void ToEdge(in Sub sub, ref Edge edge)
    {
        var isForward = sub.Prim >= 0;
        var index = isForward ? sub.Prim : ~sub.Prim;
        ref readonly var prim = ref _prims[index];
        ref readonly var a = ref _vertices[sub.V0];
        ref readonly var b = ref _vertices[sub.V1];
        edge = default;
        (edge.V0, edge.V1, edge.Prim, edge.IsPrimForward) = (sub.V0, sub.V1, index, isForward);
        edge.Chord = Math.Sqrt(Distance2(a.X, a.Y, b.X, b.Y));
        if (prim.Turn != 0)
        {
            edge.Side = prim.Side;
            var sagitta = Math.Max(0, Sagitta(a.X, a.Y, b.X, b.Y, prim.CenterX, prim.CenterY, prim.Radius));
            edge.Sagitta = sagitta * (isForward ? prim.Turn : -prim.Turn);
        }

        var delta = isForward ? 1 : -1;
        if (prim.Channel == 0)
            edge.DeltaA = delta;
        else
            edge.DeltaB = delta;
    }

    private void MergeEdges()
    {
        var n = _subCount;
        Grow.Ensure(ref _edges, n);
        SortSubs(n);
        for (var i = 0; i < n;)
        {
            var end = i + 1;
            ref readonly var first = ref _subs[_sortItems[i]];
            while (end < n && _subs[_sortItems[end]] is var other && other.V0 == first.V0 && other.V1 == first.V1)
                end++;

            MergeGroup(i, end);
            i = end;
        }
    }

    // By the first vertex in counted buckets, within these (most of two or four) by the second.
    private void SortSubs(int n)
    {
        Grow.Ensure(ref _sortItems, n);
        Grow.Ensure(ref _firstAt, _vertexCount + 2);
        Array.Clear(_firstAt, 0, _vertexCount + 2);
        for (var i = 0; i < n; i++)
            _firstAt[_subs[i].V0 + 2]++;

        for (var v = 2; v < _vertexCount + 2; v++)
            _firstAt[v] += _firstAt[v - 1];

        for (var i = 0; i < n; i++)
            _sortItems[_firstAt[_subs[i].V0 + 1]++] = i;

        for (var v = 0; v < _vertexCount; v++)
        {
            var bucket = _sortItems.AsSpan(_firstAt[v], _firstAt[v + 1] - _firstAt[v]);
            if (bucket.Length > 24)
                bucket.Sort(CompareSubs);
            else if (bucket.Length > 1)
                SortBucket(bucket);
        }
    }

    private int CompareSubs(int i, int j) => _subs[i].V1 != _subs[j].V1 ? _subs[i].V1.CompareTo(_subs[j].V1) : i.CompareTo(j);

    private void SortBucket(Span<int> bucket)
    {
        for (var k = 1; k < bucket.Length; k++)
        {
            var item = bucket[k];
            var key = _subs[item].V1;
            var at = k;
            for (; at > 0 && _subs[bucket[at - 1]].V1 > key; at--)
                bucket[at] = bucket[at - 1];

            bucket[at] = item;
        }
    }

    private void MergeGroup(int start, int end)
    {
        var first = _edgeCount;
        ToEdge(_subs[_sortItems[start]], ref _edges[_edgeCount++]);
        if (end == start + 1)
            return;

        for (var k = start + 1; k < end; k++)
        {
            ref var edge = ref _edges[_edgeCount];
            ToEdge(_subs[_sortItems[k]], ref edge);
            var isKnown = false;
            for (var e = first; e < _edgeCount; e++)
            {
                if (Math.Abs(_edges[e].Sagitta - edge.Sagitta) <= 3 * _tolerance)
                {
                    _edges[e].DeltaA += edge.DeltaA;
                    _edges[e].DeltaB += edge.DeltaB;
                    isKnown = true;
                    break;
                }
            }

            if (!isKnown)
                _edgeCount++;
        }

        var kept = first;
        for (var e = first; e < _edgeCount; e++)
        {
            if (_edges[e].DeltaA != 0 || _edges[e].DeltaB != 0)
                _edges[kept++] = _edges[e];
        }

        _edgeCount = kept;
    }

    private struct Vertex
    {
        public double X;
        public double Y;
        public double OutX;
        public double OutY;

        /// <summary>Winding numbers have been spread round it.</summary>
        public bool IsDone;
    }

    /// <summary>A piece of a prim between two vertices, from the lower id to the higher; the prim's complement when it runs the other way.</summary>
    private struct Sub
    {
        public int V0, V1, Prim;
    }

    /// <summary>A piece between two vertices, from the lower id to the higher; deltas are winding left minus right.</summary>
    private struct Edge
    {
        public int V0, V1, Prim, DeltaA, DeltaB, RightA, RightB;

        /// <summary>+1 kept as it lies, -1 kept the other way round, 0 not part of the boundary.</summary>
        public int Keep;
        public int Side;
        public bool IsPrimForward, IsFound;

        /// <summary>Another edge lies so near that a ray from here proves nothing.</summary>
        public bool IsHugged;
        public double Chord, Sagitta;
    }
}
