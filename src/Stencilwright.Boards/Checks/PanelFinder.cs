using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Recognises several copies of one board on one artwork.</summary>
/// <remarks>
/// Copies are known by congruent loops of the outline that hold the same openings or, where the outline is one loop, by
/// rectangles between lines or cut-outs that do. A board that merely has repeated parts is never taken for a panel: what
/// counts is that nothing is left over. See <c>docs/algorithms/cross-checks.md</c>.
/// </remarks>
public static class PanelFinder
{
    // Openings that a copy may have more or less than another: marks on rails, a part left out.
    private const double SamePattern = 0.95;

    private const double SameSideMm = 0.05;

    // Copies are nearly all there is, so one of the first loops is one.
    private const int MostTried = 20;

    /// <summary>Finds the copies.</summary>
    /// <param name="outline">The board's edge; null when none was found.</param>
    /// <param name="outlineArtwork">The outline layer: its lines inside the edge may be where boards are parted; may be null.</param>
    /// <param name="top">The top's openings; may be null.</param>
    /// <param name="bottom">The bottom's openings; may be null.</param>
    /// <returns>Null for a single board, and whenever it is not certain.</returns>
    public static PanelLayout? Find(BoardOutline? outline, PaintedLayer? outlineArtwork, PasteLayer? top, PasteLayer? bottom)
    {
        if (outline is null)
        {
            return null;
        }

        var pattern = OpeningPattern.Of(top, bottom);
        var loops = outline.Shape.Contours.Where(c => c.SignedAreaMm2 > 0).ToList();
        if (loops.Count > 1)
        {
            return ByLoops(outline, loops, pattern, "outlines of one shape");
        }

        // Rectangles that hold nothing are rails and gaps; without openings nothing tells them from boards.
        var cells = pattern.Items.Length == 0 ? [] : PanelCells.Of(outline, outlineArtwork);
        return cells.Count == 0 ? null : ByLoops(outline, cells, pattern, "rectangles between lines or cut-outs");
    }

    private static PanelLayout? ByLoops(BoardOutline outline, List<Contour> loops, OpeningPattern pattern, string what)
    {
        // Lowest first, then leftmost; the first loop with copies is the one that is kept.
        loops.Sort(static (a, b) => Math.Abs(a.Bounds.MinY - b.Bounds.MinY) > SameSideMm
            ? a.Bounds.MinY.CompareTo(b.Bounds.MinY)
            : a.Bounds.MinX.CompareTo(b.Bounds.MinX));
        var held = Distribute(loops, pattern);
        if (pattern.Items.Length > 0)
        {
            loops = [.. loops.Where((_, i) => held[i].Count > 0)];
            held = [.. held.Where(h => h.Count > 0)];
        }

        for (var i = 0; i < Math.Min(loops.Count, MostTried); i++)
        {
            var middles = new List<Point2> { loops[i].Bounds.Center };
            var (turned, count) = (false, held[i].Count);
            for (var k = 0; k < loops.Count; k++)
            {
                if (k != i && TurnBetween(loops[i], held[i], loops[k], held[k], pattern) is { } turn)
                {
                    middles.Add(loops[k].Bounds.Center);
                    turned |= turn != 0;
                    count += held[k].Count;
                }
            }

            // Whatever else lies on the artwork would be lost with one board.
            if (middles.Count > 1 && count >= SamePattern * pattern.Items.Length)
            {
                return PanelLayout.Of(
                    middles, BoardOf(outline, loops[i]), turned, held[i].Count == 0 ? $"{middles.Count} {what}" : $"{middles.Count} {what} hold the same openings");
            }
        }

        return null;
    }

    private static List<int>[] Distribute(List<Contour> loops, OpeningPattern pattern)
    {
        var held = new List<int>[loops.Count];
        Bounds2[] boxes = [.. loops.Select(l => l.Bounds)];
        Bounds2[] middles = [.. pattern.Items.Select(i => new Bounds2(i.At.X, i.At.Y, i.At.X, i.At.Y))];
        var join = BoxJoin.Of(boxes, middles);
        for (var i = 0; i < loops.Count; i++)
        {
            held[i] = [];
            foreach (var item in join[i])
            {
                if (loops[i].WindingNumber(pattern.Items[item].At) != 0)
                {
                    held[i].Add(item);
                }
            }
        }

        return held;
    }

    // The turn in degrees that makes one loop and its openings the other's; null when none does.
    private static double? TurnBetween(Contour a, List<int> inA, Contour b, List<int> inB, OpeningPattern pattern)
    {
        var (first, second) = (a.Bounds, b.Bounds);
        if (Math.Abs(a.SignedAreaMm2 - b.SignedAreaMm2) > SameSideMm * (first.Width + first.Height)
            || Math.Abs(a.PerimeterMm - b.PerimeterMm) > 4 * SameSideMm
            || Math.Abs(inA.Count - inB.Count) > (1 - SamePattern) * Math.Max(inA.Count, inB.Count))
        {
            return null;
        }

        foreach (var turn in (ReadOnlySpan<double>)[0, 180, 90, -90])
        {
            var (width, height) = Math.Abs(turn) == 90 ? (first.Height, first.Width) : (first.Width, first.Height);
            if (Math.Abs(width - second.Width) > SameSideMm || Math.Abs(height - second.Height) > SameSideMm)
            {
                continue;
            }

            var map = Affine2.Translation(second.Center.X, second.Center.Y) * Affine2.RotationDegrees(turn)
                * Affine2.Translation(-first.Center.X, -first.Center.Y);
            var found = inA.Count(i => pattern.Find(pattern.Items[i].Mapped(map)) >= 0);
            if (found >= SamePattern * inA.Count)
            {
                return turn;
            }
        }

        return null;
    }

    private static Region BoardOf(BoardOutline outline, Contour loop)
    {
        var contours = ImmutableArray.CreateBuilder<Contour>();
        contours.Add(loop);
        foreach (var cutout in outline.Shape.Contours)
        {
            if (cutout.SignedAreaMm2 < 0 && loop.WindingNumber(cutout.Bounds.Center) != 0)
            {
                contours.Add(cutout);
            }
        }

        return new Region(contours.ToImmutable());
    }
}
