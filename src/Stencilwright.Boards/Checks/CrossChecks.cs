using Stencilwright.Foundation;

namespace Stencilwright.Boards.Checks;

/// <summary>Holds a board's layers against one another: what a person would look for before cutting.</summary>
/// <remarks>
/// A fault is named once, by its cause: where layers lie wrong on one another, what is under which opening is not asked.
/// Every tolerance and its reason stands in <c>docs/algorithms/cross-checks.md</c>.
/// </remarks>
public static class CrossChecks
{
    /// <summary>Runs every check that the known layers allow.</summary>
    /// <param name="layers">All in the same board coordinates.</param>
    public static CheckReport Run(BoardLayers layers)
    {
        ArgumentNullException.ThrowIfNull(layers);
        var board = new CheckWriter();
        Empty(layers, board);
        var holesMisplaced = layers.Holes.Length > 0 && (layers.Top.Copper ?? layers.Bottom.Copper) is { IsEmpty: false } copper
            && FitChecks.AreHolesMisplaced(layers.Holes, copper, board);
        var (top, bottom) = (new CheckWriter(), new CheckWriter());
        var topView = new CheckedView(layers.Top, layers.Bottom, layers);
        var bottomView = new CheckedView(layers.Bottom, layers.Top, layers);
        topView.Run("top", "bottom", holesMisplaced, top);
        bottomView.Run("bottom", "top", holesMisplaced, bottom);
        var panel = PanelFinder.Find(layers.Outline, layers.OutlineArtwork, layers.Top.Paste, layers.Bottom.Paste);
        if (panel is not null)
        {
            board.Add("BRD177", Severity.Note, layers.Outline?.File, panel.Describe());
        }

        return new CheckReport(top.ToImmutable(), bottom.ToImmutable(), board.ToImmutable(), panel);
    }

    private static void Empty(BoardLayers layers, CheckWriter board)
    {
        (string What, PaintedLayer? Layer)[] all =
        [
            ("outline layer", layers.OutlineArtwork),
            ("top paste layer", layers.Top.PasteArtwork), ("bottom paste layer", layers.Bottom.PasteArtwork),
            ("top mask layer", layers.Top.Mask), ("bottom mask layer", layers.Bottom.Mask),
            ("top copper layer", layers.Top.Copper), ("bottom copper layer", layers.Bottom.Copper),
        ];
        foreach (var (what, layer) in all)
        {
            if (layer is { IsEmpty: true })
            {
                board.Add("BRD176", Severity.Note, layer.File, $"The {what} is empty: if the board has anything there, export it again.");
            }
        }
    }

    /// <summary>One side and what lies under it.</summary>
    private sealed class CheckedView
    {
        private readonly BoardLayers _layers;
        private readonly SideView? _side;
        private readonly LayerView? _copper;
        private readonly LayerView? _mask;
        private readonly LayerView? _otherCopper;
        private readonly LayerView? _otherMask;

        public CheckedView(CheckedSide own, CheckedSide other, BoardLayers layers)
        {
            _layers = layers;
            if (own.Paste is null)
            {
                return;
            }

            _side = new SideView(own.Paste, own.PasteArtwork);
            (_copper, _otherCopper) = (Copper(own.Copper), Copper(other.Copper));
            (_mask, _otherMask) = (Mask(own.Mask), Mask(other.Mask));
        }

        public void Run(string name, string other, bool holesMisplaced, CheckWriter writer)
        {
            if (_side is null)
            {
                return;
            }

            if (_mask is { IsInverted: true })
            {
                writer.Add("BRD166", Severity.Note, _mask.Layer.File, "This mask layer shows the mask itself and not its openings; it is read that way round.");
            }

            var swapped = FitChecks.Swapped(name, other, _side, Pair(_copper, _otherCopper), Pair(_mask, _otherMask), writer);
            var copper = swapped.Copper || _copper is null || FitChecks.IsMisplaced("BRD170", "copper", _side, _copper, writer) ? null : _copper;
            var mask = swapped.Mask || _mask is null || FitChecks.IsMisplaced("BRD171", "mask", _side, _mask, writer) ? null : _mask;
            if (_side.Boxes.Length == 0)
            {
                return;
            }

            // What fits neither copper nor mask need not be asked where it lies on the board.
            var fits = copper is not null || mask is not null || (_copper is null && _mask is null);
            if (fits && _layers.Outline is { } outline)
            {
                CoverChecks.Edge(_side, outline, writer);
            }

            Under(copper, mask, writer);
            if (fits && !holesMisplaced && _layers.Holes.Length > 0)
            {
                HoleChecks.Run(_side, _layers.Holes, writer);
            }
        }

        private void Under(LayerView? copper, LayerView? mask, CheckWriter writer)
        {
            var isMask = mask is not null && CopyChecks.IsMask(_side!, mask, copper, _layers.Outline, writer);
            if (copper is not null)
            {
                CopyChecks.Pads(_side!, copper, writer);
                if (!isMask)
                {
                    CoverChecks.Copper(_side!, copper, writer);
                }
            }

            if (mask is not null)
            {
                CoverChecks.Mask(_side!, mask, writer);
            }
        }

        private static (LayerView Own, LayerView Other)? Pair(LayerView? own, LayerView? other) =>
            own is null || other is null ? null : (own, other);

        private LayerView? Copper(PaintedLayer? layer) => layer is null or { IsEmpty: true } ? null : new LayerView(_side!, layer, false);

        private LayerView? Mask(PaintedLayer? layer) => layer is null or { IsEmpty: true }
            ? null
            : new LayerView(_side!, layer, MaskSense.IsMaskItself(layer, _side!.Boxes, _layers.Outline));
    }
}
