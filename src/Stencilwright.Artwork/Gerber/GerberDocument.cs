using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>The templates an aperture can be made from.</summary>
public enum GerberApertureKind
{
    /// <summary>Disc.</summary>
    Circle,

    /// <summary>Axis-parallel rectangle.</summary>
    Rectangle,

    /// <summary>Rectangle whose short sides are half circles.</summary>
    Obround,

    /// <summary>Regular polygon.</summary>
    Polygon,

    /// <summary>Made by a macro.</summary>
    Macro,

    /// <summary>A block of objects.</summary>
    Block,

    /// <summary>Defined, but in a way that could not be used; it paints nothing.</summary>
    Unusable,
}

/// <summary>One aperture definition.</summary>
public sealed record GerberAperture
{
    /// <summary>The D-code, at least 10 in good files.</summary>
    public required int Number { get; init; }

    /// <summary>Its template.</summary>
    public required GerberApertureKind Kind { get; init; }

    /// <summary>The template's name as written: <c>C</c>, <c>R</c>, <c>O</c>, <c>P</c> or a macro's name; empty for a block.</summary>
    public required string Template { get; init; }

    /// <summary>The parameters as written, lengths in the file's unit.</summary>
    public ImmutableArray<double> Parameters { get; init; } = [];

    /// <summary>Text of <c>.AperFunction</c>; null when absent.</summary>
    public string? Function { get; init; }

    /// <summary>Zero-based byte offset of the definition.</summary>
    public required int SourceOffset { get; init; }

    /// <summary>True for a disc or a rectangle with a hole: such a pen leaves its hole open at both ends of a stroke.</summary>
    internal bool HasHole => Kind switch
    {
        GerberApertureKind.Circle => Parameters.Length > 1 && Parameters[1] > 0,
        GerberApertureKind.Rectangle => Parameters.Length > 2 && Parameters[2] > 0,
        _ => false,
    };

    internal ImmutableArray<MacroPrimitive> Primitives { get; init; } = [];

    internal GerberItemList? Block { get; init; }
}

/// <summary>A Gerber file as it was written, checked and with every number understood, but not yet painted.</summary>
public sealed class GerberDocument
{
    internal GerberDocument(SourceText source, GerberItemList items, GerberTables tables)
    {
        Source = source;
        Items = items;
        Tables = tables;
    }

    /// <summary>The file.</summary>
    public SourceText Source { get; }

    /// <summary>Its unit, stated or assumed (then a diagnostic says so).</summary>
    public ArtworkUnit Unit { get; internal init; }

    /// <summary>Decimal digits of x coordinates.</summary>
    public int DecimalsX { get; internal init; }

    /// <summary>Decimal digits of y coordinates.</summary>
    public int DecimalsY { get; internal init; }

    /// <summary>File attributes by name with the leading dot.</summary>
    public ImmutableSortedDictionary<string, ImmutableArray<string>> FileAttributes { get; internal init; } =
        ImmutableSortedDictionary<string, ImmutableArray<string>>.Empty.WithComparers(StringComparer.Ordinal);

    /// <summary>Aperture definitions in the order of the file.</summary>
    public ImmutableArray<GerberAperture> Apertures { get; internal init; } = [];

    /// <summary>Graphical objects (draws, arcs, flashes, contours) after every repetition; <see cref="long.MaxValue"/> when more than that.</summary>
    public long ObjectCount => Items.ObjectCount;

    internal GerberItemList Items { get; }

    internal GerberTables Tables { get; }

    /// <summary>Deprecated statements about the whole image.</summary>
    internal ImageOptions Image { get; init; } = new();

    /// <summary>Millimetres in the file's unit.</summary>
    internal double UnitMm => Unit == ArtworkUnit.Inch ? Lengths.MillimetresPerInch : 1;
}

/// <summary>The deprecated commands AS, IR, MI, OF and SF, carried out in the order MI, SF, OF, IR, AS.</summary>
internal sealed record ImageOptions
{
    public bool MirrorA { get; init; }

    public bool MirrorB { get; init; }

    public double ScaleA { get; init; } = 1;

    public double ScaleB { get; init; } = 1;

    public double OffsetA { get; init; }

    public double OffsetB { get; init; }

    public double RotationDeg { get; init; }

    public bool SwapAxes { get; init; }

    /// <summary>MI and SF act on coordinates alone.</summary>
    public double FactorX => MirrorA ? -ScaleA : ScaleA;

