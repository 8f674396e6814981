using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>One segment that may be part of an edge, and the object that drew it.</summary>
/// <param name="Line">Centre line of a stroke, or a side of a filled area.</param>
/// <param name="PenMm">Pen's width, millimetres; 0 for a filled area.</param>
/// <param name="Source">Index of the object in its layer.</param>
internal readonly record struct EdgePiece(Segment Line, double PenMm, int Source);

/// <summary>An edge of the network between two nodes; <paramref name="GapMm"/> above 0 when nothing was drawn there.</summary>
internal readonly record struct NetworkEdge(int A, int B, double Bulge, double PenMm, int Source, double GapMm);

/// <summary>
/// Segments joined at their ends, split where they meet and cross, each drawn place once: a planar graph.
/// </summary>
/// <remarks>See <c>docs/algorithms/outline.md</c>.</remarks>
internal sealed class LineNetwork
{
    private readonly NodeTable _nodes;
    private readonly List<NetworkEdge> _edges = [];
    private readonly double _toleranceMm;

    private LineNetwork(double toleranceMm)
    {
        _toleranceMm = toleranceMm;
        _nodes = new NodeTable(Math.Max(toleranceMm, 0.05));
    }

    public IReadOnlyList<NetworkEdge> Edges => _edges;

    public NodeTable Nodes => _nodes;

    /// <summary>How many pieces lay on others already there.</summary>
    public int Duplicates { get; private set; }

    /// <summary>Builds the network.</summary>
    /// <param name="pieces">In any order and direction: neither matters to the network.</param>
    /// <param name="toleranceMm">Ends this near to one another are the same point.</param>
    /// <param name="gapMm">Free ends this near are joined by an edge that remembers its gap; 0 joins none.</param>
    public static LineNetwork Build(IReadOnlyList<EdgePiece> pieces, double toleranceMm, double gapMm)
    {
        var network = new LineNetwork(toleranceMm);
        var sorted = InOrderOfPlace(pieces);
        var ends = network.JoinEnds(sorted);
        var cuts = network.FindCuts(sorted, ends);
        network.MakeEdges(sorted, ends, cuts);
        if (gapMm > 0)
        {
            network.CloseGaps(gapMm);
        }

        return network;
    }

    /// <summary>The segment of an edge from its first node to its second.</summary>
    public Segment SegmentOf(int edge)
    {
        var e = _edges[edge];
        return new Segment(_nodes[e.A], _nodes[e.B], e.Bulge);
    }

    /// <summary>How many edges end in each node.</summary>
    public int[] Degrees()
    {
        var degrees = new int[_nodes.Count];
        foreach (var edge in _edges)
        {
            degrees[edge.A]++;
            degrees[edge.B]++;
        }

        return degrees;
    }

    // A quarter of the shortest segment bounds the reach, so that fine polylines keep their shape.
    private double ReachFor(Segment line) => Math.Min(_toleranceMm, line.Chord.Length / 4);

    // Which point becomes a node, and which of two strokes that lie on one another is kept, depends on who comes first:
    // place decides that, never the order of the file.
    private static EdgePiece[] InOrderOfPlace(IReadOnlyList<EdgePiece> pieces)
    {
        var sorted = new EdgePiece[pieces.Count];
        for (var i = 0; i < sorted.Length; i++)
        {
            var line = pieces[i].Line;
            var isForward = Compare(line.Start, line.End) is var byEnds && (byEnds != 0 ? byEnds < 0 : line.Bulge >= 0);
            sorted[i] = isForward ? pieces[i] : pieces[i] with { Line = line.Reversed };
        }

        Array.Sort(sorted, static (a, b) =>
        {
            var order = Compare(a.Line.Start, b.Line.Start);
            order = order != 0 ? order : Compare(a.Line.End, b.Line.End);
            order = order != 0 ? order : a.Line.Bulge.CompareTo(b.Line.Bulge);
            order = order != 0 ? order : a.PenMm.CompareTo(b.PenMm);
            return order != 0 ? order : a.Source.CompareTo(b.Source);
        });
        return sorted;
    }

