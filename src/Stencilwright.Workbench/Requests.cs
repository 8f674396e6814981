using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output;

namespace Stencilwright.Workbench;

/// <summary>Which sides a person wants made.</summary>
public enum SideChoice
{
    /// <summary>Every side that has paste.</summary>
    Both,

    /// <summary>The top alone.</summary>
    Top,

    /// <summary>The bottom alone.</summary>
    Bottom,
}

/// <summary>What a person asks for.</summary>
public sealed record JobRequest
{
    /// <summary>Packages, folders and files as given; <c>-</c> is standard input.</summary>
    public required ImmutableArray<string> Paths { get; init; }

    /// <summary>Settings in force.</summary>
    public JobSettings Settings { get; init; } = JobSettings.Default;

    /// <summary>Roles that a person gave to files, in the contract's words.</summary>
    public ImmutableArray<(string File, string Role)> Roles { get; init; } = [];

    /// <summary>Sides to make.</summary>
    public SideChoice Side { get; init; }

    /// <summary>Some parts for a small stencil; null for the whole board.</summary>
    public OnlyChoice? Only { get; init; }

    /// <summary>Other boards for the same frame, from left to right.</summary>
    public ImmutableArray<BoardBeside> Beside { get; init; } = [];

    /// <summary>What a person changed at single openings.</summary>
    public ImmutableArray<OpeningChange> Changes { get; init; } = [];

    /// <summary>The least severity of a finding that ends in exit code 1; null for never.</summary>
    public Severity? FailOn { get; init; } = Severity.Error;

    /// <summary>Where to write; unused by a survey.</summary>
    public string OutDirectory { get; init; } = "";

    /// <summary>The program's version, for the report.</summary>
    public string Version { get; init; } = "";
}

/// <summary>A board that is cut and printed together with the job's own.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Paths">Its packages, folders and files.</param>
/// <param name="Roles">Roles that a person gave to its files.</param>
public sealed record BoardBeside(string Name, ImmutableArray<string> Paths, ImmutableArray<(string File, string Role)> Roles)
{
    /// <summary>What changes of single openings call it.</summary>
    public string Id { get; init; } = Name;

    /// <summary>A board that is called as its package is.</summary>
    /// <param name="path">The package, folder or file.</param>
    /// <param name="roles">Roles that a person gave to files.</param>
    public static BoardBeside At(string path, ImmutableArray<(string File, string Role)> roles) => new(ArtworkGathering.TitleOf(path), [path], roles);
}

/// <summary>The part of a paste layer that will not be made openings.</summary>
/// <param name="Count">Number of islands.</param>
/// <param name="AreaMm2">Their area.</param>
/// <param name="Why">In words; empty when nothing is set aside.</param>
public sealed record SetAsideSummary(int Count, double AreaMm2, string Why);

/// <summary>One file of a survey.</summary>
public sealed record SurveyFile
{
    /// <summary>Its name in the package.</summary>
    public required string File { get; init; }

    /// <summary>Its format in the contract's words; empty when it is not artwork.</summary>
    public required string Format { get; init; }

    /// <summary>Its role in the contract's words.</summary>
    public required string Role { get; init; }

    /// <summary>What the role was told from.</summary>
    public required string Why { get; init; }

    /// <summary><c>mm</c> or <c>inch</c>; null when the file states none or is not read.</summary>
    public string? Units { get; init; }

    /// <summary>Box of the final image; empty when nothing is painted.</summary>
    public Bounds2 BoundsMm { get; init; } = Bounds2.Empty;

    /// <summary>Painted objects.</summary>
    public int FeatureCount { get; init; }

    /// <summary>Separate regions of the final image.</summary>
    public int IslandCount { get; init; }

    /// <summary>Exact area of the final image.</summary>
    public double PaintedAreaMm2 { get; init; }

    /// <summary>What of a paste layer is not made openings; null for other layers.</summary>
    public SetAsideSummary? SetAside { get; init; }

    /// <summary>What the reader said about the file.</summary>
    public ImmutableArray<Diagnostic> Diagnostics { get; init; } = [];
}

/// <summary>What the artwork holds.</summary>
public sealed record SurveyResult
{
    /// <summary>Files ordered by name.</summary>
    public required ImmutableArray<SurveyFile> Files { get; init; }

    /// <summary>The board's outline; null when none was found.</summary>
    public BoardOutline? Board { get; init; }

    /// <summary>Statements about packages and paths as a whole.</summary>
    public ImmutableArray<Diagnostic> Diagnostics { get; init; } = [];

    /// <summary>What a person should know about the board.</summary>
    public ImmutableArray<Finding> Findings { get; init; } = [];

    /// <summary>The contract's exit code.</summary>
    public required int ExitCode { get; init; }
}

/// <summary>What became of a job.</summary>
public sealed record PrepareResult
{
    /// <summary>The job; null when the input could not be used.</summary>
    public Job? Job { get; init; }

    /// <summary>Statements about the input and about writing.</summary>
    public ImmutableArray<Diagnostic> Diagnostics { get; init; } = [];

    /// <summary>All findings, of all sides and of the board.</summary>
    public ImmutableArray<Finding> Findings { get; init; } = [];

    /// <summary>Paths written below the output directory.</summary>
    public ImmutableArray<string> WrittenFiles { get; init; } = [];

    /// <summary>The bytes of <c>report.json</c>; empty when nothing was written.</summary>
    public ReadOnlyMemory<byte> ReportJson { get; init; }

    /// <summary>The contract's exit code.</summary>
    public required int ExitCode { get; init; }
}
