namespace Stencilwright.Cutting.Heat;

/// <summary>How a material takes up and passes on heat.</summary>
/// <param name="ConductivityWMK">Watts per metre and kelvin.</param>
/// <param name="DensityKgM3">Kilograms per cubic metre.</param>
/// <param name="HeatJKgK">Joules per kilogram and kelvin.</param>
public readonly record struct Matter(double ConductivityWMK, double DensityKgM3, double HeatJKgK)
{
    /// <summary>Polyester film: conductivity and density from handbooks (from memory), specific heat 0.28 cal/(g K) from a property article.</summary>
    public static Matter PolyesterFilm { get; } = new(0.15, 1390, 1172);

    /// <summary>Conductivity in watts per millimetre and kelvin.</summary>
    public double ConductivityWMmK => ConductivityWMK / 1000;

    /// <summary>Joules per cubic millimetre and kelvin.</summary>
    public double HeatPerMm3K => DensityKgM3 * HeatJKgK * 1e-9;

    /// <summary>Square millimetres per second.</summary>
    public double DiffusivityMm2S => ConductivityWMmK / HeatPerMm3K;
}
