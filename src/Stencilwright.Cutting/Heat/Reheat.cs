using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Heat;

/// <summary>What it costs to cut both sides of a web one after the other: the time its middle would still need to cool.</summary>
internal static class Reheat
{
    // A web counts as cool again when its middle is back to a quarter of the way to the glass transition.
    private const double CoolShare = 0.25;

    // An order that puts a few openings in between gains no more than about this.
    private const double MostCoolingS = 1;

    private const int TableSize = 64;

    private static double CoolK => CoolShare * (FilmConditions.GlassC - FilmConditions.RoomC);

    /// <summary>Webs that are at least this wide never get warm enough to matter.</summary>
    public static double WidestMm(JobSettings settings) => WidestMm(settings, share: 1);

    // The same for cuts that leave another share of heat a millimetre than the settings' power and speed.
    private static double WidestMm(JobSettings settings, double share)
    {
        var film = FilmConditions.Of(settings);
        if (settings.ReheatWeight <= 0 || film.HeatW <= 0)
        {
            return 0;
        }

        // The peak beside a cut falls with the distance.
        var kerf = Kerf(settings);
        var (low, high) = (0.0, 2.0);
        for (var i = 0; i < 30; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = share * PeakK(film, (middle + kerf) / 2, settings.FilmSpeedMmS) > CoolK ? (middle, high) : (low, middle);
        }

        return low;
    }

    /// <summary>Costs in seconds for pairs of units.</summary>
    /// <param name="units">What is cut; the opening of each tells which webs it has.</param>
    /// <param name="webs">Webs between openings.</param>
    /// <param name="travel">What travel costs.</param>
    /// <param name="settings">Laser, film and motion.</param>
    public static List<(int A, int B, double Cost)> Pairs(
        List<CutUnit> units, ImmutableArray<ClosePair> webs, TourCost travel, JobSettings settings)
    {
        var pairs = new List<(int A, int B, double Cost)>(webs.Length);
        var widest = WidestMm(settings);
        if (widest <= 0)
        {
            return pairs;
        }

        var tables = new Dictionary<double, (double Widest, double[] Table)> { [1] = (widest, CoolingTable(settings, widest, 1)) };
        var (firsts, next) = UnitsByOpening(units);
        var (seconds, heats) = Measure(units, settings);
        foreach (var web in webs)
        {
            for (var a = First(firsts, web.A); a >= 0; a = next[a])
            {
                for (var b = First(firsts, web.B); b >= 0; b = next[b])
                {
                    // The hotter of the two passes decides; which comes first is not yet known.
                    var cooling = CoolingS(tables, settings, web.WidthMm, Math.Max(heats[a], heats[b]));
                    // Half of each would be cut between the two passes along the web if starts were anywhere; they lie near each other.
                    var (dx, dy) = (units[a].Place.X - units[b].Place.X, units[a].Place.Y - units[b].Place.Y);
                    var still = cooling - ((seconds[a] + seconds[b]) / 4) - travel.Travel((dx * dx) + (dy * dy));
                    if (still > 0)
                    {
                        pairs.Add((a, b, still * settings.ReheatWeight));
                    }
                }
            }
        }

        return pairs;
    }

    // How long each unit takes, and the heat it leaves a millimetre over that of the settings' power and speed.
    private static (double[] Seconds, double[] Heats) Measure(List<CutUnit> units, JobSettings settings)
    {
        var limits = MotionLimits.Of(settings, settings.FilmSpeedMmS);
        var (seconds, heats) = (new double[units.Count], new double[units.Count]);
        for (var i = 0; i < seconds.Length; i++)
        {
            foreach (var path in units[i].Paths)
            {
                seconds[i] += Motion.PathS(path, path.SpeedMmS is { } speed ? MotionLimits.Of(settings, speed) : limits);
                var heat = (path.PowerPercent is { } power ? power / settings.FilmPowerPercent : 1)
                    / (path.SpeedMmS is { } own ? own / settings.FilmSpeedMmS : 1);
                heats[i] = Math.Max(heats[i], heat);
            }
        }

        return (seconds, heats);
    }

    private static double CoolingS(Dictionary<double, (double Widest, double[] Table)> tables, JobSettings settings, double widthMm, double share)
    {
        if (!tables.TryGetValue(share, out var cooling))
        {
            var widest = WidestMm(settings, share);
            tables[share] = cooling = (widest, CoolingTable(settings, widest, share));
        }

        return widthMm > cooling.Widest ? 0 : At(cooling.Table, cooling.Widest > 0 ? widthMm / cooling.Widest : 0);
    }

    private static int First(int[] firsts, int opening) => opening < firsts.Length ? firsts[opening] : -1;

    private static (int[] Firsts, int[] Next) UnitsByOpening(List<CutUnit> units)
    {
        var most = -1;
        foreach (var unit in units)
        {
            most = Math.Max(most, unit.Opening);
        }

        var (firsts, next) = (new int[most + 1], new int[units.Count]);
        Array.Fill(firsts, -1);
        for (var i = units.Count - 1; i >= 0; i--)
        {
            next[i] = -1;
            if (units[i].Opening >= 0)
            {
                (next[i], firsts[units[i].Opening]) = (firsts[units[i].Opening], i);
            }
        }

        return (firsts, next);
    }

    private static double At(double[] table, double width)
    {
        var at = Math.Clamp(width, 0, 1) * (table.Length - 1);
        var low = Math.Min((int)at, table.Length - 2);
        return table[low] + ((at - low) * (table[low + 1] - table[low]));
    }

    // Time from the pass until the web's middle is cool, over the width.
    private static double[] CoolingTable(JobSettings settings, double widest, double share)
    {
        var film = FilmConditions.Of(settings);
        var table = new double[TableSize];
        for (var i = 0; i < table.Length; i++)
        {
            var side = ((widest * i / (table.Length - 1)) + Kerf(settings)) / 2;
            var low = MovingSource.ThinPeakTimeS(film.Matter, side, film.LossTimeS);
            var high = Math.Max(low, MostCoolingS);
            for (var k = 0; k < 30; k++)
            {
                var middle = (low + high) / 2;
                (low, high) = share * film.BesideCutK(side, settings.FilmSpeedMmS, middle) > CoolK ? (middle, high) : (low, middle);
            }

            table[i] = Math.Min(high, MostCoolingS);
        }

        return table;
    }

    private static double PeakK(FilmConditions film, double sideMm, double speedMmS) =>
        film.BesideCutK(sideMm, speedMmS, MovingSource.ThinPeakTimeS(film.Matter, Math.Max(sideMm, 1e-3), film.LossTimeS));

    private static double Kerf(JobSettings settings) => Math.Max(Math.Max(settings.KerfXMm, settings.KerfYMm), 2e-3);
}
