namespace Stencilwright.Cutting;

/// <summary>What a leg of a way costs: its travel, and what it costs to come too soon to where it is still warm.</summary>
internal sealed class TourCost
{
    private readonly double _speed;
    private readonly double _acceleration;
    private readonly double _rampSquare;
    private readonly int[]? _starts;
    private readonly int[] _others = [];
    private readonly double[] _costs = [];

    private TourCost(double speedMmS, double accelerationMmS2)
    {
        (_speed, _acceleration) = (speedMmS, accelerationMmS2);
        var ramp = speedMmS * speedMmS / accelerationMmS2;
        _rampSquare = ramp * ramp;
    }

    private TourCost(TourCost travel, int[] starts, int[] others, double[] costs)
        : this(travel._speed, travel._acceleration) => (_starts, _others, _costs) = (starts, others, costs);

    /// <summary>Whether legs between some points cost more than their travel.</summary>
    public bool HasReheat => _starts is not null;

    /// <summary>Plain length in millimetres.</summary>
    public static TourCost Length { get; } = new(1, double.PositiveInfinity);

    /// <summary>Seconds from rest to rest.</summary>
    public static TourCost Time(double speedMmS, double accelerationMmS2) => new(speedMmS, accelerationMmS2);

    /// <summary>With what it costs to go straight from one point to another, either way.</summary>
    /// <param name="count">Number of points, the start not counted.</param>
    /// <param name="pairs">Indices of points and the cost.</param>
    public TourCost WithReheat(int count, List<(int A, int B, double Cost)> pairs)
    {
        if (pairs.Count == 0)
        {
            return this;
        }

        // Points are nodes 1 and up: the start is node 0, and beyond the last point may come the end.
        var starts = new int[count + 3];
        foreach (var (a, b, _) in pairs)
        {
            starts[a + 2]++;
            starts[b + 2]++;
        }

        for (var i = 1; i < starts.Length; i++)
        {
            starts[i] += starts[i - 1];
        }

        var fill = new int[count];
        var (others, costs) = (new int[2 * pairs.Count], new double[2 * pairs.Count]);
        foreach (var (a, b, cost) in pairs)
        {
            var (atA, atB) = (starts[a + 1] + fill[a]++, starts[b + 1] + fill[b]++);
            (others[atA], costs[atA]) = (b + 1, cost);
            (others[atB], costs[atB]) = (a + 1, cost);
        }

        return new TourCost(this, starts, others, costs);
    }

    /// <summary>Cost of travel over a distance, given by its square.</summary>
    public double Travel(double square)
    {
        var length = Math.Sqrt(square);
        return square >= _rampSquare ? (length / _speed) + (_speed / _acceleration) : 2 * Math.Sqrt(length / _acceleration);
    }

    /// <summary>What going straight from one node to another costs more than its travel.</summary>
    public double Reheat(int a, int b)
    {
        if (_starts is null)
        {
            return 0;
        }

        for (var i = _starts[a]; i < _starts[a + 1]; i++)
        {
            if (_others[i] == b)
            {
                return _costs[i];
            }
        }

        return 0;
    }
}
