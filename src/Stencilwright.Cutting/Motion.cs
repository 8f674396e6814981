using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Time of moves under a speed limit and an acceleration limit.</summary>
/// <remarks>
/// Each run between corners starts and ends at rest with a trapezoidal speed curve; where one segment leaves another
/// without a corner the run goes on. Controllers that look ahead round some corners without stopping, so this is an upper
/// figure for the same limits.
/// </remarks>
internal static class Motion
{
    // Below about one degree a joint is no corner.
    private const double SmoothCosine = 0.99985;

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
    public static double PathS(CutPath path, double speedMmS, double accelerationMmS2)
    {
        var (sum, run) = (0.0, 0.0);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var segment = path.SegmentAt(i);
            if (i > 0 && Vector2.Dot(path.SegmentAt(i - 1).EndTangent, segment.StartTangent) < SmoothCosine)
            {
                sum += RestToRestS(run, speedMmS, accelerationMmS2);
                run = 0;
            }

            run += segment.Length;
        }

        return sum + RestToRestS(run, speedMmS, accelerationMmS2);
    }
}
