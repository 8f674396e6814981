using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>A drilled hole or a routed slot, in board coordinates.</summary>
/// <param name="At">Centre, or one end of the slot's centre line.</param>
/// <param name="DiameterMm">Finished or drilled diameter, whichever the file states, millimetres.</param>
/// <param name="IsPlated">Null when the drill data do not tell.</param>
/// <param name="Place">Where the drill data have it.</param>
public readonly record struct BoardHole(Point2 At, double DiameterMm, bool? IsPlated, SourcePlace Place)
{
    /// <summary>The other end of a slot's centre line; null for a round hole.</summary>
    public Point2? SlotEnd { get; init; }

    internal Bounds2 Box
    {
        get
        {
            var ends = new Bounds2(At.X, At.Y, At.X, At.Y);
            return (SlotEnd is { } end ? ends.Include(end) : ends).Inflate(DiameterMm / 2);
        }
    }
}

/// <summary>What is known of one side of the board; anything may be missing, and checks that need it are then left out.</summary>
public sealed record CheckedSide
{
    /// <summary>The sorted paste layer.</summary>
    public PasteLayer? Paste { get; init; }

    /// <summary>The paste layer as it was painted: only to tell an empty one.</summary>
    public PaintedLayer? PasteArtwork { get; init; }

    /// <summary>The copper layer.</summary>
    public PaintedLayer? Copper { get; init; }

    /// <summary>The mask layer, drawn either way: as its openings or as the mask itself.</summary>
    public PaintedLayer? Mask { get; init; }
}

/// <summary>The layers that are held against one another, all in the same board coordinates.</summary>
public sealed record BoardLayers
{
    /// <summary>The top side.</summary>
    public CheckedSide Top { get; init; } = new();

    /// <summary>The bottom side, as seen through the board from the top.</summary>
    public CheckedSide Bottom { get; init; } = new();

    /// <summary>The board's edge; null when none was found.</summary>
    public BoardOutline? Outline { get; init; }

    /// <summary>The outline layer as it was painted: only to tell an empty one.</summary>
    public PaintedLayer? OutlineArtwork { get; init; }

    /// <summary>Holes of all drill files.</summary>
    public ImmutableArray<BoardHole> Holes { get; init; } = [];
}

/// <summary>A finding and the openings it is about.</summary>
/// <param name="Finding">Its <see cref="Finding.Apertures"/> are left empty: ids are given later.</param>
/// <param name="Openings">Indices into <see cref="PasteLayer.Openings"/> of the side, ascending; empty when it is not about openings.</param>
public sealed record CheckFinding(Finding Finding, ImmutableArray<int> Openings);

/// <summary>What the checks found.</summary>
/// <param name="Top">About the top's paste layer.</param>
/// <param name="Bottom">About the bottom's paste layer.</param>
/// <param name="Board">About other layers or the board as a whole; no openings.</param>
/// <param name="Panel">The panel's layout when the layers show several copies of one board; null otherwise.</param>
public sealed record CheckReport(
    ImmutableArray<CheckFinding> Top, ImmutableArray<CheckFinding> Bottom, ImmutableArray<CheckFinding> Board, PanelLayout? Panel);
