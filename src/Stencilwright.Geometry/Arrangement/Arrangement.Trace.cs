using System.Collections.Immutable;

namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    private int[] _path = [];
    private int[] _pathAt = [];
    private Piece[] _loop = [];

    /// <summary>Chains the edges where the inside begins; null when they do not close.</summary>
    private Region? Trace(Selection selection)
    {
        var kept = 0;
        for (var e = 0; e < _edgeCount; e++)
        {
            ref var edge = ref _edges[e];
            var right = IsInside(selection, edge.RightA, edge.RightB);
            var left = IsInside(selection, edge.RightA + edge.DeltaA, edge.RightB + edge.DeltaB);
            edge.Keep = left == right ? 0 : left ? 1 : -1;
            edge.IsFound = false;
            if (edge.Keep != 0)
                kept++;
        }

        if (kept == 0)
            return Region.Empty;

        if (!LinkKept())
            return null;

        Grow.Ensure(ref _path, kept + 1);
        Grow.Ensure(ref _pathAt, _vertexCount);
        Array.Fill(_pathAt, -1, 0, _vertexCount);
        var contours = ImmutableArray.CreateBuilder<Contour>();
        for (var e = 0; e < _edgeCount; e++)
        {
            if (_edges[e].Keep != 0 && !_edges[e].IsFound && !TraceFrom(e, contours))
                return null;
        }

        return contours.Count == 0 ? Region.Empty : new Region(contours.DrainToImmutable());
    }

    private static bool IsInside(Selection selection, int a, int b) => selection switch
    {
        Selection.NonZero => a != 0,
        Selection.EvenOdd => (a & 1) != 0,
        Selection.Positive => a > 0,
        Selection.Difference => a > 0 && b <= 0,
        _ => a > 0 && b > 0,
    };

    // Leaves only kept edges in the lists of the vertices, and checks that as many leave each vertex as arrive.
    private bool LinkKept()
    {
        for (var v = 0; v < _vertexCount; v++)
        {
            var balance = 0;
            foreach (var e in EdgesAt(v))
                balance += _edges[e].V0 == v ? _edges[e].Keep : -_edges[e].Keep;

            if (balance != 0)
                return false;
        }

        return true;
    }

    private bool TraceFrom(int start, ImmutableArray<Contour>.Builder contours)
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
        var around = EdgesAt(vertex);
        var (count, other) = (0, -1);
        var shortest = double.PositiveInfinity;
        foreach (var e in around)
        {
            if (_edges[e].Keep == 0)
                continue;

            count++;
            shortest = Math.Min(shortest, _edges[e].Chord);
            if (e != arriving)
                other = e;
        }

        if (count == 2)
            return other;

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
        var turn = quarter - (Math.Sign(sagitta) * Math.Asin(Math.Min(1, distance / (2 * edge.Radius))));
        var (sin, cos) = Math.SinCos(-turn);
        return new((chord.X * cos) - (chord.Y * sin), (chord.X * sin) + (chord.Y * cos));
    }

    private void EmitLoop(ReadOnlySpan<int> path, ImmutableArray<Contour>.Builder contours)
    {
        Grow.Ensure(ref _loop, path.Length);
        for (var k = 0; k < path.Length; k++)
            _loop[k] = ToPiece(path[k]);

        var count = JoinRound(path.Length, sameSource: true);
        count = JoinRound(count, sameSource: false);
        var vertices = new PathVertex[count];
        var (area, length) = (0.0, 0.0);
        var origin = _vertices[_loop[0].From];
        for (var k = 0; k < count; k++)
        {
            ref readonly var piece = ref _loop[k];
            ref readonly var a = ref _vertices[piece.From];
            ref readonly var b = ref _vertices[piece.To];
            var chord = Math.Sqrt(Distance2(a.X, a.Y, b.X, b.Y));
            var bulge = piece.Bulge;
            vertices[k] = new(a.OutX, a.OutY, bulge);
            length += chord;
            area += (((a.X - origin.X) * (b.Y - origin.Y)) - ((a.Y - origin.Y) * (b.X - origin.X))) / 2;
            area += new Segment(new(a.X, a.Y), new(b.X, b.Y), bulge).CapArea;
        }

        // Two almost coincident curves can leave a sliver thinner than the tolerance: it is nothing.
        if (count >= 2 && Math.Abs(area) > length * _tolerance)
            contours.Add(Contour.Adopt(vertices));
    }

    private Piece ToPiece(int index)
    {
        ref readonly var edge = ref _edges[index];
        var isForward = edge.Keep > 0;
        var piece = new Piece
        {
            From = isForward ? edge.V0 : edge.V1,
            To = isForward ? edge.V1 : edge.V0,
            Source = edge.Source,
            IsSourceForward = edge.IsSourceForward == isForward,
            CenterX = edge.CenterX,
            CenterY = edge.CenterY,
            Radius = edge.Radius,
        };
        if (edge.Side != 0)
        {
            piece.Turn = Math.Sign(edge.Sagitta) * edge.Keep;
            piece.Bulge = Math.Clamp(2 * edge.Sagitta / edge.Chord, -1, 1) * edge.Keep;
        }

        UseWholeSource(ref piece);
        return piece;
    }

    private void UseWholeSource(ref Piece piece)
    {
        ref readonly var source = ref _sources[piece.Source];
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
            var previous = _loop[k == 0 ? count - 1 : k - 1];
            if (count < 3 || !TryJoin(ref previous, _loop[k], sameSource))
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
            if (!TryJoin(ref _loop[kept], _loop[k], sameSource))
                _loop[++kept] = _loop[k];
        }

        return kept + 1;
    }

    private bool TryJoin(ref Piece a, in Piece b, bool sameSource)
    {
        if (KeptAt(a.To) != 2 || a.From == b.To || a.Turn != b.Turn)
            return false;

        if (sameSource)
        {
            if (a.Source != b.Source || a.IsSourceForward != b.IsSourceForward)
                return false;

            a.To = b.To;
            SetBulge(ref a);
            UseWholeSource(ref a);
            return true;
        }

        ref readonly var p = ref _vertices[a.From];
        ref readonly var m = ref _vertices[a.To];
        ref readonly var q = ref _vertices[b.To];
        if (a.Turn == 0)
        {
            if (a.Bulge != 0 || b.Bulge != 0)
                return false;

            var (dx, dy) = (q.X - p.X, q.Y - p.Y);
            var off = (dx * (m.Y - p.Y)) - (dy * (m.X - p.X));
            var along = (dx * (m.X - p.X)) + (dy * (m.Y - p.Y));
            var length2 = (dx * dx) + (dy * dy);
            if (along <= 0 || along >= length2 || off * off > length2 * _tolerance2 / 4)
                return false;

            a.To = b.To;
            a.Source = -1;
            return true;
        }

        if (Distance2(a.CenterX, a.CenterY, b.CenterX, b.CenterY) > _tolerance2 || Math.Abs(a.Radius - b.Radius) > _tolerance)
            return false;

        var product = Math.Abs(a.Bulge * b.Bulge);
        var sum = (a.Bulge + b.Bulge) / (1 - product);
        if (product >= 1 || Math.Abs(sum) > 1 + 1e-12)
            return false;

        a.To = b.To;
        a.Bulge = Math.Clamp(sum, -1, 1);
        a.Source = -1;
        return true;
    }

    private void SetBulge(ref Piece piece)
    {
        if (piece.Turn == 0)
            return;

        ref readonly var a = ref _vertices[piece.From];
        ref readonly var b = ref _vertices[piece.To];
        var chord = Math.Sqrt(Distance2(a.X, a.Y, b.X, b.Y));
        var sagitta = Math.Max(0, Sagitta(a.X, a.Y, b.X, b.Y, piece.CenterX, piece.CenterY, piece.Radius));
        piece.Bulge = piece.Turn * Math.Min(1, 2 * sagitta / chord);
    }

    private int KeptAt(int vertex)
    {
        var count = 0;
        foreach (var e in EdgesAt(vertex))
        {
            if (_edges[e].Keep != 0)
                count++;
        }

        return count;
    }

    private struct Piece
    {
        public int From, To, Source, Turn;
        public bool IsSourceForward;
        public double Bulge, CenterX, CenterY, Radius;
    }
}
