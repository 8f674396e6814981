using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Two equal pads that may be the ends of one part.</summary>
/// <param name="A">Lower index.</param>
/// <param name="B">Higher index.</param>
/// <param name="Cost">Lower is likelier.</param>
/// <param name="Misfit">How far the lands lie outside those of the best outline.</param>
/// <param name="Size">That outline.</param>
/// <param name="IsDoubtful">Another outline fits nearly as well.</param>
internal readonly record struct ChipPair(int A, int B, double Cost, double Misfit, ChipSize Size, bool IsDoubtful)
{
    public int Other(int pad) => pad == A ? B : A;
}

/// <summary>Pairs equal, facing pads into parts with two terminals.</summary>
/// <remarks>
/// Candidates are a pad's neighbours in line with one of its axes with nothing between; each costs as much as it lies outside
/// the table of lands. Cheapest first, each pad once; then a pad left alone whose neighbour's neighbour is left alone too takes
/// the pairs apart. How much dearer the next best way would be says how sure a pair is.
/// </remarks>
internal sealed class ChipFinder
{
    // A pair that fits no outline but faces well.
    private const double UnknownCost = 1.6;

    private readonly PadField _field;
    private readonly List<ChipPair> _pairs = [];
    private readonly List<int>[] _of;
    private readonly int[] _chosen;
    private readonly List<int> _near = [];
    private readonly List<int> _between = [];

    public ChipFinder(PadField field)
    {
        _field = field;
        _of = new List<int>[field.Pads.Length];
        _chosen = new int[field.Pads.Length];
        Array.Fill(_chosen, -1);
    }

    /// <summary>Claims pairs; with <paramref name="onlyUsual"/> those alone that fit a usual outline.</summary>
    public void Find(List<Draft> parts, bool onlyUsual)
    {
        for (var i = 0; i < _of.Length; i++)
        {
            _of[i] = [];
        }

        for (var i = 0; i < _of.Length; i++)
        {
            if (_field.IsFree[i])
            {
                Candidates(i, onlyUsual);
            }
        }

        Match();
        for (var i = 0; i < _of.Length; i++)
        {
            if (_chosen[i] >= 0 && _pairs[_chosen[i]].A == i)
            {
                parts.Add(Draft(_pairs[_chosen[i]]));
            }
        }

        foreach (var part in parts)
        {
            _field.Claim(part);
        }
    }

    private void Candidates(int i, bool onlyUsual)
    {
        var pad = _field.Pads[i];
        _field.FreeWithin(pad.At, Math.Min(11, (4.6 * pad.LongMm) + 0.3), _near);
        foreach (var j in _near)
        {
            if (j > i && pad.IsCongruentTo(_field.Pads[j], 2) && pad.IsParallelTo(_field.Pads[j], 0.05)
                && Judge(i, j) is { } pair && (!onlyUsual || pair.Misfit <= 0.5))
            {
                _of[i].Add(_pairs.Count);
                _of[j].Add(_pairs.Count);
                _pairs.Add(pair);
            }
        }
    }

    private ChipPair? Judge(int i, int j)
    {
        var (a, b) = (_field.Pads[i], _field.Pads[j]);
        var d = b.At - a.At;
        var along = d.Unit;
        var pitch = d.Length;
        var offAxis = Math.Min(Math.Abs(Vector2.Dot(along, a.Axis)), Math.Abs(Vector2.Cross(along, a.Axis)));
        var (length, width) = (a.ExtentAlong(along), a.ExtentAlong(along.Left));
        if ((!a.IsRound && offAxis * pitch > 0.02 + (0.03 * pitch)) || pitch - length < 0.08 * length)
        {
            return null;
        }

        var (size, misfit, isDoubtful) = ChipSizes.Best(length, width, pitch);
        var gap = (pitch - length) / length;
        if (misfit > 1.5 && (gap is < 0.15 or > 3.4 || width < 0.4 * length || IsBlocked(i, j, along, pitch, width)))
        {
            return null;
        }

        if (misfit <= 1.5 && IsBlocked(i, j, along, pitch, width))
        {
            return null;
        }

        var slack = offAxis * pitch / (0.02 + (0.03 * pitch));
        var cost = Math.Min(misfit, UnknownCost + (0.1 * Math.Abs(gap - 0.8))) + (0.1 * slack) + (size.Imperial is null ? 0.12 : 0);
        return new(i, j, cost, misfit, size, isDoubtful);
    }

