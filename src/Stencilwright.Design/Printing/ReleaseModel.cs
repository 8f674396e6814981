namespace Stencilwright.Design.Printing;

/// <summary>How much paste leaves an opening, and how much that varies, by its area ratio. Every figure can be replaced by a shop's own.</summary>
/// <remarks>
/// The mean is a logistic curve 1/(1 + exp(-k(a - a₀))). No fitted curve with coefficients was found published, nor any
/// figure for polyester film: the defaults put it through 80 % at an area ratio of 0.66 (trade papers on steel, from
/// memory) and 60 % at 0.50 (from memory), which is our own construction. The spread is one standard deviation as a share
/// of the mean: trade papers, from memory, give 8 to 12 % at 0.66 and 15 to 25 % below 0.50; the defaults take the middles.
/// </remarks>
public sealed record ReleaseModel
{
    private const double SpreadLow = 0.50;
    private const double SpreadHigh = 0.66;

    /// <summary>The model used until a shop has measured its own.</summary>
    public static ReleaseModel Default { get; } = new();

    /// <summary>Area ratio at which half of the paste is released.</summary>
    public double MiddleRatio { get; init; } = 0.43386;

    /// <summary>Steepness of the curve, per unit of area ratio.</summary>
    public double Slope { get; init; } = 6.1302;

    /// <summary>Standard deviation over mean for openings of area ratio 0.66 and more, 0 to 1.</summary>
    public double SpreadLarge { get; init; } = 0.10;

    /// <summary>Standard deviation over mean for openings of area ratio 0.50 and less, 0 to 1; between the two it is interpolated.</summary>
    public double SpreadSmall { get; init; } = 0.20;

    /// <summary>Expected share of an opening's volume that stays on the board, 0 to 1.</summary>
    public double Efficiency(double areaRatio) => areaRatio <= 0 ? 0 : 1 / (1 + Math.Exp(-Slope * (areaRatio - MiddleRatio)));

    /// <summary>One standard deviation of that share, in the same measure.</summary>
    public double Spread(double areaRatio)
    {
        var t = Math.Clamp((areaRatio - SpreadLow) / (SpreadHigh - SpreadLow), 0, 1);
        return Efficiency(areaRatio) * (SpreadSmall + ((SpreadLarge - SpreadSmall) * t));
    }

    /// <summary>The curve's two figures from measured prints, by least squares; the spreads from what is left over.</summary>
    /// <remarks>Gauss-Newton with halved steps from the default curve. Points of no area ratio are left out.</remarks>
    /// <param name="prints">Area ratio and measured share released (1 = the opening's whole volume) of each print.</param>
    /// <returns>Null with fewer than five prints or area ratios too alike (a range below 0.1) to tell a slope.</returns>
    public static ReleaseModel? Fit(IReadOnlyList<(double AreaRatio, double Efficiency)> prints)
    {
        ArgumentNullException.ThrowIfNull(prints);
        var points = prints.Where(p => p.AreaRatio > 0 && double.IsFinite(p.AreaRatio) && double.IsFinite(p.Efficiency)).ToList();
        if (points.Count < 5 || points.Max(p => p.AreaRatio) - points.Min(p => p.AreaRatio) < 0.1)
        {
            return null;
        }

        var model = Default;
        var error = ErrorOf(model, points);
        for (var round = 0; round < 100; round++)
        {
            var (dSlope, dMiddle) = Step(model, points);
            var scale = 1.0;
            var better = false;
            for (var halving = 0; halving < 20 && !better; halving++, scale /= 2)
            {
                var tried = model with { Slope = model.Slope + (scale * dSlope), MiddleRatio = model.MiddleRatio + (scale * dMiddle) };
                var triedError = ErrorOf(tried, points);
                better = tried.Slope > 0 && triedError < error;
                if (better)
                {
                    (model, error) = (tried, triedError);
                }
            }

            if (!better || Math.Abs(scale * dSlope) + Math.Abs(scale * dMiddle) < 1e-12)
            {
                break;
            }
        }

        return model with
        {
            SpreadLarge = SpreadOf(model, points.Where(p => p.AreaRatio >= SpreadHigh)) ?? Default.SpreadLarge,
            SpreadSmall = SpreadOf(model, points.Where(p => p.AreaRatio < SpreadHigh)) ?? Default.SpreadSmall,
        };
    }

    private static double ErrorOf(ReleaseModel model, List<(double AreaRatio, double Efficiency)> points) =>
        points.Sum(p => Math.Pow(p.Efficiency - model.Efficiency(p.AreaRatio), 2));

    // Normal equations of two unknowns.
    private static (double Slope, double Middle) Step(ReleaseModel model, List<(double AreaRatio, double Efficiency)> points)
    {
        double aa = 0, ab = 0, bb = 0, ar = 0, br = 0;
        foreach (var (ratio, measured) in points)
        {
            var e = model.Efficiency(ratio);
            var (a, b) = (e * (1 - e) * (ratio - model.MiddleRatio), -e * (1 - e) * model.Slope);
            var rest = measured - e;
            (aa, ab, bb) = (aa + (a * a), ab + (a * b), bb + (b * b));
            (ar, br) = (ar + (a * rest), br + (b * rest));
        }

        var det = (aa * bb) - (ab * ab);
        return Math.Abs(det) < 1e-300 ? (0, 0) : (((ar * bb) - (br * ab)) / det, ((br * aa) - (ar * ab)) / det);
    }

    private static double? SpreadOf(ReleaseModel model, IEnumerable<(double AreaRatio, double Efficiency)> points)
    {
        var shares = points.Select(p => (p.Efficiency / model.Efficiency(p.AreaRatio)) - 1).ToList();
        return shares.Count < 5 ? null : Math.Sqrt(shares.Sum(s => s * s) / (shares.Count - 1));
    }
}
