using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Cut-outs that another pen drew than the edge's.</summary>
/// <remarks>
/// Only plain loops: all of them inside the edge, joined to nothing, with no pad and no line inside, apart from other
/// cut-outs, and not among writing. A drawing of a part or a dimension is none of these.
/// </remarks>
internal static class OtherPens
{
    // Two pens that drew one loop agree to this, and are not taken for lines inside it.
    private const double SameLoopMm = 0.05;

    public static List<OutlineCandidate> Cutouts(
        List<OutlineCandidate> chosen, List<OutlineCandidate> candidates, ContentItem[] content, List<Contour> cutouts)
    {
        var taken = new List<OutlineCandidate>();
        var edge = chosen[0].From;
        if (edge.Group.IsProfile)
        {
            return taken;
        }

        var degrees = new Dictionary<LineNetwork, int[]>();
        var networks = new HashSet<LineNetwork>(candidates.Select(c => c.From.Network));
        var loops = candidates.FindAll(c => c.From.Group != edge.Group && chosen.Exists(o => IsAllInside(o.Loop.Path, c.Loop.Path)));
        loops.Sort((a, b) => b.AreaMm2.CompareTo(a.AreaMm2));
        foreach (var loop in loops)
        {
            var path = loop.Loop.Path;
            var size = Math.Max(loop.Box.Width, loop.Box.Height);
            if (size >= OutlineShape.LeastCutoutMm && IsPlain(loop, degrees)
                && !OutlineShape.HoldsContent(path, content) && !OutlineShape.IsMostOf(loop.AreaMm2, chosen, content)
                && !OutlineShape.IsAmongWriting(path, size, loop.From)
                && !cutouts.Exists(c => Meet(c, path)) && !taken.Exists(t => Meet(t.Loop.Path, path))
                && !networks.Any(n => HoldsLines(n, path)))
            {
                taken.Add(loop);
            }
        }

        return taken;
    }

    // Two lines meet in each of its corners, and nothing was bridged.
    private static bool IsPlain(OutlineCandidate loop, Dictionary<LineNetwork, int[]> degrees)
    {
        var network = loop.From.Network;
        if (!degrees.TryGetValue(network, out var counts))
        {
            degrees.Add(network, counts = network.Degrees());
        }

        foreach (var index in loop.Loop.Edges)
        {
            var edge = network.Edges[index];
            if (edge.GapMm > 0 || counts[edge.A] != 2 || counts[edge.B] != 2)
            {
                return false;
            }
        }

        return true;
    }

    private static bool HoldsLines(LineNetwork network, Contour loop)
    {
        var box = loop.Bounds;
        for (var e = 0; e < network.Edges.Count; e++)
        {
            var p = network.SegmentOf(e).Middle;
            if (box.Contains(p) && loop.WindingNumber(p) != 0 && DistanceTo(loop, p) > SameLoopMm)
            {
                return true;
            }
        }

        return false;
    }

    private static double DistanceTo(Contour loop, Point2 p)
    {
        var nearest = double.PositiveInfinity;
        for (var i = 0; i < loop.Count; i++)
        {
            nearest = Math.Min(nearest, SegmentMeeting.Nearest(loop.SegmentAt(i), p).DistanceMm);
        }

        return nearest;
    }

    private static bool IsAllInside(Contour outer, Contour inner)
    {
        if (!outer.Bounds.Contains(inner.Bounds))
        {
            return false;
        }

        for (var i = 0; i < inner.Count; i++)
        {
            var s = inner.SegmentAt(i);
            if (outer.WindingNumber(s.Start) == 0 || outer.WindingNumber(s.Middle) == 0)
            {
                return false;
            }
        }

        return true;
    }

    // Boxes tell nearly all apart; then any point of one inside the other, or the very same loop.
    private static bool Meet(Contour a, Contour b) =>
        a.Bounds.Overlaps(b.Bounds) && (HasPointIn(a, b) || HasPointIn(b, a) || DistanceTo(a, b.Vertices[0].Point) <= SameLoopMm);

    private static bool HasPointIn(Contour points, Contour loop)
    {
        for (var i = 0; i < points.Count; i++)
        {
            var s = points.SegmentAt(i);
            if (loop.WindingNumber(s.Start) != 0 || loop.WindingNumber(s.Middle) != 0)
            {
                return true;
            }
        }

        return false;
    }
}
