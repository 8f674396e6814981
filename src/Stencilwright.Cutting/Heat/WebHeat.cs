using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Foundation;

namespace Stencilwright.Cutting.Heat;

/// <summary>How hot the webs of a sheet get.</summary>
internal static class WebHeat
{
    /// <summary>A reading in the middle of each opening's web; null where there is none or the heat does not reach.</summary>
    public static HeatReading?[] Read(SheetPlan film, Web?[] webs, JobSettings settings, CancellationToken cancellation)
    {
        var readings = new HeatReading?[webs.Length];
        var heat = FilmHeat.Of(film, settings);
        if (heat.Conditions.HeatW <= 0)
        {
            return readings;
        }

        var probe = new FilmHeat.Probe(heat);
        for (var i = 0; i < webs.Length; i++)
        {
            if (i % 256 == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            if (webs[i] is not { } web || web.WidthMm / 2 > heat.ReachMm)
            {
                continue;
            }

            // Two that are each other's nearest share one web.
            readings[i] = web.Neighbour < i && webs[web.Neighbour] is { } back && back.Neighbour == i
                ? readings[web.Neighbour]
                : probe.At(web.Middle);
        }

        return readings;
    }

    public static ImmutableArray<AsCutOpening> Tell(ImmutableArray<AsCutOpening> openings, HeatReading?[] readings)
    {
        var told = new AsCutOpening[openings.Length];
        for (var i = 0; i < told.Length; i++)
        {
            told[i] = readings[i] is { } reading ? openings[i] with { WebHeat = reading } : openings[i];
        }

        return ImmutableCollectionsMarshal.AsImmutableArray(told);
    }

    public static HeatReading? Hottest(HeatReading?[] readings)
    {
        HeatReading? hottest = null;
        foreach (var reading in readings)
        {
            if (reading is { } one && !(one.PeakRiseK <= hottest?.PeakRiseK))
            {
                hottest = one;
            }
        }

        return hottest;
    }
}
