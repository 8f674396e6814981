using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A run of the middle line of a narrow shape.</summary>
/// <param name="Points">In order; the first is also the last where it closes on itself.</param>
/// <param name="StartIsFree">True where it ends in the open, false at a fork.</param>
/// <param name="EndIsFree">The same of its other end.</param>
internal sealed record MiddleRun(List<Point2> Points, bool StartIsFree, bool EndIsFree)
{
    public bool IsClosed => Points.Count > 2 && Points[0] == Points[^1];
}

/// <summary>The middle lines of narrow shapes that bend, fork or close on themselves.</summary>
/// <remarks>
/// The chordal axis: the boundary is sampled, the samples triangulated, and the middles of the edges that run from one
/// side to the other joined up. Lakshman Prasad, "Morphological analysis of shapes", CNLS Newsletter 139, Los Alamos
/// National Laboratory, 1997. Between parallel sides it is their middle exactly. Branches into corners are pruned.
/// </remarks>
internal sealed class MiddleLines
{
    private const int MostSamples = 6000;

    // A line from the middle into a right-angled corner is 1.41 times as long as the middle is from the sides.
    private const double CornerOfDepth = 1.6;

    private readonly Region _shape;
    private readonly List<Point2> _nodes = [];
    private readonly List<List<int>> _joined = [];
    private readonly List<int> _next = [];
    private readonly double _stepMm;

    private MiddleLines(Region shape, double widestMm)
    {
        _shape = shape;
        var meanWidth = 2 * shape.AreaMm2 / shape.PerimeterMm;
        _stepMm = Math.Max(Math.Min(meanWidth, widestMm) / 3, shape.PerimeterMm / MostSamples);
        AddAxis(Sampled());
    }

    /// <summary>The middle lines of a shape; none when it has no length to speak of.</summary>
    /// <param name="shape">One island.</param>
    /// <param name="widestMm">What counts as narrow: branches no longer than this are corners, not arms.</param>
    public static List<MiddleRun> Of(Region shape, double widestMm)
    {
        var lines = new MiddleLines(shape, widestMm);
        var branches = lines.Branches();
        for (var pass = 0; pass < 8 && lines.Prune(branches, widestMm); pass++)
        {
            branches = lines.Branches();
        }

        for (var pass = 0; pass < branches.Count && lines.Contract(branches); pass++)
        {
            branches = lines.Branches();
        }

        return lines.Chain(branches);
    }

    // Uneven steps, up to a nanometre outside the boundary: samples of parallel sides or of one circle would make the
    // choice of triangles a matter of rounding. Outside, so that no sliver between three of one side counts as inside.
    // The numbers are the same every time.
    private List<Point2> Sampled()
    {
        var points = new List<Point2>();
        var state = 88172645463325252UL;
        foreach (var contour in _shape.Contours)
        {
            var first = points.Count;
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                var steps = Math.Max(1, (int)Math.Ceiling(s.Length / _stepMm));
                Add(s.Start, first);
                for (var k = 1; k < steps; k++)
                {
                    var at = (k + (0.4 * (Next() - 0.5))) / steps;
                    Add(s.PointAt(at) + (s.Chord.Unit.Left * (-1e-6 * Next())), first);
                }
            }

            for (var i = first; i < points.Count; i++)
            {
                _next.Add(i + 1 < points.Count ? i + 1 : first);
            }
        }

        return points;

        void Add(Point2 p, int first)
        {
            if (points.Count == first
                || (Point2.Distance(p, points[^1]) > _stepMm / 50 && Point2.Distance(p, points[first]) > _stepMm / 50))
            {
                points.Add(p);
            }
        }

