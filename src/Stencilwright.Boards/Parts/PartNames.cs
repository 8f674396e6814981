using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;

namespace Stencilwright.Boards.Parts;

/// <summary>Gives parts the names that attributes, component layers and placement lists have for them.</summary>
public static class PartNames
{
    /// <summary>
    /// Joins the sources to the parts of one side: names from the openings' own attributes first, then sources that give pins,
    /// matched by the openings their pins lie in, then lists, matched by the middles of parts.
    /// </summary>
    /// <param name="parts">As <see cref="FootprintFinder.Find"/> told them.</param>
    /// <param name="paste">The openings they were told from.</param>
    /// <param name="isTop">Which side that is; rows of the other side are left out.</param>
    /// <param name="sources">In order of trust; sources with pins go first in any case.</param>
    /// <returns>
    /// The parts with Reference, Value, Package, pins and the source's rotation, as far as known; parts that a source's pins show to
    /// be one are joined. Findings: those of <paramref name="parts"/>, then what the sources gave rise to.
    /// </returns>
    public static PartList Join(PartList parts, PasteLayer paste, bool isTop, IReadOnlyList<PlacementList> sources)
    {
        ArgumentNullException.ThrowIfNull(parts);
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(sources);
        var joining = new PartJoining(parts.Parts, paste);
        foreach (var source in sources.OrderBy(s => s.Format == ArtworkFormat.Placement ? 1 : 0))
        {
            joining.Add(source, [.. source.Parts.Where(p => p.IsTop is null || p.IsTop == isTop)]);
        }

        var joined = joining.Parts();
        return new PartList(joined, [.. Kept(parts.Findings, parts.Parts, joined), .. joining.Findings()]);
    }

    // Doubts that a source settled are taken back.
    private static IEnumerable<Finding> Kept(ImmutableArray<Finding> findings, ImmutableArray<BoardPart> before, ImmutableArray<BoardPart> after) =>
        findings.Where(f => f.Code is not ("BRD120" or "BRD121")).Concat(
            before.Any(p => p.Confidence < BoardPart.SureFrom) ? PartFindings.Of([.. after]) : []);
}
