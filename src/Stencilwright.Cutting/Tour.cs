using System.Numerics;
using System.Runtime.CompilerServices;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A cheap way from a fixed start through many points, to a fixed end or to none.</summary>
/// <remarks>
/// A greedy ring, exchanges of two and three legs among near neighbours, then again and again a double bridge somewhere whose
/// surroundings are searched anew (docs/algorithms/order.md). Work is counted in tried legs, not in time, and random numbers
/// come from a fixed seed: the same points give the same way.
/// </remarks>
internal sealed class Tour
{
    private const int NeighbourCount = 6;
    private const int ConsideredWithReheat = 16;

    // Long stretches put long legs in, so that what is searched after a kick is a whole neighbourhood (measured: 50 beats 10 and 30).
    private const int LongestStretch = 50;

    // How much dearer the way may become for a while, as a share of its mean leg (measured: 0.1 to 0.2 beat 0 and 0.4).
    private const double Warmth = 0.15;

    private readonly double[] _x;
    private readonly double[] _y;
    private readonly int _count;
    private readonly int _end;
    private readonly bool _isEndFree;
    private readonly long _limit;
    private readonly CancellationToken _enough;
    private readonly TourCost _cost;
    private readonly TourRing _ring;
    private readonly TourMoves _moves;
    private readonly TourQueue _queue;
    private readonly int[] _best;
    private bool _isBest = true;
    private double _now;
    private double _bestCost;
    private bool _isEnough;
    private ulong _random = 0x9E3779B97F4A7C15;

    private Tour(Point2 start, ReadOnlySpan<Point2> points, Point2? end, TourCost cost, long limit, CancellationToken enough)
    {
        // The way is a ring: after the end comes the start again. An end that may be anywhere is at no place, and costs nothing.
        _count = points.Length + 2;
        (_end, _isEndFree) = (_count - 1, end is null);
        (_cost, _limit, _enough) = (cost, limit, enough);
        (_x, _y) = (new double[_count], new double[_count]);
        (_x[0], _y[0]) = (start.X, start.Y);
        for (var i = 0; i < points.Length; i++)
        {
            (_x[i + 1], _y[i + 1]) = (points[i].X, points[i].Y);
        }

        (_x[_end], _y[_end]) = end is { } e ? (e.X, e.Y) : (start.X, start.Y);
        var placed = _isEndFree ? _end : _count;
        var considered = cost.HasReheat ? ConsideredWithReheat : NeighbourCount;
        var near = TourNear.Find(new PointGrid(_x[..placed], _y[..placed]), _count, NeighbourCount, considered, Length);
        var nodes = TourStart.Find(_x, _y, near, _isEndFree);
        TakeGivenOrderIfBetter(nodes);
        (_ring, _queue, _best) = (new TourRing(nodes), new TourQueue(_count), new int[_count]);
        _moves = new TourMoves(_ring, near, _queue, this);
    }

