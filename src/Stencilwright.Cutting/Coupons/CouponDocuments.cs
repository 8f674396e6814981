using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Coupons;

/// <summary>What a coupon is for.</summary>
public enum CouponPurpose
{
    /// <summary>Kerf, scale, skew, smallest web and smallest opening.</summary>
    Calibration,

    /// <summary>Power and speed.</summary>
    PowerSpeed,
}

/// <summary>Words for kinds of features, as <c>coupon.json</c> has them.</summary>
public static class FeatureKinds
{
    /// <summary>A square opening.</summary>
    public const string Square = "square";

    /// <summary>A slot with its long side along x.</summary>
    public const string SlotX = "slot-x";

    /// <summary>A slot with its long side along y.</summary>
    public const string SlotY = "slot-y";

    /// <summary>A round opening.</summary>
    public const string Circle = "circle";

    /// <summary>A round slot with a bridge that holds its middle.</summary>
    public const string Ring = "ring";

    /// <summary>One of a row of slots along x with webs that shrink.</summary>
    public const string LadderX = "ladder-x";

    /// <summary>One of a row of slots along y with webs that shrink.</summary>
    public const string LadderY = "ladder-y";

    /// <summary>An opening with corners that tell how the beam turns.</summary>
    public const string Corner = "corner";

    /// <summary>Two openings a long way apart along x, measured over their far edges.</summary>
    public const string RulerX = "ruler-x";

    /// <summary>Two openings a long way apart along y, measured over their far edges.</summary>
    public const string RulerY = "ruler-y";

    /// <summary>Two round openings on a diagonal that rises to the right, measured over their far edges.</summary>
    public const string DiagonalA = "diagonal-a";

    /// <summary>Two round openings on a diagonal that falls to the right, measured over their far edges.</summary>
    public const string DiagonalB = "diagonal-b";

    /// <summary>A field of a power and speed coupon.</summary>
    public const string Cell = "cell";
}

/// <summary>One end of a ruler or diagonal, as drawn.</summary>
/// <param name="Center">Its middle, sheet coordinates.</param>
/// <param name="WidthMm">Extent along x.</param>
/// <param name="HeightMm">Extent along y.</param>
public readonly record struct FeatureEnd(Point2 Center, double WidthMm, double HeightMm);

/// <summary>Something on a coupon that can be measured, as drawn; as cut it is larger by one kerf in each axis.</summary>
public sealed record CouponFeature
{
    /// <summary>As scored beside it, such as <c>S3</c>; unique, a valid XML id.</summary>
    public required string Id { get; init; }

    /// <summary>One of <see cref="FeatureKinds"/>.</summary>
    public required string Kind { get; init; }

    /// <summary>Middle of the feature, sheet coordinates (millimetres, origin lower left, y up).</summary>
    public required Point2 Center { get; init; }

    /// <summary>Overall size along x; of a diagonal, its length over the far edges of its ends.</summary>
    public required double WidthMm { get; init; }

    /// <summary>Overall size along y; of a diagonal, the diameter of its ends.</summary>
    public required double HeightMm { get; init; }

    /// <summary>Turn of the width from x, counter-clockwise; 0 but for diagonals.</summary>
    public double RotationDeg { get; init; }

    /// <summary>Of a rung of a ladder: film drawn between it and the rung before it; null for the first and for all other kinds.</summary>
    public double? WebMm { get; init; }

    /// <summary>The two openings of a ruler or diagonal; empty for a feature that is one opening.</summary>
    public ImmutableArray<FeatureEnd> Ends { get; init; } = [];

    /// <summary>Power of a cell, percent of the machine's own scale; null for all other kinds.</summary>
    public double? PowerPercent { get; init; }

    /// <summary>Speed of a cell; null for all other kinds.</summary>
    public double? SpeedMmS { get; init; }
}

/// <summary>A sheet of features whose true size tells what a laser does to a film.</summary>
public sealed record Coupon
{
    /// <summary>What it is for.</summary>
    public required CouponPurpose Purpose { get; init; }

    /// <summary>In the order in which they are measured.</summary>
    public required ImmutableArray<CouponFeature> Features { get; init; }

    /// <summary>The beam's paths: neither kerf nor scale nor skew is compensated.</summary>
    public required SheetPlan Sheet { get; init; }
}