    private static int Compare(Point2 a, Point2 b) => a.X.CompareTo(b.X) is var byX and not 0 ? byX : a.Y.CompareTo(b.Y);

    // Points where most ends meet become nodes first, so that a stray end beside a corner joins the corner.
    private (int A, int B)[] JoinEnds(EdgePiece[] pieces)
    {
        var counts = new Dictionary<Point2, int>();
        foreach (var piece in pieces)
        {
            counts[piece.Line.Start] = counts.GetValueOrDefault(piece.Line.Start) + 1;
            counts[piece.Line.End] = counts.GetValueOrDefault(piece.Line.End) + 1;
        }

        var points = new (Point2 At, int Count, double ReachMm, int End)[2 * pieces.Length];
        for (var i = 0; i < points.Length; i++)
        {
            var line = pieces[i / 2].Line;
            var at = i % 2 == 0 ? line.Start : line.End;
            points[i] = (at, counts[at], ReachFor(line), i);
        }

        Array.Sort(points, static (a, b) =>
        {
            var order = b.Count.CompareTo(a.Count);
            order = order != 0 ? order : Compare(a.At, b.At);
            order = order != 0 ? order : a.ReachMm.CompareTo(b.ReachMm);
            return order != 0 ? order : a.End.CompareTo(b.End);
        });
        var ends = new (int A, int B)[pieces.Length];
        foreach (var point in points)
        {
            var node = _nodes.At(point.At, point.ReachMm);
            ref var end = ref ends[point.End / 2];
            end = point.End % 2 == 0 ? (node, end.B) : (end.A, node);
        }

        JoinFreeEnds(ends);
        return ends;
    }

    // A short segment's reach is small; its free end may still join another end within the whole tolerance.
    private void JoinFreeEnds((int A, int B)[] ends)
    {
        var degrees = new int[_nodes.Count];
        var owner = new int[_nodes.Count];
        for (var i = 0; i < ends.Length; i++)
        {
            degrees[ends[i].A]++;
            degrees[ends[i].B]++;
            owner[ends[i].A] = owner[ends[i].B] = i;
        }

        var near = new List<int>();
        for (var node = 0; node < degrees.Length; node++)
        {
            if (degrees[node] != 1)
            {
                continue;
            }

            _nodes.Within(_nodes[node], _toleranceMm, near);
            var best = -1;
            foreach (var other in near)
            {
                var (a, b) = ends[owner[node]];
                if (other != a && other != b && degrees[other] > 0
                    && (best < 0 || Point2.Distance(_nodes[node], _nodes[other]) < Point2.Distance(_nodes[node], _nodes[best])))
                {
                    best = other;
                }
            }

            if (best >= 0)
            {
                var (a, b) = ends[owner[node]];
                ends[owner[node]] = (a == node ? best : a, b == node ? best : b);
                degrees[node] = 0;
                degrees[best]++;
            }
        }
    }

    private List<(double At, int Node)>?[] FindCuts(EdgePiece[] pieces, (int A, int B)[] ends)
    {
        var box = Bounds2.Empty;
        foreach (var piece in pieces)
        {
            box = Bounds2.Union(box, piece.Line.Bounds);
        }

        var grid = new SegmentGrid(SegmentGrid.CellFor(box, pieces.Length));
        for (var i = 0; i < pieces.Length; i++)
        {
            grid.Add(i, pieces[i].Line);
        }

        var cuts = new List<(double At, int Node)>?[pieces.Length];
        CutAtNodes(pieces, ends, grid, cuts);
        CutAtCrossings(pieces, ends, grid, cuts);
        return cuts;
    }

