using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A cheap way from a fixed start through many points, to a fixed end or to none.</summary>
/// <remarks>
/// Nearest neighbour over a grid, then 2-opt and Or-opt moves among near neighbours (Bentley 1992, "Fast algorithms for
/// geometric traveling salesman problems"), then two neighbouring stretches change places, kept only when the way gets
/// cheaper (docs/algorithms/order.md). Work is counted in tried moves, not in time, and random numbers come from a fixed
/// seed: the same points give the same way.
/// </remarks>
internal sealed class Tour
{
    private const int NeighbourCount = 7;
    private const int LongestOrSegment = 3;
    private const int LongestKick = 30;

    // Turning round a long stretch costs its length; on huge sheets such moves are left out to keep the work linear.
    private const int UnlimitedSize = 12_000;
    private const int LongestTurn = 5_000;

    private const double Gain = 1e-9;

    private readonly double[] _x;
    private readonly double[] _y;
    private readonly int[] _tour;
    private readonly int[] _place;
    private readonly int[] _near;
    private readonly int _count;
    private readonly int _longestTurn;
    private readonly long _limit;
    private readonly CancellationToken _enough;
    private readonly TourCost _cost;
    private readonly Point2? _end;
    private bool _isEnough;
    private readonly Queue<int> _queue = new();
    private readonly bool[] _queued;
    private readonly List<(int From, int To)> _journal = [];
    private long _steps;
    private ulong _random = 0x9E3779B97F4A7C15;

    private Tour(Point2 start, ReadOnlySpan<Point2> points, Point2? end, TourCost cost, long limit, CancellationToken enough)
    {
        _count = points.Length + 1;
        _cost = cost;
        (_x, _y) = (new double[_count], new double[_count]);
        (_x[0], _y[0]) = (start.X, start.Y);
        for (var i = 0; i < points.Length; i++)
        {
            (_x[i + 1], _y[i + 1]) = (points[i].X, points[i].Y);
        }

        _end = end;

        _longestTurn = _count <= UnlimitedSize ? _count : LongestTurn;
        _limit = limit;
        _enough = enough;
        _queued = new bool[_count];
        var grid = new PointGrid(_x, _y);
        _near = grid.Neighbours(NeighbourCount);
        _tour = grid.NearestNeighbourWay();
        _place = new int[_count];
        TakeGivenOrderIfBetter();
        for (var i = 0; i < _count; i++)
        {
            _place[_tour[i]] = i;
        }
    }

    /// <summary>Indices of the points in the order of the way.</summary>
    /// <param name="start">Where the way starts.</param>
    /// <param name="points">The points.</param>
    /// <param name="end">Where the way goes after its last point; null when it may end anywhere.</param>
    /// <param name="cost">What a leg costs.</param>
    /// <param name="stepsPerPoint">Tried moves for each point.</param>
    /// <param name="enough">Ends the search with the best way so far.</param>
    public static int[] Find(
        Point2 start, ReadOnlySpan<Point2> points, Point2? end, TourCost cost, long stepsPerPoint, CancellationToken enough)
    {
        if (points.Length == 0)
        {
            return [];
        }

        var tour = new Tour(start, points, end, cost, stepsPerPoint * points.Length, enough);
        tour.Improve();
        var result = new int[points.Length];
        for (var i = 0; i < result.Length; i++)
        {
            result[i] = tour._tour[i + 1] - 1;
        }

        return result;
    }

    private void Improve()
    {
        foreach (var node in _tour)
        {
            Enqueue(node);
        }

        Settle();
        _journal.Clear();
        while (_steps < _limit && _count >= 8 && !_isEnough)
        {
            Kick();
        }
    }

    // Works off the queue; returns the change of the way's length.
    private double Settle()
    {
        var sum = 0.0;
        while (_steps < _limit && !_isEnough && _queue.TryDequeue(out var node))
        {
            _isEnough = _enough.IsCancellationRequested;
            _queued[node] = false;
            while (_steps < _limit && TryMoves(node) is < 0 and var change)
            {
                sum += change;
            }
        }

        return sum;
    }

