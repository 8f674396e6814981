using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Boards;
using Stencilwright.Boards.Roles;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench;

/// <summary>What a job needs to know about the board: its edge and, for each side, the paste layer that counts.</summary>
/// <param name="Outline">The board's edge; null when none was found.</param>
/// <param name="OutlineFile">The file that has the role; null when none has.</param>
/// <param name="TopPaste">The top's paste layer; null when there is none.</param>
/// <param name="BottomPaste">The bottom's paste layer; null when there is none.</param>
/// <param name="Findings">About the outline.</param>
internal sealed record BoardSearch(
    BoardOutline? Outline, ArtworkFile? OutlineFile, ArtworkFile? TopPaste, ArtworkFile? BottomPaste, ImmutableArray<Finding> Findings)
{
    /// <summary>Paints no more layers than the answer needs: paste and outline, and mask and copper when the edge must be found on them.</summary>
    public static BoardSearch In(IReadOnlyList<ArtworkFile> files, double gapMm, CancellationToken cancellation)
    {
        var edge = WithRole(files, LayerRole.Outline);
        var top = WithRole(files, LayerRole.PasteTop);
        var bottom = WithRole(files, LayerRole.PasteBottom);
        ArtworkFile.Paint(Present([edge, top, bottom]), cancellation);
        var content = Images([top, bottom]);
        var search = OutlineFinder.Find(edge?.Image, content, gapMm);
        if (search.Outline is null)
        {
            ArtworkFile?[] more =
            [
                WithRole(files, LayerRole.MaskTop), WithRole(files, LayerRole.MaskBottom),
                WithRole(files, LayerRole.CopperTop), WithRole(files, LayerRole.CopperBottom),
            ];
            ArtworkFile.Paint(Present(more), cancellation);
            search = OutlineFinder.Find(edge?.Image, [.. content, .. Images(more)], gapMm);
        }

        return new BoardSearch(search.Outline, edge, top, bottom, search.Findings);
    }

    private static ArtworkFile? WithRole(IReadOnlyList<ArtworkFile> files, LayerRole role) =>
        files.FirstOrDefault(f => f.Role == role && f.IsImage);

    private static IEnumerable<ArtworkFile> Present(ArtworkFile?[] files) => files.OfType<ArtworkFile>();

    private static ImmutableArray<LayerImage> Images(ArtworkFile?[] files) => [.. files.Select(f => f?.Image).OfType<LayerImage>()];
}
