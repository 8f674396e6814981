using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Cutting.Coupons;

/// <summary>What somebody read off a cut coupon.</summary>
public sealed record CouponReading
{
    /// <summary>Id of the feature.</summary>
    public required string Id { get; init; }

    /// <summary>Size along x, of a diagonal its length; null when not measured, 0 when it did not open or the film before it tore.</summary>
    public double? WidthMm { get; init; }

    /// <summary>Size along y; null when not measured.</summary>
    public double? HeightMm { get; init; }

    /// <summary>True when it was seen to be open without being measured.</summary>
    public bool IsOpen { get; init; }

    /// <summary>True when what fell out was measured and not the hole.</summary>
    public bool IsSlug { get; init; }

    /// <summary>Where it is written.</summary>
    public SourcePlace Place { get; init; }
}

/// <summary>A value with its uncertainty.</summary>
/// <param name="Value">The value; what is assumed when it was not measured.</param>
/// <param name="StandardError">Standard error; null when it was not measured.</param>
/// <param name="Low">Lower end of the 95 % interval; null when it was not measured.</param>
/// <param name="High">Upper end of the 95 % interval; null when it was not measured.</param>
/// <param name="Readings">How many readings it rests on.</param>
public sealed record Estimate(double Value, double? StandardError, double? Low, double? High, int Readings)
{
    /// <summary>False when the value is an assumption.</summary>
    public bool IsMeasured => StandardError is not null;
}

/// <summary>A feature that the fit does not rest on.</summary>
/// <param name="Id">Its id.</param>
/// <param name="Why">In words.</param>
public sealed record RejectedFeature(string Id, string Why);

/// <summary>What a laser does to a film, as far as a coupon tells.</summary>
public sealed record Calibration
{
    /// <summary>Full width of the cut along x, millimetres.</summary>
    public required Estimate KerfXMm { get; init; }

    /// <summary>Full width of the cut along y, millimetres.</summary>
    public required Estimate KerfYMm { get; init; }

    /// <summary>Length as cut over length as drawn, along x.</summary>
    public required Estimate ScaleX { get; init; }

    /// <summary>Length as cut over length as drawn, along y.</summary>
    public required Estimate ScaleY { get; init; }

    /// <summary>Turn of the y axis away from square, positive towards +x, milliradians.</summary>
    public required Estimate SkewMrad { get; init; }

    /// <summary>Narrowest film between two rungs that stood, and every wider one with it, as cut; null when no ladder was looked at.</summary>
    public Estimate? NarrowestWebMm { get; init; }

    /// <summary>Narrowest opening that opened, and every wider one with it, as cut; null when none was looked at.</summary>
    public double? NarrowestOpeningMm { get; init; }

    /// <summary>How many features the fit rests on.</summary>
    public required int FeaturesUsed { get; init; }

    /// <summary>Features read that the fit does not rest on, in the coupon's order.</summary>
    public required ImmutableArray<RejectedFeature> Rejected { get; init; }

    /// <summary>Root mean square of what is left between readings and fit, millimetres.</summary>
    public required double ResidualRmsMm { get; init; }
}
