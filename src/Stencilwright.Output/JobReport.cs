using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;

namespace Stencilwright.Output;

/// <summary>An input file of a job.</summary>
/// <param name="File">Its name in the package.</param>
/// <param name="Format"><c>gerber</c>, <c>svg</c>, …</param>
/// <param name="Role">What it was taken for, in the contract's words.</param>
/// <param name="Sha256">Lower-case hexadecimal digest of its bytes.</param>
public sealed record JobSource(string File, string Format, string Role, string Sha256);

/// <summary>One side of a job: what was wanted and how it is cut.</summary>
/// <param name="Design">What was wanted.</param>
/// <param name="Plan">How it is cut.</param>
/// <param name="PasteMassG">Paste on the board after printing, grams.</param>
/// <param name="MaterialCost">Film and frame, in the user's currency.</param>
/// <param name="Findings">All findings of the side: artwork, board, design and cutting.</param>
public sealed record JobSide(StencilDesign Design, CutPlan Plan, double PasteMassG, double MaterialCost, ImmutableArray<Finding> Findings)
{
    /// <summary>What will become of each part's print.</summary>
    public ImmutableArray<PartPrint> Parts { get; init; } = [];

    /// <summary>Films and pastes at hand compared; null when nobody asked.</summary>
    public FilmAdvice? Advice { get; init; }
}

/// <summary>Everything the writers need to know about a job.</summary>
public sealed record Job
{
    /// <summary>The program's version.</summary>
    public required string Version { get; init; }

    /// <summary>Title, as scored and printed.</summary>
    public required string Title { get; init; }

    /// <summary>Every setting in force.</summary>
    public required JobSettings Settings { get; init; }

    /// <summary>Input files, ordered by name.</summary>
    public required ImmutableArray<JobSource> Sources { get; init; }

    /// <summary>The board's outline; null when none was found.</summary>
    public BoardOutline? Outline { get; init; }

    /// <summary>One or two sides, top first.</summary>
    public required ImmutableArray<JobSide> Sides { get; init; }
}