    // Swaps two neighbouring stretches somewhere, settles, and takes it all back unless the way became shorter.
    private void Kick()
    {
        _journal.Clear();
        _steps++;
        var longest = Math.Min(LongestKick, (_count - 2) / 3);
        var first = 1 + Next(_count - 2);
        var middle = first + Next(longest);
        var last = middle + 1 + Next(longest);
        if (last >= _count)
        {
            return;
        }

        var before = Distance(first - 1, first) + Distance(middle, middle + 1) + DistanceBeyond(last);
        SwapBlocks(first, middle, last, keepFirst: true);
        var cut = first + (last - middle) - 1;
        var change = Distance(first - 1, first) + Distance(cut, cut + 1) + DistanceBeyond(last) - before;
        foreach (var at in (ReadOnlySpan<int>)[first - 1, first, cut, cut + 1, last, Math.Min(last + 1, _count - 1)])
        {
            Enqueue(_tour[at]);
        }

        change += Settle();
        if (change >= -Gain)
        {
            while (_queue.TryDequeue(out var node))
            {
                _queued[node] = false;
            }

            for (var i = _journal.Count - 1; i >= 0; i--)
            {
                TurnRaw(_journal[i].From, _journal[i].To);
            }
        }
    }

    private double TryMoves(int a)
    {
        var change = TryTwoOpt(a);
        return change < 0 ? change : TryOrOpt(a);
    }

    private double TryTwoOpt(int a)
    {
        var i = _place[a];
        var after = DistanceBeyond(i);
        var before = i > 0 ? Length(_tour[i - 1], a) : 0;
        for (var k = 0; k < NeighbourCount; k++)
        {
            var c = _near[(a * NeighbourCount) + k];
            if (c < 0)
            {
                break;
            }

            _steps++;
            var least = Travel(a, c);
            if (least >= after && least >= before)
            {
                break;
            }

            var (j, d) = (_place[c], least + _cost.Reheat(a, c));

            // a and c both keep what comes before them …
            var (lo, hi) = i < j ? (i, j) : (j, i);
            var change = d + JoinBeyond(lo + 1, hi + 1) - Distance(lo, lo + 1) - DistanceBeyond(hi);
            if (d < after && change < -Gain && Turn(lo + 1, hi))
            {
                return change;
            }

            // … or what comes after them; the start has nothing before it.
            if (lo > 0 && d < before)
            {
                change = d + Length(_tour[lo - 1], _tour[hi - 1]) - Distance(lo - 1, lo) - Distance(hi - 1, hi);
                if (change < -Gain && Turn(lo, hi - 1))
                {
                    return change;
                }
            }
        }

        return 0;
    }

    private double TryOrOpt(int a)
    {
        var i = _place[a];
        for (var length = 1; length <= LongestOrSegment; length++)
        {
            // The stretch has a at either of its ends.
            if (TryInsert(a, i, i + length - 1) is < 0 and var forward)
            {
                return forward;
            }

            if (length > 1 && TryInsert(a, i - length + 1, i) is < 0 and var backward)
            {
                return backward;
            }
        }

        return 0;
    }

    private double TryInsert(int a, int from, int to)
    {
        if (from < 1 || to >= _count)
        {
            return 0;
        }

        var other = _tour[from] == a ? _tour[to] : _tour[from];
        var gain = Distance(from - 1, from) + DistanceBeyond(to) - JoinBeyond(from - 1, to + 1);
        for (var k = 0; k < NeighbourCount; k++)
        {
            var c = _near[(a * NeighbourCount) + k];
            if (c < 0)
            {
                break;
            }

            _steps++;
            var d = Travel(a, c);
            if (d >= gain)
            {
                break;
            }

            d += _cost.Reheat(a, c);
            var j = _place[c];
            if (j >= from && j <= to)
            {
                continue;
            }

            // Behind c: c, a … other, what followed c.
            if (j != from - 1)
            {
                var change = d + (j + 1 < _count ? Length(other, _tour[j + 1]) : ToEnd(other)) - DistanceBeyond(j) - gain;
                if (change < -Gain && Insert(from, to, j, firstIsA: true, a))
                {
                    return change;
                }
            }

            // Before c: what preceded c, other … a, c.
            if (j > 0 && j != to + 1)
            {
                var change = d + Length(_tour[j - 1], other) - Distance(j - 1, j) - gain;
                if (change < -Gain && Insert(from, to, j - 1, firstIsA: false, a))
                {
                    return change;
                }
            }
        }

        return 0;
    }

