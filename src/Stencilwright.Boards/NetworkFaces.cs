using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>A closed loop traced out of a network.</summary>
/// <param name="Path">Counter-clockwise.</param>
/// <param name="Edges">The network's edges along it.</param>
internal sealed record NetworkLoop(Contour Path, List<int> Edges);

/// <summary>The faces of a network once all that leads nowhere is gone.</summary>
internal sealed class NetworkFaces
{
    private readonly LineNetwork _network;
    private readonly int[] _next;      // per half-edge; -1 when pruned
    private readonly int[] _faceOf;    // per half-edge
    private readonly List<int> _faceStart = [];
    private readonly List<double> _faceArea = [];
    private readonly int[] _component; // per node

    // Half-edge 2e runs from A to B of edge e, 2e+1 back.
    public NetworkFaces(LineNetwork network)
    {
        _network = network;
        var alive = Prune();
        _next = LinkAround(alive);
        _faceOf = new int[_next.Length];
        Array.Fill(_faceOf, -1);
        TraceFaces();
        _component = Components(alive);
        Spurs = [.. Enumerable.Range(0, alive.Length).Where(e => !alive[e])];
    }

    /// <summary>Edges that are part of no closed way.</summary>
    public IReadOnlyList<int> Spurs { get; }

    public int Count => _faceStart.Count;

    /// <summary>Signed area of a face's boundary, square millimetres; not above 0 for what lies round a component.</summary>
    public double AreaOf(int face) => _faceArea[face];

    /// <summary>Connected parts are numbered by one of their nodes.</summary>
    public int ComponentOf(int face) => _component[Origin(_faceStart[face])];

    /// <summary>The connected part that a node belongs to.</summary>
    public int ComponentAt(int node) => _component[node];

    /// <summary>The boundary of a face.</summary>
    public Contour PathOf(int face)
    {
        var vertices = new List<PathVertex>();
        var h = _faceStart[face];
        do
        {
            vertices.Add(VertexOf(h));
            h = _next[h];
        }
        while (h != _faceStart[face]);
        return Contour.Adopt([.. vertices]);
    }

    /// <summary>The outer loops round a set of faces, counter-clockwise; holes are left out.</summary>
    public List<NetworkLoop> OuterLoops(HashSet<int> faces)
    {
        var loops = new List<NetworkLoop>();
        var done = new bool[_next.Length];
        for (var start = 0; start < _next.Length; start++)
        {
            if (done[start] || !IsRim(start, faces))
            {
                continue;
            }

            var (vertices, edges) = (new List<PathVertex>(), new List<int>());
            var h = start;
            do
            {
                done[h] = true;
                vertices.Add(VertexOf(h));
                edges.Add(h >> 1);
                h = _next[h];
                while (!IsRim(h, faces))
                {
                    h = _next[h ^ 1];
                }
            }
            while (h != start && !done[h]);

            if (vertices.Count >= 2 && Measure.SignedArea([.. vertices]) > 0)
            {
                loops.Add(new NetworkLoop(Contour.Adopt([.. vertices]), edges));
            }
        }

        return loops;
    }

    private bool IsRim(int h, HashSet<int> faces) =>
        _next[h] >= 0 && faces.Contains(_faceOf[h]) && !faces.Contains(_faceOf[h ^ 1]);

    private int Origin(int h) => (h & 1) == 0 ? _network.Edges[h >> 1].A : _network.Edges[h >> 1].B;

    private PathVertex VertexOf(int h)
    {
        var p = _network.Nodes[Origin(h)];
        var bulge = _network.Edges[h >> 1].Bulge;
        return new PathVertex(p.X, p.Y, (h & 1) == 0 ? bulge : -bulge);
    }

    private bool[] Prune()
    {
        var edges = _network.Edges;
        var degrees = _network.Degrees();
        var at = new List<int>[degrees.Length];
        for (var e = 0; e < edges.Count; e++)
        {
            (at[edges[e].A] ??= []).Add(e);
            (at[edges[e].B] ??= []).Add(e);
        }

        var alive = new bool[edges.Count];
        Array.Fill(alive, true);
        var ends = new Stack<int>(Enumerable.Range(0, degrees.Length).Where(n => degrees[n] == 1));
        while (ends.TryPop(out var node))
        {
            foreach (var e in at[node])
            {
                if (alive[e])
                {
                    alive[e] = false;
                    var other = edges[e].A == node ? edges[e].B : edges[e].A;
                    degrees[node]--;
                    if (--degrees[other] == 1)
                    {
                        ends.Push(other);
                    }
                }
            }
        }

        return alive;
    }

    private int[] LinkAround(bool[] alive)
    {
        var leaving = new List<int>[_network.Nodes.Count];
        for (var e = 0; e < alive.Length; e++)
        {
            if (alive[e])
            {
                (leaving[Origin(2 * e)] ??= []).Add(2 * e);
                (leaving[Origin((2 * e) + 1)] ??= []).Add((2 * e) + 1);
            }
        }

        var next = new int[2 * alive.Length];
        Array.Fill(next, -1);
        foreach (var around in leaving)
        {
            if (around is null)
            {
                continue;
            }

            var order = Turned(around);
            for (var i = 0; i < order.Length; i++)
            {
                // Arriving by the twin of order[i], the next way to the right of it keeps the face on the left.
                next[order[i] ^ 1] = order[(i + order.Length - 1) % order.Length];
            }
        }

        return next;
    }

    // Tangents alone cannot order an arc and the line it runs into: compare where all are the same way along.
    private int[] Turned(List<int> around)
    {
        var order = around.ToArray();
        if (order.Length <= 2)
        {
            return order;
        }

        var way = double.PositiveInfinity;
        foreach (var h in order)
        {
            way = Math.Min(way, _network.SegmentOf(h >> 1).Length / 2);
        }

        var angles = new double[order.Length];
        for (var i = 0; i < order.Length; i++)
        {
            var segment = _network.SegmentOf(order[i] >> 1);
            segment = (order[i] & 1) == 0 ? segment : segment.Reversed;
            var v = segment.PointAt(way / segment.Length) - segment.Start;
            angles[i] = Math.Atan2(v.Y, v.X);
        }

        Array.Sort(angles, order);
        return order;
    }

    private void TraceFaces()
    {
        for (var start = 0; start < _next.Length; start++)
        {
            if (_next[start] < 0 || _faceOf[start] >= 0)
            {
                continue;
            }

            var face = _faceStart.Count;
            _faceStart.Add(start);
            for (var h = start; _faceOf[h] < 0; h = _next[h])
            {
                _faceOf[h] = face;
            }

            _faceArea.Add(PathOf(face).SignedAreaMm2);
        }
    }

    private int[] Components(bool[] alive)
    {
        var root = new int[_network.Nodes.Count];
        for (var i = 0; i < root.Length; i++)
        {
            root[i] = i;
        }

        for (var e = 0; e < alive.Length; e++)
        {
            if (alive[e])
            {
                var (a, b) = (Find(root, _network.Edges[e].A), Find(root, _network.Edges[e].B));
                root[Math.Max(a, b)] = Math.Min(a, b);
            }
        }

        for (var i = 0; i < root.Length; i++)
        {
            root[i] = Find(root, i);
        }

        return root;
    }

    private static int Find(int[] root, int i)
    {
        while (root[i] != i)
        {
            root[i] = root[root[i]];
            i = root[i];
        }

        return i;
    }
}
