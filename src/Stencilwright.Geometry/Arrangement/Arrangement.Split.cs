namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    // An irrational-looking direction: points of a drawing rarely share a coordinate along it.
    private const double SortX = 0.80178372573727319;
    private const double SortY = 0.59761430466719682;
    private double[] _sortKeys = [];
    private int[] _sortItems = [];
    private int[] _parent = [];
    private Vertex[] _vertices = [];
    private int _vertexCount;
    private Edge[] _subs = [];
    private ulong[] _subKeys = [];
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

        Array.Sort(_sortKeys, _sortItems, 0, n);
        for (var i = 0; i < n; i++)
        {
            var a = _sortItems[i];
            for (var k = i + 1; k < n && _sortKeys[k] - _sortKeys[i] <= _tolerance; k++)
            {
                var b = _sortItems[k];
                if (Distance2(_points[a].X, _points[a].Y, _points[b].X, _points[b].Y) <= _tolerance2)
                    Join(a, b);
            }
        }

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
            AddSub(prim, from, to);
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

        if (n > 1)
            Array.Sort(_sortKeys, _sortItems, 0, n);

        var last = from;
        for (var i = 0; i < n; i++)
        {
            AddSub(prim, last, _sortItems[i]);
            last = _sortItems[i];
        }

        AddSub(prim, last, to);
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

    private void AddSub(in Prim prim, int from, int to)
    {
        if (from == to)
            return;

        var isForward = from < to;
        var (v0, v1) = isForward ? (from, to) : (to, from);
        ref readonly var a = ref _vertices[v0];
        ref readonly var b = ref _vertices[v1];
        var (dx, dy) = (b.X - a.X, b.Y - a.Y);
        var edge = new Edge { V0 = v0, V1 = v1, Source = prim.Source, IsSourceForward = isForward, Chord = Math.Sqrt((dx * dx) + (dy * dy)) };
        if (prim.Turn != 0)
        {
            edge.CenterX = prim.CenterX;
            edge.CenterY = prim.CenterY;
            edge.Radius = prim.Radius;
            edge.Side = prim.Side;
            edge.IsFar = prim.IsFar;
            var sagitta = Math.Max(0, Sagitta(a.X, a.Y, b.X, b.Y, prim.CenterX, prim.CenterY, prim.Radius));
            edge.Sagitta = sagitta * (isForward ? prim.Turn : -prim.Turn);
        }

        var delta = isForward ? 1 : -1;
        if (prim.Channel == 0)
            edge.DeltaA = delta;
        else
            edge.DeltaB = delta;

        Grow.Ensure(ref _subs, _subCount + 1);
        Grow.Ensure(ref _subKeys, _subCount + 1);
        _subKeys[_subCount] = ((ulong)(uint)v0 << 32) | (uint)v1;
        _subs[_subCount++] = edge;
    }

    private void MergeEdges()
    {
        var n = _subCount;
        Grow.Ensure(ref _sortItems, n);
        Grow.Ensure(ref _edges, n);
        for (var i = 0; i < n; i++)
            _sortItems[i] = i;

        Array.Sort(_subKeys, _sortItems, 0, n);
        for (var i = 0; i < n;)
        {
            var end = i + 1;
            while (end < n && _subKeys[end] == _subKeys[i])
                end++;

            MergeGroup(i, end);
            i = end;
        }
    }

    private void MergeGroup(int start, int end)
    {
        var first = _edgeCount;
        for (var k = start; k < end; k++)
        {
            ref readonly var sub = ref _subs[_sortItems[k]];
            var isKnown = false;
            for (var e = first; e < _edgeCount; e++)
            {
                if (Math.Abs(_edges[e].Sagitta - sub.Sagitta) <= 3 * _tolerance)
                {
                    _edges[e].DeltaA += sub.DeltaA;
                    _edges[e].DeltaB += sub.DeltaB;
                    isKnown = true;
                    break;
                }
            }

            if (!isKnown)
                _edges[_edgeCount++] = sub;
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
    }

    /// <summary>A piece between two vertices, from the lower id to the higher; deltas are winding left minus right.</summary>
    private struct Edge
    {
        public int V0, V1, Source, DeltaA, DeltaB, Side;
        public bool IsSourceForward, IsFound, IsFar;

        /// <summary>+1 kept as it lies, -1 kept the other way round, 0 not part of the boundary.</summary>
        public int Keep;
        public double Chord, Sagitta, CenterX, CenterY, Radius;
        public int RightA, RightB;
    }
}
