using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Drill;

/// <summary>How much a reading of a drill file looks like a board: its extent, and how close its holes are for their size.</summary>
internal static class DrillPlausibility
{
    // Boards and small panels measure this; holes of one board lie 1.3 to 12 diameters from their nearest neighbour (in the middle of
    // many: vias among pads at the one end, mounting and connector holes at the other). Common practice, no source.
    private const double SmallestMm = 5;
    private const double LargestMm = 500;
    private const double ClosestRatio = 1.3;
    private const double WidestRatio = 12;

    // A few holes may lie anyhow.
    private const int FewestHoles = 8;

    private const int MostSamples = 400;
    private const int MostSteps = 4000;

    /// <summary>0 for a reading that looks like a board; about 1 for each factor of ten that it is off.</summary>
    public static double Doubt(DrillDocument document, out double widthMm, out double heightMm, out double overlapShare)
    {
        var box = Bounds2.Empty;
        foreach (var item in document.Items)
        {
            box = box.Include(item.At);
        }

        (widthMm, heightMm) = (box.Width, box.Height);
        var side = Math.Max(widthMm, heightMm);
        var doubt = side == 0 ? 0 : 2 * Beyond(side, SmallestMm, LargestMm);
        var (median, overlaps) = Spacing(document);
        overlapShare = overlaps;
        return doubt + (median > 0 ? Beyond(median, ClosestRatio, WidestRatio) : 0) + (4 * overlaps);
    }

    private static double Beyond(double value, double least, double most) =>
        value < least ? Math.Log10(least / value) : value > most ? Math.Log10(value / most) : 0;

    // Median of nearest distance over diameter, and the share of holes that reach into their neighbour.
    private static (double Median, double OverlapShare) Spacing(DrillDocument document)
    {
        var holes = new List<(Point2 At, double DiameterMm)>();
        foreach (var item in document.Items)
        {
            var diameter = document.Tools[item.Tool].DiameterMm;
            if (item.IsHole && diameter > 0)
            {
                holes.Add((item.At, diameter));
            }
        }

        if (holes.Count < FewestHoles)
        {
            return (0, 0);
        }

        holes.Sort(static (a, b) => (a.At.X, a.At.Y).CompareTo((b.At.X, b.At.Y)));
        var ratios = new List<double>(MostSamples);
        var overlaps = 0;
        var step = Math.Max(1, holes.Count / MostSamples);
        for (var i = 0; i < holes.Count; i += step)
        {
            var nearest = Math.Min(Nearest(holes, i, 1), Nearest(holes, i, -1));
            if (double.IsFinite(nearest))
            {
                ratios.Add(nearest / holes[i].DiameterMm);
                overlaps += nearest < 0.7 * holes[i].DiameterMm ? 1 : 0;
            }
        }

        ratios.Sort();
        return ratios.Count == 0 ? (0, 0) : (ratios[ratios.Count / 2], (double)overlaps / ratios.Count);
    }

    private static double Nearest(List<(Point2 At, double DiameterMm)> holes, int from, int step)
    {
        var nearest = double.PositiveInfinity;
        var at = holes[from].At;
        for (var (i, steps) = (from + step, 0); i >= 0 && i < holes.Count && steps < MostSteps; i += step, steps++)
        {
            if (Math.Abs(holes[i].At.X - at.X) >= nearest)
            {
                break;
            }

            // The same place twice is drilled twice, not two holes.
            var distance = Point2.Distance(holes[i].At, at);
            nearest = distance > 1e-6 ? Math.Min(nearest, distance) : nearest;
        }

        return nearest;
    }
}
