using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Heat;

/// <summary>How hot the film gets over a rectangle of the sheet.</summary>
public sealed record HeatMap
{
    /// <summary>The map's corner with the least coordinates, in the sheet's coordinates.</summary>
    public required Point2 Corner { get; init; }

    /// <summary>Side of a cell; figures hold for its middle.</summary>
    public required double CellMm { get; init; }

    /// <summary>Cells along x.</summary>
    public required int Columns { get; init; }

    /// <summary>Cells along y.</summary>
    public required int Rows { get; init; }

    /// <summary>Highest rise over the temperature before the cut, kelvin; row by row from the corner; no number where the film is cut away.</summary>
    public required ImmutableArray<float> PeakRiseK { get; init; }

    /// <summary>Rise left when the later of the two nearest paths begins, kelvin; no number where the film is cut away.</summary>
    public required ImmutableArray<float> ResidualRiseK { get; init; }
}
