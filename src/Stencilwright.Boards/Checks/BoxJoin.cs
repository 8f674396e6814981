using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>For each of some boxes the others that touch it, in the others' order, found without comparing all with all.</summary>
/// <remarks>
/// The boxes asked about lie in a grid of about one a cell; the others, of which there may be far more, pass through it
/// once. Time and memory grow with both numbers and the pairs found.
/// </remarks>
internal sealed class BoxJoin
{
    private readonly int[] _starts;
    private readonly int[] _found;

    private BoxJoin(int[] starts, int[] found)
    {
        _starts = starts;
        _found = found;
    }

    /// <summary>The others that touch a box, ascending.</summary>
    public ReadOnlySpan<int> this[int index] => _found.AsSpan(_starts[index], _starts[index + 1] - _starts[index]);

    /// <summary>Joins.</summary>
    /// <param name="asked">Boxes asked about; empty ones touch nothing.</param>
    /// <param name="others">Boxes to find; empty ones are never found.</param>
    public static BoxJoin Of(ReadOnlySpan<Bounds2> asked, ReadOnlySpan<Bounds2> others)
    {
        var pairs = new List<(int Asked, int Other)>();
        var grid = new Grid(asked);
        for (var i = 0; i < others.Length; i++)
        {
            if (!others[i].IsEmpty)
            {
                grid.Touching(asked, others[i], i, pairs);
            }
        }

        var starts = new int[asked.Length + 1];
        foreach (var (to, _) in pairs)
        {
            starts[to + 1]++;
        }

        for (var i = 0; i < asked.Length; i++)
        {
            starts[i + 1] += starts[i];
        }

        var found = new int[pairs.Count];
        var next = starts.AsSpan(0, asked.Length).ToArray();
        foreach (var (to, other) in pairs)
        {
            found[next[to]++] = other;
        }

        return new BoxJoin(starts, found);
    }

    private sealed class Grid
    {
        private readonly Bounds2 _whole = Bounds2.Empty;
        private readonly double _cellMm;
        private readonly int _columns;
        private readonly int _rows;
        private readonly int[] _starts;
        private readonly int[] _members;
        private readonly int[] _lastOther;

        public Grid(ReadOnlySpan<Bounds2> boxes)
        {
            foreach (var box in boxes)
            {
                _whole = box.IsEmpty ? _whole : Bounds2.Union(_whole, box);
            }

            var side = Math.Max(_whole.Width, _whole.Height);
            _cellMm = Math.Max(side / Math.Clamp(Math.Sqrt(boxes.Length), 1, 1000), 1e-3);
            _columns = (int)(_whole.Width / _cellMm) + 1;
            _rows = (int)(_whole.Height / _cellMm) + 1;
            _starts = new int[(_columns * _rows) + 1];
            _lastOther = new int[boxes.Length];
            Array.Fill(_lastOther, -1);
            foreach (var box in boxes)
            {
                ForCells(box, cell => _starts[cell + 1]++);
            }

            for (var i = 0; i < _columns * _rows; i++)
            {
                _starts[i + 1] += _starts[i];
            }

            _members = new int[_starts[^1]];
            var next = _starts.AsSpan(0, _columns * _rows).ToArray();
            for (var i = 0; i < boxes.Length; i++)
            {
                var index = i;
                ForCells(boxes[i], cell => _members[next[cell]++] = index);
            }
        }

        public void Touching(ReadOnlySpan<Bounds2> boxes, Bounds2 other, int number, List<(int Asked, int Other)> into)
        {
            if (!_whole.Overlaps(other))
            {
                return;
            }

            var (x0, x1) = (Column(other.MinX), Column(other.MaxX));
            var (y0, y1) = (Row(other.MinY), Row(other.MaxY));
            for (var y = y0; y <= y1; y++)
            {
                for (var x = x0; x <= x1; x++)
                {
                    var cell = (y * _columns) + x;
                    foreach (var member in _members.AsSpan(_starts[cell], _starts[cell + 1] - _starts[cell]))
                    {
                        if (_lastOther[member] != number && boxes[member].Overlaps(other))
                        {
                            _lastOther[member] = number;
                            into.Add((member, number));
                        }
                    }
                }
            }
        }

        private void ForCells(Bounds2 box, Action<int> visit)
        {
            if (box.IsEmpty)
            {
                return;
            }

            var (x0, x1) = (Column(box.MinX), Column(box.MaxX));
            for (var y = Row(box.MinY); y <= Row(box.MaxY); y++)
            {
                for (var x = x0; x <= x1; x++)
                {
                    visit((y * _columns) + x);
                }
            }
        }

        private int Column(double x) => (int)Math.Clamp((x - _whole.MinX) / _cellMm, 0, _columns - 1);

        private int Row(double y) => (int)Math.Clamp((y - _whole.MinY) / _cellMm, 0, _rows - 1);
    }
}
