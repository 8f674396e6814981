using System.Collections.Immutable;
using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Several copies of a board side by side, to be printed together.</summary>
/// <param name="Steps">Where each copy lies beside the first, the first included.</param>
public sealed record BoardCopies(ImmutableArray<Vector2> Steps)
{
    /// <summary>Copies in rows and columns.</summary>
    /// <param name="outline">The board.</param>
    /// <param name="across">Columns.</param>
    /// <param name="up">Rows.</param>
    /// <param name="gapMm">Between the boxes of neighbouring boards.</param>
    /// <returns>Null for a single board.</returns>
    public static BoardCopies? Grid(BoardOutline outline, int across, int up, double gapMm)
    {
        ArgumentNullException.ThrowIfNull(outline);
        if (across * up <= 1)
        {
            return null;
        }

        var (stepX, stepY) = (outline.WidthMm + gapMm, outline.HeightMm + gapMm);
        return new BoardCopies([.. Enumerable.Range(0, across * up).Select(k => new Vector2(k % across * stepX, k / across * stepY))]);
    }

    /// <summary>The edge of all copies.</summary>
    public BoardOutline Of(BoardOutline outline)
    {
        ArgumentNullException.ThrowIfNull(outline);
        return outline with
        {
            Shape = new Region([.. Steps.SelectMany(s => outline.Shape.Transform(Affine2.Translation(s.X, s.Y)).Contours)]),
            Why = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{Steps.Length} copies: {outline.Why}"),
        };
    }

    /// <summary>The openings and parts of all copies: those of the first keep their indices, and the others follow copy by copy.</summary>
    public (PasteLayer Paste, PartList Parts) Of(PasteLayer paste, PartList parts)
    {
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(parts);
        var openings = ImmutableArray.CreateBuilder<PasteOpening>(paste.Openings.Length * Steps.Length);
        var copies = ImmutableArray.CreateBuilder<BoardPart>(parts.Parts.Length * Steps.Length);
        foreach (var step in Steps)
        {
            var moved = BoardRow.Moved(paste, parts, step, openings.Count);
            openings.AddRange(moved.Openings);
            copies.AddRange(moved.Parts);
        }

        return (paste with { Openings = openings.MoveToImmutable() }, parts with { Parts = copies.MoveToImmutable() });
    }
}
