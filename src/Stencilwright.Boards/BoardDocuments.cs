using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>The board's edge: one or more outer loops (a panel has several) and inner cut-outs, in board coordinates.</summary>
/// <param name="Shape">Inside is board.</param>
/// <param name="File">Name of the file it was found in.</param>
/// <param name="Why">How it was found, in words.</param>
public sealed record BoardOutline(Region Shape, string File, string Why)
{
    /// <summary>Area of the board, cut-outs left out, square millimetres.</summary>
    public double AreaMm2 => Shape.AreaMm2;

    /// <summary>Extent of the board along x.</summary>
    public double WidthMm => Shape.Bounds.Width;

    /// <summary>Extent of the board along y.</summary>
    public double HeightMm => Shape.Bounds.Height;

    /// <summary>Number of inner cut-outs.</summary>
    public int CutoutCount => Shape.Contours.Count(c => c.SignedAreaMm2 < 0);
}

/// <summary>An outline, if one was found, and what there is to say about the search.</summary>
public sealed record OutlineSearch(BoardOutline? Outline, ImmutableArray<Finding> Findings);

/// <summary>One island of a paste layer that becomes an opening, in board coordinates.</summary>
public sealed record PasteOpening
{
    /// <summary>One outer contour with its holes.</summary>
    public required Region Shape { get; init; }

    /// <summary>Where the artwork painted it.</summary>
    public required SourcePlace Place { get; init; }

    /// <summary>Reference designator from attributes; null when unknown.</summary>
    public string? Component { get; init; }

    /// <summary>Pin from attributes; null when unknown.</summary>
    public string? Pin { get; init; }

    /// <summary>Turn of the opening's long side from x in degrees, in (-90, 90].</summary>
    public double RotationDeg { get; init; }
}

/// <summary>Why part of a paste layer is not cut.</summary>
public enum SetAsideReason
{
    /// <summary>Lies outside the board's outline: page frames, title blocks, notes.</summary>
    OutsideOutline,

    /// <summary>Thin writing or a logo drawn with a pen.</summary>
    Writing,

    /// <summary>The board's own edge drawn on the paste layer.</summary>
    OutlineStroke,
}

/// <summary>An island that is not made an opening.</summary>
public sealed record SetAsideIsland(Region Shape, SourcePlace Place, SetAsideReason Reason);

/// <summary>A paste layer sorted into openings and what is set aside.</summary>
public sealed record PasteLayer
{
    /// <summary>In a stable order: the artwork's.</summary>
    public required ImmutableArray<PasteOpening> Openings { get; init; }

    /// <summary>What will not be cut.</summary>
    public required ImmutableArray<SetAsideIsland> SetAside { get; init; }

    /// <summary>What a person should know.</summary>
    public required ImmutableArray<Finding> Findings { get; init; }
}
