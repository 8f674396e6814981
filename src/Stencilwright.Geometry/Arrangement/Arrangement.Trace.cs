namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    private int[] _path = [];
    private int[] _pathAt = [];
    private Station[] _stations = [];
    private readonly List<Contour> _contours = [];
    private Piece[] _loop = [];

    /// <summary>Chains the edges where the inside begins; null when they do not close.</summary>
    private Region? Trace(Selection selection)
    {
        Grow.Ensure(ref _path, _edgeCount + 1);
        var kept = 0;
        for (var e = 0; e < _edgeCount; e++)
        {
            ref var edge = ref _edges[e];
            var right = IsInside(selection, edge.RightA, edge.RightB);
            var left = IsInside(selection, edge.RightA + edge.DeltaA, edge.RightB + edge.DeltaB);
            edge.Keep = left == right ? 0 : left ? 1 : -1;
            edge.IsFound = false;
            if (edge.Keep != 0)
                _path[kept++] = e;
        }

        if (kept == 0)
            return Region.Empty;

        if (!LinkKept(kept))
            return null;

        _contours.Clear();
        for (var e = 0; e < _edgeCount; e++)
        {
            if (_edges[e].Keep != 0 && !_edges[e].IsFound && !TraceFrom(e, _contours))
                return null;
        }

        var result = _contours.Count == 0 ? Region.Empty : new Region([.. _contours]);
        _contours.Clear();
        return result;
    }

    private static bool IsInside(Selection selection, int a, int b) => selection switch
    {
        Selection.NonZero => a != 0,
        Selection.EvenOdd => (a & 1) != 0,
        Selection.Positive => a > 0,
        Selection.Difference => a > 0 && b <= 0,
        _ => a > 0 && b > 0,
    };

    /// <summary>Counts the kept edges at every vertex, and checks that as many leave it as arrive.</summary>
    private bool LinkKept(int kept)
    {
        Grow.Ensure(ref _pathAt, _vertexCount);
        Array.Fill(_pathAt, -1, 0, _vertexCount);
        Grow.Ensure(ref _stations, _vertexCount);
        Array.Clear(_stations, 0, _vertexCount);
        for (var k = 0; k < kept; k++)
        {
            ref readonly var edge = ref _edges[_path[k]];
            var (from, to) = edge.Keep > 0 ? (edge.V0, edge.V1) : (edge.V1, edge.V0);
            _stations[from].Leaving++;
            _stations[from].Next = _path[k];
            _stations[to].Arriving++;
        }

        for (var v = 0; v < _vertexCount; v++)
        {
            if (_stations[v].Leaving != _stations[v].Arriving)
                return false;
        }

        return true;
    }

    private bool TraceFrom(int start, List<Contour> contours)
    {
        var depth = 0;
        var current = start;
        while (true)
        {
            ref var edge = ref _edges[current];
            if (edge.IsFound)
                return false;

            edge.IsFound = true;
            var (from, to) = edge.Keep > 0 ? (edge.V0, edge.V1) : (edge.V1, edge.V0);
            _pathAt[from] = depth;
            _path[depth++] = current;
            if (_pathAt[to] is >= 0 and var at)
            {
                EmitLoop(_path.AsSpan(at, depth - at), contours);
                for (var k = at; k < depth; k++)
                    _pathAt[_edges[_path[k]].Keep > 0 ? _edges[_path[k]].V0 : _edges[_path[k]].V1] = -1;

                depth = at;
            }

            // The walk may pass its first vertex several times; it ends where it would take its first edge again.
            current = Next(current, to);
            if (current == start)
                return depth == 0;

            if (current < 0)
                return false;
        }
    }

    // The interior lies left, so the contour that hugs it turns left as far as it can: clockwise from the way back, the
    // first kept edge met must be one that leaves.
    private int Next(int arriving, int vertex)
    {
        if (_stations[vertex].Leaving == 1)
            return _stations[vertex].Next;

        var around = EdgesAt(vertex);
        var shortest = double.PositiveInfinity;
        foreach (var e in around)
        {
            if (_edges[e].Keep != 0)
                shortest = Math.Min(shortest, _edges[e].Chord);
        }

        var (best, bestAngle) = (-1, double.PositiveInfinity);
        var back = Direction(arriving, vertex, shortest / 2);
        foreach (var e in around)
        {
            if (_edges[e].Keep == 0 || e == arriving)
                continue;

            var direction = Direction(e, vertex, shortest / 2);
            var angle = Math.Atan2(-Vector2.Cross(back, direction), Vector2.Dot(back, direction));
            if (angle <= 0)
                angle += 2 * Math.PI;

            if (angle < bestAngle)
                (best, bestAngle) = (e, angle);
        }

        if (best < 0)
            return -1;

        var leaves = (_edges[best].V0 == vertex) == (_edges[best].Keep > 0);
        return leaves ? best : -1;
    }

    // Towards the point of the edge at a distance from the vertex: unlike the tangent it tells touching curves apart.
    private Vector2 Direction(int index, int vertex, double distance)
    {
        ref readonly var edge = ref _edges[index];
        var isFirst = edge.V0 == vertex;
        ref readonly var a = ref _vertices[vertex];
        ref readonly var b = ref _vertices[isFirst ? edge.V1 : edge.V0];
        var chord = new Vector2(b.X - a.X, b.Y - a.Y);
        if (edge.Side == 0)
            return chord;

        // The chord leaves the tangent by asin(c / 2r), so a shorter chord lies this much further round.
        var sagitta = isFirst ? edge.Sagitta : -edge.Sagitta;
        var quarter = 2 * Math.Atan(2 * sagitta / edge.Chord);
        var turn = quarter - (Math.Sign(sagitta) * Math.Asin(Math.Min(1, distance / (2 * _prims[edge.Prim].Radius))));
        var (sin, cos) = Math.SinCos(-turn);
        return new((chord.X * cos) - (chord.Y * sin), (chord.X * sin) + (chord.Y * cos));
    }

    private void EmitLoop(ReadOnlySpan<int> path, List<Contour> contours)
    {
        Grow.Ensure(ref _loop, path.Length);
        for (var k = 0; k < path.Length; k++)
            ToPiece(path[k], ref _loop[k]);

        var count = JoinRound(path.Length, sameSource: true);
        count = JoinRound(count, sameSource: false);
        if (count < 2 || IsSliver(count))
            return;

        var vertices = new PathVertex[count];
        for (var k = 0; k < count; k++)
        {
            ref readonly var vertex = ref _vertices[_loop[k].From];
            vertices[k] = new(vertex.OutX, vertex.OutY, _loop[k].Bulge);
        }

        contours.Add(Contour.Adopt(vertices));
    }

    // Two almost coincident curves can leave a sliver thinner than the tolerance: it is nothing.
    private bool IsSliver(int count)
    {
        var (area, caps, length) = (0.0, 0.0, 0.0);
        var origin = _vertices[_loop[0].From];
        for (var k = 0; k < count; k++)
        {
            ref readonly var a = ref _vertices[_loop[k].From];
            ref readonly var b = ref _vertices[_loop[k].To];
            var chord2 = Distance2(a.X, a.Y, b.X, b.Y);
            length += Math.Sqrt(chord2);
            area += ((a.X - origin.X) * (b.Y - origin.Y)) - ((a.Y - origin.Y) * (b.X - origin.X));
            caps += chord2 * Math.Abs(_loop[k].Bulge);
        }

        // An arc's cap has at most 0.79 of chord times sagitta, so mostly the polygon alone tells.
        if ((Math.Abs(area) / 2) - (0.4 * caps) > length * _tolerance)
            return false;

        area /= 2;
        for (var k = 0; k < count; k++)
        {
            ref readonly var a = ref _vertices[_loop[k].From];
            ref readonly var b = ref _vertices[_loop[k].To];
            area += new Segment(new(a.X, a.Y), new(b.X, b.Y), _loop[k].Bulge).CapArea;
        }

        return Math.Abs(area) <= length * _tolerance;
    }

    private void ToPiece(int index, ref Piece piece)
    {
        ref readonly var edge = ref _edges[index];
        ref readonly var prim = ref _prims[edge.Prim];
        var isForward = edge.Keep > 0;
        (piece.From, piece.To) = isForward ? (edge.V0, edge.V1) : (edge.V1, edge.V0);
        (piece.Prim, piece.Source, piece.IsSourceForward) = (edge.Prim, prim.Source, edge.IsPrimForward == isForward);
        (piece.Turn, piece.Bulge) = (0, 0);
        if (edge.Side != 0)
        {
            piece.Turn = Math.Sign(edge.Sagitta) * edge.Keep;
            piece.Bulge = Math.Clamp(2 * edge.Sagitta / edge.Chord, -1, 1) * edge.Keep;
        }

        UseWholeSource(ref piece);
    }

    private void UseWholeSource(ref Piece piece)
    {
        ref readonly var source = ref _sources[piece.Source];
        if (source.Bulge == 0)
            return;

        var (from, to) = (_points[source.From].Id, _points[source.To].Id);
        if (piece.IsSourceForward ? piece.From == from && piece.To == to : piece.From == to && piece.To == from)
            piece.Bulge = piece.IsSourceForward ? source.Bulge : -source.Bulge;
    }

    private int JoinRound(int count, bool sameSource)
    {
        // Start where nothing joins, so that no run of pieces straddles the ends of the array.
        var start = -1;
        for (var k = 0; k < count && start < 0; k++)
        {
            if (count < 3 || !CanJoin(_loop[k == 0 ? count - 1 : k - 1], _loop[k], sameSource))
                start = k;
        }

        if (start > 0)
        {
            var span = _loop.AsSpan(0, count);
            span[..start].Reverse();
            span[start..].Reverse();
            span.Reverse();
        }

        var kept = 0;
        for (var k = 1; k < count; k++)
        {
            if (CanJoin(_loop[kept], _loop[k], sameSource))
                Join(ref _loop[kept], _loop[k], sameSource);
            else if (++kept != k)
                _loop[kept] = _loop[k];
        }

        return kept + 1;
    }

    private bool CanJoin(in Piece a, in Piece b, bool sameSource)
    {
        if (sameSource)
        {
            return a.Source == b.Source && a.IsSourceForward == b.IsSourceForward && a.Turn == b.Turn
                && a.From != b.To && _stations[a.To].Leaving == 1;
        }

        if (a.Turn != b.Turn || a.From == b.To || _stations[a.To].Leaving != 1)
            return false;

        if (a.Turn == 0)
            return a.Bulge == 0 && b.Bulge == 0 && LieOnOneLine(_vertices[a.From], _vertices[a.To], _vertices[b.To]);

        ref readonly var p = ref _prims[a.Prim];
        ref readonly var q = ref _prims[b.Prim];
        if (Distance2(p.CenterX, p.CenterY, q.CenterX, q.CenterY) > _tolerance2 || Math.Abs(p.Radius - q.Radius) > _tolerance)
            return false;

        var product = Math.Abs(a.Bulge * b.Bulge);
        return product < 1 && Math.Abs((a.Bulge + b.Bulge) / (1 - product)) <= 1 + 1e-12;
    }

    private bool LieOnOneLine(in Vertex p, in Vertex m, in Vertex q)
    {
        var (dx, dy) = (q.X - p.X, q.Y - p.Y);
        var off = (dx * (m.Y - p.Y)) - (dy * (m.X - p.X));
        var along = (dx * (m.X - p.X)) + (dy * (m.Y - p.Y));
        var length2 = (dx * dx) + (dy * dy);
        return along > 0 && along < length2 && off * off <= length2 * _tolerance2 / 4;
    }

    private void Join(ref Piece a, in Piece b, bool sameSource)
    {
        a.To = b.To;
        if (sameSource)
        {
            SetBulge(ref a);
            UseWholeSource(ref a);
            return;
        }

        if (a.Turn != 0)
            a.Bulge = Math.Clamp((a.Bulge + b.Bulge) / (1 - Math.Abs(a.Bulge * b.Bulge)), -1, 1);
    }

    private void SetBulge(ref Piece piece)
    {
        if (piece.Turn == 0)
            return;

        ref readonly var a = ref _vertices[piece.From];
        ref readonly var b = ref _vertices[piece.To];
        ref readonly var prim = ref _prims[piece.Prim];
        var chord = Math.Sqrt(Distance2(a.X, a.Y, b.X, b.Y));
        var sagitta = Math.Max(0, Sagitta(a.X, a.Y, b.X, b.Y, prim.CenterX, prim.CenterY, prim.Radius));
        piece.Bulge = piece.Turn * Math.Min(1, 2 * sagitta / chord);
    }

    /// <summary>How many kept edges meet at a vertex, and the last of those that leave it.</summary>
    private struct Station
    {
        public int Arriving, Leaving, Next;
    }

    private struct Piece
    {
        public int From, To, Source, Prim, Turn;
        public bool IsSourceForward;
        public double Bulge;
    }
}
