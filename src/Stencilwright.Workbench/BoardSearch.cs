using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Artwork;
using Stencilwright.Boards;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench;

/// <summary>What a job needs to know about the board: its edge and, for each side, the paste layer that counts.</summary>
/// <param name="Outline">The board's edge; null when none was found.</param>
/// <param name="OutlineFile">The file it was looked for in first; null when no file has that role.</param>
/// <param name="TopPaste">The top's paste layer; null when there is none.</param>
/// <param name="BottomPaste">The bottom's paste layer; null when there is none.</param>
/// <param name="Findings">About the outline and about files that compete for a role.</param>
internal sealed record BoardSearch(
    BoardOutline? Outline, ArtworkFile? OutlineFile, ArtworkFile? TopPaste, ArtworkFile? BottomPaste, ImmutableArray<Finding> Findings)
{
    /// <summary>Paints no more layers than the answer needs: paste and outline, and mask and copper when the edge must be found on them.</summary>
    public static BoardSearch In(IReadOnlyList<ArtworkFile> files, double gapMm, CancellationToken cancellation)
    {
        var outlines = Candidates(files, LayerRole.Outline);
        ArtworkFile.Paint(files.Where(f => f.Role is LayerRole.PasteTop or LayerRole.PasteBottom or LayerRole.Outline), cancellation);
        var findings = ImmutableArray.CreateBuilder<Finding>();
        var top = Choose(files, LayerRole.PasteTop, findings);
        var bottom = Choose(files, LayerRole.PasteBottom, findings);
        var content = Images([top, bottom]);
        var search = Find(outlines, content, gapMm);
        if (search.Outline is null)
        {
            var more = files.Where(f => f.Role is LayerRole.MaskTop or LayerRole.MaskBottom or LayerRole.CopperTop or LayerRole.CopperBottom).ToList();
            if (more.Count > 0)
            {
                ArtworkFile.Paint(more, cancellation);
                search = Find(outlines, [.. content, .. Images(more)], gapMm);
            }
        }

        findings.AddRange(search.Findings);
        return new BoardSearch(search.Outline, outlines.Count > 0 ? outlines[0] : null, top, bottom, findings.ToImmutable());
    }

    // The first file that holds an edge itself; failing that, whatever the first search found elsewhere.
    private static OutlineSearch Find(List<ArtworkFile> outlines, IReadOnlyList<LayerImage> content, double gapMm)
    {
        OutlineSearch? first = null;
        foreach (var file in outlines)
        {
            if (file.Image is null)
            {
                continue;
            }

            var search = OutlineFinder.Find(file.Image, content, gapMm);
            if (search.Outline is { } outline && outline.File == file.Source.Name)
            {
                return search;
            }

            first = first is null || (first.Outline is null && search.Outline is not null) ? search : first;
        }

        return first ?? OutlineFinder.Find(null, content, gapMm);
    }

    private static ArtworkFile? Choose(IReadOnlyList<ArtworkFile> files, LayerRole role, ImmutableArray<Finding>.Builder findings)
    {
        var candidates = Candidates(files, role);
        var filled = candidates.FindAll(f => f.Image is { Islands.IsEmpty: false });
        if (filled.Count > 1)
        {
            var others = string.Join(", ", filled.Skip(1).Select(f => f.Source.Name));
            findings.Add(new Finding
            {
                Code = "PKG092",
                Severity = Severity.Warning,
                Message = string.Create(
                    CultureInfo.InvariantCulture,
                    $"{filled.Count} files are taken for {role.ToText()}; this one is used and {others} is not; choose with --role FILE={role.ToText()} and --role FILE=ignore."),
                Source = SourcePlace.Whole(filled[0].Source.Name),
            });
        }

        return filled.Count > 0 ? filled[0] : candidates.Count > 0 ? candidates[0] : null;
    }

    private static List<ArtworkFile> Candidates(IReadOnlyList<ArtworkFile> files, LayerRole role)
    {
        var found = files.Where(f => f.Role == role && f.IsImage).ToList();
        found.Sort(static (a, b) => b.Confidence.CompareTo(a.Confidence) is var sure and not 0 ? sure : string.CompareOrdinal(a.Source.Name, b.Source.Name));
        return found;
    }

    private static ImmutableArray<LayerImage> Images(IEnumerable<ArtworkFile?> files) =>
        [.. files.Select(f => f?.Image).OfType<LayerImage>()];
}
