using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>The pads of one side on a uniform grid, and which part has claimed each.</summary>
/// <remarks>Cells hold about one pad on average, so a search costs what it finds and the cells it passes.</remarks>
internal sealed class PadField
{
    private readonly int[] _cellStart;
    private readonly int[] _inCell;
    private readonly double _cellMm;
    private readonly double _minX;
    private readonly double _minY;
    private readonly int _columns;
    private readonly int _rows;

    public PadField(Pad[] pads)
    {
        Pads = pads;
        IsFree = new bool[pads.Length];
        Array.Fill(IsFree, true);
        var box = Bounds2.Empty;
        foreach (var pad in pads)
        {
            box = box.Include(pad.At);
        }

        (_minX, _minY) = (box.MinX, box.MinY);
        _cellMm = Math.Max(0.25, Math.Sqrt(box.Width * box.Height / Math.Max(1, pads.Length)));
        _cellMm = Math.Max(_cellMm, Math.Max(box.Width, box.Height) / (4.0 * (pads.Length + 16)));
        _columns = (int)(box.Width / _cellMm) + 1;
        _rows = (int)(box.Height / _cellMm) + 1;
        (_cellStart, _inCell) = Fill();
    }

    /// <summary>All pads.</summary>
    public Pad[] Pads { get; }

    /// <summary>By index into <see cref="Pads"/>: not yet claimed.</summary>
    public bool[] IsFree { get; }

    /// <summary>Appends the free pads whose middles lie within a distance, in no order that depends on anything but the input.</summary>
    public void FreeWithin(Point2 at, double radiusMm, List<int> found)
    {
        found.Clear();
        var (x0, x1) = (Column(at.X - radiusMm), Column(at.X + radiusMm));
        var (y0, y1) = (Row(at.Y - radiusMm), Row(at.Y + radiusMm));
        for (var y = y0; y <= y1; y++)
        {
            for (var x = x0; x <= x1; x++)
            {
                var cell = (y * _columns) + x;
                for (var k = _cellStart[cell]; k < _cellStart[cell + 1]; k++)
                {
                    var i = _inCell[k];
                    if (IsFree[i] && Point2.Distance(Pads[i].At, at) <= radiusMm)
                    {
                        found.Add(i);
                    }
                }
            }
        }
    }

    /// <summary>The free pad nearest to a place within a distance; -1 when there is none.</summary>
    public int FreeNear(Point2 at, double radiusMm, List<int> scratch)
    {
        FreeWithin(at, radiusMm, scratch);
        var (best, nearest) = (-1, double.PositiveInfinity);
        foreach (var i in scratch)
        {
            var distance = Point2.Distance(Pads[i].At, at);
            if (distance < nearest || (distance == nearest && i < best))
            {
                (best, nearest) = (i, distance);
            }
        }

        return best;
    }

    /// <summary>The free pads whose middles lie in a turned box, ascending.</summary>
    public List<int> FreeInBox(Point2 center, Vector2 along, double halfAlongMm, double halfAcrossMm)
    {
        var found = new List<int>();
        if (halfAlongMm <= 0 || halfAcrossMm <= 0)
        {
            return found;
        }

        FreeWithin(center, Math.Sqrt((halfAlongMm * halfAlongMm) + (halfAcrossMm * halfAcrossMm)), found);
        found.RemoveAll(i => Math.Abs(Vector2.Dot(Pads[i].At - center, along)) > halfAlongMm
            || Math.Abs(Vector2.Cross(along, Pads[i].At - center)) > halfAcrossMm);
        found.Sort();
        return found;
    }

    /// <summary>Takes the pads of a part.</summary>
    public void Claim(Draft part)
    {
        foreach (var (pad, _) in part.Pads)
        {
            IsFree[pad] = false;
        }
    }

    private int Column(double x) => (int)Math.Clamp((x - _minX) / _cellMm, 0, _columns - 1);

    private int Row(double y) => (int)Math.Clamp((y - _minY) / _cellMm, 0, _rows - 1);

    private (int[] Start, int[] Items) Fill()
    {
        var start = new int[(_columns * _rows) + 1];
        for (var i = 0; i < Pads.Length; i++)
        {
            start[(Row(Pads[i].At.Y) * _columns) + Column(Pads[i].At.X) + 1]++;
        }

        for (var c = 0; c < _columns * _rows; c++)
        {
            start[c + 1] += start[c];
        }

        var next = start[..^1];
        var items = new int[Pads.Length];
        for (var i = 0; i < Pads.Length; i++)
        {
            items[next[(Row(Pads[i].At.Y) * _columns) + Column(Pads[i].At.X)]++] = i;
        }

        return (start, items);
    }
}
