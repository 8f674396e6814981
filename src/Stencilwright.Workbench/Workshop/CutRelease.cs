using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Whether a job's files may go to a laser: somebody read the cautions for the material that is cut.</summary>
/// <remarks>
/// The acknowledgement is a decision about the job like any other: kept with it, and taken back like any other. It holds for
/// one material; with another film or another board for the frame it must be given anew, as what burns or fumes is another.
/// </remarks>
public static class CutRelease
{
    /// <summary>What is cut, in words that change when the material does.</summary>
    public static string MaterialOf(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return string.Create(CultureInfo.InvariantCulture, $"film {settings.FilmThicknessMm:R} mm, frame {settings.FrameThicknessMm:R} mm");
    }

    /// <summary>True when the cautions were acknowledged for the material in force.</summary>
    public static bool IsGiven(JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.Released.Length > 0 && WorkshopSettings.Read(state).Value is { } settings && state.Released == MaterialOf(settings);
    }

    /// <summary>The state with the acknowledgement given or withdrawn; settings that are wrong cannot be released.</summary>
    public static JobState Give(JobState state, bool isGiven)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state with { Released = isGiven && WorkshopSettings.Read(state).Value is { } settings ? MaterialOf(settings) : "" };
    }

    /// <summary>True for a file that a laser is driven by.</summary>
    /// <param name="path">A path among a job's files.</param>
    public static bool IsForMachine(string path) => Path.GetExtension(path) is ".nc" or ".dxf" or ".svg";
}
