using System.Collections.Immutable;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Maps board coordinates to a sheet: mirror in x if asked, rotate counter-clockwise, then move.</summary>
/// <param name="XMm">Move along x, last.</param>
/// <param name="YMm">Move along y, last.</param>
/// <param name="RotationDeg">Turn about the origin, counter-clockwise.</param>
/// <param name="Mirrored">x → -x first.</param>
public readonly record struct SheetPlacement(double XMm, double YMm, double RotationDeg, bool Mirrored)
{
    /// <summary>The map from board to sheet coordinates (millimetres, origin at the sheet's lower left corner, y up).</summary>
    public Affine2 Map => Affine2.Translation(XMm, YMm)
        * Affine2.RotationDegrees(RotationDeg)
        * (Mirrored ? Affine2.Scale(-1, 1) : Affine2.Identity);

    /// <summary>The same, moved on the sheet.</summary>
    public SheetPlacement MovedBy(double xMm, double yMm) => this with { XMm = XMm + xMm, YMm = YMm + yMm };
}

/// <summary>An opening as artwork asks for it and as the rules shaped it, in board coordinates.</summary>
public sealed record DesignedOpening
{
    /// <summary>Stable name within the side, such as <c>a0001</c>; unique, a valid XML id.</summary>
    public required string Id { get; init; }

    /// <summary>What the artwork asks for.</summary>
    public required Region Artwork { get; init; }

    /// <summary>After the aperture rules.</summary>
    public required Region Design { get; init; }

    /// <summary>Reference designator; null when unknown.</summary>
    public string? Component { get; init; }

    /// <summary>Pin; null when unknown.</summary>
    public string? Pin { get; init; }

    /// <summary>Index of the part it serves in <see cref="StencilDesign.Parts"/>; -1 for none.</summary>
    public int Part { get; init; } = -1;

    /// <summary>What it does for that part.</summary>
    public PadFunction Function { get; init; }

    /// <summary>The rule that shaped it, or <c>none</c>.</summary>
    public string Rule { get; init; } = "none";

    /// <summary>From what to what the rule shaped it, in words; empty when no rule matched.</summary>
    public string Change { get; init; } = "";

    /// <summary>Turn of the long side from x in degrees.</summary>
    public double RotationDeg { get; init; }

    /// <summary>Where the artwork painted it.</summary>
    public required SourcePlace Place { get; init; }
}

/// <summary>Marks scored into a sheet, in sheet coordinates.</summary>
/// <param name="Kind"><c>title</c>, <c>side</c>, <c>face</c>, <c>registration</c> or <c>fold</c>.</param>
/// <param name="Text">What it says; empty for registration marks and folds.</param>
/// <param name="Strokes">The pen's path.</param>
public sealed record ScoreMark(string Kind, string Text, ImmutableArray<OpenPath> Strokes);

/// <summary>The support frame, in frame-sheet coordinates; shapes as they are wanted after cutting.</summary>
public sealed record FrameDesign
{
    /// <summary>The blank.</summary>
    public required BlankSize Blank { get; init; }

    /// <summary>Where the board lies in it.</summary>
    public required SheetPlacement Placement { get; init; }

    /// <summary>The hole the board drops into: outline grown by the clearance, with hand holds joined.</summary>
    public required Region Pocket { get; init; }

    /// <summary>The frame's outer edge.</summary>
    public required Region Edge { get; init; }

    /// <summary>Height of the board's face above the frame's, millimetres; negative when the board lies lower.</summary>
    public required double StepMm { get; init; }

    /// <summary>How far from the board's edge the step spoils prints; 0 without a step.</summary>
    public double StepReachMm { get; init; }

    /// <summary>Score marks.</summary>
    public required ImmutableArray<ScoreMark> Marks { get; init; }

    /// <summary>Edge of the film as it lies on the frame.</summary>
    public Bounds2 Film { get; init; } = Bounds2.Empty;

    /// <summary>Where tape and magnets go; a proposal, of which nothing is cut.</summary>
    public ImmutableArray<HoldingPlace> Holding { get; init; } = [];
}

/// <summary>A place for what holds the film down on the frame, in frame-sheet coordinates.</summary>
/// <param name="Kind">What goes there.</param>
/// <param name="Shape">Its outline.</param>
public sealed record HoldingPlace(HoldingKind Kind, Region Shape);

/// <summary>What holds the film down.</summary>
public enum HoldingKind
{
    /// <summary>Adhesive tape along the edge about which the film is lifted.</summary>
    Hinge,

    /// <summary>Adhesive tape along another edge, pressed down for the print and lifted after it.</summary>
    Tape,

    /// <summary>A magnet on the film, over another one or a steel sheet under the frame.</summary>
    Magnet,
}

/// <summary>The stencil of one side.</summary>
public sealed record StencilDesign
{
    /// <summary>Which side of the board.</summary>
    public required BoardSide Side { get; init; }

    /// <summary>The film blank.</summary>
    public required BlankSize FilmBlank { get; init; }

    /// <summary>Where the board lies under the film.</summary>
    public required SheetPlacement Placement { get; init; }

    /// <summary>Openings in the artwork's order.</summary>
    public required ImmutableArray<DesignedOpening> Openings { get; init; }

    /// <summary>Score marks on the film.</summary>
    public required ImmutableArray<ScoreMark> Marks { get; init; }

    /// <summary>The frame; null when the board has no outline.</summary>
    public FrameDesign? Frame { get; init; }

    /// <summary>Edge of a small stencil cut out of the blank, in sheet coordinates; null when the whole blank is the stencil.</summary>
    public Region? FilmEdge { get; init; }

    /// <summary>Parts that the openings serve.</summary>
    public ImmutableArray<BoardPart> Parts { get; init; } = [];

    /// <summary>What a person should know.</summary>
    public required ImmutableArray<Finding> Findings { get; init; }
}
