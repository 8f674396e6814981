namespace Stencilwright.Cutting;

/// <summary>Exchanges of two and three legs that make a ring cheaper.</summary>
/// <remarks>
/// All sequential exchanges of three legs (Lin 1965) with new legs from the lists of near nodes, as long as what was taken out so far costs more than
/// what was put in (Lin and Kernighan 1973); tried without touching the ring, and done when they gain. From memory.
/// </remarks>
internal sealed class TourMoves(TourRing ring, TourNear near, TourQueue queue, Tour tour)
{
    // Less is rounding.
    private const double LeastGain = 1e-9;

    private readonly int[] _near = near.Nodes;
    private readonly double[] _nearCost = near.Costs;
    private readonly int _perNode = near.PerNode;

    /// <summary>Legs tried so far.</summary>
    public long Steps { get; set; }

    /// <summary>Does the first exchange found that takes out a leg of the node and gains; what it gains, 0 when there is none.</summary>
    public double TryFrom(int node)
    {
        var gain = TrySecond(node, isOnward: true);
        return gain > 0 ? gain : TrySecond(node, isOnward: false);
    }

    // Takes out t1-t2 and t3-t4, puts in t2-t3. Seen from t1 towards t2 the ring is t1 t2 … t3.
    private double TrySecond(int t1, bool isOnward)
    {
        var t2 = isOnward ? ring.Next(t1) : ring.Previous(t1);
        if (tour.IsFixed(t1, t2))
        {
            return 0;
        }

        var out12 = tour.Length(t1, t2);
        for (int i = t2 * _perNode, last = i + _perNode; i < last; i++)
        {
            var open = out12 - _nearCost[i];
            if (open <= LeastGain)
            {
                break;
            }

            Steps++;
            var t3 = _near[i];
            var (before, after) = isOnward ? (ring.Previous(t3), ring.Next(t3)) : (ring.Next(t3), ring.Previous(t3));
            var gain = before == t2 || tour.IsFixed(t3, before) ? 0 : CloseOrTurn(t1, t2, t3, before, open, isOnward);
            if (gain == 0 && !tour.IsFixed(t3, after))
            {
                gain = TryInside(t1, t2, t3, after, open + tour.Length(t3, after), isOnward);
            }

            if (gain > 0)
            {
                return gain;
            }
        }

        return 0;
    }

    private double CloseOrTurn(int t1, int t2, int t3, int t4, double open, bool isOnward)
    {
        open += tour.Length(t3, t4);
        var gain = open - tour.Length(t4, t1);
        if (gain <= LeastGain)
        {
            return TryThird(t1, t2, t3, t4, open, isOnward);
        }

        ring.Exchange(t1, t2, t3, t4);
        Look(t1, t2, t3, t4);
        return gain;
    }

    // t1 [t2 … t4] t3 …: turned round, t4 stands beside t1, and another two legs are exchanged.
    private double TryThird(int t1, int t2, int t3, int t4, double open, bool isOnward)
    {
        for (int i = t4 * _perNode, last = i + _perNode; i < last; i++)
        {
            var left = open - _nearCost[i];
            if (left <= LeastGain)
            {
                break;
            }

            Steps++;
            var t5 = _near[i];
            if (t5 == t3 || t5 == t1)
            {
                continue;
            }

            var isInside = isOnward ? ring.IsBetween(t2, t5, t4) : ring.IsBetween(t4, t5, t2);
            var t6 = isInside == isOnward ? ring.Next(t5) : ring.Previous(t5);
            if (t6 != t4 && Closes(t5, t6, t1, left) is > 0 and var gain)
            {
                ring.Exchange(t1, t2, t3, t4);
                ring.Exchange(t1, t4, t5, t6);
                Look(t1, t2, t3, t4, t5, t6);
                return gain;
            }
        }

        return 0;
    }

    // t1 [t2 … t3] t4: the stretch would close on itself; it is opened between t5 and t6 and put in the other way.
    private double TryInside(int t1, int t2, int t3, int t4, double open, bool isOnward)
    {
        for (int i = t4 * _perNode, last = i + _perNode; i < last; i++)
        {
            var left = open - _nearCost[i];
            if (left <= LeastGain)
            {
                break;
            }

            Steps++;
            var t5 = _near[i];
            if (t5 == t3 || !(isOnward ? ring.IsBetween(t2, t5, t3) : ring.IsBetween(t3, t5, t2)))
            {
                continue;
            }

            var (before, after) = isOnward ? (ring.Previous(t5), ring.Next(t5)) : (ring.Next(t5), ring.Previous(t5));
            if (Closes(t5, after, t1, left) is > 0 and var gain)
            {
                // t1 [after … t3][t2 … t5] t4
                if (isOnward)
                {
                    ring.SwapStretches(ring.PlaceOf(t2), ring.PlaceOf(after), ring.PlaceOf(t3));
                }
                else
                {
                    ring.SwapStretches(ring.PlaceOf(t3), ring.PlaceOf(t5), ring.PlaceOf(t2));
                }

                Look(t1, t2, t3, t4, t5, after);
                return gain;
            }

            if (t5 != t2 && Closes(t5, before, t1, left) is > 0 and var turned)
            {
                // t1 [before … t2][t3 … t5] t4
                ring.Exchange(t1, t2, t5, before);
                ring.Exchange(t5, t2, t3, t4);
                Look(t1, t2, t3, t4, t5, before);
                return turned;
            }
        }

        return 0;
    }

    // The gain when t5-t6 is taken out and the ring closed from t6 to t1; 0 for none.
    private double Closes(int t5, int t6, int t1, double left)
    {
        if (tour.IsFixed(t5, t6))
        {
            return 0;
        }

        var gain = left + tour.Length(t5, t6) - tour.Length(t6, t1);
        return gain > LeastGain ? gain : 0;
    }

    private void Look(int t1, int t2, int t3, int t4)
    {
        queue.Add(t1);
        queue.Add(t2);
        queue.Add(t3);
        queue.Add(t4);
    }

    private void Look(int t1, int t2, int t3, int t4, int t5, int t6)
    {
        Look(t1, t2, t3, t4);
        queue.Add(t5);
        queue.Add(t6);
    }
}
