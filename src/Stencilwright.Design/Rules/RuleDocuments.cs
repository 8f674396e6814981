using System.Collections.Immutable;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Rules;

/// <summary>What an opening looks like in the artwork.</summary>
public enum OpeningShape
{
    /// <summary>Anything else: L-shaped, hatched, with holes.</summary>
    Other,

    /// <summary>A rectangle with sharp corners.</summary>
    Rectangle,

    /// <summary>A rectangle with equal round corners.</summary>
    RoundedRectangle,

    /// <summary>A rectangle whose short sides are half circles.</summary>
    Obround,

    /// <summary>A circle.</summary>
    Circle,
}

/// <summary>The shape a rule gives an opening.</summary>
public enum Reshaping
{
    /// <summary>The artwork's own.</summary>
    None,

    /// <summary>A rectangle whose inner end tapers to a flat.</summary>
    HomePlate,

    /// <summary>A rectangle with a notch cut into its inner end.</summary>
    InvertedHomePlate,

    /// <summary>A rectangle pinched in the middle from both long sides.</summary>
    BowTie,

    /// <summary>A square with round corners in place of a circle.</summary>
    RoundedSquare,
}

/// <summary>How panes are spread over a pad.</summary>
public enum PaneEdges
{
    /// <summary>Equal cells, each pane in the middle of its own: half a web is left along the pad's edge.</summary>
    Even,

    /// <summary>The outer panes end at the pad's edge.</summary>
    Flush,
}

/// <summary>From least to most, both included.</summary>
/// <param name="Least">In the unit of what it bounds.</param>
/// <param name="Most">In the unit of what it bounds.</param>
public readonly record struct NumberRange(double Least, double Most)
{
    // Rounded coordinates must not push a size over its bound: 1 µm.
    private const double Slack = 0.001;

    /// <summary>True when the number lies between, give or take 0.001.</summary>
    public bool Contains(double number) => number >= Least - Slack && number <= Most + Slack;
}

/// <summary>Which openings a rule is for; everything stated must hold, and an empty list or null states nothing.</summary>
public sealed record RuleMatch
{
    /// <summary>Kinds of part.</summary>
    public ImmutableArray<PartClass> Classes { get; init; } = [];

    /// <summary>What the opening does for its part.</summary>
    public ImmutableArray<PadFunction> Functions { get; init; } = [];

    /// <summary>Size codes in hundredths of an inch.</summary>
    public ImmutableArray<string> SizesImperial { get; init; } = [];

    /// <summary>Size codes in tenths of a millimetre.</summary>
    public ImmutableArray<string> SizesMetric { get; init; } = [];

    /// <summary>Pitch of the part's terminals, millimetres.</summary>
    public NumberRange? PitchMm { get; init; }

    /// <summary>The opening's shorter side, millimetres.</summary>
    public NumberRange? WidthMm { get; init; }

    /// <summary>The opening's longer side, millimetres.</summary>
    public NumberRange? LengthMm { get; init; }

    /// <summary>The opening's area, square millimetres.</summary>
    public NumberRange? AreaMm2 { get; init; }

    /// <summary>Shapes.</summary>
    public ImmutableArray<OpeningShape> Shapes { get; init; } = [];

    /// <summary>Patterns of reference designators, <c>*</c> for any letters and <c>?</c> for any one.</summary>
    public ImmutableArray<string> References { get; init; } = [];

    /// <summary>Side of the board.</summary>
    public BoardSide? Side { get; init; }

    /// <summary>Whether the part's thermal pad is drawn in several panes.</summary>
    public bool? IsPaned { get; init; }

    /// <summary>True when the match rests on what kind of part it is: such rules pass over uncertain parts.</summary>
    public bool NamesPart => !Classes.IsEmpty || !Functions.IsEmpty || !SizesImperial.IsEmpty || !SizesMetric.IsEmpty || IsPaned is not null;
}

/// <summary>How panes replace one large opening.</summary>
/// <param name="CoveragePercent">Wanted area of all panes, percent of the opening's.</param>
/// <param name="WebMm">Least film between two panes.</param>
/// <param name="MostMm">Longest side of a pane.</param>
/// <param name="LeastMm">A pane with a shorter side is left out.</param>
/// <param name="Edges">How they are spread.</param>
/// <param name="ViaClearanceMm">Film kept round holes; null lets panes lie over holes.</param>
public sealed record PaneWish(
    double CoveragePercent, double WebMm, double MostMm, double LeastMm, PaneEdges Edges, double? ViaClearanceMm);

