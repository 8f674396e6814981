using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Cutting.Heat;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output;

namespace Stencilwright.Workbench.Workshop;

/// <summary>How warm the film gets while it is cut, ready to be drawn: levels on one scale for every job.</summary>
public sealed record HeatPicture
{
    /// <summary>Temperature of the lowest level, degrees Celsius.</summary>
    public const double LowC = FilmConditions.RoomC;

    /// <summary>Temperature of the highest level, degrees Celsius: where polyester melts. Hotter places, which every cut's own edge is, have it too.</summary>
    public const double HighC = FilmConditions.MeltC;

    private const int LeastLevel = 1;
    private const int MostLevel = 255;
    private const int Bins = 47;
    private const double MarginMm = 3;
    private const int MostCells = 60_000;

    /// <summary>Corner with the least coordinates, in the sheet's coordinates.</summary>
    public required Point2 Corner { get; init; }

    /// <summary>Side of a cell.</summary>
    public required double CellMm { get; init; }

    /// <summary>Cells along x.</summary>
    public required int Columns { get; init; }

    /// <summary>Cells along y.</summary>
    public required int Rows { get; init; }

    /// <summary>Highest temperature, row by row from the corner: 1 to 255 from <see cref="LowC"/> to <see cref="HighC"/>; 0 where film is cut away.</summary>
    public required ImmutableArray<byte> Peak { get; init; }

    /// <summary>What is left when the beam comes back to the same place, in the same way.</summary>
    public required ImmutableArray<byte> Residual { get; init; }

    /// <summary>How many cells of film reach each fifth of ten degrees between the ends of the scale.</summary>
    public required ImmutableArray<int> PeakCounts { get; init; }

    /// <summary>The same for <see cref="Residual"/>.</summary>
    public required ImmutableArray<int> ResidualCounts { get; init; }

    /// <summary>Film that gets softer than glass (<see cref="FilmConditions.GlassC"/>), square millimetres.</summary>
    public required double SoftAreaMm2 { get; init; }

    /// <summary>Works it out for a side's film, round everything that is cut into it.</summary>
    /// <exception cref="OperationCanceledException">Asked to stop.</exception>
    public static HeatPicture? Of(JobSide side, JobSettings settings, CancellationToken cancellation)
    {
        ArgumentNullException.ThrowIfNull(side);
        ArgumentNullException.ThrowIfNull(settings);
        var area = Bounds2.Empty;
        foreach (var opening in side.Plan.Openings)
        {
            area = opening.Shape.IsEmpty ? area : Bounds2.Union(area, opening.Shape.Bounds);
        }

        if (area.IsEmpty)
        {
            return null;
        }

        area = area.Inflate(MarginMm);
        var kerf = Math.Max(settings.KerfXMm, settings.KerfYMm);
        var cell = Math.Max(kerf / 3, Math.Sqrt(area.Width * area.Height / MostCells));
        var map = FilmHeat.Of(side.Plan.Film, settings).Map(area, Math.Max(cell, 0.02), kerf, cancellation);
        var (peak, residual) = (Levels(map.PeakRiseK), Levels(map.ResidualRiseK));
        return new HeatPicture
        {
            Corner = map.Corner,
            CellMm = map.CellMm,
            Columns = map.Columns,
            Rows = map.Rows,
            Peak = peak,
            Residual = residual,
            PeakCounts = Counts(peak),
            ResidualCounts = Counts(residual),
            SoftAreaMm2 = map.PeakRiseK.Count(k => LowC + k >= FilmConditions.GlassC) * map.CellMm * map.CellMm,
        };
    }

    private static ImmutableArray<byte> Levels(ImmutableArray<float> rises)
    {
        var levels = new byte[rises.Length];
        for (var i = 0; i < levels.Length; i++)
        {
            levels[i] = float.IsNaN(rises[i]) ? (byte)0
                : (byte)(LeastLevel + Math.Round((MostLevel - LeastLevel) * Math.Clamp(rises[i] / (HighC - LowC), 0, 1)));
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(levels);
    }

    private static ImmutableArray<int> Counts(ImmutableArray<byte> levels)
    {
        var counts = new int[Bins];
        foreach (var level in levels)
        {
            if (level >= LeastLevel)
            {
                counts[(level - LeastLevel) * Bins / (MostLevel - LeastLevel + 1)]++;
            }
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(counts);
    }
}
