using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A Delaunay triangulation, built point by point.</summary>
/// <remarks>
/// Adrian Bowyer, "Computing Dirichlet tessellations", and David Watson, "Computing the n-dimensional Delaunay
/// tessellation", both The Computer Journal 24 (2), 1981. Rounding may make a triangle's circle count as empty that is
/// not, never make triangles overlap: what a new point replaces is grown until the point sees all of its rim.
/// </remarks>
internal sealed class Triangles
{
    // Three corners, counter-clockwise, and across from each the neighbouring triangle; -1 beyond the last.
    private readonly List<int> _corners = [];
    private readonly List<int> _across = [];
    private readonly List<Point2> _points;
    private readonly List<int> _cavity = [];
    private readonly HashSet<int> _isInCavity = [];
    private readonly Stack<int> _free = new();
    private int _last;

    /// <summary>Triangulates points; two in one place are not allowed.</summary>
    public Triangles(IReadOnlyList<Point2> points)
    {
        var box = Bounds2.Empty;
        foreach (var p in points)
        {
            box = Bounds2.Union(box, new Bounds2(p.X, p.Y, p.X, p.Y));
        }

        var (middle, far) = (box.Center, 20 * Math.Max(Math.Max(box.Width, box.Height), 1e-3));
        _points = [.. points, new(middle.X - far, middle.Y - far), new(middle.X + far, middle.Y - far), new(middle.X, middle.Y + far)];
        PointCount = points.Count;
        _corners.AddRange([PointCount, PointCount + 1, PointCount + 2]);
        _across.AddRange([-1, -1, -1]);
        for (var i = 0; i < PointCount; i++)
        {
            Insert(i);
        }
    }

    /// <summary>Points from this index on stand far outside and were not given.</summary>
    public int PointCount { get; }

    public int Count => _corners.Count / 3;

    /// <summary>A corner's point, or -1 for a triangle that is no more.</summary>
    public int Corner(int triangle, int corner) => _corners[(3 * triangle) + corner];

    /// <summary>The triangle across from a corner, or -1.</summary>
    public int Across(int triangle, int corner) => _across[(3 * triangle) + corner];

    private static double Turn(Point2 a, Point2 b, Point2 c) => Vector2.Cross(b - a, c - a);

    private void Insert(int index)
    {
        var p = _points[index];
        FindCavity(Locate(p), p);
        var rim = new Dictionary<int, (int To, int Beyond)>();
        foreach (var t in _cavity)
        {
            for (var k = 0; k < 3; k++)
            {
                var beyond = Across(t, k);
                if (beyond < 0 || !_isInCavity.Contains(beyond))
                {
                    rim[Corner(t, (k + 1) % 3)] = (Corner(t, (k + 2) % 3), beyond);
                }
            }
        }

        foreach (var t in _cavity)
        {
            _corners[3 * t] = -1;
            _free.Push(t);
        }

        // From, to and the new point: across from "from" lies the next triangle round the rim, from "to" the one before.
        var made = new Dictionary<int, int>(rim.Count);
        foreach (var (from, (to, beyond)) in rim)
        {
            var t = Take();
            made[from] = t;
            (_corners[3 * t], _corners[(3 * t) + 1], _corners[(3 * t) + 2]) = (from, to, index);
            _across[(3 * t) + 2] = beyond;
            if (beyond >= 0)
            {
                for (var k = 0; k < 3; k++)
                {
                    if (Corner(beyond, (k + 1) % 3) == to && Corner(beyond, (k + 2) % 3) == from)
                    {
                        _across[(3 * beyond) + k] = t;
                    }
                }
            }
        }

        foreach (var (from, t) in made)
        {
            var next = made[rim[from].To];
            _across[3 * t] = next;
            _across[(3 * next) + 1] = t;
            _last = t;
        }
    }

    private int Take()
    {
        if (_free.TryPop(out var t))
        {
            return t;
        }

        _corners.AddRange([0, 0, 0]);
        _across.AddRange([-1, -1, -1]);
        return Count - 1;
    }

    private void FindCavity(int start, Point2 p)
    {
        _cavity.Clear();
        _isInCavity.Clear();
        Add(start);
        for (var i = 0; i < _cavity.Count; i++)
        {
            for (var k = 0; k < 3; k++)
            {
                var beyond = Across(_cavity[i], k);
                if (beyond >= 0 && !_isInCavity.Contains(beyond) && IsInCircle(beyond, p))
                {
                    Add(beyond);
                }
            }
        }

        for (var i = 0; i < _cavity.Count; i++)
        {
            var t = _cavity[i];
            for (var k = 0; k < 3; k++)
            {
                var beyond = Across(t, k);
                if (beyond >= 0 && !_isInCavity.Contains(beyond)
                    && Turn(_points[Corner(t, (k + 1) % 3)], _points[Corner(t, (k + 2) % 3)], p) <= 0)
                {
                    Add(beyond);
                    i = -1;
                    break;
                }
            }
        }

        void Add(int t)
        {
            _cavity.Add(t);
            _isInCavity.Add(t);
        }
    }

    // Walks towards the point; points come in the order of a boundary, so the way is short.
    private int Locate(Point2 p)
    {
        var t = _last;
        for (var steps = 0; steps < Count + 3; steps++)
        {
            var next = -1;
            for (var k = 0; k < 3 && next < 0; k++)
            {
                if (Turn(_points[Corner(t, (k + 1) % 3)], _points[Corner(t, (k + 2) % 3)], p) < 0)
                {
                    next = Across(t, k);
                }
            }

            if (next < 0)
            {
                return t;
            }

            t = next;
        }

        return t;
    }

    private bool IsInCircle(int t, Point2 p)
    {
        var (a, b, c) = (_points[Corner(t, 0)] - p, _points[Corner(t, 1)] - p, _points[Corner(t, 2)] - p);
        return (Vector2.Dot(a, a) * Vector2.Cross(b, c)) + (Vector2.Dot(b, b) * Vector2.Cross(c, a)) + (Vector2.Dot(c, c) * Vector2.Cross(a, b)) > 0;
    }
}