/// <summary>What a rule does to an opening; all zero does nothing.</summary>
/// <remarks>
/// Width is the opening's shorter side, length its longer one. Reductions are totals of both edges and count from the
/// copper where it is known, so that artwork which is already reduced is not reduced again. Negative ones enlarge.
/// </remarks>
public sealed record RuleChange
{
    /// <summary>The opening is not cut.</summary>
    public bool Skip { get; init; }

    /// <summary>The opening stays as it is.</summary>
    public bool Keep { get; init; }

    /// <summary>Taken off the width, millimetres.</summary>
    public double ReduceWidthMm { get; init; }

    /// <summary>Taken off the width, percent of it.</summary>
    public double ReduceWidthPercent { get; init; }

    /// <summary>Taken off the length, millimetres.</summary>
    public double ReduceLengthMm { get; init; }

    /// <summary>Taken off the length, percent of it.</summary>
    public double ReduceLengthPercent { get; init; }

    /// <summary>Taken off every edge, millimetres: width and length lose twice as much.</summary>
    public double InsetMm { get; init; }

    /// <summary>The width is not reduced below this share of the pitch.</summary>
    public double? LeastWidthPitchPercent { get; init; }

    /// <summary>Taken off the end that lies towards the middle of the part.</summary>
    public double HeelBackMm { get; init; }

    /// <summary>Taken off the end that lies away from the middle of the part.</summary>
    public double ToeBackMm { get; init; }

    /// <summary>New shape.</summary>
    public Reshaping Reshape { get; init; }

    /// <summary>Depth of taper or notch, percent of the length towards the middle of the part (bow-tie: of the longer side, each way from the waist).</summary>
    public double TaperDepthPercent { get; init; }

    /// <summary>What is left of the width at the deepest place, percent.</summary>
    public double TaperFlatPercent { get; init; }

    /// <summary>The rounded square's side is the circle's diameter less this.</summary>
    public double SquareLessMm { get; init; }

    /// <summary>Radius of corners, millimetres.</summary>
    public double CornerRadiusMm { get; init; }

    /// <summary>Radius of corners, percent of the shorter side.</summary>
    public double CornerRadiusPercent { get; init; }

    /// <summary>Radius of corners, percent of the beam's radius.</summary>
    public double CornerRadiusBeamPercent { get; init; }

    /// <summary>Panes in place of one opening; null for none.</summary>
    public PaneWish? Panes { get; init; }

    /// <summary>Least film to a neighbour; edges that face it are moved back. 0 asks for none.</summary>
    public double NeighbourWebMm { get; init; }

    /// <summary>Most that an opening may lose to its neighbours, percent of its extent in their direction.</summary>
    public double NeighbourLossPercent { get; init; } = 20;

    /// <summary>Whether the opening may come out larger than the artwork.</summary>
    public bool MayGrow { get; init; }

    /// <summary>True for what only a rectangle can undergo.</summary>
    public bool NeedsBox => Reshape != Reshaping.None || Panes is not null || HeelBackMm != 0 || ToeBackMm != 0;

    /// <summary>True for what needs to know where the middle of the part lies.</summary>
    public bool NeedsHeel => Reshape is Reshaping.HomePlate or Reshaping.InvertedHomePlate || HeelBackMm != 0 || ToeBackMm != 0;
}

/// <summary>One aperture rule.</summary>
public sealed record ApertureRule
{
    /// <summary>Unique within its set.</summary>
    public required string Name { get; init; }

    /// <summary>Where it comes from, in words: a clause, a measurement, or the honest <c>common practice, no source</c>.</summary>
    public required string Source { get; init; }

    /// <summary>Where it stands in its file.</summary>
    public required SourcePlace Place { get; init; }

    /// <summary>Which openings it is for.</summary>
    public RuleMatch Match { get; init; } = new();

    /// <summary>What it does.</summary>
    public RuleChange Change { get; init; } = new();

    /// <summary>
    /// Reductions stop where they would take the opening's area ratio below this, unless the artwork is below it already: then
    /// they may not lower it at all. Source of the usual 0.66: IPC-7525, section 3.2.
    /// </summary>
    public double KeepAreaRatio { get; init; } = 0.66;
}

/// <summary>Aperture rules in order: the first that matches an opening shapes it.</summary>
/// <param name="Name">For people.</param>
/// <param name="File">Name of the file.</param>
/// <param name="Rules">In order.</param>
public sealed record RuleSet(string Name, string File, ImmutableArray<ApertureRule> Rules)
{
    private static readonly Lazy<RuleSet> _default = new(DefaultRules.Read);

    /// <summary>No rules: openings stay as the artwork has them.</summary>
    public static RuleSet None { get; } = new("none", "none", []);

    /// <summary>The set that comes with the program, for hand printing with film of 0.1 mm.</summary>
    public static RuleSet Default => _default.Value;
}
