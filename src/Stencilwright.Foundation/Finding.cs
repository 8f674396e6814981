using System.Collections.Immutable;

namespace Stencilwright.Foundation;

/// <summary>Something about the board or the job that a person should know, with its place on the board and in the artwork.</summary>
public sealed record Finding
{
    /// <summary>A stable code such as <c>BRD012</c>.</summary>
    public required string Code { get; init; }

    /// <summary>How much it matters.</summary>
    public required Severity Severity { get; init; }

    /// <summary>What it is, why it matters and what to do, in plain sentences.</summary>
    public required string Message { get; init; }

    /// <summary>Ids of the openings concerned.</summary>
    public ImmutableArray<string> Apertures { get; init; } = [];

    /// <summary>x on the board in millimetres, when it has a place.</summary>
    public double? XMm { get; init; }

    /// <summary>y on the board in millimetres, when it has a place.</summary>
    public double? YMm { get; init; }

    /// <summary>The place in the artwork, when there is one.</summary>
    public SourcePlace? Source { get; init; }
}

/// <summary>A side of the board.</summary>
public enum BoardSide
{
    /// <summary>The side that the artwork shows unmirrored.</summary>
    Top,

    /// <summary>The other side.</summary>
    Bottom,
}

/// <summary>What will become of an opening's print.</summary>
public enum Verdict
{
    /// <summary>Expected to print well.</summary>
    Prints,

    /// <summary>May print too little; worth watching.</summary>
    Marginal,

    /// <summary>Not expected to print.</summary>
    WillNotPrint,
}
