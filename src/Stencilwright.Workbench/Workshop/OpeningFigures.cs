using Stencilwright.Boards.Parts;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output;

namespace Stencilwright.Workbench.Workshop;

/// <summary>What a page says of one opening.</summary>
public sealed record OpeningFigures
{
    // Rounding of coordinates must not count as a change of shape: a thousandth of a percent of the area.
    private const double SamePercent = 1e-3;

    /// <summary>Its place among the side's openings.</summary>
    public required int At { get; init; }

    /// <summary>As designed.</summary>
    public required DesignedOpening Design { get; init; }

    /// <summary>As cut.</summary>
    public required AsCutOpening AsCut { get; init; }

    /// <summary>Its name within the side.</summary>
    public string Id => Design.Id;

    /// <summary>Index of the opening of the artwork that it belongs to: <c>a0012p3</c> belongs to 11.</summary>
    public required int ArtworkIndex { get; init; }

    /// <summary>Reference designator and pin, such as <c>U3.12</c>; empty when no source names the part.</summary>
    public required string Part { get; init; }

    /// <summary>Kind of its part with size or pitch, such as <c>chip 0402</c>.</summary>
    public required string Kind { get; init; }

    /// <summary>The longer side as designed, along the opening's own axes.</summary>
    public required double LengthMm { get; init; }

    /// <summary>The shorter side as designed.</summary>
    public required double WidthMm { get; init; }

    /// <summary>Area that the artwork asks for.</summary>
    public required double ArtworkAreaMm2 { get; init; }

    /// <summary>Area after the rules.</summary>
    public required double DesignAreaMm2 { get; init; }

    /// <summary>Area that the beam leaves open.</summary>
    public double AsCutAreaMm2 => AsCut.AreaMm2;

    /// <summary>Designed area against the artwork's, percent; 0 when they are the same.</summary>
    public double ChangePercent => ArtworkAreaMm2 > 0 ? 100 * ((DesignAreaMm2 / ArtworkAreaMm2) - 1) : 0;

    /// <summary>Whether the design is another shape than the artwork.</summary>
    public bool IsChanged => !ReferenceEquals(Design.Artwork, Design.Design) && (Math.Abs(ChangePercent) > SamePercent || Design.Artwork.Bounds != Design.Design.Bounds);

    /// <summary>Expected deposit.</summary>
    public double VolumeMm3 => AsCut.PasteVolumeMm3;

    /// <summary>One standard deviation of the deposit from print to print.</summary>
    public required double VolumeSpreadMm3 { get; init; }

    /// <summary>What to expect.</summary>
    public Verdict Verdict => AsCut.Verdict;

    internal static OpeningFigures Of(int at, StencilDesign side, AsCutOpening cut, string kind, double filmThicknessMm)
    {
        var design = side.Openings[at];
        var shape = design.Design.IsEmpty ? design.Artwork : design.Design;
        var box = design.RotationDeg == 0 || shape.IsEmpty ? shape.Bounds : shape.Transform(Affine2.RotationDegrees(-design.RotationDeg)).Bounds;
        var (a, b) = design.Design.IsEmpty || box.IsEmpty ? (0, 0) : (box.Width, box.Height);
        return new OpeningFigures
        {
            At = at,
            Design = design,
            AsCut = cut,
            ArtworkIndex = IndexOf(design.Id),
            Part = (design.Component, design.Pin) switch { (null, _) => "", ({ } part, null) => part, var (part, pin) => part + "." + pin },
            Kind = kind,
            LengthMm = Math.Max(a, b),
            WidthMm = Math.Min(a, b),
            ArtworkAreaMm2 = design.Artwork.AreaMm2,
            DesignAreaMm2 = design.Design.AreaMm2,
            VolumeSpreadMm3 = cut.AreaMm2 * filmThicknessMm * cut.Print.TransferSpread,
        };
    }

    /// <summary>Index in the paste layer, from a name such as <c>a0012</c> or <c>a0012p3</c>.</summary>
    public static int IndexOf(string id)
    {
        ArgumentNullException.ThrowIfNull(id);
        var index = 0;
        for (var i = 1; i < id.Length && char.IsAsciiDigit(id[i]); i++)
        {
            index = (index * 10) + (id[i] - '0');
        }

        return index - 1;
    }

    internal static string KindOf(BoardPart part) => PartWords.Class(part.Class)
        + (part.SizeImperial is { } size ? " " + size
            : part.PitchMm is { } pitch && part.Class is not (PartClass.Chip or PartClass.Single)
                ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $" {pitch:0.##}") : "");
}