    private void CutAtNodes(EdgePiece[] pieces, (int A, int B)[] ends, SegmentGrid grid, List<(double At, int Node)>?[] cuts)
    {
        var degrees = new int[_nodes.Count];
        foreach (var (a, b) in ends)
        {
            degrees[a]++;
            degrees[b]++;
        }

        var near = new List<int>();
        for (var node = 0; node < degrees.Length; node++)
        {
            if (degrees[node] == 0)
            {
                continue;
            }

            var p = _nodes[node];
            var reach = degrees[node] == 1 ? _toleranceMm : _nodes.ReachOf(node);
            grid.Near(new Bounds2(p.X - reach, p.Y - reach, p.X + reach, p.Y + reach), near);
            foreach (var i in near)
            {
                if (ends[i].A == node || ends[i].B == node)
                {
                    continue;
                }

                var (at, distance) = SegmentMeeting.Nearest(pieces[i].Line, p);
                if (at is > 0 and < 1 && distance <= (degrees[node] == 1 ? reach : Math.Min(reach, ReachFor(pieces[i].Line))))
                {
                    (cuts[i] ??= []).Add((at, node));
                }
            }
        }
    }

    private void CutAtCrossings(EdgePiece[] pieces, (int A, int B)[] ends, SegmentGrid grid, List<(double At, int Node)>?[] cuts)
    {
        var near = new List<int>();
        var points = new List<Point2>();
        for (var i = 0; i < pieces.Length; i++)
        {
            var box = pieces[i].Line.Bounds;
            grid.Near(pieces[i].Line, near);
            foreach (var j in near)
            {
                if (j <= i || !box.Overlaps(pieces[j].Line.Bounds))
                {
                    continue;
                }

                SegmentMeeting.Crossings(pieces[i].Line, pieces[j].Line, points);
                foreach (var p in points)
                {
                    var node = _nodes.At(p, Math.Min(ReachFor(pieces[i].Line), ReachFor(pieces[j].Line)));
                    CutAt(i, node, pieces, ends, cuts);
                    CutAt(j, node, pieces, ends, cuts);
                }
            }
        }
    }

    private void CutAt(int piece, int node, EdgePiece[] pieces, (int A, int B)[] ends, List<(double At, int Node)>?[] cuts)
    {
        if (ends[piece].A == node || ends[piece].B == node)
        {
            return;
        }

        var list = cuts[piece] ??= [];
        foreach (var (_, known) in list)
        {
            if (known == node)
            {
                return;
            }
        }

        var (at, _) = SegmentMeeting.Nearest(pieces[piece].Line, _nodes[node]);
        if (at is > 0 and < 1)
        {
            list.Add((at, node));
        }
    }

    private void MakeEdges(EdgePiece[] pieces, (int A, int B)[] ends, List<(double At, int Node)>?[] cuts)
    {
        var known = new Dictionary<(int, int), List<int>>();
        for (var i = 0; i < pieces.Length; i++)
        {
            // Where joining moved an end, the arc keeps its circle and gives up its length.
            var line = pieces[i].Line;
            var (from, fromAt) = (ends[i].A, _nodes[ends[i].A] == line.Start ? 0 : SegmentMeeting.FractionAlong(line, _nodes[ends[i].A], 0));
            if (cuts[i] is { } list)
            {
                list.Sort();
                foreach (var (at, node) in list)
                {
                    AddEdge(from, node, SegmentMeeting.PartBulge(line, fromAt, at), pieces[i], known);
                    (from, fromAt) = (node, at);
                }
            }

            var endAt = _nodes[ends[i].B] == line.End ? 1 : SegmentMeeting.FractionAlong(line, _nodes[ends[i].B], 1);
            AddEdge(from, ends[i].B, SegmentMeeting.PartBulge(line, fromAt, endAt), pieces[i], known);
        }
    }

    private void AddEdge(int a, int b, double bulge, EdgePiece piece, Dictionary<(int, int), List<int>> known)
    {
        if (a == b)
        {
            return;
        }

        var key = a < b ? (a, b) : (b, a);
        var segment = SegmentMeeting.Straightened(new Segment(_nodes[a], _nodes[b], bulge));
        var middle = segment.Middle;
        if (known.TryGetValue(key, out var list))
        {
            foreach (var other in list)
            {
                if (Point2.Distance(SegmentOf(other).Middle, middle) <= 2 * _toleranceMm)
                {
                    Duplicates++;
                    return;
                }
            }
        }
        else
        {
            known.Add(key, list = []);
        }

        list.Add(_edges.Count);
        _edges.Add(new NetworkEdge(a, b, segment.Bulge, piece.PenMm, piece.Source, 0));
    }

