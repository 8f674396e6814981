using System.Collections.Immutable;

namespace Stencilwright.Geometry.Arranging;

/// <summary>Gives every hole to the smallest outer contour round it.</summary>
internal static class IslandGrouping
{
    public static ImmutableArray<Region> Group(Region region)
    {
        var contours = region.Contours;
        if (contours.Length == 0)
            return [];

        if (contours.Length == 1)
            return [region];

        var outers = new List<int>();
        for (var i = 0; i < contours.Length; i++)
        {
            if (contours[i].SignedAreaMm2 > 0)
                outers.Add(i);
        }

        if (outers.Count == 1)
            return [contours[0].SignedAreaMm2 > 0 ? region : new Region(Reordered(contours, outers[0]))];

        var holes = new List<int>?[contours.Length];
        foreach (var (hole, outer) in Assign(contours, outers))
            (holes[outer] ??= []).Add(hole);

        var result = ImmutableArray.CreateBuilder<Region>(outers.Count);
        foreach (var outer in outers)
        {
            var own = holes[outer];
            var parts = ImmutableArray.CreateBuilder<Contour>(1 + (own?.Count ?? 0));
            parts.Add(contours[outer]);
            foreach (var hole in own ?? [])
                parts.Add(contours[hole]);

            result.Add(new Region(parts.MoveToImmutable()));
        }

        return result.MoveToImmutable();
    }

    private static ImmutableArray<Contour> Reordered(ImmutableArray<Contour> contours, int outer)
    {
        var result = ImmutableArray.CreateBuilder<Contour>(contours.Length);
        result.Add(contours[outer]);
        for (var i = 0; i < contours.Length; i++)
        {
            if (i != outer)
                result.Add(contours[i]);
        }

        return result.MoveToImmutable();
    }

    // Every hole is joined to the contour that lies next to the right of it, which bounds the same island; each set so
    // joined ends in one outer contour.
    private static List<(int Hole, int Outer)> Assign(ImmutableArray<Contour> contours, List<int> outers)
    {
        var result = new List<(int, int)>();
        if (outers.Count == contours.Length)
            return result;

        var index = new BoundaryIndex(contours);
        var next = new int[contours.Length];
        for (var i = 0; i < next.Length; i++)
            next[i] = contours[i].SignedAreaMm2 > 0 ? i : index.FirstFromHole(contours[i], i);

        for (var hole = 0; hole < next.Length; hole++)
        {
            var at = hole;
            for (var steps = 0; at >= 0 && next[at] != at && steps <= next.Length; steps++)
                at = next[at];

            if (contours[hole].SignedAreaMm2 > 0)
                continue;

            if (at < 0 || next[at] != at || !MayHold(contours[at], contours[hole]))
                at = SmallestRound(contours, outers, hole);

            next[hole] = at;
            if (at >= 0)
                result.Add((hole, at));
        }

        return result;
    }

    // Only for regions that are not valid to the last bit, where a ray slips past a vertex.
    private static int SmallestRound(ImmutableArray<Contour> contours, List<int> outers, int hole)
    {
        var best = -1;
        foreach (var outer in outers)
        {
            if (Holds(contours[outer], contours[hole]) && (best < 0 || contours[outer].SignedAreaMm2 < contours[best].SignedAreaMm2))
                best = outer;
        }

        return best;
    }

    // Contours of a valid region meet in single points at most, so the middles of the hole's segments decide by majority.
    private static bool Holds(Contour outer, Contour hole)
    {
        if (!MayHold(outer, hole))
            return false;

        var votes = 0;
        var step = Math.Max(1, hole.Count / 5);
        for (var i = 0; i < hole.Count; i += step)
            votes += outer.WindingNumber(hole.SegmentAt(i).PointAt(0.47)) != 0 ? 1 : -1;

        return votes > 0;
    }

    private static bool MayHold(Contour outer, Contour hole) =>
        outer.Bounds.Inflate(1e-9 * Math.Max(outer.Bounds.Width, outer.Bounds.Height)).Contains(hole.Bounds);
}
