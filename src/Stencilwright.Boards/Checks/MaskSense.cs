using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Tells by evidence whether a mask layer is drawn as its openings, as is usual, or as the mask itself.</summary>
/// <remarks>
/// The polarity that a file states of itself is not asked: mask layers are called negative by habit, whichever way they are
/// drawn. A layer that is dark on most of the board and less often so under paste is drawn as the mask.
/// </remarks>
internal static class MaskSense
{
    private const int Rows = 20;

    // Openings never take this much of a board that has a mask; a mask never leaves this much of it.
    private const double MostOfBoard = 0.6;

    /// <summary>True when the layer is dark where the mask is.</summary>
    /// <param name="mask">The layer.</param>
    /// <param name="openings">The paste openings of its side; may be empty.</param>
    /// <param name="outline">The board, when it is known; the openings' extent, or the layer's own, serves otherwise.</param>
    public static bool IsMaskItself(PaintedLayer mask, ReadOnlySpan<Bounds2> openings, BoardOutline? outline)
    {
        var board = DarkShare(mask, BoardPoints(mask, openings, outline));
        if (board < MostOfBoard)
        {
            return false;
        }

        var middles = new Point2[openings.Length];
        for (var i = 0; i < middles.Length; i++)
        {
            middles[i] = openings[i].Center;
        }

        return middles.Length == 0 || DarkShare(mask, middles) < board;
    }

    private static Point2[] BoardPoints(PaintedLayer mask, ReadOnlySpan<Bounds2> openings, BoardOutline? outline)
    {
        var box = outline?.Shape.Bounds ?? Bounds2.Empty;
        if (outline is null)
        {
            foreach (var opening in openings.IsEmpty ? mask.Boxes : openings)
            {
                box = opening.IsEmpty ? box : Bounds2.Union(box, opening);
            }
        }

        var points = new List<Point2>();
        for (var i = 0; i < Rows * Rows; i++)
        {
            // Each row begins a little further on, so that no row of pads is hit or missed as a whole.
            var (row, column) = (i / Rows, i % Rows);
            var at = new Point2(
                box.MinX + (box.Width * (column + ((row * 0.381966) % 1)) / Rows), box.MinY + (box.Height * (row + 0.5) / Rows));
            if (outline is null || outline.Shape.Contains(at))
            {
                points.Add(at);
            }
        }

        return [.. points];
    }

    private static double DarkShare(PaintedLayer layer, ReadOnlySpan<Point2> points)
    {
        var boxes = new Bounds2[points.Length];
        for (var i = 0; i < boxes.Length; i++)
        {
            boxes[i] = new Bounds2(points[i].X, points[i].Y, points[i].X, points[i].Y);
        }

        var join = BoxJoin.Of(boxes, layer.Boxes);
        var dark = 0;
        for (var i = 0; i < boxes.Length; i++)
        {
            dark += CoverMeter.IsDarkAt(layer, join[i], points[i]) ? 1 : 0;
        }

        return points.IsEmpty ? 0 : (double)dark / points.Length;
    }
}
