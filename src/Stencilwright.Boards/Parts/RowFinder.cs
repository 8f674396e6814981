using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds rows of three or more equal pads at one pitch by sorting their projections.</summary>
/// <remarks>
/// Pads of one family (size, shape) and direction are sorted across the row into lines and along it into runs: n log n.
/// A pad that is longer one way is looked for in rows across its length only; a square one in both directions.
/// </remarks>
internal sealed class RowFinder
{
    // Pads of a line may stray this far from it, and a gap from the pitch by as much and two percent.
    private const double StrayMm = 0.025;

    // Leads are at most a bit over three of their widths apart; wider gaps are between parts.
    private const double WidestPitchInWidths = 3.3;

    private readonly PadField _field;
    private readonly List<PadRow> _rows = [];
    private readonly List<int> _scratch = [];

    private RowFinder(PadField field) => _field = field;

    /// <summary>Rows in a stable order.</summary>
    public static List<PadRow> Find(PadField field)
    {
        var finder = new RowFinder(field);
        finder.Run();
        return finder._rows;
    }

    private void Run()
    {
        var entries = Entries();
        if (entries.Length < 3)
        {
            return;
        }

        var angles = Clusters.Label([.. entries.Select(e => e.AngleDeg)], 0.25, 1, 180);
        var family = Families();
        var order = new int[entries.Length];
        var keys = new (int Family, int Angle, int Entry)[entries.Length];
        for (var k = 0; k < order.Length; k++)
        {
            order[k] = k;
            keys[k] = (family[entries[k].Pad], angles[k], k);
        }

        Array.Sort(keys, order);
        for (var from = 0; from < order.Length;)
        {
            var to = from + 1;
            while (to < order.Length && keys[to].Family == keys[from].Family && keys[to].Angle == keys[from].Angle)
            {
                to++;
            }

            if (to - from >= 3)
            {
                var members = new int[to - from];
                for (var k = from; k < to; k++)
                {
                    members[k - from] = entries[order[k]].Pad;
                }

                Lines(members, entries[order[from]].AngleDeg);
            }

            from = to;
        }
    }

    private (int Pad, double AngleDeg)[] Entries()
    {
        var entries = new List<(int, double)>(_field.Pads.Length);
        for (var i = 0; i < _field.Pads.Length; i++)
        {
            var pad = _field.Pads[i];
            if (pad.IsRound || !_field.IsFree[i])
            {
                continue;
            }

            entries.Add((i, Directions.Fold180(pad.AngleDeg + 90)));
            if (pad.IsSquare)
            {
                entries.Add((i, pad.AngleDeg));
            }
        }

        return [.. entries];
    }

    private int[] Families()
    {
        var pads = _field.Pads;
        var narrow = Clusters.Label([.. pads.Select(p => p.ShortMm)], 0.01, 0.03);
        var wide = Clusters.Label([.. pads.Select(p => p.LongMm)], 0.012, 0.05);
        var fill = Clusters.Label([.. pads.Select(p => p.Fill)], 0.03, 0.09);
        var keys = new (int, int, int)[pads.Length];
        for (var i = 0; i < keys.Length; i++)
        {
            keys[i] = (narrow[i], wide[i], fill[i]);
        }

        var order = new int[pads.Length];
        for (var i = 0; i < order.Length; i++)
        {
            order[i] = i;
        }

        Array.Sort(keys, order);
        var family = new int[pads.Length];
        for (var k = 1; k < keys.Length; k++)
        {
            family[order[k]] = family[order[k - 1]] + (keys[k] == keys[k - 1] ? 0 : 1);
        }

        return family;
    }

    private void Lines(int[] members, double angleDeg)
    {
        var (sin, cos) = Affine2.ExactSinCosDegrees(angleDeg);
        var along = new Vector2(cos, sin);
        var origin = _field.Pads[members[0]].At;
        var (u, v) = (new double[members.Length], new double[members.Length]);
        for (var k = 0; k < members.Length; k++)
        {
            var d = _field.Pads[members[k]].At - origin;
            (u[k], v[k]) = (Vector2.Dot(d, along), Vector2.Cross(along, d));
        }

        var line = Clusters.Label(v, StrayMm, 3 * StrayMm);
        var keys = new (int Line, double U, int Member)[members.Length];
        for (var k = 0; k < members.Length; k++)
        {
            keys[k] = (line[k], u[k], members[k]);
        }

        Array.Sort(keys);
        for (var from = 0; from < keys.Length;)
        {
            var to = from + 1;
            while (to < keys.Length && keys[to].Line == keys[from].Line)
            {
                to++;
            }

            Runs(keys.AsSpan(from, to - from), along);
            from = to;
        }
    }

    private void Runs(ReadOnlySpan<(int Line, double U, int Member)> line, Vector2 along)
    {
        for (var from = 0; from + 2 < line.Length;)
        {
            var width = _field.Pads[line[from].Member].ExtentAlong(along);
            var pitch = line[from + 1].U - line[from].U;
            var to = from + 1;
            if (pitch > 1.1 * width && pitch <= Math.Min(3.2, (WidestPitchInWidths * width) + 0.1))
            {
                while (to + 1 < line.Length && Math.Abs(line[to + 1].U - line[to].U - pitch) <= StrayMm + (0.02 * pitch))
                {
                    to++;
                    pitch = (line[to].U - line[from].U) / (to - from);
                }
            }

            if (to - from < 2)
            {
                from++;
                continue;
            }

            Add(line[from..(to + 1)], along);
            from = to + 1;
        }
    }

    private void Add(ReadOnlySpan<(int Line, double U, int Member)> run, Vector2 along)
    {
        var members = new List<int>(run.Length + 1);
        foreach (var (_, _, member) in run)
        {
            members.Add(member);
        }

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
        var fits = !pad.IsCongruentTo(like)
            && Math.Abs(Vector2.Dot(offset, row.Along)) <= 0.08 * row.PitchMm
            && Math.Abs(pad.ExtentAlong(row.Along) - row.WidthMm) <= 0.3 * row.WidthMm
            && Math.Abs(pad.ExtentAlong(row.Along.Left) - row.DepthMm) <= 0.45 * row.DepthMm
            && pad.IsSquareTo(like);
        return fits ? found : -1;
    }
}
