using System.Globalization;
using System.Text;
using Stencilwright.Geometry;

namespace Stencilwright.Testing;

/// <summary>One move of a machine, in millimetres.</summary>
/// <param name="From">Where it begins.</param>
/// <param name="To">Where it ends.</param>
/// <param name="Center">Of an arc; null for a straight move.</param>
/// <param name="IsClockwise">Sense of an arc, as the machine's own axes have it.</param>
/// <param name="FeedMmS">Speed wanted; null for travel.</param>
/// <param name="IsBeamOn">Whether it burns.</param>
/// <param name="Power">The S word in force.</param>
public sealed record MachineMove(Point2 From, Point2 To, Point2? Center, bool IsClockwise, double? FeedMmS, bool IsBeamOn, double Power)
{
    public double Radius => Center is { } c ? (Point2.Distance(c, From) + Point2.Distance(c, To)) / 2 : double.PositiveInfinity;

    /// <summary>Angle turned through, always positive; a whole turn when an arc ends where it began.</summary>
    public double SweepRad
    {
        get
        {
            if (Center is not { } c)
            {
                return 0;
            }

            var turn = Math.Atan2(To.Y - c.Y, To.X - c.X) - Math.Atan2(From.Y - c.Y, From.X - c.X);
            turn = IsClockwise ? -turn : turn;
            return turn <= 0 ? turn + (2 * Math.PI) : turn;
        }
    }

    public double Length => Center is null ? Point2.Distance(From, To) : Radius * SweepRad;

    public Point2 PointAt(double t)
    {
        if (Center is not { } c)
        {
            return Point2.Lerp(From, To, t);
        }

        var angle = Math.Atan2(From.Y - c.Y, From.X - c.X) + ((IsClockwise ? -1 : 1) * SweepRad * t);
        return c + new Vector2(Radius * Math.Cos(angle), Radius * Math.Sin(angle));
    }

    /// <summary>Direction of travel at the start (0) or at the end (1), as an angle.</summary>
    public double HeadingRad(int end)
    {
        if (Center is not { } c)
        {
            return Math.Atan2(To.Y - From.Y, To.X - From.X);
        }

        var at = end == 0 ? From : To;
        return Math.Atan2(at.Y - c.Y, at.X - c.X) + ((IsClockwise ? -1 : 1) * Math.PI / 2);
    }

    /// <summary>Distance of a point from the move.</summary>
    public double DistanceTo(Point2 p)
    {
        var ends = Math.Min(Point2.Distance(p, From), Point2.Distance(p, To));
        if (Center is { } c)
        {
            var turn = Math.Atan2(p.Y - c.Y, p.X - c.X) - Math.Atan2(From.Y - c.Y, From.X - c.X);
            turn = (IsClockwise ? -turn : turn) % (2 * Math.PI);
            turn = turn < 0 ? turn + (2 * Math.PI) : turn;
            return turn <= SweepRad ? Math.Min(ends, Math.Abs(Point2.Distance(p, c) - Radius)) : ends;
        }

        var along = To - From;
        var t = along.Length == 0 ? 0 : Vector2.Dot(p - From, along) / Vector2.Dot(along, along);
        return t is > 0 and < 1 ? Point2.Distance(p, From + (along * t)) : ends;
    }
}

/// <summary>
/// Reads G-code as a controller does, written for tests from ISO 6983-1 (from memory) and NISTIR 6556 (from memory): words in any
/// spacing, units G20 and G21, absolute coordinates, modal moves, arcs about a relative centre, comments. What it cannot read, and
/// what would burn where nothing is to be burnt, it refuses.
/// </summary>
public sealed class GcodeMachine
{
    private readonly (char Letter, double Value)[] _on;
    private readonly (char Letter, double Value)[] _off;
    private readonly Dictionary<MachineMove, List<MachineMove>> _cutOf = new(ReferenceEqualityComparer.Instance);
    private double? _unitMm;
    private bool _isAbsolute = true;
    private int _motion = -1;
    private double _feedMmMin;
    private double _power;
    private bool _isOn;
    private bool _isEnded;
    private Point2 _at;