        // Xorshift: George Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (14), 2003.
        double Next()
        {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            return (state >> 11) / (double)(1UL << 53);
        }
    }

    private void AddAxis(List<Point2> points)
    {
        if (points.Count < 3)
        {
            return;
        }

        var triangles = new Triangles(points);
        var isInside = new bool[triangles.Count];
        for (var t = 0; t < isInside.Length; t++)
        {
            var (a, b, c) = (triangles.Corner(t, 0), triangles.Corner(t, 1), triangles.Corner(t, 2));
            isInside[t] = a >= 0 && Math.Max(a, Math.Max(b, c)) < points.Count
                && (SideOf(a, b, c) is var side && side == 0 ? _shape.Contains(Middle(points[a], points[b], points[c])) : side > 0);
        }

        var middles = new Dictionary<(int, int), int>();
        for (var t = 0; t < isInside.Length; t++)
        {
            if (isInside[t])
            {
                AddTriangle(triangles, t, points, isInside, middles);
            }
        }
    }

    // A triangle with a piece of the boundary for a side lies to the left of it, that is inside, or to the right. (Its
    // middle would not tell: what an arc bulges out beyond its samples is inside the shape as well.)
    private int SideOf(int a, int b, int c)
    {
        foreach (var (u, v) in (ReadOnlySpan<(int, int)>)[(a, b), (b, c), (c, a)])
        {
            if (_next[u] == v)
            {
                return 1;
            }

            if (_next[v] == u)
            {
                return -1;
            }
        }

        return 0;
    }

    private void AddTriangle(Triangles triangles, int t, List<Point2> points, bool[] isInside, Dictionary<(int, int), int> middles)
    {
        Span<int> open = stackalloc int[3];
        var count = 0;
        for (var k = 0; k < 3; k++)
        {
            var beyond = triangles.Across(t, k);
            if (beyond >= 0 && isInside[beyond])
            {
                var (u, v) = (triangles.Corner(t, (k + 1) % 3), triangles.Corner(t, (k + 2) % 3));
                var key = u < v ? (u, v) : (v, u);
                if (!middles.TryGetValue(key, out var node))
                {
                    middles.Add(key, node = AddNode(Point2.Lerp(points[u], points[v], 0.5)));
                }

                open[count++] = node;
                open[2] = count == 1 ? k : open[2];
            }
        }

        if (count == 2)
        {
            Join(open[0], open[1]);
        }
        else if (count == 1)
        {
            Join(open[0], AddNode(points[triangles.Corner(t, open[2])]));
        }
        else if (count == 3)
        {
            var fork = AddNode(Heart(points[triangles.Corner(t, 0)], points[triangles.Corner(t, 1)], points[triangles.Corner(t, 2)]));
            foreach (var node in open)
            {
                Join(fork, node);
            }
        }
    }

    private int AddNode(Point2 p)
    {
        _nodes.Add(p);
        _joined.Add([]);
        return _nodes.Count - 1;
    }

    private void Join(int a, int b)
    {
        _joined[a].Add(b);
        _joined[b].Add(a);
    }

    private static Point2 Middle(Point2 a, Point2 b, Point2 c) => new((a.X + b.X + c.X) / 3, (a.Y + b.Y + c.Y) / 3);

    // As far from all three corners where that lies inside the triangle.
    private static Point2 Heart(Point2 a, Point2 b, Point2 c)
    {
        var (u, v) = (b - a, c - a);
        if (Vector2.Dot(u, v) <= 0 || Vector2.Dot(a - b, c - b) <= 0 || Vector2.Dot(a - c, b - c) <= 0)
        {
            return Middle(a, b, c);
        }

        var (uu, vv, d) = (Vector2.Dot(u, u), Vector2.Dot(v, v), 2 * Vector2.Cross(u, v));
        return new Point2(a.X + (((v.Y * uu) - (u.Y * vv)) / d), a.Y + (((u.X * vv) - (v.X * uu)) / d));
    }

    // Ways between nodes that are not passed through; a ring without any starts where it may.
    private List<List<int>> Branches()
    {
        var branches = new List<List<int>>();
        var done = new HashSet<(int, int)>();
        for (var node = 0; node < _nodes.Count; node++)
        {
            if (_joined[node].Count is not 0 and not 2)
            {
                foreach (var next in _joined[node])
                {
                    Walk(node, next);
                }
            }
        }

        for (var node = 0; node < _nodes.Count; node++)
        {
            if (_joined[node].Count == 2)
            {
                Walk(node, _joined[node][0]);
            }
        }

        return branches;

        void Walk(int from, int to)
        {
            if (done.Contains((from, to)))
            {
                return;
            }

            var branch = new List<int> { from };
            var (start, before, here) = (from, from, to);
            done.Add((from, to));
            done.Add((to, from));
            while (true)
            {
                branch.Add(here);
                if (_joined[here].Count != 2 || here == start)
                {
                    break;
                }

                var next = _joined[here][0] == before ? _joined[here][1] : _joined[here][0];
                (before, here) = (here, next);
                done.Add((before, here));
                done.Add((here, before));
            }

            branches.Add(branch);
        }
    }

    // All short ones at once: of the two that run into the corners of an end, neither may take the other for the middle.
    private bool Prune(List<List<int>> branches, double widestMm)
    {
        var pruned = false;
        foreach (var branch in branches)
        {
            var (from, to) = _joined[branch[0]].Count == 1 ? (branch[^1], branch[0]) : (branch[0], branch[^1]);
            if (_joined[to].Count != 1 || _joined[from].Count < 3)
            {
                continue;
            }

            var depth = RegionDistance.ToBoundary(_shape, _nodes[from]).DistanceMm;
            if (LengthOf(branch) > Math.Max((CornerOfDepth * depth) + _stepMm, widestMm))
            {
                continue;
            }

            pruned = true;
            for (var i = 1; i < branch.Count; i++)
            {
                _joined[branch[i - 1]].Remove(branch[i]);
                _joined[branch[i]].Remove(branch[i - 1]);
            }
        }

        return pruned;
    }

    // Where two lines cross, the triangles make two forks a short way apart: they are one.
    private bool Contract(List<List<int>> branches)
    {
        foreach (var branch in branches)
        {
            var (a, b) = (branch[0], branch[^1]);
            if (a == b || _joined[a].Count < 3 || _joined[b].Count < 3
                || LengthOf(branch) > RegionDistance.ToBoundary(_shape, Point2.Lerp(_nodes[a], _nodes[b], 0.5)).DistanceMm)
            {
                continue;
            }

            for (var i = 1; i < branch.Count; i++)
            {
                _joined[branch[i - 1]].Remove(branch[i]);
                _joined[branch[i]].Remove(branch[i - 1]);
            }

            _nodes[a] = Point2.Lerp(_nodes[a], _nodes[b], 0.5);
            foreach (var other in _joined[b].ToArray())
            {
                _joined[other].Remove(b);
                Join(a, other);
            }

            _joined[b].Clear();
            return true;
        }

        return false;
    }

    private double LengthOf(List<int> branch)
    {
        var sum = 0.0;
        for (var i = 1; i < branch.Count; i++)
        {
            sum += Point2.Distance(_nodes[branch[i - 1]], _nodes[branch[i]]);
        }

        return sum;
    }

    // At a fork the two branches that go on most nearly straight are one run; what is left over starts or ends there.
    private List<MiddleRun> Chain(List<List<int>> branches)
    {
        var partner = Partners(branches);
        var runs = new List<MiddleRun>();
        var isUsed = new bool[branches.Count];
        // Those with an end of their own first, then rings of partners.
        foreach (var needsEnd in (ReadOnlySpan<bool>)[true, false])
        {
            for (var b = 0; b < branches.Count; b++)
            {
                var side = partner.ContainsKey((b, 0)) ? 1 : 0;
                if (!isUsed[b] && (!needsEnd || !partner.ContainsKey((b, side))))
                {
                    runs.Add(Follow(b, side, branches, partner, isUsed));
                }
            }
        }

        return runs;
    }

    private MiddleRun Follow(int b, int side, List<List<int>> branches, Dictionary<(int, int), (int Branch, int Side)> partner, bool[] isUsed)
    {
        var points = new List<Point2>();
        var first = branches[b][side == 0 ? 0 : ^1];
        int last;
        while (true)
        {
            isUsed[b] = true;
            var branch = branches[b];
            for (var i = points.Count == 0 ? 0 : 1; i < branch.Count; i++)
            {
                points.Add(_nodes[branch[side == 0 ? i : branch.Count - 1 - i]]);
            }

            last = branch[side == 0 ? ^1 : 0];
            if (!partner.TryGetValue((b, 1 - side), out var next) || isUsed[next.Branch])
            {
                break;
            }

            (b, side) = next;
        }

        return new MiddleRun(points, _joined[first].Count == 1, _joined[last].Count == 1);
    }

    private Dictionary<(int, int), (int Branch, int Side)> Partners(List<List<int>> branches)
    {
        var at = new SortedDictionary<int, List<(int Branch, int Side)>>();
        for (var b = 0; b < branches.Count; b++)
        {
            for (var side = 0; side < 2; side++)
            {
                var node = branches[b][side == 0 ? 0 : ^1];
                if (_joined[node].Count > 2)
                {
                    if (!at.TryGetValue(node, out var list))
                    {
                        at.Add(node, list = []);
                    }

                    list.Add((b, side));
                }
            }
        }

        var partner = new Dictionary<(int, int), (int Branch, int Side)>();
        foreach (var ends in at.Values)
        {
            var pairs = new List<(double Straight, int P, int Q)>();
            for (var p = 0; p < ends.Count; p++)
            {
                for (var q = p + 1; q < ends.Count; q++)
                {
                    pairs.Add((Vector2.Dot(Heading(branches, ends[p]), Heading(branches, ends[q])), p, q));
                }
            }

            pairs.Sort();
            foreach (var (straight, p, q) in pairs)
            {
                // Less than 60° off the straight way.
                if (straight < -0.5 && !partner.ContainsKey(ends[p]) && !partner.ContainsKey(ends[q]))
                {
                    partner[ends[p]] = ends[q];
                    partner[ends[q]] = ends[p];
                }
            }
        }

        return partner;
    }

    private Vector2 Heading(List<List<int>> branches, (int Branch, int Side) end)
    {
        var branch = branches[end.Branch];
        var ahead = Math.Min(branch.Count - 1, 8);
        return (_nodes[branch[end.Side == 0 ? ahead : branch.Count - 1 - ahead]] - _nodes[branch[end.Side == 0 ? 0 : ^1]]).Unit;
    }
}
