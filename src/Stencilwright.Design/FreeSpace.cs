using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Finds room for marks on a sheet that already holds openings: a raster of taken cells with running sums.</summary>
/// <remarks>Searches cost one look-up a cell whatever the number of openings. Cells are counted as taken when touched.</remarks>
internal sealed class FreeSpace
{
    private const double FinestCellMm = 0.5;
    private const int MostCells = 400;

    private readonly Bounds2 _room;
    private readonly double _cell;
    private readonly int _columns;
    private readonly int _rows;
    private readonly bool[] _taken;
    private readonly int[] _sums;
    private bool _stale = true;

    public FreeSpace(Bounds2 room)
    {
        _room = room;
        _cell = Math.Max(FinestCellMm, Math.Max(room.Width, room.Height) / MostCells);
        _columns = Math.Max(1, (int)(room.Width / _cell));
        _rows = Math.Max(1, (int)(room.Height / _cell));
        _taken = new bool[_columns * _rows];
        _sums = new int[(_columns + 1) * (_rows + 1)];
    }

    /// <summary>Marks a box as taken.</summary>
    public void Take(Bounds2 box)
    {
        if (box.IsEmpty || !box.Overlaps(_room))
        {
            return;
        }

        var (x0, x1) = (Column(box.MinX), Column(box.MaxX));
        var (y0, y1) = (Row(box.MinY), Row(box.MaxY));
        for (var y = y0; y <= y1; y++)
        {
            Array.Fill(_taken, true, (y * _columns) + x0, x1 - x0 + 1);
        }

        _stale = true;
    }

    /// <summary>True when a box lies in the room and touches nothing taken.</summary>
    public bool IsFree(Bounds2 box)
    {
        if (!_room.Contains(box))
        {
            return false;
        }

        Refresh();
        return Count(Column(box.MinX), Row(box.MinY), Column(box.MaxX), Row(box.MaxY)) == 0;
    }

    /// <summary>The free place for a box of a size whose middle is nearest to a point; null when there is none.</summary>
    public Bounds2? FindNear(double widthMm, double heightMm, Point2 near)
    {
        Refresh();
        var (w, h) = ((int)Math.Ceiling(widthMm / _cell), (int)Math.Ceiling(heightMm / _cell));
        var (bestX, bestY, best) = (-1, -1, double.PositiveInfinity);
        for (var y = 0; y + h <= _rows; y++)
        {
            var dy = _room.MinY + ((y + (h / 2.0)) * _cell) - near.Y;
            for (var x = 0; x + w <= _columns; x++)
            {
                var dx = _room.MinX + ((x + (w / 2.0)) * _cell) - near.X;
                var distance = (dx * dx) + (dy * dy);
                if (distance < best && Count(x, y, x + w - 1, y + h - 1) == 0)
                {
                    (bestX, bestY, best) = (x, y, distance);
                }
            }
        }

        if (bestX < 0)
        {
            return null;
        }

        var center = new Point2(_room.MinX + ((bestX + (w / 2.0)) * _cell), _room.MinY + ((bestY + (h / 2.0)) * _cell));
        return new Bounds2(
            center.X - (widthMm / 2), center.Y - (heightMm / 2), center.X + (widthMm / 2), center.Y + (heightMm / 2));
    }

    private int Column(double x) => Math.Clamp((int)Math.Floor((x - _room.MinX) / _cell), 0, _columns - 1);

    private int Row(double y) => Math.Clamp((int)Math.Floor((y - _room.MinY) / _cell), 0, _rows - 1);

    private int Count(int x0, int y0, int x1, int y1)
    {
        var stride = _columns + 1;
        return _sums[((y1 + 1) * stride) + x1 + 1] - _sums[(y0 * stride) + x1 + 1]
            - _sums[((y1 + 1) * stride) + x0] + _sums[(y0 * stride) + x0];
    }

    private void Refresh()
    {
        if (!_stale)
        {
            return;
        }

        var stride = _columns + 1;
        for (var y = 0; y < _rows; y++)
        {
            var row = 0;
            for (var x = 0; x < _columns; x++)
            {
                row += _taken[(y * _columns) + x] ? 1 : 0;
                _sums[((y + 1) * stride) + x + 1] = _sums[(y * stride) + x + 1] + row;
            }
        }

        _stale = false;
    }
}