    private GcodeMachine(string on, string off) => (_on, _off) = ([.. Words(on)], [.. Words(off)]);

    /// <summary>Every move in order.</summary>
    public List<MachineMove> Moves { get; } = [];

    /// <summary>Moves between switching the beam on and off, in order.</summary>
    public List<List<MachineMove>> Cuts { get; } = [];

    /// <summary>Each line that was read, without comments.</summary>
    public List<string> Lines { get; } = [];

    public static GcodeMachine Run(byte[] file, string on = "M3", string off = "M5")
    {
        var machine = new GcodeMachine(on, off);
        foreach (var b in file)
        {
            Require(b is (byte)'\n' or (>= 32 and < 127), "A byte that is not plain ASCII");
        }

        foreach (var line in Encoding.ASCII.GetString(file).Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            machine.Line(line);
        }

        Require(machine._isEnded, "The program has no end");
        Require(!machine._isOn, "The beam is left on");
        return machine;
    }

    /// <summary>Seconds until the last beam is off, found by stepping along the moves.</summary>
    /// <param name="travelMmS">Speed of travel.</param>
    /// <param name="accelerationMmS2">Of the axes, along the way and across it in bends.</param>
    /// <param name="deviationMm">How far a corner may be rounded; 0 stops in it.</param>
    /// <param name="withFirstTravel">False leaves out the way to the first cut.</param>
    public double TimeS(double travelMmS, double accelerationMmS2, double deviationMm, bool withFirstTravel = true)
    {
        // A cut ends at rest, and so does each travel.
        var stretches = new List<List<MachineMove>>();
        foreach (var move in Moves.Take(Moves.FindLastIndex(m => m.IsBeamOn) + 1))
        {
            if (!move.IsBeamOn)
            {
                stretches.Add([move]);
            }
            else if (stretches.Count == 0 || !ReferenceEquals(_cutOf[move], _cutOf.GetValueOrDefault(stretches[^1][^1])))
            {
                stretches.Add([move]);
            }
            else
            {
                stretches[^1].Add(move);
            }
        }

        return stretches.Skip(withFirstTravel ? 0 : 1).Sum(s => Stretch(s, travelMmS, accelerationMmS2, deviationMm));
    }

    // Square of the speed at many places of the way: no more than wanted, than bends and corners allow, than can be reached and left.
    private static double Stretch(List<MachineMove> moves, double travelMmS, double accelerationMmS2, double deviationMm)
    {
        var steps = new List<double>();
        var most = new List<double> { 0 };
        for (var k = 0; k < moves.Count; k++)
        {
            var move = moves[k];
            if (move.Length == 0)
            {
                continue;
            }

            var wanted = move.FeedMmS ?? travelMmS;
            var limit = Math.Min(wanted * wanted, accelerationMmS2 * move.Radius);
            var count = Math.Max(16, (int)(move.Length / 0.02));
            most[^1] = Math.Min(most[^1], limit);
            for (var i = 0; i < count; i++)
            {
                steps.Add(move.Length / count);
                most.Add(limit);
            }

            if (k + 1 < moves.Count)
            {
                var turn = Math.Abs(Math.IEEERemainder(moves[k + 1].HeadingRad(0) - move.HeadingRad(1), 2 * Math.PI));
                if (turn > Math.PI / 180)
                {
                    // A circle that touches both lines and passes the corner at the deviation (geometry).
                    var sine = Math.Sin((Math.PI - turn) / 2);
                    most[^1] = Math.Min(most[^1], accelerationMmS2 * deviationMm * sine / (1 - sine));
                }
            }
        }

        most[^1] = 0;
        for (var i = 0; i < steps.Count; i++)
        {
            most[i + 1] = Math.Min(most[i + 1], most[i] + (2 * accelerationMmS2 * steps[i]));
        }

        for (var i = steps.Count - 1; i >= 0; i--)
        {
            most[i] = Math.Min(most[i], most[i + 1] + (2 * accelerationMmS2 * steps[i]));
        }

        return steps.Select((s, i) => 2 * s / (Math.Sqrt(most[i]) + Math.Sqrt(most[i + 1]))).Sum();
    }

