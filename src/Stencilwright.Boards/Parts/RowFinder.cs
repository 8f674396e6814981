using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds rows of three or more equal pads at one pitch.</summary>
/// <remarks>
/// Each pad looks for its next equal one across its length; two that have each other for neighbours are linked, and a chain of
/// links is cut where the pitch changes. A search costs what lies within three pad widths. A pad that is longer one way is looked
/// for in rows across its length only; a square one in both directions. Sorting all pads into families of size and lines was
/// tried first: on crowded boards with rounded coordinates the families and lines run into each other.
/// </remarks>
internal sealed class RowFinder
{
    // Pads of a row may stray this far from its line, and a gap from the pitch by as much and two percent.
    private const double StrayMm = 0.025;

    // Leads are at most a bit over three of their widths apart; wider gaps are between parts.
    private const double WidestPitchInWidths = 3.3;

    private readonly PadField _field;
    private readonly List<PadRow> _rows = [];
    private readonly List<int> _scratch = [];
    private readonly int[] _next;
    private readonly int[] _previous;

    private RowFinder(PadField field)
    {
        _field = field;
        _next = new int[field.Pads.Length];
        _previous = new int[field.Pads.Length];
    }

    /// <summary>Rows in a stable order.</summary>
    public static List<PadRow> Find(PadField field)
    {
        var finder = new RowFinder(field);
        finder.Walk(isTurned: false);
        finder.Walk(isTurned: true);
        return finder._rows;
    }

    private void Walk(bool isTurned)
    {
        for (var i = 0; i < _next.Length; i++)
        {
            (_next[i], _previous[i]) = (Neighbour(i, 1, isTurned), Neighbour(i, -1, isTurned));
        }

        for (var i = 0; i < _next.Length; i++)
        {
            if (_next[i] >= 0 && (_previous[i] < 0 || _next[_previous[i]] != i))
            {
                Runs(Chain(i), Along(_field.Pads[i], isTurned));
            }
        }
    }

    private List<int> Chain(int start)
    {
        var chain = new List<int> { start };
        for (var i = start; _next[i] is var next and >= 0 && _previous[next] == i; i = next)
        {
            chain.Add(next);
        }

        return chain;
    }

    // Directions are those of a half plane, so that two pads turned by half a turn, or squares by a quarter, agree.
    private static Vector2 Along(in Pad pad, bool isTurned)
    {
        var along = pad.Axis.Left;
        if (pad.IsSquare && along.X < 0.7072 && along.X > -0.7070)
        {
            along = pad.Axis;
        }

        along = isTurned ? along.Left : along;
        return along.X < -1e-6 || (along.X <= 1e-6 && along.Y < 0) ? along * -1 : along;
    }

    private int Neighbour(int i, int sense, bool isTurned)
    {
        var pad = _field.Pads[i];
        if (pad.IsRound || (isTurned && !pad.IsSquare))
        {
            return -1;
        }

        var along = Along(pad, isTurned);
        var width = pad.ExtentAlong(along);
        var reach = Math.Min(3.2, (WidestPitchInWidths * width) + 0.1);
        _field.FreeWithin(pad.At, reach, _scratch);
        var (best, nearest) = (-1, double.PositiveInfinity);
        foreach (var j in _scratch)
        {
            var d = _field.Pads[j].At - pad.At;
            var u = sense * Vector2.Dot(d, along);
            if (u > 1.1 * width && u < nearest && Math.Abs(Vector2.Cross(along, d)) <= StrayMm
                && pad.IsCongruentTo(_field.Pads[j], 1.5) && pad.IsParallelTo(_field.Pads[j]))
            {
                (best, nearest) = (j, u);
            }
        }

        return best;
    }

    private void Runs(List<int> chain, Vector2 along)
    {
        for (var from = 0; from + 2 < chain.Count;)
        {
            var start = _field.Pads[chain[from]].At;
            var pitch = Vector2.Dot(_field.Pads[chain[from + 1]].At - start, along);
            var to = from + 1;
            while (to + 1 < chain.Count
                && Math.Abs(Vector2.Dot(_field.Pads[chain[to + 1]].At - _field.Pads[chain[to]].At, along) - pitch) <= StrayMm + (0.02 * pitch))
            {
                to++;
                pitch = Vector2.Dot(_field.Pads[chain[to]].At - start, along) / (to - from);
            }

            if (to - from < 2)
            {
                from++;
                continue;
            }

            Add(chain.GetRange(from, to - from + 1), along);
            from = to + 1;
        }
    }

    private void Add(List<int> members, Vector2 along)
    {
        var row = new PadRow([.. members], _field.Pads, along);
        var before = Continuation(row, row.Members[0], -1);
        var after = Continuation(row, row.Members[^1], 1);
        if (before >= 0)
        {
            members.Insert(0, before);
        }

        if (after >= 0)
        {
            members.Add(after);
        }

        _rows.Add(before < 0 && after < 0 ? row : new PadRow([.. members], _field.Pads, along));
    }

    // The pad of another shape at the end of a row that marks pin 1, or is cut short for a corner.
    private int Continuation(PadRow row, int end, int sense)
    {
        var expected = _field.Pads[end].At + (row.Along * (sense * row.PitchMm));
        var found = _field.FreeNear(expected, Math.Min(0.3 * row.PitchMm, 0.25 * row.DepthMm), _scratch);
        if (found < 0)
        {
            return -1;
        }

        var (pad, like) = (_field.Pads[found], _field.Pads[end]);
        var offset = pad.At - expected;
        var fits = !pad.IsCongruentTo(like) && _next[found] < 0 && _previous[found] < 0
            && Math.Abs(Vector2.Dot(offset, row.Along)) <= 0.08 * row.PitchMm
            && Math.Abs(pad.ExtentAlong(row.Along) - row.WidthMm) <= 0.3 * row.WidthMm
            && Math.Abs(pad.ExtentAlong(row.Along.Left) - row.DepthMm) <= 0.45 * row.DepthMm
            && pad.IsSquareTo(like);
        return fits ? found : -1;
    }
}
