using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Workbench.Packages;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Works a small job out for nothing but practice, so that the first one that somebody waits for finds the program warm.</summary>
/// <remarks>Code is made ready when it first runs: that was more than half of the time a first board took. Nothing is written anywhere.</remarks>
public static class Rehearsal
{
    /// <summary>Goes through the same steps as <see cref="OpenJob"/>.</summary>
    /// <param name="package">A packed folder of artwork.</param>
    /// <param name="stop">Ends it as soon as somebody needs the processor.</param>
    /// <returns>What came of it; null when it was stopped or the artwork is not usable.</returns>
    public static (Job Job, SideFigures Figures)? Run(byte[] package, CancellationToken stop)
    {
        try
        {
            var request = new JobRequest { Paths = [PackageReader.StandardInput], Settings = JobSettings.Default, Version = "" };
            var (files, _) = ArtworkGathering.Gather(request, () => new MemoryStream(package, writable: false));
            stop.ThrowIfCancellationRequested();
            var board = JobStages.ReadBoard(files, request, stop);
            if (RuleChoice.Load("default").Value is not { } rules || JobStages.HasError(board.Diagnostics))
            {
                return null;
            }

            var memory = new CutMemory();
            var (job, _) = JobStages.Make(files, board, request, rules, new MakingChoice(IsSketch: true, memory), stop);
            _ = JobStages.Make(files, board, request, rules, new MakingChoice(IsSketch: false, memory) { Designs = [.. job.Sides.Select(s => s.Design)] }, stop);
            return (job, SideFigures.Of(job.Sides[0], job.Settings));
        }
        catch (OperationCanceledException)
        {
            return null;
        }
    }
}