    /// <summary>Indices of the points in the order of the way.</summary>
    /// <param name="start">Where the way starts.</param>
    /// <param name="points">The points.</param>
    /// <param name="end">Where the way goes after its last point; null when it may end anywhere.</param>
    /// <param name="cost">What a leg costs.</param>
    /// <param name="stepsPerPoint">Tried legs for each point.</param>
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
        return tour.Result();
    }

    /// <summary>Whether a leg is the one from the end back to the start, which stays.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool IsFixed(int a, int b) => a + b == _end && (a == 0 || b == 0);

    /// <summary>Cost of a leg.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public double Length(int a, int b)
    {
        if (_isEndFree && (a == _end || b == _end))
        {
            return 0;
        }

        var (dx, dy) = (_x[a] - _x[b], _y[a] - _y[b]);
        return _cost.Travel((dx * dx) + (dy * dy)) + _cost.Reheat(a, b);
    }

    private int[] Result()
    {
        var result = new int[_count - 2];
        var isOnward = _ring.Next(_end) == 0;
        var node = 0;
        for (var i = 0; i < result.Length; i++)
        {
            node = isOnward ? _ring.Next(node) : _ring.Previous(node);
            result[i] = node - 1;
        }

        return result;
    }

    private void Improve()
    {
        foreach (var node in _ring.Nodes)
        {
            _queue.Add(node);
        }

        _ = Settle();
        _queue.Clear();
        _ring.Keep();
        _bestCost = _now = CostOf(_ring.Nodes);

        // With fewer than three points there is nothing that exchanges of two legs leave.
        while (_count >= 5 && _moves.Steps < _limit && !_isEnough)
        {
            Kick();
        }

        if (!_isBest)
        {
            _ring.Set(_best);
        }
    }

    // Works off the queue; returns the change of the way's cost.
    private double Settle()
    {
        var sum = 0.0;
        while (_moves.Steps < _limit && !_isEnough && _queue.TryTake(out var node))
        {
            _isEnough = _enough.IsCancellationRequested;
            while (_moves.Steps < _limit && _moves.TryFrom(node) is > 0 and var gain)
            {
                sum -= gain;
            }
        }

        return sum;
    }

    // A double bridge (Martin, Otto and Felten 1991): three stretches in a row come in the opposite order, each in its direction.
    // No exchange of three legs takes that back, so the search settles somewhere else; the way goes on from there unless it cost too much.
    private void Kick()
    {
        _moves.Steps += 4;
        var longest = Math.Min(LongestStretch, (_count - 2) / 3);
        var (a, b, c) = (1 + Next(longest), 1 + Next(longest), 1 + Next(longest));
        var from = Next(_count);
        ReadOnlySpan<int> at =
        [
            _ring.At(from == 0 ? _count - 1 : from - 1), _ring.At(from),
            _ring.At(from + a - 1), _ring.At(from + a),
            _ring.At(from + a + b - 1), _ring.At(from + a + b),
            _ring.At(from + a + b + c - 1), _ring.At(from + a + b + c),
        ];
        if (IsFixed(at[0], at[1]) || IsFixed(at[2], at[3]) || IsFixed(at[4], at[5]) || IsFixed(at[6], at[7]))
        {
            return;
        }

        var change = Length(at[0], at[5]) + Length(at[6], at[3]) + Length(at[4], at[1]) + Length(at[2], at[7])
            - Length(at[0], at[1]) - Length(at[2], at[3]) - Length(at[4], at[5]) - Length(at[6], at[7]);
        _ring.Mirror(from, a, b, c);
        foreach (var node in at)
        {
            _queue.Add(node);
        }

        change += Settle();
        Judge(change);
        _queue.Clear();
    }

    private void Judge(double change)
    {
        if (change > Allowed())
        {
            _ring.TakeBack();
            return;
        }

        if (change > 0 && _isBest)
        {
            _ring.SaveBefore(_best);
            _isBest = false;
        }

        _ring.Keep();
        _now += change;
        if (_now < _bestCost)
        {
            (_bestCost, _isBest) = (_now, true);
        }
    }

    // Exponentially distributed, as in annealing (Kirkpatrick, Gelatt and Vecchi 1983, from memory): minus the logarithm to base 2 of a
    // random number, straight between powers of two, since libraries' logarithms differ in their last digit.
    private double Allowed()
    {
        var bits = Random() | 1;
        var zeros = BitOperations.LeadingZeroCount(bits);
        var part = ((bits << zeros) & long.MaxValue) * (1.0 / long.MaxValue);
        return (zeros + 1 - part) * 0.6931 * Warmth * _bestCost / _count;
    }

    // The order in which the points were given may be a good one already; the search only ever gets better from where it starts.
    private void TakeGivenOrderIfBetter(int[] nodes)
    {
        var given = new int[_count];
        for (var i = 0; i < _count; i++)
        {
            given[i] = i;
        }

        if (CostOf(given) < CostOf(nodes))
        {
            given.CopyTo(nodes, 0);
        }
    }

    private double CostOf(ReadOnlySpan<int> nodes)
    {
        var sum = Length(nodes[^1], nodes[0]);
        for (var i = 1; i < nodes.Length; i++)
        {
            sum += Length(nodes[i - 1], nodes[i]);
        }

        return sum;
    }

    private ulong Random()
    {
        // xorshift64 (Marsaglia 2003).
        _random ^= _random << 13;
        _random ^= _random >> 7;
        _random ^= _random << 17;
        return _random;
    }

    private int Next(int below) => (int)Math.BigMul(Random(), (ulong)below, out _);
}