    public double FactorY => MirrorB ? -ScaleB : ScaleB;

    /// <summary>OF, IR and AS act on the whole image, apertures included.</summary>
    public Affine2 Placement(double unitMm)
    {
        var map = Affine2.RotationDegrees(RotationDeg) * Affine2.Translation(OffsetA * unitMm, OffsetB * unitMm);
        return SwapAxes ? new Affine2(0, 1, 0, 1, 0, 0) * map : map;
    }
}

internal enum ItemKind : byte
{
    Move,
    Line,
    Clockwise,
    CounterClockwise,

    /// <summary>The same two in the deprecated single-quadrant mode.</summary>
    QuadrantClockwise,
    QuadrantCounterClockwise,
    Flash,
    BeginRegion,
    EndRegion,

    /// <summary>X is an index into <see cref="GerberTables.Repeats"/>; Y is the index of the matching end.</summary>
    BeginRepeat,
    EndRepeat,

    /// <summary>Follows every arc: X and Y are its centre's offsets, I and J of the file.</summary>
    Center,
}

/// <summary>One operation or bracket, 16 bytes: a large layer has millions, and first touching so much memory costs more than reading.</summary>
internal readonly struct GerberItem(ItemKind kind, int offset, int state, int x, int y)
{
    private readonly uint _kindAndState = ((uint)state << 4) | (uint)kind;

    public readonly int Offset = offset;
    public readonly int X = x;
    public readonly int Y = y;

    /// <summary>States are counted in 28 bits: a file of 2 GB cannot hold more.</summary>
    public const int MaxState = (1 << 28) - 1;

    public ItemKind Kind => (ItemKind)(_kindAndState & 15);

    public int State => (int)(_kindAndState >> 4);
}

/// <summary>The items of a file or of a block aperture.</summary>
/// <param name="capacity">How many are expected: growing by copies costs more than reading when there are millions.</param>
internal sealed class GerberItemList(int capacity = 16)
{
    // Not cleared: only the first Count items are ever looked at.
    private GerberItem[] _items = GC.AllocateUninitializedArray<GerberItem>(Math.Max(capacity, 16));

    public int Count { get; private set; }

    /// <summary>Objects after repetition, saturating.</summary>
    public long ObjectCount { get; set; }

    /// <summary>Items to walk through after repetition, saturating: what composing costs.</summary>
    public long Work { get; set; }

    /// <summary>Levels of blocks below this one.</summary>
    public int Depth { get; set; }

    public ReadOnlySpan<GerberItem> Span => _items.AsSpan(0, Count);

    /// <summary>What the arc at an index has for a centre; zeros after anything else.</summary>
    public (int X, int Y) CenterAfter(int index) =>
        index + 1 < Count && _items[index + 1].Kind == ItemKind.Center ? (_items[index + 1].X, _items[index + 1].Y) : (0, 0);

    public void Add(in GerberItem item)
    {
        if (Count == _items.Length)
        {
            var larger = GC.AllocateUninitializedArray<GerberItem>(Count * 2);
            _items.AsSpan(0, Count).CopyTo(larger);
            _items = larger;
        }

        _items[Count++] = item;
    }

    public void Set(int index, in GerberItem item) => _items[index] = item;
}

/// <summary>The graphics state that an operation was carried out in.</summary>
internal readonly record struct GerberState
{
    /// <summary>Index into the list of apertures, or -1.</summary>
    public int Aperture { get; init; }

    public bool IsDark { get; init; }

    public bool MirrorX { get; init; }

    public bool MirrorY { get; init; }

    public double RotationDeg { get; init; }

    public double Scale { get; init; }

    /// <summary>Aperture function in force for regions.</summary>
    public string? RegionFunction { get; init; }

    public string? Component { get; init; }

    public string? Pin { get; init; }

    public string? Net { get; init; }

    /// <summary>Attributes of the component, such as <c>.CRot</c>; null when there are none.</summary>
    public ImmutableSortedDictionary<string, string>? ComponentAttributes { get; init; }
}

/// <summary>A step-and-repeat statement; steps in the file's unit.</summary>
internal readonly record struct GerberRepeat(int CountX, int CountY, double StepX, double StepY);

/// <summary>What items refer to by index.</summary>
internal sealed class GerberTables
{
    public List<GerberState> States { get; } = [];

    public List<GerberRepeat> Repeats { get; } = [];

    public List<GerberAperture> Apertures { get; } = [];
}
