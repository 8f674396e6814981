namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    // Directions closer than this (as quarter turns, and beyond what snapping to vertices can turn) are not put in order.
    private const double ClearTurn = 1e-6;
    private double[] _turns = [];
    private int[] _around = [];
    private (int Edge, int Vertex)[] _open = [];
    private int _openCount;

    /// <summary>Winding of the chain through an edge by one ray, from the middle of its longest edge, where others are farthest.</summary>
    /// <returns>False, with nothing found, when the ray begins too near to another edge and is not the last resort.</returns>
    private bool FindChain(int start, bool isLast)
    {
        var count = 0;
        _chain[count++] = start;
        _edges[start].IsFound = true;
        _edges[start].Keep = 1;
        var isClosed = Walk(start, _edges[start].V1, ref count);
        if (!isClosed)
            Walk(start, _edges[start].V0, ref count);

        var longest = 0;
        for (var k = 1; k < count; k++)
        {
            if (_edges[_chain[k]].Chord > _edges[_chain[longest]].Chord)
                longest = k;
        }

        ref var first = ref _edges[_chain[longest]];
        if (!CastRay(_chain[longest], out var a, out var b, out var isRight) && !isLast)
        {
            for (var k = 0; k < count; k++)
                (_edges[_chain[k]].IsFound, _edges[_chain[k]].IsHugged) = (false, true);

            return false;
        }

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

        return true;
    }

    /// <summary>Follows edges through vertices of two, noting each one's direction; true when it comes back to the start.</summary>
    private bool Walk(int edge, int vertex, ref int count)
    {
        // The start edge runs towards V1; walking from V0 backwards keeps the same sense of direction.
        var isBackwards = _edges[edge].V0 == vertex;
        var start = edge;
        while (true)
        {
            var around = EdgesAt(vertex);
            if (around.Length != 2)
            {
                if (around.Length > 2)
                    PutOpen(edge, vertex);

                return false;
            }

            var next = around[0] == edge ? around[1] : around[0];
            if (next == start || _edges[next].IsFound)
                return next == start;

            ref var found = ref _edges[next];
            found.IsFound = true;
            var leaves = found.V0 == vertex;
            found.Keep = leaves != isBackwards ? 1 : -1;
            _chain[count++] = next;
            vertex = leaves ? found.V1 : found.V0;
            edge = next;
        }
    }

    private void PutOpen(int edge, int vertex)
    {
        Grow.Ensure(ref _open, _openCount + 1);
        _open[_openCount++] = (edge, vertex);
    }

    /// <summary>Spreads winding numbers from the open ends of chains; false when two ways round contradict each other.</summary>
    private bool Spread()
    {
        while (_openCount > 0)
        {
            var (edge, vertex) = _open[--_openCount];
            if (!SpreadRound(edge, vertex))
                return false;
        }

        return true;
    }

    private bool SpreadRound(int known, int vertex)
    {
        // Once round gives or checks the numbers of all edges that meet here.
        if (_vertices[vertex].IsDone)
            return true;

        _vertices[vertex].IsDone = true;
        var n = EdgesAt(vertex).Length;
        if (!TryOrderRound(vertex, n))
            return true;

        var at = Array.IndexOf(_around, known, 0, n);
        ref readonly var from = ref _edges[known];
        var leaves = from.V0 == vertex;
        var (a, b) = leaves ? (from.RightA + from.DeltaA, from.RightB + from.DeltaB) : (from.RightA, from.RightB);
        for (var k = 1; k < n; k++)
        {
            var index = _around[at + k < n ? at + k : at + k - n];
            ref var edge = ref _edges[index];

            // Counter-clockwise round the vertex: the right side of an edge that leaves comes first, of one that arrives the left.
            leaves = edge.V0 == vertex;
            var (rightA, rightB) = leaves ? (a, b) : (a - edge.DeltaA, b - edge.DeltaB);
            (a, b) = leaves ? (a + edge.DeltaA, b + edge.DeltaB) : (rightA, rightB);
            if (edge.IsFound)
            {
                if (edge.RightA != rightA || edge.RightB != rightB)
                    return false;

                continue;
            }

            (edge.RightA, edge.RightB, edge.IsFound) = (rightA, rightB, true);
            SpreadAlong(index, leaves ? edge.V1 : edge.V0);
        }

        return true;
    }

    private void SpreadAlong(int index, int vertex)
    {
        while (true)
        {
            var around = EdgesAt(vertex);
            if (around.Length != 2)
            {
                if (around.Length > 2)
                    PutOpen(index, vertex);

                return;
            }

            var next = around[0] == index ? around[1] : around[0];
            ref var edge = ref _edges[next];
            if (edge.IsFound)
                return;

            ref readonly var last = ref _edges[index];
            var arrives = last.V1 == vertex;
            var leaves = edge.V0 == vertex;
            (edge.RightA, edge.RightB) = arrives == leaves
                ? (last.RightA, last.RightB)
                : (last.RightA + last.DeltaA, last.RightB + last.DeltaB);
            edge.IsFound = true;
            vertex = leaves ? edge.V1 : edge.V0;
            index = next;
        }
    }

    /// <summary>Puts the edges at a vertex in counter-clockwise order; false when two of them set out in almost one direction.</summary>
    private bool TryOrderRound(int vertex, int n)
    {
        Grow.Ensure(ref _turns, n);
        Grow.Ensure(ref _around, n);
        var shortest = double.PositiveInfinity;
        var edges = EdgesAt(vertex);
        for (var k = 0; k < n; k++)
        {
            shortest = Math.Min(shortest, _edges[edges[k]].Chord);
            var turn = QuarterTurns(Tangent(edges[k], vertex));
            var at = k;
            if (n <= 16)
            {
                for (; at > 0 && _turns[at - 1] > turn; at--)
                    (_turns[at], _around[at]) = (_turns[at - 1], _around[at - 1]);
            }

            (_turns[at], _around[at]) = (turn, edges[k]);
        }

        if (n > 16)
            Array.Sort(_turns, _around, 0, n);

        // Snapping moves both ends of a chord by up to the tolerance.
        var least = ClearTurn + (16 * _tolerance / shortest);
        for (var k = 1; k < n; k++)
        {
            if (_turns[k] - _turns[k - 1] <= least)
                return false;
        }

        return _turns[0] + 4 - _turns[n - 1] > least;
    }

    private Vector2 Tangent(int index, int vertex)
    {
        ref readonly var edge = ref _edges[index];
        var isFirst = edge.V0 == vertex;
        ref readonly var a = ref _vertices[vertex];
        ref readonly var b = ref _vertices[isFirst ? edge.V1 : edge.V0];
        var (x, y) = (b.X - a.X, b.Y - a.Y);
        if (edge.Side == 0)
            return new(x, y);

        // The tangent leaves the chord by half the included angle: 2 atan(bulge), bulge = 2 sagitta / chord.
        var bulge = 2 * (isFirst ? edge.Sagitta : -edge.Sagitta) / edge.Chord;
        var (cos, sin) = (1 - (bulge * bulge), 2 * bulge);
        return new((x * cos) + (y * sin), (y * cos) - (x * sin));
    }

    // Grows with the angle from 0 to 4, linearly enough: nowhere does it grow by less than half a quarter turn a radian.
    private static double QuarterTurns(Vector2 v)
    {
        var sum = Math.Abs(v.X) + Math.Abs(v.Y);
        return v.Y >= 0
            ? v.X >= 0 ? v.Y / sum : 1 - (v.X / sum)
            : v.X < 0 ? 2 - (v.Y / sum) : 3 + (v.X / sum);
    }
}
