using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>The cells of a pad and the pane due to each, in the pad's own frame; cells are counted row by row.</summary>
internal sealed class PaneGrid
{
    private readonly Axis _x;
    private readonly Axis _y;

    public PaneGrid(double hx, double hy, int columns, int rows, PaneWish wish)
    {
        (Columns, Rows) = (columns, rows);
        AreaMm2 = 4 * hx * hy;
        var root = Math.Sqrt(wish.CoveragePercent / 100);
        _x = new(hx, columns, root, wish.WebMm, wish.Edges);
        _y = new(hy, rows, root, wish.WebMm, wish.Edges);
    }

    public int Columns { get; }

    public int Rows { get; }

    public int Count => Columns * Rows;

    public double AreaMm2 { get; }

    /// <summary>True when the panes due are wide enough to print.</summary>
    public bool Holds(double leastAreaOverPerimeterMm) =>
        _x.Side > 0 && _y.Side > 0 && _x.Side * _y.Side >= leastAreaOverPerimeterMm * 2 * (_x.Side + _y.Side);

    /// <summary>The pane due, its area grown by a factor as far as the webs let it.</summary>
    public Bounds2 Due(int i, double factor)
    {
        var room = Room(i);
        var (cx, cy) = (_x.Middle(i % Columns), _y.Middle(i / Columns));
        var root = Math.Sqrt(factor);
        var (w, h) = (Math.Max(0, _x.Side * root) / 2, Math.Max(0, _y.Side * root) / 2);
        return new(Math.Max(room.MinX, cx - w), Math.Max(room.MinY, cy - h), Math.Min(room.MaxX, cx + w), Math.Min(room.MaxY, cy + h));
    }

    /// <summary>Where a cell's pane may lie: half a web from its neighbours' rooms.</summary>
    public Bounds2 Room(int i)
    {
        var (x0, x1) = _x.Room(i % Columns);
        var (y0, y1) = _y.Room(i / Columns);
        return new(x0, y0, x1, y1);
    }

    /// <summary>The share of the pad that a cell is; all cells cover it once.</summary>
    public Bounds2 Cell(int i)
    {
        var (x0, x1) = _x.Cell(i % Columns);
        var (y0, y1) = _y.Cell(i / Columns);
        return new(x0, y0, x1, y1);
    }

    private readonly struct Axis
    {
        private readonly double _half;
        private readonly int _count;
        private readonly double _web;
        private readonly double _pitch;

        public Axis(double half, int count, double root, double web, PaneEdges edges)
        {
            (_half, _count, _web) = (half, count, web);
            var size = 2 * half;
            if (edges == PaneEdges.Flush && count > 1)
            {
                // n panes of P·√c / n and n - 1 gaps fill the side; the gaps are no narrower than the web.
                var gap = Math.Max(web, size * (1 - root) / (count - 1));
                Side = (size - ((count - 1) * gap)) / count;
                _pitch = Side + gap;
                return;
            }

            _pitch = size / count;
            Side = Math.Min(_pitch * root, count > 1 ? _pitch - web : size);
        }

        public double Side { get; }

        public double Middle(int k) => (k - ((_count - 1) / 2.0)) * _pitch;

        public (double From, double To) Cell(int k) => (
            k == 0 ? -_half : Middle(k) - (_pitch / 2),
            k == _count - 1 ? _half : Middle(k) + (_pitch / 2));

        public (double From, double To) Room(int k)
        {
            var (from, to) = Cell(k);
            return (k == 0 ? from : from + (_web / 2), k == _count - 1 ? to : to - (_web / 2));
        }
    }
}
