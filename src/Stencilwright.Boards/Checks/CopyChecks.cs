using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Boards.Checks;

/// <summary>Is the paste layer another layer under a new name?</summary>
internal static class CopyChecks
{
    private const double NearlyAll = 0.95;

    /// <summary>True when every opening has a mask opening's very size, every mask opening has one, and they are not simply the pads.</summary>
    public static bool IsMask(SideView side, LayerView mask, LayerView? copper, BoardOutline? outline, CheckWriter writer)
    {
        if (!IsSame(side, mask) || (copper is not null && IsSame(side, copper)))
        {
            return false;
        }

        var used = new HashSet<int>();
        foreach (var match in mask.Matches)
        {
            _ = match.Feature >= 0 && used.Add(match.Feature);
        }

        var onBoard = mask.Features.Count(f => outline is null || outline.Shape.Contains(f.Center));
        if (used.Count < NearlyAll * onBoard)
        {
            return false;
        }

        writer.Add("BRD174", Severity.Warning, mask.Layer.File, string.Create(
            CultureInfo.InvariantCulture,
            $"The paste layer is a copy of this mask layer: all {side.Boxes.Length} openings have its openings' size, and it has hardly any others; export the paste layer itself, as mask openings are too large and include pads that get no paste."));
        return true;
    }

    public static void Pads(SideView side, LayerView copper, CheckWriter writer)
    {
        if (IsSame(side, copper))
        {
            writer.Add("BRD175", Severity.Note, copper.Layer.File, string.Create(
                CultureInfo.InvariantCulture,
                $"The openings are exactly as large as the pads of this copper layer ({Counted.Of(side.Boxes.Length, "opening")}): nothing has been reduced yet, so let the settings reduce them where pads are fine."));
        }
    }

    private static bool IsSame(SideView side, LayerView layer)
    {
        var same = 0;
        foreach (var match in layer.Matches)
        {
            same += match.IsSameSize ? 1 : 0;
        }

        return side.Boxes.Length >= LayerFitSearch.FewestFeatures && same >= NearlyAll * side.Boxes.Length;
    }
}
