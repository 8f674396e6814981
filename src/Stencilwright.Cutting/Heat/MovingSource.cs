namespace Stencilwright.Cutting.Heat;

/// <summary>Closed forms of the temperature around a heat source that has moved for ever along a straight line at constant speed.</summary>
/// <remarks>
/// Rosenthal's solutions for thick and thin plates, without loss from the surface; from memory (standard). The position is given from
/// the source: <c>xi</c> along the travel, negative behind. Rises of temperature in kelvin over the plate's own.
/// </remarks>
internal static class MovingSource
{
    // 2/(π e) and 1/√(2 π e).
    private const double ThickPeak = 2 / (Math.PI * Math.E);
    private static readonly double _thinPeak = 1 / Math.Sqrt(2 * Math.PI * Math.E);

    /// <summary>Half-infinite body, point source on its surface: Q/(2π k r) · exp(-v (r + ξ)/(2a)).</summary>
    /// <param name="matter">What the body is made of.</param>
    /// <param name="powerW">Power that enters.</param>
    /// <param name="speedMmS">Speed of the source.</param>
    /// <param name="xiMm">Along the travel, negative behind.</param>
    /// <param name="sideMm">Distance from the line of travel, sideways and down.</param>
    public static double ThickRiseK(Matter matter, double powerW, double speedMmS, double xiMm, double sideMm)
    {
        var r = Math.Sqrt((xiMm * xiMm) + (sideMm * sideMm));
        return powerW / (2 * Math.PI * matter.ConductivityWMmK * r) * Math.Exp(-speedMmS * (r + xiMm) / (2 * matter.DiffusivityMm2S));
    }

    /// <summary>Sheet, line source through its thickness: Q/(2π k t) · exp(-v ξ/(2a)) · K0(v r/(2a)).</summary>
    /// <param name="matter">What the sheet is made of.</param>
    /// <param name="thicknessMm">Thickness of the sheet.</param>
    /// <param name="powerW">Power that enters.</param>
    /// <param name="speedMmS">Speed of the source.</param>
    /// <param name="xiMm">Along the travel, negative behind.</param>
    /// <param name="sideMm">Distance from the line of travel.</param>
    public static double ThinRiseK(Matter matter, double thicknessMm, double powerW, double speedMmS, double xiMm, double sideMm)
    {
        var r = Math.Sqrt((xiMm * xiMm) + (sideMm * sideMm));
        var scale = speedMmS / (2 * matter.DiffusivityMm2S);

        // Far behind, the first factor overflows and the second underflows: together they are e^(-scale (r + ξ)) times a tame one.
        return powerW / (2 * Math.PI * matter.ConductivityWMmK * thicknessMm)
            * Math.Exp(-scale * (r + xiMm)) * Special.ScaledK0(scale * r);
    }

    /// <summary>Highest rise beside a fast source on a thick body: (2/(π e)) Q/(v ρ c r²).</summary>
    public static double ThickPeakK(Matter matter, double powerW, double speedMmS, double sideMm) =>
        ThickPeak * powerW / (speedMmS * matter.HeatPerMm3K * sideMm * sideMm);

    /// <summary>Highest rise beside a fast source in a sheet: Q/(v t ρ c y √(2π e)).</summary>
    public static double ThinPeakK(Matter matter, double thicknessMm, double powerW, double speedMmS, double sideMm) =>
        _thinPeak * powerW / (speedMmS * thicknessMm * matter.HeatPerMm3K * sideMm);

    /// <summary>How long after a fast source has passed beside it a point of a sheet is hottest: y²/(2a), less when heat is lost from its faces.</summary>
    /// <param name="matter">What the sheet is made of.</param>
    /// <param name="sideMm">Distance from the line of travel.</param>
    /// <param name="lossTimeS">Time in which the sheet alone would lose all but 1/e of its heat; infinite without loss.</param>
    public static double ThinPeakTimeS(Matter matter, double sideMm, double lossTimeS)
    {
        // Where the derivative of τ^(-1/2) exp(-y²/(4aτ) - τ/τ_loss) is zero: y²/(4a) = τ/2 + τ²/τ_loss.
        var free = sideMm * sideMm / (2 * matter.DiffusivityMm2S);
        return double.IsInfinity(lossTimeS) ? free : 2 * free / (1 + Math.Sqrt(1 + (8 * free / lossTimeS)));
    }
}
