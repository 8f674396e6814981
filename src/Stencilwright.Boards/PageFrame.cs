using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Tells the frame round a drawing's page, and its title block, from a board's edge.</summary>
/// <remarks>
/// A frame is an upright rectangle of a page's size, drawn twice with marks between the two lines, or with a written
/// title block in a corner, or of a standard sheet's size and far larger than all pads. See <c>docs/algorithms/outline.md</c>.
/// </remarks>
internal static class PageFrame
{
    // An A5 sheet with margins of 10 mm is 128 by 190 mm: nothing smaller is taken for a page.
    private const double LeastLongMm = 150;
    private const double LeastShortMm = 100;

    // Common practice, no source: the two lines of a frame are 5 mm apart, sometimes as little as 2 or as much as 20.
    private const double LeastBandMm = 1.5;
    private const double MostBandMm = 30;
    private const double CornerMm = 2;
    private const int LeastMarks = 4;
    private const double FarLarger = 6;

    // ISO 216:2007, table 1 (A0 to A5), and ASME Y14.1-2020 (A to E; inches): trimmed sheets, short side first.
    private static readonly (double Short, double Long)[] Sheets =
    [
        (148, 210), (210, 297), (297, 420), (420, 594), (594, 841), (841, 1189),
        (215.9, 279.4), (279.4, 431.8), (431.8, 558.8), (558.8, 863.6), (863.6, 1117.6),
    ];

    /// <summary>The candidates that are a page's frame: none of them is a board.</summary>
    /// <param name="candidates">All loops.</param>
    /// <param name="contentBoxMm2">Area of the box round all pads, square millimetres; 0 when there are none.</param>
    public static List<OutlineCandidate> Among(List<OutlineCandidate> candidates, double contentBoxMm2)
    {
        var pages = new List<Bounds2>();
        foreach (var candidate in candidates)
        {
            if (!candidate.From.Group.IsProfile && IsUprightRectangle(Whole(candidate), out var box)
                && Math.Max(box.Width, box.Height) >= LeastLongMm && Math.Min(box.Width, box.Height) >= LeastShortMm
                && (IsDoubled(candidate, box, candidates) || IsTitled(candidate, box, candidates)
                    || (contentBoxMm2 > 0 && candidate.AreaMm2 > FarLarger * contentBoxMm2 && IsSheet(box))))
            {
                pages.Add(box);
            }
        }

        // The second line, the title block's cells, and the rest of the frame beside them.
        return candidates.FindAll(c => pages.Exists(page => IsPartOf(c, page)));
    }

    private static bool IsPartOf(OutlineCandidate candidate, Bounds2 page)
    {
        if (candidate.From.Group.IsProfile)
        {
            return false;
        }

        IsUprightRectangle(Whole(candidate), out var box);
        return IsNear(box, page, 0.01) || (IsBand(page, box) && IsUprightRectangle(Whole(candidate), out _));
    }

    // What is joined to a loop, title block and all, has one outer loop.
    private static Contour Whole(OutlineCandidate candidate)
    {
        var (faces, network) = (candidate.From.Faces, candidate.From.Network);
        if (candidate.LeftOutMm2 <= 0)
        {
            return OutlineShape.Simplify(candidate.Loop.Path);
        }

        var component = faces.ComponentAt(network.Edges[candidate.Loop.Edges[0]].A);
        var joined = new HashSet<int>();
        for (var face = 0; face < faces.Count; face++)
        {
            if (faces.AreaOf(face) > 0 && faces.ComponentOf(face) == component)
            {
                joined.Add(face);
            }
        }

        var loops = faces.OuterLoops(joined);
        return OutlineShape.Simplify(loops.MaxBy(l => l.Path.SignedAreaMm2)?.Path ?? candidate.Loop.Path);
    }

    private static bool IsUprightRectangle(Contour loop, out Bounds2 box)
    {
        box = loop.Bounds;
        return Math.Abs(loop.SignedAreaMm2 - (box.Width * box.Height)) <= 0.01 * (box.Width + box.Height);
    }

    private static bool IsDoubled(OutlineCandidate outer, Bounds2 box, List<OutlineCandidate> candidates)
    {
        foreach (var inner in candidates)
        {
            if (inner != outer && inner.From.Group == outer.From.Group && inner.Content >= outer.Content
                && IsUprightRectangle(Whole(inner), out var within) && IsBand(box, within)
                && CountMarks(outer.From.Network, p => Holds(box, p, 0.2) && !Holds(within, p, -0.2)) >= LeastMarks)
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsTitled(OutlineCandidate frame, Bounds2 box, List<OutlineCandidate> candidates)
    {
        var faces = frame.From.Faces;
        for (var face = 0; face < faces.Count; face++)
        {
            if (faces.AreaOf(face) > 0 && IsTitleBlock(faces.PathOf(face).Bounds, box, frame.From.Network))
            {
                return true;
            }
        }

        return candidates.Exists(c => c.Content == 0 && IsTitleBlock(c.Box, box, c.From.Network));
    }

    private static bool IsTitleBlock(Bounds2 cell, Bounds2 page, LineNetwork network)
    {
        var atSide = Math.Abs(cell.MinX - page.MinX) <= CornerMm || Math.Abs(cell.MaxX - page.MaxX) <= CornerMm;
        var atEnd = Math.Abs(cell.MinY - page.MinY) <= CornerMm || Math.Abs(cell.MaxY - page.MaxY) <= CornerMm;
        return atSide && atEnd && page.Inflate(0.01).Contains(cell)
            && cell.Width < 0.7 * page.Width && cell.Height < 0.5 * page.Height && cell.Width * cell.Height > 100
            && CountMarks(network, p => Holds(cell, p, 0.2)) >= 2 * LeastMarks;
    }

    private static int CountMarks(LineNetwork network, Func<Point2, bool> isThere)
    {
        var count = 0;
        for (var e = 0; e < network.Edges.Count; e++)
        {
            count += isThere(network.SegmentOf(e).Middle) ? 1 : 0;
        }

        return count;
    }

    private static bool IsSheet(Bounds2 box)
    {
        var (small, large) = (Math.Min(box.Width, box.Height), Math.Max(box.Width, box.Height));
        foreach (var (width, length) in Sheets)
        {
            // The same margin, or none, at all four sides.
            if (width - small is >= -0.5 and <= 2 * MostBandMm && Math.Abs(width - small - (length - large)) <= 0.5)
            {
                return true;
            }
        }

        return false;
    }

    private static bool IsBand(Bounds2 outer, Bounds2 inner) =>
        inner.MinX - outer.MinX is >= LeastBandMm and <= MostBandMm && outer.MaxX - inner.MaxX is >= LeastBandMm and <= MostBandMm
        && inner.MinY - outer.MinY is >= LeastBandMm and <= MostBandMm && outer.MaxY - inner.MaxY is >= LeastBandMm and <= MostBandMm;

    private static bool IsNear(Bounds2 a, Bounds2 b, double mm) =>
        Math.Abs(a.MinX - b.MinX) <= mm && Math.Abs(a.MaxX - b.MaxX) <= mm && Math.Abs(a.MinY - b.MinY) <= mm && Math.Abs(a.MaxY - b.MaxY) <= mm;

    private static bool Holds(Bounds2 box, Point2 p, double marginMm) =>
        p.X > box.MinX + marginMm && p.X < box.MaxX - marginMm && p.Y > box.MinY + marginMm && p.Y < box.MaxY - marginMm;
}
