namespace Stencilwright.Cutting;

/// <summary>Points in cells, searched in widening rings.</summary>
internal sealed class PointGrid
{
    private readonly double[] _x;
    private readonly double[] _y;
    private readonly int[] _starts;
    private readonly int[] _members;
    private readonly int[] _fill;
    private readonly double _minX;
    private readonly double _minY;
    private readonly double _cell;
    private readonly int _columns;
    private readonly int _rows;

    public PointGrid(double[] x, double[] y)
    {
        (_x, _y) = (x, y);
        var (maxX, maxY) = (x.Max(), y.Max());
        (_minX, _minY) = (x.Min(), y.Min());
        var (width, height) = (Math.Max(maxX - _minX, 1e-6), Math.Max(maxY - _minY, 1e-6));

        // About two points a cell, and no more cells along a side than there are points.
        _cell = Math.Max(Math.Sqrt(2 * width * height / x.Length), Math.Max(width, height) / (x.Length + 1));
        _columns = (int)(width / _cell) + 1;
        _rows = (int)(height / _cell) + 1;
        _starts = new int[(_columns * _rows) + 1];
        for (var i = 0; i < x.Length; i++)
        {
            _starts[CellOf(i) + 1]++;
        }

        for (var i = 1; i < _starts.Length; i++)
        {
            _starts[i] += _starts[i - 1];
        }

        _members = new int[x.Length];
        _fill = new int[_columns * _rows];
        for (var i = 0; i < x.Length; i++)
        {
            var cell = CellOf(i);
            _members[_starts[cell] + _fill[cell]++] = i;
        }
    }

    /// <summary>The nearest few of every point, nearest first; -1 fills up.</summary>
    public int[] Neighbours(int count)
    {
        var result = new int[_x.Length * count];
        Array.Fill(result, -1);
        Span<double> distances = stackalloc double[count];
        for (var i = 0; i < _x.Length; i++)
        {
            FindNeighbours(i, result.AsSpan(i * count, count), distances);
        }

        return result;
    }

    /// <summary>The nearest point that was not removed; -1 if none is left.</summary>
    public int NearestLeft(double fromX, double fromY)
    {
        var (cx, cy) = (Column(fromX), Row(fromY));
        var (best, nearest) = (double.PositiveInfinity, -1);
        var last = Math.Max(_columns, _rows);
        for (var ring = 0; ring <= last; ring++)
        {
            var reach = Math.Max(0, ring - 1) * _cell;
            if (nearest >= 0 && reach * reach > best)
            {
                break;
            }

            var (y0, y1) = (Math.Max(0, cy - ring), Math.Min(_rows - 1, cy + ring));
            for (var y = y0; y <= y1; y++)
            {
                var isEdge = y == cy - ring || y == cy + ring;
                var step = isEdge || ring == 0 ? 1 : 2 * ring;
                for (var x = cx - ring; x <= cx + ring; x += step)
                {
                    if (x >= 0 && x < _columns)
                    {
                        SearchCell((y * _columns) + x, fromX, fromY, ref best, ref nearest);
                    }
                }
            }
        }

        return nearest;
    }

    private void SearchCell(int cell, double fromX, double fromY, ref double best, ref int nearest)
    {
        foreach (var i in _members.AsSpan(_starts[cell], _fill[cell]))
        {
            var (dx, dy) = (_x[i] - fromX, _y[i] - fromY);
            var d = (dx * dx) + (dy * dy);
            if (d < best || (d == best && i < nearest))
            {
                (best, nearest) = (d, i);
            }
        }
    }

    private void FindNeighbours(int i, Span<int> found, Span<double> distances)
    {
        var (cx, cy) = (Column(_x[i]), Row(_y[i]));
        var have = 0;
        var last = Math.Max(_columns, _rows);
        for (var ring = 0; ring <= last; ring++)
        {
            var reach = Math.Max(0, ring - 1) * _cell;
            if (have == found.Length && reach * reach > distances[^1])
            {
                break;
            }

            for (var y = Math.Max(0, cy - ring); y <= Math.Min(_rows - 1, cy + ring); y++)
            {
                var isEdge = y == cy - ring || y == cy + ring;
                var step = isEdge || ring == 0 ? 1 : 2 * ring;
                for (var x = cx - ring; x <= cx + ring; x += step)
                {
                    if (x >= 0 && x < _columns)
                    {
                        Collect((y * _columns) + x, i, found, distances, ref have);
                    }
                }
            }
        }
    }

    private void Collect(int cell, int i, Span<int> found, Span<double> distances, ref int have)
    {
        foreach (var j in _members.AsSpan(_starts[cell], _fill[cell]))
        {
            if (j == i)
            {
                continue;
            }

            var (dx, dy) = (_x[j] - _x[i], _y[j] - _y[i]);
            var d = (dx * dx) + (dy * dy);
            if (have == found.Length && d >= distances[have - 1])
            {
                continue;
            }

            var at = have < found.Length ? have++ : have - 1;
            while (at > 0 && distances[at - 1] > d)
            {
                (distances[at], found[at]) = (distances[at - 1], found[at - 1]);
                at--;
            }

            (distances[at], found[at]) = (d, j);
        }
    }

    /// <summary>Leaves a point out of <see cref="NearestLeft"/>.</summary>
    public void Remove(int i)
    {
        var cell = CellOf(i);
        var members = _members.AsSpan(_starts[cell], _fill[cell]);
        members[members.IndexOf(i)] = members[^1];
        _fill[cell]--;
    }

    private int CellOf(int i) => (Row(_y[i]) * _columns) + Column(_x[i]);

    private int Column(double x) => Math.Clamp((int)((x - _minX) / _cell), 0, _columns - 1);

    private int Row(double y) => Math.Clamp((int)((y - _minY) / _cell), 0, _rows - 1);
}
