using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>What kind of part a group of openings is for, told from its arrangement or from a source that names it.</summary>
public enum PartClass
{
    /// <summary>Nothing fits well enough to be said.</summary>
    Unknown,

    /// <summary>Two equal terminals: resistors, capacitors, diodes, inductors.</summary>
    Chip,

    /// <summary>Three to six terminals in two rows of unequal number or wide pitch: small transistors.</summary>
    SmallTransistor,

    /// <summary>Two equal rows of leads: SO, TSSOP and their kin.</summary>
    SmallOutline,

    /// <summary>Two equal rows of lands close under a body, mostly with a thermal pad: DFN, SON.</summary>
    DualNoLead,

    /// <summary>Leads on four sides, long and narrow: QFP.</summary>
    QuadFlat,

    /// <summary>Lands on four sides close under a body, mostly with a thermal pad: QFN.</summary>
    QuadNoLead,

    /// <summary>A grid of round or square lands: BGA, LGA.</summary>
    GridArray,

    /// <summary>One or two long rows with shell or anchor pads.</summary>
    Connector,

    /// <summary>One opening by itself: test points, fiducials by mistake, big tabs.</summary>
    Single,
}

/// <summary>What an opening does for its part.</summary>
public enum PadFunction
{
    /// <summary>A terminal.</summary>
    Terminal,

    /// <summary>The heat-carrying pad under a body, or a pane of it.</summary>
    ThermalPad,

    /// <summary>Holds the part: shells, anchors.</summary>
    Anchor,
}

/// <summary>An opening that serves a part.</summary>
/// <param name="Index">Index into <see cref="PasteLayer.Openings"/>.</param>
/// <param name="Function">What it does.</param>
/// <param name="Pin">Pin name; null when unknown.</param>
public readonly record struct PartPad(int Index, PadFunction Function, string? Pin);

/// <summary>A part of the board, as far as its openings and the sources that name it tell, in board coordinates.</summary>
public sealed record BoardPart
{
    /// <summary>Reference designator; null when no source names the part.</summary>
    public string? Reference { get; init; }

    /// <summary>Its kind.</summary>
    public required PartClass Class { get; init; }

    /// <summary>Size code in hundredths of an inch, such as <c>0402</c>; null for anything but chips of a usual size.</summary>
    public string? SizeImperial { get; init; }

    /// <summary>Size code in tenths of a millimetre, such as <c>1005</c>; null for anything but chips of a usual size.</summary>
    public string? SizeMetric { get; init; }

    /// <summary>Distance between the middles of neighbouring terminals, millimetres; null when there is none.</summary>
    public double? PitchMm { get; init; }

    /// <summary>Middle of the part.</summary>
    public required Point2 Center { get; init; }

    /// <summary>Turn of the part's long axis (of its source's zero, where a source names it), degrees, counter-clockwise.</summary>
    public double RotationDeg { get; init; }

    /// <summary>How sure <see cref="Class"/> is, from 0 to 1; below <see cref="SureFrom"/> the part is reported as uncertain.</summary>
    public required double Confidence { get; init; }

    /// <summary>Its openings, ascending by index.</summary>
    public required ImmutableArray<PartPad> Pads { get; init; }

    /// <summary>What it was told from, in words.</summary>
    public required string Why { get; init; }

    /// <summary>Value from a source, such as <c>100n</c>; null when unknown.</summary>
    public string? Value { get; init; }

    /// <summary>Package name from a source; null when unknown.</summary>
    public string? Package { get; init; }

    /// <summary>From this confidence on a class counts as known.</summary>
    public const double SureFrom = 0.8;
}

/// <summary>The parts of one side.</summary>
/// <param name="Parts">In the order of their first openings; each opening belongs to exactly one part.</param>
/// <param name="Findings">What a person should know.</param>
public sealed record PartList(ImmutableArray<BoardPart> Parts, ImmutableArray<Finding> Findings)
{
    /// <summary>No parts at all.</summary>
    public static PartList Empty { get; } = new([], []);
}
