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
        return string.Create(CultureInfo.InvariantCulture, $"film {settings.Film} {settings.FilmThicknessMm:R} mm, frame {settings.Frame} {settings.FrameThicknessMm:R} mm");
    }

    /// <summary>True when the cautions were acknowledged for the material in force.</summary>
    public static bool IsGiven(OpenJob job)
    {
        ArgumentNullException.ThrowIfNull(job);
        return job.State.Released.Length > 0 && job.State.Released == MaterialOf(job.Settings);
    }

    /// <summary>Gives or withdraws the acknowledgement, for the material in force.</summary>
    /// <param name="job">The job.</param>
    /// <param name="isGiven">False withdraws it.</param>
    /// <param name="what">The change in a few words, for taking it back.</param>
    public static void Give(OpenJob job, bool isGiven, string what)
    {
        ArgumentNullException.ThrowIfNull(job);
        var material = isGiven ? MaterialOf(job.Settings) : "";
        job.Change(what, s => s with { Released = material });
    }

    /// <summary>True for a file that a laser is driven by.</summary>
    /// <param name="path">A path among a job's files.</param>
    public static bool IsForMachine(string path) => Path.GetExtension(path) is ".nc" or ".dxf" or ".svg";
}
