using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds grids of equal round or square lands.</summary>
/// <remarks>
/// A land is linked with the equal ones at its nearest neighbour's distance; linked lands are one grid. Grids of the same lattice
/// that lie within each other (a depopulated ring) are joined, and single lands on the lattice within it are taken in.
/// </remarks>
internal sealed class GridFinder
{
    // Coarser arrays of lands are fields of test points or of several parts.
    private const double WidestPitchMm = 1.6;

    private const double WidestShare = 0.72;

    private readonly PadField _field;
    private readonly List<int> _scratch = [];
    private readonly double[] _nearest;
    private readonly int[] _root;
    private readonly SortedDictionary<int, List<int>> _groups = [];

    private GridFinder(PadField field)
    {
        _field = field;
        _nearest = new double[field.Pads.Length];
        _root = new int[field.Pads.Length];
    }

    public static void Find(PadField field, List<Draft> parts) => new GridFinder(field).Run(parts);

    private void Run(List<Draft> parts)
    {
        for (var i = 0; i < _root.Length; i++)
        {
            _root[i] = i;
            _nearest[i] = IsLand(i) ? Nearest(i) : double.PositiveInfinity;
        }

        for (var i = 0; i < _root.Length; i++)
        {
            if (_nearest[i] < double.PositiveInfinity)
            {
                Link(i);
            }
        }

        for (var i = 0; i < _root.Length; i++)
        {
            if (_nearest[i] < double.PositiveInfinity)
            {
                var root = Root(i);
                if (!_groups.TryGetValue(root, out var list))
                {
                    _groups.Add(root, list = []);
                }

                list.Add(i);
            }
        }

        // Larger grids first, so that a rim takes its island in.
        foreach (var members in _groups.Values.Where(g => g.Count >= 4).OrderByDescending(g => g.Count).ThenBy(g => g[0]).ToArray())
        {
            if (members.TrueForAll(i => _field.IsFree[i]) && Lattice.Fit(_field.Pads, members) is { } lattice)
            {
                Claim(lattice, members, parts);
            }
        }
    }

    private bool IsLand(int i) => _field.IsFree[i] && (_field.Pads[i].IsRound || _field.Pads[i].LongMm <= 1.06 * _field.Pads[i].ShortMm) && _field.Pads[i].LongMm <= 1;

    private double Nearest(int i)
    {
        var pad = _field.Pads[i];
        var nearest = double.PositiveInfinity;
        _field.FreeWithin(pad.At, Math.Min(WidestPitchMm, 4 * pad.LongMm), _scratch);
        foreach (var j in _scratch)
        {
            var distance = Point2.Distance(pad.At, _field.Pads[j].At);
            if (j != i && distance < nearest && pad.IsCongruentTo(_field.Pads[j]))
            {
                nearest = distance;
            }
        }

        return nearest;
    }

    private void Link(int i)
    {
        var reach = _nearest[i];
        _field.FreeWithin(_field.Pads[i].At, 1.04 * reach, _scratch);
        foreach (var j in _scratch)
        {
            if (j != i && _nearest[j] < double.PositiveInfinity && Math.Abs(_nearest[j] - reach) <= 0.04 * reach
                && _field.Pads[i].IsCongruentTo(_field.Pads[j]))
            {
                var (a, b) = (Root(i), Root(j));
                _root[Math.Max(a, b)] = Math.Min(a, b);
            }
        }
    }

    private int Root(int i)
    {
        while (_root[i] != i)
        {
            _root[i] = _root[_root[i]];
            i = _root[i];
        }

        return i;
    }

    private void Claim(Lattice lattice, List<int> members, List<Draft> parts)
    {
        var isRound = _field.Pads[members[0]].IsRound;
        var size = _field.Pads[members[0]].LongMm;
        var least = Math.Min(lattice.Columns, lattice.Rows);

        // Panes of a thermal pad leave little between them and are no grid of lands.
        if (size > WidestShare * lattice.PitchMm || least < 2 || (least == 2 && !(isRound && lattice.PitchMm <= 0.55)) || members.Count < 0.25 * lattice.Columns * lattice.Rows)
        {
            return;
        }

        var part = new Draft(PartClass.GridArray, 0.6, "")
        {
            Center = lattice.Center,
            RotationDeg = Directions.QuarterTurn(lattice.Along),
            PitchMm = lattice.PitchMm,
        };
        lattice = WithOtherHalf(lattice, members);
        part.Center = lattice.Center;
        part.Add(members, PadFunction.Terminal);
        _field.Claim(part);
        var half = 0.51 * lattice.PitchMm;
        var inside = _field.FreeInBox(lattice.Center, lattice.Along, lattice.HalfAlongMm + half, lattice.HalfAcrossMm + half);
        var others = 0;
        foreach (var i in inside)
        {
            var isBall = _field.Pads[i].IsCongruentTo(_field.Pads[members[0]]) && lattice.Residual(_field.Pads[i].At) < 0.12;
            var isLand = _field.Pads[i].LongMm < 0.9 * lattice.PitchMm && lattice.Residual(_field.Pads[i].At) < 0.12;
            part.Pads.Add((i, isBall || isLand ? PadFunction.Terminal : PadFunction.ThermalPad));
            others += isBall || isLand ? 0 : 1;
        }

        _field.Claim(part);
        Judge(part, lattice, isRound, size, least, others);
        parts.Add(part);
    }

