using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Is each opening on the board, on copper and within its mask opening?</summary>
internal static class CoverChecks
{
    // Rounded corners of one layer over square ones of another differ by less than this share of a pad.
    private const double PartShare = 0.05;

    // From here on it is no matter of corners and a little oversize any more.
    private const double LargeShare = 0.2;

    private const double WhollyShare = 0.99;

    // An edge rounded differently in two files, along a pad that ends there on purpose.
    private const double EdgeShare = 0.02;

    public static void Edge(SideView side, BoardOutline outline, CheckWriter writer)
    {
        var outer = new List<Contour>();
        var inner = new List<Contour>();
        foreach (var contour in outline.Shape.Contours)
        {
            (contour.SignedAreaMm2 > 0 ? outer : inner).Add(contour.SignedAreaMm2 > 0 ? contour : contour.Reversed());
        }

        var beyond = Shares(side, PaintedLayer.Of(outline.File, new Region([.. outer])), false, EdgeShare);
        if (beyond.Count > 0)
        {
            writer.Add("BRD160", Severity.Warning, side, beyond, $"{CheckWriter.Openings(beyond.Count, "reaches", "reach")} beyond the board's edge, the worst with {CheckWriter.Percent(beyond.WorstMeasure)} of its area: paste would fall on the frame; move the pads inwards, or check that the edge and the paste layer belong together.");
        }

        if (inner.Count == 0)
        {
            return;
        }

        var over = Shares(side, PaintedLayer.Of(outline.File, new Region([.. inner])), true, EdgeShare);
        if (over.Count > 0)
        {
            writer.Add("BRD161", Severity.Warning, side, over, $"{CheckWriter.Openings(over.Count, "lies", "lie")} over a cut-out of the board, the worst with {CheckWriter.Percent(over.WorstMeasure)} of its area: paste would be pressed through; remove them from the paste layer, or check the cut-out.");
        }
    }

    public static void Copper(SideView side, LayerView copper, CheckWriter writer)
    {
        var (wholly, part) = Split(side, copper);
        if (wholly.Count > 0)
        {
            writer.Add("BRD162", Severity.Warning, side, wholly, $"{CheckWriter.Openings(wholly.Count, "lies", "lie")} where there is no copper: paste there solders nothing and makes loose balls; remove them from the paste layer, or check that {copper.Layer.File} is this side's copper.");
        }

        if (part.Count > 0)
        {
            writer.Add("BRD163", SeverityOf(part), side, part, $"{CheckWriter.Openings(part.Count, "reaches", "reach")} beyond the copper, the worst with {CheckWriter.Percent(part.WorstMeasure)} of its area: paste beside the pad may make balls or bridges; make them no larger than their pads.");
        }
    }

    public static void Mask(SideView side, LayerView mask, CheckWriter writer)
    {
        var (wholly, part) = Split(side, mask);
        if (wholly.Count > 0)
        {
            writer.Add("BRD164", Severity.Warning, side, wholly, $"{CheckWriter.Openings(wholly.Count, "lies", "lie")} wholly on solder mask: nothing can be soldered there; remove them from the paste layer, or check that {mask.Layer.File} is this side's mask.");
        }

        if (part.Count > 0)
        {
            writer.Add("BRD165", SeverityOf(part), side, part, $"{CheckWriter.Openings(part.Count, "reaches", "reach")} beyond the mask opening, the worst with {CheckWriter.Percent(part.WorstMeasure)} of its area: paste on mask makes balls or bridges; make them no larger than the mask opening.");
        }
    }

    private static Severity SeverityOf(FaultGroup part) => part.WorstMeasure >= LargeShare ? Severity.Warning : Severity.Note;

    private static (FaultGroup Wholly, FaultGroup Part) Split(SideView side, LayerView view)
    {
        var (wholly, part) = (new FaultGroup(), new FaultGroup());
        for (var i = 0; i < side.Boxes.Length; i++)
        {
            var share = view.BesideMm2(i) / side.AreasMm2[i];
            if (share >= PartShare)
            {
                (share >= WhollyShare ? wholly : part).Add(i, share);
            }
        }

        return (wholly, part);
    }

    private static FaultGroup Shares(SideView side, PaintedLayer shape, bool covered, double least)
    {
        var group = new FaultGroup();
        var view = new LayerView(side, shape, covered);
        for (var i = 0; i < side.Boxes.Length; i++)
        {
            var share = view.BesideMm2(i) / side.AreasMm2[i];
            if (share >= least)
            {
                group.Add(i, share);
            }
        }

        return group;
    }
}