    // Moves the stretch to stand behind place j, with a first or last.
    private bool Insert(int from, int to, int j, bool firstIsA, int a)
    {
        var isForward = (_tour[from] == a) == firstIsA;
        if (Math.Abs(j - from) > _longestTurn)
        {
            return false;
        }

        foreach (var at in (ReadOnlySpan<int>)[from - 1, from, to, Math.Min(to + 1, _count - 1), j, Math.Min(j + 1, _count - 1)])
        {
            Enqueue(_tour[at]);
        }

        if (j > to)
        {
            SwapBlocks(from, to, j, keepFirst: isForward);
        }
        else
        {
            // Blocks j+1 … from-1 and the stretch change places.
            TurnLogged(j + 1, from - 1);
            if (isForward)
            {
                TurnLogged(from, to);
            }

            TurnLogged(j + 1, to);
        }

        return true;
    }

    // Places first … middle and middle+1 … last change places; the second keeps its direction, the first if asked.
    private void SwapBlocks(int first, int middle, int last, bool keepFirst)
    {
        if (keepFirst)
        {
            TurnLogged(first, middle);
        }

        TurnLogged(middle + 1, last);
        TurnLogged(first, last);
    }

    private bool Turn(int from, int to)
    {
        if (to - from > _longestTurn)
        {
            return false;
        }

        foreach (var at in (ReadOnlySpan<int>)[from - 1, from, to, Math.Min(to + 1, _count - 1)])
        {
            Enqueue(_tour[at]);
        }

        TurnLogged(from, to);
        return true;
    }

    private void TurnLogged(int from, int to)
    {
        _journal.Add((from, to));
        TurnRaw(from, to);
    }

    private void TurnRaw(int from, int to)
    {
        while (from < to)
        {
            (_tour[from], _tour[to]) = (_tour[to], _tour[from]);
            (_place[_tour[from]], _place[_tour[to]]) = (from, to);
            from++;
            to--;
        }
    }

    private void Enqueue(int node)
    {
        if (!_queued[node])
        {
            _queued[node] = true;
            _queue.Enqueue(node);
        }
    }

    private double Travel(int a, int b)
    {
        var (dx, dy) = (_x[a] - _x[b], _y[a] - _y[b]);
        return _cost.Travel((dx * dx) + (dy * dy));
    }

    private double Length(int a, int b) => Travel(a, b) + _cost.Reheat(a, b);

    private double Distance(int placeA, int placeB) => Length(_tour[placeA], _tour[placeB]);

    private double DistanceBeyond(int place) => place + 1 < _count ? Distance(place, place + 1) : ToEnd(_tour[place]);

    private double JoinBeyond(int placeA, int placeB) => placeB < _count ? Distance(placeA, placeB) : ToEnd(_tour[placeA]);

    private double ToEnd(int a)
    {
        if (_end is not { } end)
        {
            return 0;
        }

        var (dx, dy) = (_x[a] - end.X, _y[a] - end.Y);
        return _cost.Travel((dx * dx) + (dy * dy));
    }

    // The order in which the points were given may be a good one already; the search only ever gets better from where it starts.
    private void TakeGivenOrderIfBetter()
    {
        var (found, given) = (ToEnd(_tour[^1]), ToEnd(_count - 1));
        for (var i = 1; i < _count; i++)
        {
            found += Length(_tour[i - 1], _tour[i]);
            given += Length(i - 1, i);
        }

        if (given < found)
        {
            for (var i = 0; i < _count; i++)
            {
                _tour[i] = i;
            }
        }
    }

    private int Next(int below)
    {
        // xorshift64 (Marsaglia 2003).
        _random ^= _random << 13;
        _random ^= _random >> 7;
        _random ^= _random << 17;
        return (int)(_random % (ulong)below);
    }
}