    private void Line(string line)
    {
        Require(!_isEnded, "Something follows the end of the program: " + line);
        var words = Words(line);
        if (words.Count == 0)
        {
            return;
        }

        Lines.Add(line);
        double? Value(char letter) => words.Exists(w => w.Letter == letter) ? words.Find(w => w.Letter == letter).Value : null;
        foreach (var (letter, value) in words)
        {
            switch (letter, value)
            {
                case ('G', 20): _unitMm = 25.4; break;
                case ('G', 21): _unitMm = 1; break;
                case ('G', 90): _isAbsolute = true; break;
                case ('G', 91): _isAbsolute = false; break;
                case ('G', 0 or 1 or 2 or 3): _motion = (int)value; break;
                case ('F', _): _feedMmMin = value * Unit; break;
                case ('S', _): _power = value; break;
                case ('M', 2 or 30): _isEnded = true; break;
            }
        }

        // Switching stands in lines of its own, so that order in a line decides nothing.
        if (Array.TrueForAll(_on, words.Contains))
        {
            Require(!_isOn, "The beam is switched on twice");
            Require(Value('S') is not null, "The beam is switched on without power");
            _isOn = true;
            Cuts.Add([]);
        }
        else if (Array.TrueForAll(_off, words.Contains))
        {
            _isOn = false;
        }

        if (Value('X') is not null || Value('Y') is not null)
        {
            Move(Value);
        }
    }

    private double Unit => _unitMm ?? throw new InvalidOperationException("No unit was said");

    private void Move(Func<char, double?> value)
    {
        Require(_isAbsolute, "A move relative to the last");
        Require(_motion >= 0, "A move of no kind");
        var to = new Point2(value('X') * Unit ?? _at.X, value('Y') * Unit ?? _at.Y);
        Point2? center = null;
        if (_motion >= 2)
        {
            center = _at + new Vector2(value('I') * Unit ?? 0, value('J') * Unit ?? 0);

            // NISTIR 6556 (from memory): a controller refuses arcs whose radii differ by more than 0.002 mm.
            Require(Math.Abs(Point2.Distance(center.Value, _at) - Point2.Distance(center.Value, to)) < 0.002, "Radii of an arc differ");
        }

        Require(_motion != 0 || !_isOn, "Travel with the beam on");
        Require(_motion == 0 || _feedMmMin > 0, "A cut without speed");
        var move = new MachineMove(_at, to, center, _motion == 2, _motion == 0 ? null : _feedMmMin / 60, _isOn, _power);
        Moves.Add(move);
        if (_isOn)
        {
            Cuts[^1].Add(move);
            _cutOf.Add(move, Cuts[^1]);
        }

        _at = to;
    }

    private static List<(char Letter, double Value)> Words(string line)
    {
        var words = new List<(char, double)>();
        for (var i = 0; i < line.Length;)
        {
            var c = line[i];
            if (c == ';')
            {
                break;
            }

            if (c == '(')
            {
                var close = line.IndexOf(')', i);
                Require(close > 0 && line.IndexOf('(', i + 1, close - i - 1) < 0, "A comment that is not closed, or one in another");
                i = close + 1;
            }
            else if (c == ' ')
            {
                i++;
            }
            else
            {
                Require(char.IsAsciiLetter(c), "No word: " + line);
                var from = ++i;
                while (i < line.Length && (char.IsAsciiDigit(line[i]) || line[i] is '.' or '-' or '+'))
                {
                    i++;
                }

                Require(
                    double.TryParse(line.AsSpan(from, i - from), NumberStyles.AllowDecimalPoint | NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var number),
                    "No number: " + line);
                words.Add((c, number));
            }
        }

        return words;
    }

    private static void Require(bool holds, string otherwise)
    {
        if (!holds)
        {
            throw new InvalidOperationException(otherwise);
        }
    }
}
