using Stencilwright.Foundation;

namespace Stencilwright.Cutting.Heat;

/// <summary>What decides how hot the film gets while it is cut.</summary>
/// <remarks>Assumptions and their uncertainty: docs/algorithms/heat.md. The heat that stays in the film is known to a factor of two at best.</remarks>
public sealed record FilmConditions
{
    /// <summary>Temperature of film and room before the cut, degrees Celsius; an assumption.</summary>
    public const double RoomC = 20;

    /// <summary>Glass transition of polyester film, degrees Celsius. Source: Encyclopedia of Polymer Science, "Polyester Films".</summary>
    public const double GlassC = 78;

    /// <summary>
    /// Where heat-set polyester film shrinks by 1 to 3 % along and up to 2 % across, degrees Celsius: the temperature of the usual
    /// test (DIN 40634, 15 min; a film producer's table).
    /// </summary>
    public const double ShrinkC = 150;

    /// <summary>Melting point of polyester film, degrees Celsius. Source: Encyclopedia of Polymer Science, "Polyester Films".</summary>
    public const double MeltC = 255;

    // Watts per square metre and kelvin from both faces together. Assumptions: air, free convection and radiation at 10 a face;
    // a bed touches here and there; wet paper takes up heat like water, √(k ρ c/(π t)) for a tenth of a second, on one face well.
    private const double AirLoss = 20;
    private const double BedLoss = 60;
    private const double WetPaperLoss = 1500;

    /// <summary>The material.</summary>
    public required Matter Matter { get; init; }

    /// <summary>Film thickness.</summary>
    public required double ThicknessMm { get; init; }

    /// <summary>Power that stays in the film as heat while the beam is on.</summary>
    public required double HeatW { get; init; }

    /// <summary>Heat that leaves through both faces, watts per square metre and kelvin.</summary>
    public required double LossWM2K { get; init; }

    /// <summary>Time in which the film alone loses all but 1/e of its heat through its faces; infinite without loss.</summary>
    public double LossTimeS => LossWM2K > 0 ? SheetHeatPerMm2K / (LossWM2K * 1e-6) : double.PositiveInfinity;

    /// <summary>Joules per square millimetre of film and kelvin.</summary>
    public double SheetHeatPerMm2K => Matter.HeatPerMm3K * ThicknessMm;

    /// <summary>Conditions of a cut of the film.</summary>
    public static FilmConditions Of(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return new FilmConditions
        {
            Matter = Matter.PolyesterFilm,
            ThicknessMm = settings.FilmThicknessMm,
            HeatW = settings.LaserPowerW * settings.FilmPowerPercent / 100 * settings.FilmHeatPercent / 100,
            LossWM2K = settings.FilmHeatLossWM2K > 0 ? settings.FilmHeatLossWM2K : settings.FilmLiesOn switch
            {
                "air" => AirLoss,
                "bed" => BedLoss,
                _ => WetPaperLoss,
            },
        };
    }

    /// <summary>Rise beside a long straight cut, in kelvin, some time after the beam passed.</summary>
    /// <param name="sideMm">Distance from the middle of the cut.</param>
    /// <param name="speedMmS">Speed of the cut.</param>
    /// <param name="ageS">Time since the beam was nearest.</param>
    public double BesideCutK(double sideMm, double speedMmS, double ageS) =>
        HeatW / (speedMmS * SheetHeatPerMm2K)
        * Math.Exp((-sideMm * sideMm / (4 * Matter.DiffusivityMm2S * ageS)) - (ageS / LossTimeS))
        / Math.Sqrt(4 * Math.PI * Matter.DiffusivityMm2S * ageS);
}
