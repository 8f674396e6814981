using System.Collections.Immutable;
using System.Globalization;
using System.Runtime.InteropServices;
using Stencilwright.Boards;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>What a person wants of one opening instead of what the rules make of it.</summary>
public enum OpeningWish
{
    /// <summary>As the artwork has it.</summary>
    AsArtwork,

    /// <summary>What the rules made, every edge of it moved by <see cref="OpeningChange.OffsetMm"/>.</summary>
    Offset,

    /// <summary>Not cut.</summary>
    LeaveOut,
}

/// <summary>A person's change of one opening.</summary>
/// <param name="Side">Which side of the board.</param>
/// <param name="Index">Index in the side's paste layer, as in the opening's name: <c>a0012</c> has index 11 where one board is alone in its frame.</param>
/// <param name="Wish">What is wanted.</param>
/// <param name="OffsetMm">How far every edge moves outwards, negative inwards; for <see cref="OpeningWish.Offset"/> alone.</param>
/// <param name="Board">Of several boards in one frame the one whose openings the index counts; empty for the job's own.</param>
public sealed record OpeningChange(BoardSide Side, int Index, OpeningWish Wish, double OffsetMm = 0, string Board = "");

/// <summary>Puts a person's changes of single openings over what the rules made.</summary>
public static class OpeningChanges
{
    /// <summary>The word for a person's change where a rule's name stands.</summary>
    public const string RuleName = "by hand";

    /// <summary>The layer with the changes; the same object when there are none.</summary>
    /// <param name="paste">The side's openings.</param>
    /// <param name="shaped">As the rules shaped them; null when there are no rules.</param>
    /// <param name="changes">Of this side; the last of several for one opening counts, one for an opening that does not exist is passed over.</param>
    public static ShapedLayer? Apply(PasteLayer paste, ShapedLayer? shaped, IEnumerable<OpeningChange> changes)
    {
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(changes);
        ShapedOpening[]? openings = null;
        foreach (var change in changes)
        {
            if (change.Index < 0 || change.Index >= paste.Openings.Length)
            {
                continue;
            }

            openings ??= shaped is null ? [.. paste.Openings.Select(o => Untouched(o.Shape))] : [.. shaped.Openings];
            var artwork = paste.Openings[change.Index].Shape;
            openings[change.Index] = Changed(artwork, shaped?.Openings[change.Index] ?? Untouched(artwork), change);
        }

        return openings is null ? shaped : new ShapedLayer(ImmutableCollectionsMarshal.AsImmutableArray(openings), shaped?.Findings ?? []);
    }

    private static ShapedOpening Untouched(Region shape) => new() { Rule = "none", Change = "", Parts = [new(shape, shape)] };

    private static ShapedOpening Changed(Region artwork, ShapedOpening byRules, OpeningChange change)
    {
        ImmutableArray<ShapedPart> parts = change.Wish switch
        {
            OpeningWish.AsArtwork => [new(artwork, artwork)],
            OpeningWish.Offset => [.. byRules.Parts.Select(p => p with { Design = RegionOffset.Offset(p.Design, change.OffsetMm, JoinStyle.Mitre) })],
            _ => [],
        };
        return new ShapedOpening
        {
            Rule = RuleName,
            Change = change.Wish switch
            {
                OpeningWish.AsArtwork => "kept as the artwork has it",
                OpeningWish.Offset => string.Create(CultureInfo.InvariantCulture, $"every edge moved by {change.OffsetMm:+0.000;−0.000;0} mm"),
                _ => "left out",
            },
            Parts = parts.RemoveAll(p => p.Design.IsEmpty),
        };
    }
}
