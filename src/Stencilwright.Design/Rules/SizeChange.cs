using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>A rule's change worked out for one opening: how much comes off where, in the opening's own frame.</summary>
internal readonly record struct SizeChange
{
    // Copper that reaches further than this beyond the opening is a plane or several lands: it says nothing of this land.
    private const double MostCopperFactor = 1.35;
    private const double MostCopperMm = 0.1;

    /// <summary>Taken off the length in all; negative enlarges.</summary>
    public double OffLengthMm { get; init; }

    /// <summary>Taken off the width in all; negative enlarges.</summary>
    public double OffWidthMm { get; init; }

    /// <summary>Towards the middle of the part, one of four axes; zero when it is not known.</summary>
    public Vector2 Heel { get; init; }

    /// <summary>Radius that corners get, millimetres, before it is limited by the opening's size.</summary>
    public double RadiusMm { get; init; }

    /// <summary>Works it out.</summary>
    /// <param name="form">The opening.</param>
    /// <param name="change">What the rule says.</param>
    /// <param name="heel">Towards the middle of the part; zero when it is not known.</param>
    /// <param name="pitchMm">Pitch of the part; null when unknown.</param>
    /// <param name="copper">The land under the opening, board coordinates; null when unknown.</param>
    /// <param name="beamWidthMm">Diameter of the beam.</param>
    public static SizeChange Of(LocalOpening form, RuleChange change, Vector2 heel, double? pitchMm, Region? copper, double beamWidthMm)
    {
        var (landLength, landWidth) = Land(form, copper);
        var offLength = Off(form.LengthMm, landLength, change.ReduceLengthMm, change.ReduceLengthPercent, change.InsetMm);
        var offWidth = Off(form.WidthMm, landWidth, change.ReduceWidthMm, change.ReduceWidthPercent, change.InsetMm);
        if (form.Shape == OpeningShape.Circle)
        {
            offLength = offWidth = Math.Abs(offWidth) >= Math.Abs(offLength) ? offWidth : offLength;
        }

        if (change.LeastWidthPitchPercent is { } percent && pitchMm is { } pitch && offWidth > 0)
        {
            var most = Math.Max(0, form.WidthMm - (pitch * percent / 100));
            (offWidth, offLength) = (Math.Min(offWidth, most), form.Shape == OpeningShape.Circle ? Math.Min(offLength, most) : offLength);
        }

        var radius = Math.Max(
            Math.Max(change.CornerRadiusMm, change.CornerRadiusPercent / 100 * form.WidthMm),
            change.CornerRadiusBeamPercent / 100 * beamWidthMm / 2);
        return new() { OffLengthMm = offLength, OffWidthMm = offWidth, Heel = heel, RadiusMm = radius };
    }

    private static double Off(double sizeMm, double landMm, double reduceMm, double percent, double insetMm)
    {
        var reduce = reduceMm + (percent / 100 * landMm) + (2 * insetMm);
        var target = landMm - reduce;
        // What the artwork has taken off already counts; and nobody enlarges by reducing.
        return reduce >= 0 ? Math.Max(0, sizeMm - target) : Math.Min(0, sizeMm - target);
    }

    private static (double LengthMm, double WidthMm) Land(LocalOpening form, Region? copper)
    {
        if (copper is null || copper.IsEmpty)
        {
            return (form.LengthMm, form.WidthMm);
        }

        var box = copper.Transform(form.ToBoard.Inverse()).Bounds;
        return (Of(form.LengthMm, box.Width), Of(form.WidthMm, box.Height));

        static double Of(double sizeMm, double landMm) => landMm >= sizeMm && landMm <= (sizeMm * MostCopperFactor) + MostCopperMm ? landMm : sizeMm;
    }
}
