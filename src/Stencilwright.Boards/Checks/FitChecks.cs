using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Do layers lie on one another as they should, and are they those of the side they are said to be of?</summary>
internal static class FitChecks
{
    // Layers of one board agree in far more than this; below it, it is worth looking for a better way to lay them.
    private const double GoodShare = 0.5;

    // What a better way must reach, and by how much it must be better.
    private const double FoundShare = 0.8;
    private const double LeastGain = 0.4;

    // A side's paste fits its own layers badly and the other side's well.
    private const double SwappedOwn = 0.35;
    private const double SwappedOther = 0.7;

    // Width of the copper ring round a hole as a share of its diameter, a middle value: the match allows 2.5 times either way.
    private const double UsualRing = 0.4;

    /// <summary>Tells whether paste lies wrong on another layer of its side.</summary>
    /// <returns>True when it does, and what is under which opening means nothing.</returns>
    public static bool IsMisplaced(string code, string what, SideView side, LayerView layer, CheckWriter writer)
    {
        var boxes = side.PossibleBoxes;
        var share = boxes == side.Boxes ? layer.ConcentricShare : ShareOf(LayerFeatures.Match(boxes, layer.Features));
        if (Better(boxes, layer.Features, share, true) is not { } fit)
        {
            return false;
        }

        writer.Add(code, Severity.Warning, layer.Layer.File, string.Create(
            CultureInfo.InvariantCulture,
            $"The paste layer fits this {what} layer only when it is {fit.Describe()}: then {CheckWriter.Percent(fit.Share)} of {boxes.Length} openings lie on pads, and {CheckWriter.Percent(share)} as the files are; export all layers with the same origin, units and view."));
        return true;
    }

    /// <summary>Tells whether the drill data lie wrong on the copper.</summary>
    /// <returns>True when they do.</returns>
    public static bool AreHolesMisplaced(IReadOnlyList<BoardHole> holes, PaintedLayer copper, CheckWriter writer)
    {
        // Holes without plating need no copper, and slots' pads are often drawn.
        var round = holes.Where(h => h.IsPlated != false && h.SlotEnd is null).ToList();
        Bounds2[] boxes = [.. round.Select(h => h.Box.Inflate(UsualRing * h.DiameterMm))];
        var pads = LayerFeatures.Of(copper, false);
        var share = ShareOf(LayerFeatures.Match(boxes, pads));
        if (Better(boxes, pads, share, false) is not { } fit)
        {
            return false;
        }

        writer.Add("BRD172", Severity.Warning, round[0].Place.File, string.Create(
            CultureInfo.InvariantCulture,
            $"The holes fit the pads of {copper.File} only when they are {fit.Describe()}: then {CheckWriter.Percent(fit.Share)} of {boxes.Length} holes lie in pads, and {CheckWriter.Percent(share)} as the files are; check the drill file's number format and origin."));
        return true;
    }

    /// <summary>Tells whether a side's paste belongs to the other side.</summary>
    /// <param name="name">The side's name, "top" or "bottom".</param>
    /// <param name="other">The other side's name.</param>
    /// <param name="side">Its openings.</param>
    /// <param name="copper">Its copper and the other side's, as its openings see them; null when one is missing.</param>
    /// <param name="mask">Likewise for the masks.</param>
    /// <param name="writer">Takes the finding.</param>
    /// <returns>Which layers are those of the other side.</returns>
    public static (bool Copper, bool Mask) Swapped(
        string name, string other, SideView side, (LayerView Own, LayerView Other)? copper, (LayerView Own, LayerView Other)? mask, CheckWriter writer)
    {
        if (side.Boxes.Length < LayerFitSearch.FewestFeatures)
        {
            return (false, false);
        }

        var (copperSwapped, maskSwapped) = (IsSwapped(copper), IsSwapped(mask));
        if (!copperSwapped && !maskSwapped)
        {
            return (false, false);
        }

        var (own, others) = copperSwapped ? copper!.Value : mask!.Value;
        var figures = $"{CheckWriter.Percent(others.ConcentricShare)} of the openings lie on pads of {others.Layer.File} and {CheckWriter.Percent(own.ConcentricShare)} on those of {own.Layer.File}";
        var all = (copper is null || copperSwapped) && (mask is null || maskSwapped);
        var what = copperSwapped ? "copper" : "mask";
        writer.Add("BRD173", Severity.Warning, all ? null : own.Layer.File, all
            ? $"The {name}'s paste layer fits the {other} of the board: {figures}; top and bottom are swapped, so give each file its right role."
            : $"The {what} layers of top and bottom are swapped: {figures}, while the {name}'s paste fits its {(copperSwapped ? "mask" : "copper")}; give each file its right role.");
        return (copperSwapped || all, maskSwapped || all);
    }

    private static bool IsSwapped((LayerView Own, LayerView Other)? pair) =>
        pair is { } p && p.Own.ConcentricShare <= SwappedOwn && p.Other.ConcentricShare >= SwappedOther;

    private static LayerFit? Better(Bounds2[] boxes, Bounds2[] features, double share, bool sizesKnown)
    {
        if (share >= GoodShare || LayerFitSearch.Best(boxes, features, sizesKnown) is not { } fit)
        {
            return null;
        }

        var isMove = fit.Words.Length > 0 || fit.Shift.Length >= LayerFitSearch.LeastShiftMm;
        return isMove && fit.Share >= FoundShare && fit.Share >= share + LeastGain ? fit : null;
    }

    private static double ShareOf(FeatureMatch[] matches)
    {
        var count = 0;
        foreach (var match in matches)
        {
            count += match.IsConcentric ? 1 : 0;
        }

        return matches.Length == 0 ? 0 : (double)count / matches.Length;
    }
}
