namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    // So many rays look at every edge before an index of them pays.
    private const int FewRays = 6;
    private Bounds2[] _edgeBoxes = [];
    private int[] _firstAt = [];
    private int[] _edgesAt = [];
    private int[] _chain = [];
    private bool _isBanded;
    private int _rayCount;

    /// <summary>
    /// Winding numbers right of every edge. A ray tells them for one chain of edges; from there they spread round the vertices
    /// to all that hangs together. Where the order round a vertex is not clear, other ways or another ray must do.
    /// </summary>
    private void FindWinding(bool isByRaysAlone)
    {
        LinkVertices();
        _isBanded = false;
        _rayCount = 0;
        Grow.Ensure(ref _chain, _edgeCount);
        if (!TryFindWinding(isByRaysAlone))
        {
            // Two ways round gave one edge different numbers: some order was wrong, and each chain must see for itself.
            for (var e = 0; e < _edgeCount; e++)
                _edges[e].IsFound = false;

            TryFindWinding(isByRaysAlone: true);
        }
    }

    private bool TryFindWinding(bool isByRaysAlone)
    {
        // Rays from edges that others hug come last: on which side these lie is a matter of rounding, and a wrong number would
        // spread to all that hangs together.
        for (var round = 0; round < 2; round++)
        {
            for (var e = 0; e < _edgeCount; e++)
            {
                if (_edges[e].IsFound || (round == 0 && _edges[e].IsHugged))
                    continue;

                _openCount = 0;
                if (FindChain(e, isLast: round > 0) && !isByRaysAlone && !Spread())
                    return false;
            }
        }

        return true;
    }

    private void LinkVertices()
    {
        Grow.Ensure(ref _firstAt, _vertexCount + 2);
        Array.Clear(_firstAt, 0, _vertexCount + 2);
        Grow.Ensure(ref _edgesAt, 2 * _edgeCount);
        for (var e = 0; e < _edgeCount; e++)
        {
            _firstAt[_edges[e].V0 + 2]++;
            _firstAt[_edges[e].V1 + 2]++;
        }

        for (var v = 2; v < _vertexCount + 2; v++)
            _firstAt[v] += _firstAt[v - 1];

        for (var e = 0; e < _edgeCount; e++)
        {
            _edgesAt[_firstAt[_edges[e].V0 + 1]++] = e;
            _edgesAt[_firstAt[_edges[e].V1 + 1]++] = e;
        }
    }

    private ReadOnlySpan<int> EdgesAt(int vertex) => _edgesAt.AsSpan(_firstAt[vertex], _firstAt[vertex + 1] - _firstAt[vertex]);

    private void BoxEdges()
    {
        Grow.Ensure(ref _edgeBoxes, _edgeCount);
        for (var i = 0; i < _edgeCount; i++)
        {
            ref readonly var edge = ref _edges[i];
            ref readonly var a = ref _vertices[edge.V0];
            ref readonly var b = ref _vertices[edge.V1];
            var (minX, maxX) = a.X < b.X ? (a.X, b.X) : (b.X, a.X);
            if (edge.Side != 0 && _prims[edge.Prim].IsFar)
            {
                var sagitta = Math.Abs(edge.Sagitta);
                (minX, maxX) = (minX - sagitta, maxX + sagitta);
            }
            else if (edge.Side > 0)
                maxX = Math.Max(maxX, _prims[edge.Prim].CenterX + _prims[edge.Prim].Radius);
            else if (edge.Side < 0)
                minX = Math.Min(minX, _prims[edge.Prim].CenterX - _prims[edge.Prim].Radius);

            _edgeBoxes[i] = new(minX, Math.Min(a.Y, b.Y), maxX, Math.Max(a.Y, b.Y));
        }
    }

    private bool CastRay(int index, out int a, out int b, out bool isRight)
    {
        ref readonly var edge = ref _edges[index];
        ref readonly var v0 = ref _vertices[edge.V0];
        ref readonly var v1 = ref _vertices[edge.V1];
        var (x, y) = ((v0.X + v1.X) / 2, (v0.Y + v1.Y) / 2);
        if (edge.Side != 0)
        {
            x += (v1.Y - v0.Y) / edge.Chord * edge.Sagitta;
            y -= (v1.X - v0.X) / edge.Chord * edge.Sagitta;
        }

        var (bottom, top) = v0.Y < v1.Y ? (v0.Y, v1.Y) : (v1.Y, v0.Y);
        y = Math.Clamp(y, bottom, top);

        // The ray runs to the right, a hair above y. It leaves a rising edge on its right side; an edge that it does not
        // cross at all (a level one, or rounding put y on its upper end) lies below the ray.
        isRight = y < top ? v1.Y > v0.Y : v1.X < v0.X;
        (a, b) = (0, 0);
        var isHugged = false;
        if (!_isBanded && ++_rayCount > FewRays && _edgeCount > SmallCount)
        {
            _isBanded = true;
            BoxEdges();
            _bands.Build(_edgeBoxes.AsSpan(0, _edgeCount), byRightEdge: true);
        }

        if (!_isBanded)
        {
            for (var i = 0; i < _edgeCount; i++)
            {
                if (i != index)
                    isHugged |= Cross(i, x, y, ref a, ref b);
            }

            return !isHugged;
        }

        foreach (var i in _bands.Band(_bands.BandOf(y)))
        {
            if (_edgeBoxes[i].MaxX < x)
                break;

            if (i != index)
                isHugged |= Cross(i, x, y, ref a, ref b);
        }

        return !isHugged;
    }

    // Counts the edge when the ray crosses it; true when it passes where the ray begins.
    private bool Cross(int index, double x, double y, ref int a, ref int b)
    {
        ref readonly var edge = ref _edges[index];
        ref readonly var v0 = ref _vertices[edge.V0];
        ref readonly var v1 = ref _vertices[edge.V1];
        if ((v0.Y <= y) == (v1.Y <= y) || CrossingX(edge, v0, v1, y) <= x)
            return Hugs(edge, v0, v1, x, y);

        if (v1.Y > v0.Y)
        {
            a += edge.DeltaA;
            b += edge.DeltaB;
        }
        else
        {
            a -= edge.DeltaA;
            b -= edge.DeltaB;
        }

        return Hugs(edge, v0, v1, x, y);
    }

    private bool Hugs(in Edge edge, in Vertex v0, in Vertex v1, double x, double y)
    {
        var reach = 4 * _tolerance;
        if (y < Math.Min(v0.Y, v1.Y) - reach || y > Math.Max(v0.Y, v1.Y) + reach)
            return false;

        var (ux, uy) = ((v1.X - v0.X) / edge.Chord, (v1.Y - v0.Y) / edge.Chord);
        var along = ((x - v0.X) * ux) + ((y - v0.Y) * uy);
        if (along < -reach || along > edge.Chord + reach)
            return false;

        var right = ((x - v0.X) * uy) - ((y - v0.Y) * ux);
        if (edge.Side == 0)
            return Math.Abs(right) < reach;

        // The belly of an arc that turns left lies right of its chord.
        ref readonly var prim = ref _prims[edge.Prim];
        if (prim.IsFar)
            return Math.Abs(new ArcForm(v0.X, v0.Y, v1.X, v1.Y, 2 * edge.Sagitta / edge.Chord).Off(x, y)) < reach;

        return right * Math.Sign(edge.Sagitta) > -reach && Math.Abs(Math.Sqrt(Distance2(x, y, prim.CenterX, prim.CenterY)) - prim.Radius) < reach;
    }

    private double CrossingX(in Edge edge, in Vertex v0, in Vertex v1, double y)
    {
        if (edge.Side == 0)
            return v0.X + ((y - v0.Y) / (v1.Y - v0.Y) * (v1.X - v0.X));

        ref readonly var prim = ref _prims[edge.Prim];
        if (prim.IsFar)
            return FarCrossingX(edge, v0, v1, y);

        var dy = Math.Abs(y - prim.CenterY);
        var half = dy >= prim.Radius ? 0 : Math.Sqrt((prim.Radius - dy) * (prim.Radius + dy));
        return prim.CenterX + (prim.Side * half);
    }

    // From the chord's point at this height level to the arc, which lies on one side: the level line's other meeting is far away.
    private static double FarCrossingX(in Edge edge, in Vertex v0, in Vertex v1, double y)
    {
        var onChord = v0.X + ((y - v0.Y) / (v1.Y - v0.Y) * (v1.X - v0.X));
        var form = new ArcForm(v0.X, v0.Y, v1.X, v1.Y, 2 * edge.Sagitta / edge.Chord);
        if (!form.TryMeetLine(new(onChord, y), new(edge.Side, 0), out var first, out var second, out _))
            return onChord;

        var away = Math.Max(first, second);
        return Math.Clamp(onChord + (edge.Side * Math.Max(away, 0)), Math.Min(v0.X, v1.X), Math.Max(v0.X, v1.X));
    }
}
