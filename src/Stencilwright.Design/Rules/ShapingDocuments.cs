using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>A round hole in the board: a via or a component hole.</summary>
/// <param name="Center">Its middle, board coordinates.</param>
/// <param name="DiameterMm">Its finished diameter.</param>
public readonly record struct HoleCircle(Point2 Center, double DiameterMm);

/// <summary>What the rules may know about a side, in board coordinates.</summary>
public sealed record ShapingContext
{
    /// <summary>Which side of the board.</summary>
    public required BoardSide Side { get; init; }

    /// <summary>Its openings as the artwork has them.</summary>
    public required PasteLayer Paste { get; init; }

    /// <summary>Its parts; openings of no part get rules that name none.</summary>
    public PartList Parts { get; init; } = PartList.Empty;

    /// <summary>Film thickness.</summary>
    public double FilmThicknessMm { get; init; } = 0.1016;

    /// <summary>Narrowest film between two openings that survives cutting; panes keep at least this.</summary>
    public double SmallestWebMm { get; init; } = 0.10;

    /// <summary>Diameter of the beam, for corners rounded by it.</summary>
    public double BeamWidthMm { get; init; } = 0.150;

    /// <summary>Holes that panes keep clear of.</summary>
    public ImmutableArray<HoleCircle> Holes { get; init; } = [];

    /// <summary>The copper land under each opening, by the opening's index, null where unknown; empty when no copper is known.</summary>
    public ImmutableArray<Region?> Copper { get; init; } = [];
}

/// <summary>One opening to be cut, in board coordinates.</summary>
/// <param name="Design">What is wanted.</param>
/// <param name="Artwork">The part of the artwork it stands for; the parts of an opening add up to the whole.</param>
public readonly record struct ShapedPart(Region Design, Region Artwork);

/// <summary>What became of one opening of the artwork.</summary>
public sealed record ShapedOpening
{
    /// <summary>Name of the rule that shaped it, or <c>none</c>.</summary>
    public required string Rule { get; init; }

    /// <summary>From what to what, such as <c>rectangle 0.60 × 1.20 to home-plate 0.60 × 1.20, area −11.1 %</c>; empty when no rule matched.</summary>
    public required string Change { get; init; }

    /// <summary>One, several for panes, none when it is not cut.</summary>
    public required ImmutableArray<ShapedPart> Parts { get; init; }
}

/// <summary>A side's openings as the rules shaped them.</summary>
/// <param name="Openings">By the index of the paste layer's openings.</param>
/// <param name="Findings">What a person should know.</param>
public sealed record ShapedLayer(ImmutableArray<ShapedOpening> Openings, ImmutableArray<Finding> Findings);
