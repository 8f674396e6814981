using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What a machine's axes can do.</summary>
/// <param name="SpeedMmS">Highest speed along the path.</param>
/// <param name="AccelerationMmS2">Highest acceleration, along the path and across it.</param>
/// <param name="CornerDeviationMm">How far the axes may leave a corner to round it; 0 stops at every corner.</param>
internal readonly record struct MotionLimits(double SpeedMmS, double AccelerationMmS2, double CornerDeviationMm = 0)
{
    public static MotionLimits Of(JobSettings settings, double speedMmS) =>
        new(speedMmS, settings.AccelerationMmS2, settings.CornerSlowing == "round" ? settings.CornerDeviationMm : 0);
}

/// <summary>How fast a path is run.</summary>
/// <param name="LengthsMm">Of each segment.</param>
/// <param name="MostMmS">The most along each segment.</param>
/// <param name="JointsMmS">At the start of each segment, and at the end of the last.</param>
internal sealed record SpeedProfile(double[] LengthsMm, double[] MostMmS, double[] JointsMmS);

/// <summary>How fast one segment is run: faster, even, slower.</summary>
internal readonly struct SpeedRun(SpeedProfile profile, int segment, double accelerationMmS2)
{
    private readonly double _from = profile.JointsMmS[segment];
    private readonly double _to = profile.JointsMmS[segment + 1];
    private readonly double _most = profile.MostMmS[segment];
    private readonly double _twice = 2 * accelerationMmS2;

    public double LengthMm { get; } = profile.LengthsMm[segment];

    /// <summary>Speed at a place along the segment.</summary>
    public double SpeedAt(double mm) => Math.Min(
        _most, Math.Sqrt(Math.Min((_from * _from) + (_twice * mm), (_to * _to) + (_twice * Math.Max(0, LengthMm - mm)))));

    /// <summary>Places between which the speed only rises, stays, or only falls: both ends and up to two more.</summary>
    public double[] Breaks()
    {
        var up = ((_most * _most) - (_from * _from)) / _twice;
        var down = LengthMm - (((_most * _most) - (_to * _to)) / _twice);
        if (up > down)
        {
            up = down = (LengthMm / 2) + (((_to * _to) - (_from * _from)) / (2 * _twice));
        }

        return [0, Math.Clamp(up, 0, LengthMm), Math.Clamp(down, 0, LengthMm), LengthMm];
    }
}

/// <summary>Time of moves under a speed limit and an acceleration limit.</summary>
/// <remarks>
/// A path starts and ends at rest. Along each segment the speed is a trapezoid between the speeds at its ends; bends are
/// taken no faster than √(a R). Corners are stops, or are taken at the speed of the circle that touches both segments and
/// passes the corner at the deviation: v² = a δ s/(1 - s) with s the sine of half the angle between the segments (geometry).
/// </remarks>
internal static class Motion
{
    // Below about one degree a joint is no corner.
    private const double SmoothCosine = 0.99985;

    private const int Few = 64;

    /// <summary>Seconds from rest to rest: L/v + v/a when the speed is reached (L ≥ v²/a), otherwise 2 √(L/a).</summary>
    public static double RestToRestS(double lengthMm, double speedMmS, double accelerationMmS2)
    {
        if (lengthMm <= 0)
        {
            return 0;
        }

        return lengthMm >= speedMmS * speedMmS / accelerationMmS2
            ? (lengthMm / speedMmS) + (speedMmS / accelerationMmS2)
            : 2 * Math.Sqrt(lengthMm / accelerationMmS2);
    }

    /// <summary>Seconds along a path with the beam on.</summary>
    public static double PathS(CutPath path, in MotionLimits limits)
    {
        var count = path.SegmentCount;
        var seconds = count <= Few ? stackalloc double[Few] : new double[count];
        SegmentTimes(path, limits, seconds);
        var sum = 0.0;
        foreach (var time in seconds[..count])
        {
            sum += time;
        }

        return sum;
    }