    // Nearest pairs first, so that a wide gap never takes an end that a narrow one needs.
    private void CloseGaps(double gapMm)
    {
        var degrees = Degrees();
        var limits = new double[_nodes.Count];
        foreach (var edge in _edges)
        {
            limits[edge.A] = Math.Max(limits[edge.A], Math.Max(gapMm, edge.PenMm / 2));
            limits[edge.B] = Math.Max(limits[edge.B], Math.Max(gapMm, edge.PenMm / 2));
        }

        var pairs = new List<(double Distance, int A, int B)>();
        var near = new List<int>();
        for (var node = 0; node < degrees.Length; node++)
        {
            if (degrees[node] == 1)
            {
                _nodes.Within(_nodes[node], limits[node], near);
                foreach (var other in near)
                {
                    if (other != node && degrees[other] > 0 && (degrees[other] > 1 || other > node))
                    {
                        pairs.Add((Point2.Distance(_nodes[node], _nodes[other]), node, other));
                    }
                }
            }
        }

        pairs.Sort();
        var taken = new bool[_nodes.Count];
        foreach (var (distance, a, b) in pairs)
        {
            if (!taken[a] && !(degrees[b] == 1 && taken[b]) && !AreJoined(a, b))
            {
                taken[a] = true;
                taken[b] = true;
                _edges.Add(new NetworkEdge(a, b, 0, 0, SourceAt(a), distance));
            }
        }

        CloseGapsToEdges(degrees, limits, taken);
    }

    private void CloseGapsToEdges(int[] degrees, double[] limits, bool[] taken)
    {
        var boxes = new Bounds2[_edges.Count];
        for (var e = 0; e < boxes.Length; e++)
        {
            boxes[e] = SegmentOf(e).Bounds;
        }

        for (var node = 0; node < degrees.Length; node++)
        {
            if (degrees[node] != 1 || taken[node])
            {
                continue;
            }

            var (best, bestAt, bestDistance) = (-1, 0.0, limits[node]);
            for (var e = 0; e < boxes.Length; e++)
            {
                var edge = _edges[e];
                if (edge.A == node || edge.B == node || !boxes[e].Inflate(bestDistance).Contains(_nodes[node]))
                {
                    continue;
                }

                var (at, distance) = SegmentMeeting.Nearest(SegmentOf(e), _nodes[node]);
                if (at is > 0 and < 1 && distance <= bestDistance)
                {
                    (best, bestAt, bestDistance) = (e, at, distance);
                }
            }

            if (best >= 0)
            {
                SplitAndJoin(best, bestAt, node, bestDistance);
            }
        }
    }

    private void SplitAndJoin(int edge, double at, int node, double distance)
    {
        var (segment, old) = (SegmentOf(edge), _edges[edge]);
        var foot = _nodes.At(segment.PointAt(at), 0);
        if (foot == node || foot == old.A || foot == old.B)
        {
            return;
        }

        _edges[edge] = old with { B = foot, Bulge = SegmentMeeting.PartBulge(segment, 0, at) };
        _edges.Add(old with { A = foot, Bulge = SegmentMeeting.PartBulge(segment, at, 1) });
        _edges.Add(new NetworkEdge(node, foot, 0, 0, SourceAt(node), distance));
    }

    private int SourceAt(int node)
    {
        var first = int.MaxValue;
        foreach (var edge in _edges)
        {
            if (edge.A == node || edge.B == node)
            {
                first = Math.Min(first, edge.Source);
            }
        }

        return first == int.MaxValue ? 0 : first;
    }

    private bool AreJoined(int a, int b)
    {
        foreach (var edge in _edges)
        {
            if ((edge.A == a && edge.B == b) || (edge.A == b && edge.B == a))
            {
                return true;
            }
        }

        return false;
    }
}
