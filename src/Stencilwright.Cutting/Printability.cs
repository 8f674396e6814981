using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What an opening's shape says about its print.</summary>
/// <param name="AreaRatio">Opening area over wall area.</param>
/// <param name="AspectRatio">Narrowest width (<see cref="RegionWidth.Narrowest"/>) over thickness.</param>
/// <param name="TransferEfficiency">Expected deposit over opening volume.</param>
/// <param name="PasteVolumeMm3">Expected deposit.</param>
/// <param name="Verdict">What to expect.</param>
public readonly record struct PrintForecast(
    double AreaRatio, double AspectRatio, double TransferEfficiency, double PasteVolumeMm3, Verdict Verdict);

/// <summary>The trade's limits for openings, and a first guess at how much paste leaves them.</summary>
public static class Printability
{
    /// <summary>Least area ratio for good release. Source: IPC-7525, section 3.2.</summary>
    public const double LeastAreaRatio = 0.66;

    /// <summary>Least aspect ratio for good release. Source: IPC-7525, section 3.2.</summary>
    public const double LeastAspectRatio = 1.5;

    /// <summary>Area ratio down to which very smooth walls still release. Source: trade papers, from memory.</summary>
    public const double MarginalAreaRatio = 0.5;

    /// <summary>Beyond this length over width the aspect ratio governs. Source: IPC-7525, section 3.2, from memory.</summary>
    public const double SlotLengthOverWidth = 5;

    // A logistic curve through (0.66, 0.80) and (0.50, 0.60): our own construction until prints have been measured. The
    // first point is what trade papers give for steel, the second is from memory.
    private const double LogisticSlope = 6.1302;
    private const double LogisticMiddle = 0.43386;

    /// <summary>Expected share of an opening's volume that stays on the board, 0 to 1.</summary>
    public static double TransferEfficiency(double areaRatio) =>
        areaRatio <= 0 ? 0 : 1 / (1 + Math.Exp(-LogisticSlope * (areaRatio - LogisticMiddle)));

    /// <summary>Judges the shape that the beam leaves open.</summary>
    /// <param name="opened">The shape; may be empty.</param>
    /// <param name="filmThicknessMm">Film thickness, above 0.</param>
    public static PrintForecast Judge(Region opened, double filmThicknessMm)
    {
        ArgumentNullException.ThrowIfNull(opened);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(filmThicknessMm);
        var area = opened.AreaMm2;
        if (opened.IsEmpty || area <= 0)
        {
            return new PrintForecast(0, 0, 0, 0, Verdict.WillNotPrint);
        }

        var areaRatio = area / (opened.PerimeterMm * filmThicknessMm);
        var width = RegionWidth.Narrowest(opened).DiameterMm;
        var aspectRatio = width / filmThicknessMm;
        var efficiency = TransferEfficiency(areaRatio);
        var isSlot = ShapeMeasure.NarrowestBox(opened).LengthMm > SlotLengthOverWidth * width;
        var verdict = areaRatio > LeastAreaRatio || (isSlot && aspectRatio > LeastAspectRatio)
            ? Verdict.Prints
            : areaRatio >= MarginalAreaRatio ? Verdict.Marginal : Verdict.WillNotPrint;
        return new PrintForecast(areaRatio, aspectRatio, efficiency, area * filmThicknessMm * efficiency, verdict);
    }
}
