using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork;

/// <summary>What kind of file was read.</summary>
public enum ArtworkFormat
{
    /// <summary>Gerber layer format.</summary>
    Gerber,

    /// <summary>NC drill and rout data.</summary>
    NcDrill,

    /// <summary>An SVG plot of a layer.</summary>
    Svg,

    /// <summary>IPC-2581.</summary>
    Ipc2581,

    /// <summary>A placement list.</summary>
    Placement,
}

/// <summary>The unit that a file states its lengths in.</summary>
public enum ArtworkUnit
{
    /// <summary>Millimetres.</summary>
    Millimetre,

    /// <summary>Inches.</summary>
    Inch,
}

/// <summary>How an object was painted.</summary>
public enum PaintKind
{
    /// <summary>An aperture placed once: usually a pad.</summary>
    Flash,

    /// <summary>A pen drawn along a line or an arc.</summary>
    Stroke,

    /// <summary>A filled outline.</summary>
    Area,
}

/// <summary>A flash that stands for a part or a pin of it, whatever the size of its aperture.</summary>
/// <param name="At">Where the aperture's origin was placed, millimetres.</param>
/// <param name="Attributes">Attributes of the part by name with the leading dot, such as <c>.CRot</c>, fields joined by commas; may be empty.</param>
public sealed record ComponentMark(Point2 At, ImmutableSortedDictionary<string, string> Attributes);

/// <summary>One object of a layer, in painting order and in board coordinates (millimetres, x right, y up).</summary>
public sealed record PaintedObject
{
    /// <summary>How it was painted.</summary>
    public required PaintKind Kind { get; init; }

    /// <summary>True when it adds to the image, false when it clears what was painted before it.</summary>
    public bool IsDark { get; init; } = true;

    /// <summary>What it covers by itself. May be empty (a pen of no width).</summary>
    public required Region Shape { get; init; }

    /// <summary>Zero-based byte offset of the operation in the file.</summary>
    public required int SourceOffset { get; init; }

    /// <summary>For a stroke, the centre line of this one segment; null otherwise.</summary>
    public Segment? CenterLine { get; init; }

    /// <summary>For a stroke, the pen's width (the smaller side of a rectangular pen), millimetres; 0 otherwise.</summary>
    public double PenWidthMm { get; init; }

    /// <summary>Text of the aperture function attribute, such as <c>SMDPad,CuDef</c> or <c>Profile</c>; null when absent.</summary>
    public string? ApertureFunction { get; init; }

    /// <summary>Reference designator from the object's attributes; null when absent.</summary>
    public string? Component { get; init; }

    /// <summary>Pin of <see cref="Component"/>; null when absent.</summary>
    public string? Pin { get; init; }

    /// <summary>Net name; null when absent.</summary>
    public string? Net { get; init; }

    /// <summary>What a component layer says of a part at this flash; null on all other objects.</summary>
    public ComponentMark? Mark { get; init; }
}

/// <summary>One connected part of a layer's final image.</summary>
/// <param name="Shape">One outer contour and its holes.</param>
/// <param name="Objects">Indices into <see cref="LayerImage.Objects"/> of the dark objects that painted it, ascending.</param>
public sealed record ImageIsland(Region Shape, ImmutableArray<int> Objects);

/// <summary>A layer after its painting has been carried out: dark minus clear, overlaps once.</summary>
public sealed record LayerImage
{
    /// <summary>The file.</summary>
    public required SourceText Source { get; init; }

    /// <summary>Its format.</summary>
    public required ArtworkFormat Format { get; init; }

    /// <summary>Its unit.</summary>
    public required ArtworkUnit Unit { get; init; }

    /// <summary>File attributes by name with the leading dot, such as <c>.FileFunction</c> → <c>Paste</c>, <c>Top</c>.</summary>
    public ImmutableSortedDictionary<string, ImmutableArray<string>> FileAttributes { get; init; } =
        ImmutableSortedDictionary<string, ImmutableArray<string>>.Empty.WithComparers(StringComparer.Ordinal);

    /// <summary>Everything painted, in order.</summary>
    public required ImmutableArray<PaintedObject> Objects { get; init; }

    /// <summary>The separate parts of the final image, in the order of the first object that painted each.</summary>
    public required ImmutableArray<ImageIsland> Islands { get; init; }

    /// <summary>Exact area of the final image, square millimetres.</summary>
    public double PaintedAreaMm2 => Islands.Sum(i => i.Shape.AreaMm2);

    /// <summary>Exact box of the final image; <see cref="Bounds2.Empty"/> for an empty layer.</summary>
    public Bounds2 Bounds => Islands.Aggregate(Bounds2.Empty, (box, island) => Bounds2.Union(box, island.Shape.Bounds));
}

/// <summary>Bounds on what a reader will do for one file, so that a hostile one ends in a message.</summary>
public readonly record struct ReadLimits()
{
    /// <summary>The bounds used when nobody says otherwise.</summary>
    public static ReadLimits Default { get; } = new();

    /// <summary>Objects after every repetition has been carried out.</summary>
    public int MaxObjects { get; init; } = 4_000_000;

    /// <summary>Vertices in the whole file after every repetition has been carried out.</summary>
    public int MaxVertices { get; init; } = 20_000_000;

    /// <summary>How deeply blocks, groups or macros may nest.</summary>
    public int MaxDepth { get; init; } = 32;

    /// <summary>Largest coordinate magnitude, millimetres; beyond it a file is taken to be damaged.</summary>
    public double MaxCoordinateMm { get; init; } = 10_000;

    /// <summary>Coordinate magnitude, millimetres, beyond which a file is read but its unit and number format are doubted.</summary>
    public double DoubtfulCoordinateMm { get; init; } = 1_000;

    /// <summary>Diagnostics kept for one file; further ones are counted.</summary>
    public int MaxDiagnostics { get; init; } = 100;
}
