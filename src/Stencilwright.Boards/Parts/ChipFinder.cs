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
    // Ways that are dearer by less are as likely; measured so that what is said to be sure is right on boards of known parts.
    private const double LeastMargin = 0.25;
    private const double RivalMargin = 0.12;

    // Pairs taken apart at most to serve one pad: rows are seldom longer, and the search stays short.
    private const int LongestWay = 16;

    // Pads looked at on the way: fields of equal pads stay cheap.
    private const int MostSeen = 300;

    private readonly PadField _field;
    private readonly LandHabits _habits;
    private readonly List<ChipPair> _pairs = [];
    private readonly List<int>[] _of;
    private readonly int[] _chosen;
    private readonly List<int> _near = [];
    private readonly List<int> _between = [];

    private ChipFinder(PadField field, LandHabits habits)
    {
        (_field, _habits) = (field, habits);
        _of = new List<int>[field.Pads.Length];
        _chosen = new int[field.Pads.Length];
        Array.Fill(_chosen, -1);
    }

    /// <summary>Claims pairs; with <paramref name="onlyUsual"/> those alone that fit a usual outline.</summary>
    /// <param name="field">The pads.</param>
    /// <param name="parts">What is found is added here.</param>
    /// <param name="habits">Lands that the board has where nothing else is near; likelier elsewhere too.</param>
    /// <param name="onlyUsual">Leaves pairs of unusual lands for later.</param>
    public static void Find(PadField field, List<Draft> parts, LandHabits habits, bool onlyUsual) => new ChipFinder(field, habits).Run(parts, onlyUsual);

    private void Run(List<Draft> parts, bool onlyUsual)
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
        var found = new List<Draft>();
        for (var i = 0; i < _of.Length; i++)
        {
            if (_chosen[i] >= 0 && _pairs[_chosen[i]].A == i)
            {
                found.Add(Draft(_pairs[_chosen[i]]));
            }
        }

        foreach (var part in found)
        {
            _field.Claim(part);
        }

        parts.AddRange(found);
    }

    private void Candidates(int i, bool onlyUsual)
    {
        var pad = _field.Pads[i];
        _field.FreeWithin(pad.At, Math.Min(11, (4.6 * pad.LongMm) + 0.3), _near);
        foreach (var j in _near)
        {
            if (j > i && ChipPairs.Judge(_field, i, j, _between) is { } pair && (!onlyUsual || pair.Misfit <= 0.5))
            {
                _of[i].Add(_pairs.Count);
                _of[j].Add(_pairs.Count);
                _pairs.Add(pair with { Cost = pair.Cost - _habits.Bonus(_field, pair) });
            }
        }
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

    // A way from a pad left alone over pairs taken apart to another left alone: then both are served and one pair more is made.
    // In rows of chips end to end the cheapest pairs may lie across the parts all along the row.
    private void Mend(int alone)
    {
        var seen = new SortedSet<int> { alone };
        var path = new List<int>();
        if (!Extend(alone, seen, path))
        {
            return;
        }

        for (var k = 0; k < path.Count; k++)
        {
            (_chosen[_pairs[path[k]].A], _chosen[_pairs[path[k]].B]) = (path[k], path[k]);
        }
    }

    private bool Extend(int from, SortedSet<int> seen, List<int> path)
    {
        foreach (var k in _of[from].OrderBy(k => _pairs[k].Cost))
        {
            var next = _pairs[k].Other(from);
            if (!seen.Add(next))
            {
                continue;
            }

            path.Add(k);
            if (_chosen[next] < 0)
            {
                return true;
            }

            var beyond = _pairs[_chosen[next]].Other(next);
            if (path.Count < LongestWay && seen.Count < MostSeen && seen.Add(beyond) && Extend(beyond, seen, path))
            {
                return true;
            }

            path.RemoveAt(path.Count - 1);
        }

        return false;
    }

    private Draft Draft(ChipPair pair)
    {
        var (a, b) = (_field.Pads[pair.A], _field.Pads[pair.B]);
        var isUsual = pair.Misfit <= 0.5;
        var along = (b.At - a.At).Unit;
        var part = new Draft(PartClass.Chip, 0, "")
        {
            Center = Point2.Lerp(a.At, b.At, 0.5),
            RotationDeg = Directions.Turn(b.At - a.At),
            PitchMm = Point2.Distance(a.At, b.At),
            Size = isUsual && !pair.IsDoubtful && pair.Size.Imperial is not null ? pair.Size : null,
        };
        var (confidence, doubt) = Sureness(pair, isUsual);
        part.Confidence = confidence;
        var lands = FormattableString.Invariant($"two pads of {a.ExtentAlong(along):0.##} by {a.ExtentAlong(along.Left):0.##} mm {part.PitchMm:0.##} mm apart");
        part.Why = lands + (isUsual ? $", as for {pair.Size.Name}" : ", as for no usual outline") + doubt;
        part.Add([pair.A, pair.B], PadFunction.Terminal);
        return part;
    }

    private (double Confidence, string Doubt) Sureness(ChipPair pair, bool isUsual)
    {
        if (Margin(pair) < LeastMargin)
        {
            return (0.65, "; they may pair with others as well");
        }

        if (!isUsual)
        {
            return (pair.Misfit <= 1.5 ? 0.72 : 0.6, "");
        }

        if (!_habits.Knows(_field, pair))
        {
            if (LandHabits.Twins(_field, pair, _near) == 1)
            {
                return (0.75, "; with the two beside them they may be one part of four");
            }

            if (LandHabits.LooksLikeTestPoint(_field.Pads[pair.A]))
            {
                return (0.7, "; they may be two test points");
            }
        }

        return (0.95 - (0.1 * pair.Misfit), "");
    }

    // How much dearer the cheapest other way is that takes this pair apart: all pads served, or a rival just as good.
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

                // A rival partner that is as good by itself is a doubt even when it would leave a pad alone elsewhere.
                least = Math.Min(least, other.Cost - pair.Cost + (_chosen[z] < 0 ? 0 : LeastMargin - RivalMargin));
                if (_chosen[z] < 0)
                {
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
