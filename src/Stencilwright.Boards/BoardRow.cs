using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Different boards beside one another in one frame, to be printed together.</summary>
public static class BoardRow
{
    /// <summary>How far each board moves from its artwork's place: the first stays, the others follow to its right, lower edges level.</summary>
    /// <param name="boards">From left to right.</param>
    /// <param name="gapMm">Between the boxes of neighbouring boards.</param>
    public static ImmutableArray<Vector2> Steps(IReadOnlyList<BoardOutline> boards, double gapMm)
    {
        ArgumentNullException.ThrowIfNull(boards);
        var steps = ImmutableArray.CreateBuilder<Vector2>(boards.Count);
        var (right, level) = (0.0, 0.0);
        for (var i = 0; i < boards.Count; i++)
        {
            var box = boards[i].Shape.Bounds;
            steps.Add(i == 0 ? new(0, 0) : new(right + gapMm - box.MinX, level - box.MinY));
            (right, level) = (box.MaxX + steps[i].X, i == 0 ? box.MinY : level);
        }

        return steps.MoveToImmutable();
    }

    /// <summary>The edges of all.</summary>
    /// <param name="boards">The boards.</param>
    /// <param name="steps">How far each moves.</param>
    public static BoardOutline Outline(IReadOnlyList<BoardOutline> boards, ImmutableArray<Vector2> steps)
    {
        ArgumentNullException.ThrowIfNull(boards);
        return boards[0] with
        {
            Shape = new Region([.. boards.SelectMany((b, i) => b.Shape.Transform(Affine2.Translation(steps[i].X, steps[i].Y)).Contours)]),
            Why = string.Create(CultureInfo.InvariantCulture, $"{boards.Count} boards: {string.Join("; ", boards.Select(b => b.Why))}"),
        };
    }

    /// <summary>Openings and parts of a board that stands beside others.</summary>
    /// <param name="paste">Its openings.</param>
    /// <param name="parts">Its parts, which name openings by index.</param>
    /// <param name="step">How far it moves.</param>
    /// <param name="first">How many openings the boards before it have.</param>
    public static (ImmutableArray<PasteOpening> Openings, ImmutableArray<BoardPart> Parts) Moved(PasteLayer paste, PartList parts, Vector2 step, int first)
    {
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(parts);
        var map = Affine2.Translation(step.X, step.Y);
        return (
            [.. paste.Openings.Select(o => o with { Shape = o.Shape.Transform(map) })],
            [.. parts.Parts.Select(p => p with { Center = map.Apply(p.Center), Pads = [.. p.Pads.Select(d => d with { Index = d.Index + first })] })]);
    }
}
