using System.Collections.Immutable;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output;

namespace Stencilwright.Workbench.Workshop;

/// <summary>What came of a revision of a job.</summary>
public sealed record JobResult
{
    private readonly Lock _lock = new();
    private ImmutableArray<OutputFile> _files;

    /// <summary>The state it was worked out from.</summary>
    public required JobState State { get; init; }

    /// <summary>Counts what came of the job since it was opened, from 1: a later one has a larger number.</summary>
    public int Number { get; init; }

    /// <summary>The job; null when the artwork or the settings are not usable.</summary>
    public Job? Job { get; init; }

    /// <summary>Every file of the artwork, with the role it was given and why; images are there for those that were needed.</summary>
    public ImmutableArray<SurveyFile> Files { get; init; } = [];

    /// <summary>Statements about the input.</summary>
    public ImmutableArray<Diagnostic> Diagnostics { get; init; } = [];

    /// <summary>All findings of the board and of its sides.</summary>
    public ImmutableArray<Finding> Findings { get; init; } = [];

    /// <summary>Which openings are of which board.</summary>
    public FrameBoards Boards { get; init; } = FrameBoards.Own;

    /// <summary>False while the order of cuts is still the first one and heat, which depends on it, is not known; all else is final.</summary>
    public bool IsOrdered { get; init; }

    /// <summary>True when it is all that comes of a state; an acknowledgement changes nothing of that.</summary>
    /// <remarks>Work that was stopped or failed leaves the result of an earlier state, or one whose order of cuts is not final.</remarks>
    public bool IsAllOf(JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return IsOrdered && State with { Released = state.Released } == state;
    }

    /// <summary>Everything that a command line would have written, worked out when first asked for.</summary>
    /// <remarks>A side whose design has an error has no files: it must not reach a laser.</remarks>
    public ImmutableArray<OutputFile> OutputFiles()
    {
        lock (_lock)
        {
            if (_files.IsDefault)
            {
                _files = Job is null ? [] : [.. PrepareUseCase.FitFiles(Job)];
            }

            return _files;
        }
    }
}

/// <summary>What a job that is being worked out is at.</summary>
/// <param name="Step">Which step.</param>
/// <param name="Share">Done, 0 to 1; null where it cannot be told.</param>
public sealed record JobProgress(JobStep Step, double? Share = null);

/// <summary>Steps of working out a job.</summary>
public enum JobStep
{
    /// <summary>Reading files and telling their roles.</summary>
    Reading,

    /// <summary>Holding layers against one another, and finding parts.</summary>
    Checking,

    /// <summary>Shaping openings and judging them.</summary>
    Designing,

    /// <summary>Looking for a better order of cuts.</summary>
    Ordering,

    /// <summary>Stopped by a person before it was done.</summary>
    Stopped,
}

/// <summary>A layer of the artwork as it is drawn.</summary>
/// <param name="File">Its name.</param>
/// <param name="Role">In the contract's words.</param>
/// <param name="Islands">The final image, in board coordinates.</param>
/// <param name="Places">Where each island was painted, in the same order.</param>
public sealed record DrawnLayer(string File, string Role, ImmutableArray<Region> Islands, ImmutableArray<SourcePlace> Places);
