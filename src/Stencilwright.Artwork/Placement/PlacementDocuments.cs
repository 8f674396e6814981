using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Placement;

/// <summary>A pin of a placed part, in board coordinates.</summary>
/// <param name="Name">Pin name.</param>
/// <param name="At">Its place, millimetres.</param>
public readonly record struct PlacedPin(string Name, Point2 At);

/// <summary>A part as a placement list, a component layer or an IPC-2581 file places it, in that source's board coordinates.</summary>
public sealed record PlacedPart
{
    /// <summary>Reference designator.</summary>
    public required string Reference { get; init; }

    /// <summary>Its place, millimetres, x right, y up, seen from the top whichever side it sits on.</summary>
    public required Point2 At { get; init; }

    /// <summary>Turn in degrees, counter-clockwise as its source states it; null when the source states none.</summary>
    public double? RotationDeg { get; init; }

    /// <summary>True for the top, false for the bottom, null when the source states none.</summary>
    public bool? IsTop { get; init; }

    /// <summary>Value; null when absent.</summary>
    public string? Value { get; init; }

    /// <summary>Package or footprint name; null when absent.</summary>
    public string? Package { get; init; }

    /// <summary>Pins with their places, where the source gives them.</summary>
    public ImmutableArray<PlacedPin> Pins { get; init; } = [];

    /// <summary>Box of the part's body or courtyard, where the source gives it.</summary>
    public Bounds2? Box { get; init; }

    /// <summary>Where it stands in its file.</summary>
    public required SourcePlace Place { get; init; }
}

/// <summary>The parts that one source places.</summary>
public sealed record PlacementList
{
    /// <summary>The file.</summary>
    public required SourceText Source { get; init; }

    /// <summary>Its format: a placement list, a Gerber component layer, or IPC-2581.</summary>
    public required ArtworkFormat Format { get; init; }

    /// <summary>The unit its lengths are stated in.</summary>
    public required ArtworkUnit Unit { get; init; }

    /// <summary>True when the source states no unit and one was assumed from the extent of its places.</summary>
    public bool IsUnitAssumed { get; init; }

    /// <summary>Parts in the file's order.</summary>
    public required ImmutableArray<PlacedPart> Parts { get; init; }
}
