using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Finds segments near a box without looking at all of them: a hash of square cells.</summary>
/// <remarks>A long segment is entered piecewise, so that a diagonal does not fill the square it spans.</remarks>
internal sealed class SegmentGrid
{
    private const int MaxHalvings = 12;

    private readonly Dictionary<(int X, int Y), List<int>> _cells = [];
    private readonly List<int> _seenAt = [];
    private readonly double _cellMm;
    private int _query;

    /// <summary>An empty grid.</summary>
    /// <param name="cellMm">Side of a cell, millimetres.</param>
    public SegmentGrid(double cellMm)
    {
        _cellMm = cellMm;
    }

    /// <summary>A cell side that suits segments lying in a box.</summary>
    public static double CellFor(Bounds2 box, int count)
    {
        var side = Math.Max(box.Width, box.Height);
        return Math.Max(side / Math.Clamp(Math.Sqrt(count) * 2, 8, 2000), 1e-3);
    }

    /// <summary>Enters a segment under a number; numbers are handed out by the caller, from 0 and without gaps.</summary>
    public void Add(int index, Segment segment)
    {
        while (_seenAt.Count <= index)
        {
            _seenAt.Add(0);
        }

        Add(index, segment, MaxHalvings);
    }

    /// <summary>Appends the numbers of segments whose cells the box touches, each once, ascending.</summary>
    public void Near(Bounds2 box, List<int> found)
    {
        found.Clear();
        _query++;
        var (x0, x1) = (Cell(box.MinX), Cell(box.MaxX));
        var (y0, y1) = (Cell(box.MinY), Cell(box.MaxY));
        for (var x = x0; x <= x1; x++)
        {
            for (var y = y0; y <= y1; y++)
            {
                if (_cells.TryGetValue((x, y), out var list))
                {
                    Collect(list, found);
                }
            }
        }

        found.Sort();
    }

    /// <summary>Appends the numbers of segments that share a cell with a segment, each once, ascending.</summary>
    public void Near(Segment segment, List<int> found)
    {
        found.Clear();
        _query++;
        Walk(segment, MaxHalvings, key =>
        {
            if (_cells.TryGetValue(key, out var list))
            {
                Collect(list, found);
            }
        });
        found.Sort();
    }

    private void Collect(List<int> list, List<int> found)
    {
        foreach (var index in list)
        {
            if (_seenAt[index] != _query)
            {
                _seenAt[index] = _query;
                found.Add(index);
            }
        }
    }

    private void Add(int index, Segment segment, int halvings) => Walk(segment, halvings, key =>
    {
        if (!_cells.TryGetValue(key, out var list))
        {
            _cells.Add(key, list = []);
        }

        if (list.Count == 0 || list[^1] != index)
        {
            list.Add(index);
        }
    });

    // The box is grown by a hair so that what touches a cell's edge is found from both sides.
    private void Walk(Segment segment, int halvings, Action<(int X, int Y)> visit)
    {
        var box = segment.Bounds.Inflate(_cellMm * 0.02);
        var (x0, x1) = (Cell(box.MinX), Cell(box.MaxX));
        var (y0, y1) = (Cell(box.MinY), Cell(box.MaxY));
        if (halvings > 0 && x1 > x0 && y1 > y0 && (x1 - x0 + 1L) * (y1 - y0 + 1L) > 6)
        {
            var middle = segment.Middle;
            var half = segment.IsLine ? 0 : Math.Tan(segment.SweepRad / 8);
            Walk(new Segment(segment.Start, middle, half), halvings - 1, visit);
            Walk(new Segment(middle, segment.End, half), halvings - 1, visit);
            return;
        }

        for (var x = x0; x <= x1; x++)
        {
            for (var y = y0; y <= y1; y++)
            {
                visit((x, y));
            }
        }
    }

    private int Cell(double mm) => (int)Math.Clamp(Math.Floor(mm / _cellMm), int.MinValue, int.MaxValue);
}
