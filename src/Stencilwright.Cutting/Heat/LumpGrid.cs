using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Heat;

/// <summary>Lumps in square cells, by their middles.</summary>
internal sealed class LumpGrid
{
    private const int MostCells = 1 << 20;

    private readonly HeatLump[] _lumps;
    private readonly double _reach;
    private readonly double _minX;
    private readonly double _minY;
    private readonly double _cell;
    private readonly double _largestRadius;
    private readonly int _columns;
    private readonly int _rows;
    private readonly int[] _starts;
    private readonly int[] _members;

    public LumpGrid(HeatLump[] lumps, double reachMm)
    {
        (_lumps, _reach) = (lumps, reachMm);
        var box = Bounds2.Empty;
        foreach (ref readonly var lump in lumps.AsSpan())
        {
            box = box.Include(lump.Middle);
            _largestRadius = Math.Max(_largestRadius, lump.RadiusMm);
        }

        (_minX, _minY) = box.IsEmpty ? (0, 0) : (box.MinX, box.MinY);
        _cell = Math.Max(Math.Min(reachMm, 2), Math.Sqrt(box.Width * box.Height / MostCells) + (Math.Max(box.Width, box.Height) / MostCells));
        _columns = (int)(box.Width / _cell) + 1;
        _rows = (int)(box.Height / _cell) + 1;
        _starts = new int[(_columns * _rows) + 1];
        foreach (ref readonly var lump in lumps.AsSpan())
        {
            _starts[CellOf(lump.Middle) + 1]++;
        }

        for (var i = 1; i < _starts.Length; i++)
        {
            _starts[i] += _starts[i - 1];
        }

        _members = new int[lumps.Length];
        var fill = new int[_columns * _rows];
        for (var i = 0; i < lumps.Length; i++)
        {
            var cell = CellOf(lumps[i].Middle);
            _members[_starts[cell] + fill[cell]++] = i;
        }
    }

    /// <summary>Lumps that reach to within the reach of a point, in the order of time.</summary>
    public void Gather(Point2 at, List<int> near)
    {
        near.Clear();
        var reach = _reach + _largestRadius;
        var (x0, x1) = (Cell((at.X - reach - _minX) / _cell, _columns), Cell((at.X + reach - _minX) / _cell, _columns));
        var (y0, y1) = (Cell((at.Y - reach - _minY) / _cell, _rows), Cell((at.Y + reach - _minY) / _cell, _rows));
        for (var y = y0; y <= y1; y++)
        {
            for (var i = _starts[(y * _columns) + x0]; i < _starts[(y * _columns) + x1 + 1]; i++)
            {
                ref readonly var lump = ref _lumps[_members[i]];
                if (Point2.Distance(lump.Middle, at) - lump.RadiusMm <= _reach)
                {
                    near.Add(_members[i]);
                }
            }
        }

        near.Sort();
    }

    private static int Cell(double at, int count) => (int)Math.Clamp(at, 0, count - 1);

    private int CellOf(Point2 p) => (Cell((p.Y - _minY) / _cell, _rows) * _columns) + Cell((p.X - _minX) / _cell, _columns);
}