    /// <summary>Seconds along each segment of a path.</summary>
    /// <param name="path">The path.</param>
    /// <param name="limits">The machine's.</param>
    /// <param name="seconds">Takes one for each segment.</param>
    public static void SegmentTimes(CutPath path, in MotionLimits limits, Span<double> seconds)
    {
        var count = path.SegmentCount;
        var most = count <= Few ? stackalloc double[Few] : new double[count];
        var entry = count < Few ? stackalloc double[Few] : new double[count + 1];
        Speeds(path, limits, seconds, most, entry);
        for (var i = 0; i < count; i++)
        {
            seconds[i] = Trapezoid(seconds[i], entry[i], entry[i + 1], most[i], limits.AccelerationMmS2);
        }
    }

    /// <summary>Speeds at the joints of a path, and the most along its segments.</summary>
    public static SpeedProfile ProfileOf(CutPath path, in MotionLimits limits)
    {
        var profile = new SpeedProfile(new double[path.SegmentCount], new double[path.SegmentCount], new double[path.SegmentCount + 1]);
        Speeds(path, limits, profile.LengthsMm, profile.MostMmS, profile.JointsMmS);
        return profile;
    }

    private static void Speeds(CutPath path, in MotionLimits limits, Span<double> lengths, Span<double> most, Span<double> entry)
    {
        var count = path.SegmentCount;
        for (var i = 0; i < count; i++)
        {
            var segment = path.SegmentAt(i);
            lengths[i] = segment.Length;
            most[i] = Math.Min(limits.SpeedMmS, BendSpeed(segment, limits.AccelerationMmS2));
            entry[i] = i == 0 ? 0 : Math.Min(Math.Min(most[i - 1], most[i]), JointSpeed(path.SegmentAt(i - 1), segment, limits));
        }

        // What can be reached from the speed before, and what can still be slowed down to the speed after.
        entry[count] = 0;
        for (var i = 0; i < count; i++)
        {
            entry[i + 1] = Math.Min(entry[i + 1], Reach(entry[i], lengths[i], limits.AccelerationMmS2));
        }

        for (var i = count - 1; i >= 0; i--)
        {
            entry[i] = Math.Min(entry[i], Reach(entry[i + 1], lengths[i], limits.AccelerationMmS2));
        }
    }

    private static double Reach(double speed, double length, double acceleration) => Math.Sqrt((speed * speed) + (2 * acceleration * length));

    private static double BendSpeed(Segment segment, double acceleration)
    {
        if (segment.Bulge == 0)
        {
            return double.PositiveInfinity;
        }

        // Chord = 2 R sin(φ/2), and the bulge is tan(φ/4).
        var radius = Point2.Distance(segment.Start, segment.End) * (1 + (segment.Bulge * segment.Bulge)) / (4 * Math.Abs(segment.Bulge));
        return Math.Sqrt(acceleration * radius);
    }

    private static double JointSpeed(Segment before, Segment after, in MotionLimits limits)
    {
        var cosine = Vector2.Dot(before.EndTangent, after.StartTangent);
        if (cosine >= SmoothCosine)
        {
            return double.PositiveInfinity;
        }

        // Half the angle between the segments is a right angle less half the turn: its sine is the cosine of half the turn.
        var half = Math.Sqrt(Math.Max(0, (1 + cosine) / 2));
        return Math.Sqrt(limits.AccelerationMmS2 * limits.CornerDeviationMm * half / (1 - half));
    }

    private static double Trapezoid(double length, double from, double to, double most, double acceleration)
    {
        if (length <= 0)
        {
            return 0;
        }

        var peak = Math.Sqrt((acceleration * length) + (((from * from) + (to * to)) / 2));
        if (peak <= most)
        {
            return Math.Max(0, ((2 * peak) - from - to) / acceleration);
        }

        var ramps = ((2 * most * most) - (from * from) - (to * to)) / (2 * acceleration);
        return (((2 * most) - from - to) / acceleration) + ((length - ramps) / most);
    }
}
