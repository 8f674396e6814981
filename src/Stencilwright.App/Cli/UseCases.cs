using Stencilwright.Workbench;

namespace Stencilwright.App.Cli;

/// <summary>What the commands call; tests put failing ones in their place.</summary>
/// <param name="Survey">Says what the artwork holds.</param>
/// <param name="Prepare">Does the main job and writes its files.</param>
internal sealed record UseCases(
    Func<JobRequest, Func<Stream>, IProgress<string>, SurveyResult> Survey,
    Func<JobRequest, Func<Stream>, IProgress<string>, PrepareResult> Prepare)
{
    /// <summary>Those of the Workbench.</summary>
    public static UseCases Real { get; } = new(SurveyUseCase.Run, PrepareUseCase.Run);
}
