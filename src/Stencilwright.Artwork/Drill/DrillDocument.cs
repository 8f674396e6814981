using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Drill;

/// <summary>Whether holes are lined with copper.</summary>
public enum DrillPlating
{
    /// <summary>The file does not say.</summary>
    Unknown,

    /// <summary>Lined with copper.</summary>
    Plated,

    /// <summary>Bare.</summary>
    NonPlated,
}

/// <summary>Which zeros of a number without a decimal point are written.</summary>
public enum DrillZeros
{
    /// <summary>Leading zeros are kept and trailing ones left out: numbers are aligned at their first digit (LZ).</summary>
    LeadingKept,

    /// <summary>Trailing zeros are kept and leading ones left out: numbers are aligned at their last digit (TZ).</summary>
    TrailingKept,
}

/// <summary>How the file's numbers become lengths.</summary>
/// <param name="Unit">The unit.</param>
/// <param name="Zeros">Which zeros are written.</param>
/// <param name="IntegerDigits">Digits before the point that is not written.</param>
/// <param name="DecimalDigits">Digits after it.</param>
public sealed record DrillFormat(ArtworkUnit Unit, DrillZeros Zeros, int IntegerDigits, int DecimalDigits)
{
    /// <summary>Millimetres in the unit.</summary>
    internal double UnitMm => Unit == ArtworkUnit.Inch ? Lengths.MillimetresPerInch : 1;
}

/// <summary>One tool, as it was defined.</summary>
/// <param name="Number">Its number in the file; where tools have none, counted from 1 in the order of use.</param>
/// <param name="DiameterMm">Diameter, millimetres; 0 when the file does not give it.</param>
/// <param name="Plating">Whether its holes are plated.</param>
/// <param name="Function">Text of <c>.AperFunction</c>; null when absent.</param>
/// <param name="SourceOffset">Zero-based byte offset of the definition, or of the first use of a tool without one.</param>
public sealed record DrillTool(int Number, double DiameterMm, DrillPlating Plating, string? Function, int SourceOffset);

/// <summary>A hole, a slot or a routed path.</summary>
/// <param name="At">The hole's centre, or the path's first point, millimetres.</param>
/// <param name="Path">The centre line of a slot or a routed path; null for a hole.</param>
/// <param name="Tool">Index into <see cref="DrillDocument.Tools"/>.</param>
/// <param name="SourceOffset">Zero-based byte offset of the line that made it; for a routed path, of its first line.</param>
/// <param name="SourceLength">Bytes up to the end of the last line that made it.</param>
public readonly record struct DrillItem(Point2 At, OpenPath? Path, int Tool, int SourceOffset, int SourceLength)
{
    /// <summary>True for a round hole.</summary>
    public bool IsHole => Path is null;
}

/// <summary>An NC drill or rout file as it was understood.</summary>
public sealed record DrillDocument
{
    /// <summary>The file.</summary>
    public required SourceText Source { get; init; }

    /// <summary>How numbers were read; where it was guessed, a diagnostic says so.</summary>
    public required DrillFormat Format { get; init; }

    /// <summary>The tools in the order in which they were defined or first used.</summary>
    public required ImmutableArray<DrillTool> Tools { get; init; }

    /// <summary>Holes, slots and routed paths in the order of the file, repetitions carried out. x right, y up.</summary>
    public required ImmutableArray<DrillItem> Items { get; init; }

    /// <summary>File attributes by name with the leading dot.</summary>
    public ImmutableSortedDictionary<string, ImmutableArray<string>> FileAttributes { get; init; } =
        ImmutableSortedDictionary<string, ImmutableArray<string>>.Empty.WithComparers(StringComparer.Ordinal);

    /// <summary>What the file as a whole, or all of its tools in use, say about plating; unknown when they differ.</summary>
    public DrillPlating Plating
    {
        get
        {
            DrillPlating? common = null;
            foreach (var item in Items)
            {
                var plating = Tools[item.Tool].Plating;
                if (common is { } known && known != plating)
                {
                    return DrillPlating.Unknown;
                }

                common = plating;
            }

            return common ?? DrillPlating.Unknown;
        }
    }
}
