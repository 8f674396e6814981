using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Boards.Checks;
using Stencilwright.Boards.Roles;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Workbench;

/// <summary>Holds the layers of a package against one another.</summary>
internal static class LayerChecks
{
    /// <summary>Runs the checks on all layers that have a role.</summary>
    public static (CheckReport Report, ImmutableArray<BoardHole> Holes) Run(
        IReadOnlyList<ArtworkFile> files, BoardSearch board, IReadOnlyList<BoardSideWork> sides, CancellationToken cancellation)
    {
        ArtworkFile? With(LayerRole role) => files.FirstOrDefault(f => f.Role == role && f.IsImage);
        var copper = (Top: With(LayerRole.CopperTop), Bottom: With(LayerRole.CopperBottom));
        var mask = (Top: With(LayerRole.MaskTop), Bottom: With(LayerRole.MaskBottom));
        ArtworkFile?[] wanted = [copper.Top, copper.Bottom, mask.Top, mask.Bottom, board.TopPaste, board.BottomPaste, board.OutlineFile];
        ArtworkFile.Sketch(wanted.OfType<ArtworkFile>(), cancellation);
        var holes = JobSources.Drills(files, cancellation).SelectMany(HolesOf).ToImmutableArray();
        var report = CrossChecks.Run(new BoardLayers
        {
            Top = Side(BoardSide.Top, board.TopPaste, copper.Top, mask.Top),
            Bottom = Side(BoardSide.Bottom, board.BottomPaste, copper.Bottom, mask.Bottom),
            Outline = board.Outline,
            OutlineArtwork = board.OutlineFile?.Layer,
            Holes = holes,
        });
        return (report, holes);

        CheckedSide Side(BoardSide side, ArtworkFile? paste, ArtworkFile? copperFile, ArtworkFile? maskFile) => new()
        {
            Paste = sides.FirstOrDefault(s => s.Side == side)?.Paste,
            PasteArtwork = paste?.Layer,
            Copper = copperFile?.Layer,
            Mask = maskFile?.Layer,
        };
    }

    /// <summary>Circles that cover a hole: one for a round one, a row of them along a slot.</summary>
    public static IEnumerable<HoleCircle> Circles(BoardHole hole)
    {
        // A row at a quarter of the diameter leaves a sixtieth of it uncovered at the sides.
        var end = hole.SlotEnd ?? hole.At;
        var steps = hole.DiameterMm > 0 ? (int)Math.Min(1000, Math.Ceiling(4 * Point2.Distance(hole.At, end) / hole.DiameterMm)) : 0;
        for (var i = 0; i <= steps; i++)
        {
            yield return new HoleCircle(steps == 0 ? hole.At : Point2.Lerp(hole.At, end, (double)i / steps), hole.DiameterMm);
        }
    }

    private static IEnumerable<BoardHole> HolesOf(ArtworkFile file)
    {
        bool? plated = file.Role == LayerRole.DrillPlated;
        foreach (var painted in file.Image?.Objects ?? [])
        {
            var box = painted.Shape.Bounds;
            if (painted.Shape.IsEmpty)
            {
                continue;
            }

            var place = file.Source.PlaceOf(painted.SourceOffset);
            yield return painted is { Kind: PaintKind.Stroke, CenterLine: { } line }
                ? new BoardHole(line.Start, painted.PenWidthMm, plated, place) { SlotEnd = line.End }
                : new BoardHole(box.Center, Math.Min(box.Width, box.Height), plated, place);
        }
    }
}
