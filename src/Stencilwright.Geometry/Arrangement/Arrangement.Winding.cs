namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    private Bounds2[] _edgeBoxes = [];
    private int[] _firstAt = [];
    private int[] _edgesAt = [];
    private int[] _chain = [];
    private bool _isBanded;

    /// <summary>
    /// Winding numbers right of every edge. Chains through vertices of two edges share them; each chain casts one ray, from
    /// the middle of its longest edge, where other edges are farthest.
    /// </summary>
    private void FindWinding()
    {
        LinkVertices();
        BoxEdges();
        _isBanded = _edgeCount > SmallCount;
        if (_isBanded)
            _bands.Build(_edgeBoxes.AsSpan(0, _edgeCount), byRightEdge: true);

        Grow.Ensure(ref _chain, _edgeCount);
        for (var e = 0; e < _edgeCount; e++)
        {
            if (!_edges[e].IsFound)
                FindChain(e);
        }
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
            if (edge.IsFar)
            {
                var sagitta = Math.Abs(edge.Sagitta);
                (minX, maxX) = (minX - sagitta, maxX + sagitta);
            }
            else if (edge.Side > 0)
                maxX = Math.Max(maxX, edge.CenterX + edge.Radius);
            else if (edge.Side < 0)
                minX = Math.Min(minX, edge.CenterX - edge.Radius);

            _edgeBoxes[i] = new(minX, Math.Min(a.Y, b.Y), maxX, Math.Max(a.Y, b.Y));
        }
    }

    private void FindChain(int start)
    {
        var count = 0;
        _chain[count++] = start;
        _edges[start].IsFound = true;
        _edges[start].Keep = 1;
        var isClosed = Walk(start, _edges[start].V1, 1, ref count);
        if (!isClosed)
            Walk(start, _edges[start].V0, 1, ref count);

        var longest = 0;
        for (var k = 1; k < count; k++)
        {
            if (_edges[_chain[k]].Chord > _edges[_chain[longest]].Chord)
                longest = k;
        }

        ref var first = ref _edges[_chain[longest]];
        CastRay(_chain[longest], out var a, out var b, out var isRight);
        if (!isRight)
        {
            a -= first.DeltaA;
            b -= first.DeltaB;
        }

        // Keep holds each edge's direction along the chain until the selection: unlike directions swap the sides.
        var direction = first.Keep;
        var (leftA, leftB) = (a + first.DeltaA, b + first.DeltaB);
        for (var k = 0; k < count; k++)
        {
            ref var edge = ref _edges[_chain[k]];
            (edge.RightA, edge.RightB) = edge.Keep == direction ? (a, b) : (leftA, leftB);
        }
    }

    private bool Walk(int edge, int vertex, int direction, ref int count)
    {
        // The start edge runs towards V1; walking from V0 backwards keeps the same sense of direction.
        var isBackwards = _edges[edge].V0 == vertex;
        var start = edge;
        while (true)
        {
            var around = EdgesAt(vertex);
            if (around.Length != 2)
                return false;

            var next = around[0] == edge ? around[1] : around[0];
            if (next == start || _edges[next].IsFound)
                return next == start;

            ref var found = ref _edges[next];
            found.IsFound = true;
            var leaves = found.V0 == vertex;
            found.Keep = leaves != isBackwards ? direction : -direction;
            _chain[count++] = next;
            vertex = leaves ? found.V1 : found.V0;
            edge = next;
        }
    }

    private void CastRay(int index, out int a, out int b, out bool isRight)
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

        var box = _edgeBoxes[index];
        y = Math.Clamp(y, box.MinY, box.MaxY);

        // The ray runs to the right, a hair above y. It leaves a rising edge on its right side; an edge that it does not
        // cross at all (a level one, or rounding put y on its upper end) lies below the ray.
        isRight = y < box.MaxY ? v1.Y > v0.Y : v1.X < v0.X;
        (a, b) = (0, 0);
        if (!_isBanded)
        {
            for (var i = 0; i < _edgeCount; i++)
            {
                if (_edgeBoxes[i].MaxX >= x && i != index)
                    Cross(i, x, y, ref a, ref b);
            }

            return;
        }

        foreach (var i in _bands.Band(_bands.BandOf(y)))
        {
            if (_edgeBoxes[i].MaxX < x)
                break;

            if (i != index)
                Cross(i, x, y, ref a, ref b);
        }
    }

    private void Cross(int index, double x, double y, ref int a, ref int b)
    {
        ref readonly var box = ref _edgeBoxes[index];
        if (y < box.MinY || y >= box.MaxY)
            return;

        ref readonly var edge = ref _edges[index];
        ref readonly var v0 = ref _vertices[edge.V0];
        ref readonly var v1 = ref _vertices[edge.V1];
        if (box.MinX <= x && CrossingX(edge, v0, v1, y) <= x)
            return;

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
    }

    private static double CrossingX(in Edge edge, in Vertex v0, in Vertex v1, double y)
    {
        if (edge.Side == 0)
            return v0.X + ((y - v0.Y) / (v1.Y - v0.Y) * (v1.X - v0.X));

        if (edge.IsFar)
            return FarCrossingX(edge, v0, v1, y);

        var dy = Math.Abs(y - edge.CenterY);
        var half = dy >= edge.Radius ? 0 : Math.Sqrt((edge.Radius - dy) * (edge.Radius + dy));
        return edge.CenterX + (edge.Side * half);
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