    // Memories leave columns out in the middle: an equal block on the same lattice, level with this one, belongs to it.
    private Lattice WithOtherHalf(Lattice lattice, List<int> members)
    {
        var reach = 6 * lattice.PitchMm;
        var seen = new SortedSet<int> { Root(members[0]) };
        foreach (var near in _field.FreeInBox(lattice.Center, lattice.Along, lattice.HalfAlongMm + reach, lattice.HalfAcrossMm + reach))
        {
            if (double.IsInfinity(_nearest[near]) || !seen.Add(Root(near)) || !_groups.TryGetValue(Root(near), out var other)
                || other.Count != members.Count || !_field.Pads[near].IsCongruentTo(_field.Pads[members[0]]))
            {
                continue;
            }

            if (other.Exists(i => lattice.Residual(_field.Pads[i].At) > 0.1)
                || Lattice.Fit(_field.Pads, [.. members, .. other]) is not { } both)
            {
                continue;
            }

            var isLevel = (both.Columns == lattice.Columns && both.Rows <= (2 * lattice.Rows) + 4)
                || (both.Rows == lattice.Rows && both.Columns <= (2 * lattice.Columns) + 4);
            if (isLevel)
            {
                members.AddRange(other);
                return both;
            }
        }

        return lattice;
    }

    private static void Judge(Draft part, Lattice lattice, bool isRound, double size, int least, int others)
    {
        part.Confidence = isRound && least >= 3 ? 0.97
            : isRound ? 0.85
            : least >= 4 ? 0.88
            : 0.6;
        if (others > 0)
        {
            part.Confidence = Math.Min(part.Confidence, others <= 2 ? 0.75 : 0.5);
        }

        part.Why = FormattableString.Invariant(
            $"{part.Pads.Count} {(isRound ? "round" : "square")} lands of {size:0.##} mm on a grid of {lattice.Columns} by {lattice.Rows} at {lattice.PitchMm:0.###} mm");
    }
}

/// <summary>A square grid fitted to places.</summary>
internal sealed record Lattice(Point2 Origin, Vector2 Along, double PitchMm, int Columns, int Rows, Point2 Center, double HalfAlongMm, double HalfAcrossMm)
{
    /// <summary>Fits; null when the places do not lie on one.</summary>
    public static Lattice? Fit(Pad[] pads, List<int> members)
    {
        var origin = pads[members[0]].At;
        if (Direction(pads, members) is not { } start)
        {
            return null;
        }

        var (along, pitch) = start;
        // Each round numbers the lands with the lattice so far, further out each time, and fits direction and pitch to the numbers.
        for (var round = 0; round < 5; round++)
        {
            var reach = pitch * Math.Pow(4, round + 1);
            var (sii, sre, sim, mi, mj, mx, my) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
            var near = members.FindAll(m => Point2.Distance(pads[m].At, pads[members[0]].At) <= reach);
            foreach (var m in near)
            {
                var d = pads[m].At - origin;
                var (i, j) = (Math.Round(Vector2.Dot(d, along) / pitch), Math.Round(Vector2.Cross(along, d) / pitch));
                (mi, mj, mx, my) = (mi + i, mj + j, mx + d.X, my + d.Y);
            }

            var n = near.Count;
            (mi, mj, mx, my) = (mi / n, mj / n, mx / n, my / n);
            foreach (var m in near)
            {
                var d = pads[m].At - origin;
                var (i, j) = (Math.Round(Vector2.Dot(d, along) / pitch) - mi, Math.Round(Vector2.Cross(along, d) / pitch) - mj);
                var (x, y) = (d.X - mx, d.Y - my);
                sii += (i * i) + (j * j);
                sre += (i * x) + (j * y);
                sim += (i * y) - (j * x);
            }

            if (sii < 1e-9)
            {
                return null;
            }

            var step = new Vector2(sre / sii, sim / sii);
            (along, pitch) = (step.Unit, step.Length);
            origin = origin + new Vector2(mx, my) - (along * (mi * pitch)) - (along.Left * (mj * pitch));
        }

        return Measure(pads, members, origin, along, pitch);
    }

    /// <summary>How far a place lies from the next node, in pitches.</summary>
    public double Residual(Point2 at)
    {
        var d = at - Origin;
        var (i, j) = (Vector2.Dot(d, Along) / PitchMm, Vector2.Cross(Along, d) / PitchMm);
        return Math.Max(Math.Abs(i - Math.Round(i)), Math.Abs(j - Math.Round(j)));
    }

    private static Lattice? Measure(Pad[] pads, List<int> members, Point2 origin, Vector2 along, double pitch)
    {
        var box = Bounds2.Empty;
        var worst = 0.0;
        foreach (var m in members)
        {
            var d = pads[m].At - origin;
            var (u, v) = (Vector2.Dot(d, along) / pitch, Vector2.Cross(along, d) / pitch);
            box = box.Include(new(Math.Round(u), Math.Round(v)));
            worst = Math.Max(worst, Math.Max(Math.Abs(u - Math.Round(u)), Math.Abs(v - Math.Round(v))));
        }

        if (worst > 0.15)
        {
            return null;
        }

        var middle = box.Center;
        return new(
            origin, along, pitch, (int)box.Width + 1, (int)box.Height + 1,
            origin + (along * (middle.X * pitch)) + (along.Left * (middle.Y * pitch)), box.Width * pitch / 2, box.Height * pitch / 2);
    }

    // From the first land to its nearest.
    private static (Vector2 Along, double Pitch)? Direction(Pad[] pads, List<int> members)
    {
        var (best, nearest) = (default(Vector2), double.PositiveInfinity);
        foreach (var m in members)
        {
            var d = pads[m].At - pads[members[0]].At;
            if (d.Length > 1e-6 && d.Length < nearest)
            {
                (best, nearest) = (d, d.Length);
            }
        }

        return double.IsFinite(nearest) ? (best.Unit, nearest) : null;
    }
}
