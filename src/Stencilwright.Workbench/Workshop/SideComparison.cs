using System.Collections.Immutable;

namespace Stencilwright.Workbench.Workshop;

/// <summary>What a change of rules, settings or openings did to a side.</summary>
/// <param name="Before">Verdicts before.</param>
/// <param name="After">Verdicts after.</param>
/// <param name="Touched">Openings that come out otherwise, or that were not there before.</param>
/// <param name="Better">Of these, how many have a better verdict.</param>
/// <param name="Worse">Of these, how many have a worse verdict.</param>
/// <param name="Gone">Openings that are there no longer.</param>
/// <param name="VolumeBeforeMm3">Paste before.</param>
/// <param name="VolumeAfterMm3">Paste after.</param>
public sealed record SideComparison(
    VerdictTally Before, VerdictTally After, ImmutableArray<string> Touched, int Better, int Worse, int Gone, double VolumeBeforeMm3, double VolumeAfterMm3)
{
    // Less than a printed figure shows.
    private const double SameAreaMm2 = 1e-6;
    private const double SameRatio = 1e-6;

    /// <summary>True when nothing that matters came out otherwise.</summary>
    public bool IsNothing => Touched.IsEmpty && Gone == 0 && Before == After;

    /// <summary>Compares two states of one side, by the openings' names.</summary>
    public static SideComparison Of(SideFigures before, SideFigures after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var touched = ImmutableArray.CreateBuilder<string>();
        var (better, worse, met) = (0, 0, 0);
        foreach (var now in after.Openings)
        {
            var then = before.Find(now.Id);
            if (then is null)
            {
                touched.Add(now.Id);
                continue;
            }

            met++;
            if (then.Verdict != now.Verdict
                || Math.Abs(then.AsCutAreaMm2 - now.AsCutAreaMm2) > SameAreaMm2
                || Math.Abs(then.DesignAreaMm2 - now.DesignAreaMm2) > SameAreaMm2
                || Math.Abs(then.AsCut.AreaRatio - now.AsCut.AreaRatio) > SameRatio)
            {
                touched.Add(now.Id);
                better += now.Verdict < then.Verdict ? 1 : 0;
                worse += now.Verdict > then.Verdict ? 1 : 0;
            }
        }

        return new(before.Tally, after.Tally, touched.ToImmutable(), better, worse, before.Openings.Length - met,
            before.Openings.Sum(o => o.VolumeMm3), after.Openings.Sum(o => o.VolumeMm3));
    }
}
