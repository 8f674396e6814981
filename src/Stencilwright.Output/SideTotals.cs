using Stencilwright.Foundation;

namespace Stencilwright.Output;

/// <summary>Sums and extremes over the openings of a side; null when there is nothing to take them of.</summary>
internal sealed record SideTotals
{
    public double ArtworkAreaMm2 { get; private init; }

    public double DesignAreaMm2 { get; private init; }

    public double AsCutAreaMm2 { get; private init; }

    public double LostAreaMm2 { get; private init; }

    public double ExtraAreaMm2 { get; private init; }

    public double PasteVolumeMm3 { get; private init; }

    public double? NarrowestWebMm { get; private init; }

    public double? SmallestAreaRatio { get; private init; }

    public int Prints { get; private init; }

    public int Marginal { get; private init; }

    public int WillNotPrint { get; private init; }

    public static SideTotals Of(JobSide side)
    {
        double artwork = 0, design = 0, cut = 0, lost = 0, extra = 0, paste = 0;
        double? web = null, ratio = null;
        int prints = 0, marginal = 0, not = 0;
        foreach (var opening in side.Design.Openings)
        {
            artwork += opening.Artwork.AreaMm2;
            design += opening.Design.AreaMm2;
        }

        foreach (var opening in side.Plan.Openings)
        {
            cut += opening.AreaMm2;
            lost += opening.LostAreaMm2;
            extra += opening.ExtraAreaMm2;
            paste += opening.PasteVolumeMm3;
            web = opening.WebMm is { } w && !(w >= web) ? w : web;
            ratio = !(opening.AreaRatio >= ratio) ? opening.AreaRatio : ratio;
            (prints, marginal, not) = opening.Verdict switch
            {
                Verdict.Prints => (prints + 1, marginal, not),
                Verdict.Marginal => (prints, marginal + 1, not),
                _ => (prints, marginal, not + 1),
            };
        }

        return new()
        {
            ArtworkAreaMm2 = artwork,
            DesignAreaMm2 = design,
            AsCutAreaMm2 = cut,
            LostAreaMm2 = lost,
            ExtraAreaMm2 = extra,
            PasteVolumeMm3 = paste,
            NarrowestWebMm = web,
            SmallestAreaRatio = ratio,
            Prints = prints,
            Marginal = marginal,
            WillNotPrint = not,
        };
    }
}
