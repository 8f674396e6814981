using Stencilwright.Artwork;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Tells writing and line drawings on a paste layer from pads that are painted with strokes.</summary>
/// <remarks>
/// An island is a line drawing when nothing but strokes of a thin pen painted it, its mean width 2·area/perimeter is
/// about the pen's, and it is far longer than wide. Hatched pads are much wider than their pen. A single straight
/// stroke may be a finger pad or the letter I: its neighbours decide.
/// </remarks>
internal static class WritingTest
{
    // Common practice, no source: legends are drawn with 0.1 to 0.3 mm.
    private const double ThinPenMm = 0.35;
    private const double WidthOfPens = 1.4;

    // P²/(4πA): 1 for a disc, 2.3 for an obround four times as long as wide.
    private const double LineLikeRoundness = 2.0;
    private const double FingerLengthOfPens = 15;
    private const double NeighbourMm = 3;

    private enum Kind
    {
        Solid,
        Finger,
        Dot,
        Line,
    }

    /// <summary>Sets the reason of islands that are writing and have none yet.</summary>
    public static void Mark(LayerImage paste, List<SortedIsland> islands)
    {
        var kinds = new Kind[islands.Count];
        var pens = new double[islands.Count];
        var writing = new Dictionary<(int, int), List<int>>();
        for (var i = 0; i < islands.Count; i++)
        {
            (kinds[i], pens[i]) = KindOf(paste, islands[i]);
            if (kinds[i] == Kind.Line)
            {
                foreach (var cell in CellsOf(islands[i].Shape.Bounds))
                {
                    if (!writing.TryGetValue(cell, out var list))
                    {
                        writing.Add(cell, list = []);
                    }

                    list.Add(i);
                }
            }
        }

        for (var i = 0; i < islands.Count; i++)
        {
            if (islands[i].Reason is null
                && (kinds[i] == Kind.Line || (kinds[i] != Kind.Solid && StandsAmong(i, islands, pens, writing))))
            {
                islands[i].Reason = SetAsideReason.Writing;
            }
        }
    }

    private static (Kind Kind, double PenMm) KindOf(LayerImage paste, SortedIsland island)
    {
        var pen = 0.0;
        var length = 0.0;
        foreach (var index in island.Objects)
        {
            var painted = paste.Objects[index];
            if (painted.Kind != PaintKind.Stroke || painted.CenterLine is null)
            {
                return (Kind.Solid, 0);
            }

            pen = Math.Max(pen, painted.PenWidthMm);
            length += painted.CenterLine.Value.Length;
        }

        var (area, perimeter) = (island.Shape.AreaMm2, island.Shape.PerimeterMm);
        if (pen <= 0 || 2 * area / perimeter > WidthOfPens * pen)
        {
            return (Kind.Solid, pen);
        }

        var isLong = perimeter * perimeter / (4 * Math.PI * area) > LineLikeRoundness;
        if (!isLong)
        {
            return (pen > ThinPenMm ? Kind.Solid : Kind.Dot, pen);
        }

        var single = IsOneStraightStroke(paste, island);
        if (single && length <= FingerLengthOfPens * pen)
        {
            return (pen > ThinPenMm ? Kind.Solid : Kind.Finger, pen);
        }

        // A wide pen draws pads of any form, but nothing forty times as long as wide.
        return (pen > ThinPenMm && length < 40 * pen ? Kind.Solid : Kind.Line, pen);
    }

    // The same stroke drawn twice, or in pieces one after the other, is still one.
    private static bool IsOneStraightStroke(LayerImage paste, SortedIsland island)
    {
        var first = paste.Objects[island.Objects[0]].CenterLine!.Value;
        var direction = first.Chord.Unit;
        foreach (var index in island.Objects)
        {
            var line = paste.Objects[index].CenterLine!.Value;
            if (!line.IsLine
                || Math.Abs(Vector2.Cross(direction, line.Start - first.Start)) > 0.005
                || Math.Abs(Vector2.Cross(direction, line.End - first.Start)) > 0.005)
            {
                return false;
            }
        }

        return true;
    }

    private static bool StandsAmong(int i, List<SortedIsland> islands, double[] pens, Dictionary<(int, int), List<int>> writing)
    {
        var box = islands[i].Shape.Bounds.Inflate(NeighbourMm);
        foreach (var cell in CellsOf(box))
        {
            if (!writing.TryGetValue(cell, out var list))
            {
                continue;
            }

            foreach (var other in list)
            {
                if (other != i && Math.Abs(pens[other] - pens[i]) < 0.001 && islands[other].Shape.Bounds.Overlaps(box)
                    && islands[other].Reason is null or SetAsideReason.Writing)
                {
                    return true;
                }
            }
        }

        return false;
    }

    // Cells of 5 mm; a page frame's box would fill thousands and is no letter, so boxes are cut at 40 cells a side.
    private static IEnumerable<(int X, int Y)> CellsOf(Bounds2 box)
    {
        var (x0, y0) = ((int)Math.Floor(box.MinX / 5), (int)Math.Floor(box.MinY / 5));
        var (x1, y1) = (Math.Min((int)Math.Floor(box.MaxX / 5), x0 + 40), Math.Min((int)Math.Floor(box.MaxY / 5), y0 + 40));
        for (var x = x0; x <= x1; x++)
        {
            for (var y = y0; y <= y1; y++)
            {
                yield return (x, y);
            }
        }
    }
}
