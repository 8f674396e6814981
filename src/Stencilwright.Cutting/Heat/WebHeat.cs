using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting.Heat;

/// <summary>How hot the webs of a sheet get.</summary>
internal static class WebHeat
{
    private const double BoxMm = 1e-4;
    private const double NearMm = 0.05;
    private const int BlockSize = 256;
    private const int FewBlocks = 16;

    /// <summary>A reading in the middle of each opening's web; null where there is none or the heat does not reach.</summary>
    public static HeatReading?[] Read(
        SheetPlan film, ImmutableArray<Region> shapes, Web?[] webs, JobSettings settings, CancellationToken cancellation)
    {
        var readings = new HeatReading?[webs.Length];
        var heat = FilmHeat.Of(film, settings);
        if (heat.Conditions.HeatW <= 0)
        {
            return readings;
        }

        var blocks = (webs.Length + BlockSize - 1) / BlockSize;
        var kerf = Math.Max(settings.KerfXMm, settings.KerfYMm);
        void ReadBlock(int block)
        {
            cancellation.ThrowIfCancellationRequested();
            var probe = new FilmHeat.Probe(heat);
            for (var i = block * BlockSize; i < Math.Min(webs.Length, (block + 1) * BlockSize); i++)
            {
                if (webs[i] is { } web && web.WidthMm / 2 <= heat.ReachMm && TwinOf(webs, i) < 0)
                {
                    readings[i] = ReadOne(probe, shapes[i].Bounds, shapes[web.Neighbour].Bounds, web, kerf);
                }
            }
        }

        // Small sheets are done sooner than a second thread would be at work.
        if (blocks <= FewBlocks)
        {
            for (var block = 0; block < blocks; block++)
            {
                ReadBlock(block);
            }
        }
        else
        {
            Parallel.For(0, blocks, new ParallelOptions { CancellationToken = cancellation }, ReadBlock);
        }

        for (var i = 0; i < webs.Length; i++)
        {
            if (TwinOf(webs, i) is >= 0 and var twin)
            {
                readings[i] = readings[twin];
            }
        }

        return readings;
    }

    // Where two sides run side by side, the nearest points may be at any place along them: the middle of the stretch is what gets hot.
    private static HeatReading ReadOne(FilmHeat.Probe probe, Bounds2 a, Bounds2 b, Web web, double kerf)
    {
        var (x0, x1) = (Math.Max(a.MinX, b.MinX), Math.Min(a.MaxX, b.MaxX));
        var (y0, y1) = (Math.Max(a.MinY, b.MinY), Math.Min(a.MaxY, b.MaxY));
        if (web.WidthMm > 0 && ((x1 > x0 && Math.Abs(y0 - y1 - web.WidthMm) < BoxMm) || (y1 > y0 && Math.Abs(x0 - x1 - web.WidthMm) < BoxMm)))
        {
            var reading = probe.At(new((x0 + x1) / 2, (y0 + y1) / 2));

            // Shapes that are no rectangles may leave the middle of their boxes open, or far from both.
            var side = (web.WidthMm + kerf) / 2;
            if (probe.NearestMm > side - NearMm && probe.NextMm < side + NearMm)
            {
                return reading;
            }
        }

        return probe.At(web.Middle);
    }

    // Two that are each other's nearest share one web, read for the first.
    private static int TwinOf(Web?[] webs, int i) =>
        webs[i] is { } web && web.Neighbour < i && webs[web.Neighbour] is { } back && back.Neighbour == i ? web.Neighbour : -1;

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