    private bool IsBlocked(int i, int j, Vector2 along, double pitch, double width)
    {
        var middle = Point2.Lerp(_field.Pads[i].At, _field.Pads[j].At, 0.5);
        _field.FreeWithin(middle, pitch / 2, _between);
        foreach (var k in _between)
        {
            if (k == i || k == j)
            {
                continue;
            }

            var d = _field.Pads[k].At - middle;
            var pad = _field.Pads[k];
            if (Math.Abs(Vector2.Dot(d, along)) < (pitch / 2) - 0.01
                && Math.Abs(Vector2.Cross(along, d)) < (0.45 * width) + (0.45 * pad.ExtentAlong(along.Left)))
            {
                return true;
            }
        }

        return false;
    }

    private void Match()
    {
        var order = new int[_pairs.Count];
        for (var k = 0; k < order.Length; k++)
        {
            order[k] = k;
        }

        Array.Sort(order, (x, y) => _pairs[x].Cost != _pairs[y].Cost ? _pairs[x].Cost.CompareTo(_pairs[y].Cost) : x.CompareTo(y));
        foreach (var k in order)
        {
            if (_chosen[_pairs[k].A] < 0 && _chosen[_pairs[k].B] < 0)
            {
                (_chosen[_pairs[k].A], _chosen[_pairs[k].B]) = (k, k);
            }
        }

        for (var i = 0; i < _of.Length; i++)
        {
            if (_chosen[i] < 0)
            {
                Mend(i);
            }
        }
    }

    // i – a = b – j with i and j alone becomes i = a and b = j, when the dearer pairs are still plausible.
    private void Mend(int i)
    {
        foreach (var ia in _of[i])
        {
            var a = _pairs[ia].Other(i);
            if (_chosen[a] < 0)
            {
                continue;
            }

            var b = _pairs[_chosen[a]].Other(a);
            foreach (var bj in _of[b])
            {
                var j = _pairs[bj].Other(b);
                if (j != a && j != i && _chosen[j] < 0 && _pairs[ia].Cost + _pairs[bj].Cost <= _pairs[_chosen[a]].Cost + 1.2)
                {
                    (_chosen[i], _chosen[a], _chosen[b], _chosen[j]) = (ia, ia, bj, bj);
                    return;
                }
            }
        }
    }

    private Draft Draft(ChipPair pair)
    {
        var (a, b) = (_field.Pads[pair.A], _field.Pads[pair.B]);
        var isUsual = pair.Misfit <= 0.5;
        var margin = Margin(pair);
        var confidence = isUsual ? 0.95 - (0.1 * pair.Misfit) : pair.Misfit <= 1.5 ? 0.75 : 0.6;
        var part = new Draft(PartClass.Chip, margin < 0.25 ? Math.Min(confidence, 0.65) : confidence, "")
        {
            Center = Point2.Lerp(a.At, b.At, 0.5),
            RotationDeg = Directions.Turn(b.At - a.At),
            PitchMm = Point2.Distance(a.At, b.At),
            Size = isUsual && !pair.IsDoubtful && pair.Size.Imperial is not null ? pair.Size : null,
        };
        var along = (b.At - a.At).Unit;
        var lands = FormattableString.Invariant($"two pads of {a.ExtentAlong(along):0.##} by {a.ExtentAlong(along.Left):0.##} mm {part.PitchMm:0.##} mm apart");
        part.Why = lands + (isUsual ? $", as for {pair.Size.Name}" : ", as for no usual outline") + (margin < 0.25 ? "; they may pair with others as well" : "");
        part.Add([pair.A, pair.B], PadFunction.Terminal);
        return part;
    }

    // How much dearer the cheapest other way is that takes this pair apart without leaving more pads alone.
    private double Margin(ChipPair pair)
    {
        var least = double.PositiveInfinity;
        foreach (var (x, y) in ((int, int)[])[(pair.A, pair.B), (pair.B, pair.A)])
        {
            foreach (var k in _of[x])
            {
                var other = _pairs[k];
                var z = other.Other(x);
                if (z == y)
                {
                    continue;
                }

                if (_chosen[z] < 0)
                {
                    least = Math.Min(least, other.Cost - pair.Cost);
                    continue;
                }

                var w = _pairs[_chosen[z]].Other(z);
                var spare = _pairs[_chosen[z]].Cost;
                foreach (var m in _of[y])
                {
                    if (_pairs[m].Other(y) == w)
                    {
                        least = Math.Min(least, other.Cost + _pairs[m].Cost - pair.Cost - spare);
                    }
                }
            }
        }

        return least;
    }
}
