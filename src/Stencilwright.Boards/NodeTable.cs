using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Ends of segments that are the same point within a reach of their own, found by hashing.</summary>
/// <remarks>
/// A node stays where its first point was, so that exact input comes back exact and chains of short segments do not
/// run together: each point joins a node that is near, never a neighbour of a neighbour. Who asks in an order that
/// comes of the points themselves gets nodes that do not depend on how a file orders them.
/// </remarks>
internal sealed class NodeTable(double cellMm)
{
    private readonly Dictionary<(long X, long Y), List<int>> _cells = [];
    private readonly List<Point2> _points = [];
    private readonly List<double> _reach = [];

    public int Count => _points.Count;

    public Point2 this[int node] => _points[node];

    /// <summary>How far a node may be from something and still be it, millimetres.</summary>
    public double ReachOf(int node) => _reach[node];

    /// <summary>The nearest node within both reaches of the point, or a new one.</summary>
    public int At(Point2 p, double reachMm)
    {
        var best = -1;
        var bestDistance = double.PositiveInfinity;
        var (cx, cy) = Cell(p);
        for (var x = cx - 1; x <= cx + 1; x++)
        {
            for (var y = cy - 1; y <= cy + 1; y++)
            {
                if (!_cells.TryGetValue((x, y), out var list))
                {
                    continue;
                }

                foreach (var node in list)
                {
                    var distance = Point2.Distance(p, _points[node]);
                    if (distance <= Math.Min(reachMm, _reach[node]) && distance < bestDistance)
                    {
                        (best, bestDistance) = (node, distance);
                    }
                }
            }
        }

        if (best >= 0)
        {
            _reach[best] = Math.Min(_reach[best], reachMm);
            return best;
        }

        return Add(p, reachMm);
    }

    /// <summary>Appends the nodes within a distance of a point, nearest last to none: in order of number.</summary>
    public void Within(Point2 p, double distanceMm, List<int> found)
    {
        found.Clear();
        var (x0, y0) = Cell(new(p.X - distanceMm, p.Y - distanceMm));
        var (x1, y1) = Cell(new(p.X + distanceMm, p.Y + distanceMm));
        for (var x = x0; x <= x1; x++)
        {
            for (var y = y0; y <= y1; y++)
            {
                if (_cells.TryGetValue((x, y), out var list))
                {
                    foreach (var node in list)
                    {
                        if (Point2.Distance(p, _points[node]) <= distanceMm)
                        {
                            found.Add(node);
                        }
                    }
                }
            }
        }

        found.Sort();
    }

    private int Add(Point2 p, double reachMm)
    {
        _points.Add(p);
        _reach.Add(reachMm);
        var key = Cell(p);
        if (!_cells.TryGetValue(key, out var list))
        {
            _cells.Add(key, list = []);
        }

        list.Add(_points.Count - 1);
        return _points.Count - 1;
    }

    private (long X, long Y) Cell(Point2 p) => ((long)Math.Floor(p.X / cellMm), (long)Math.Floor(p.Y / cellMm));
}
