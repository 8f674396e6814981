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

    private static List<(int Hole, int Outer)> Assign(ImmutableArray<Contour> contours, List<int> outers)
    {
        var result = new List<(int, int)>();
        // By area ascending the first outer contour that holds the hole is the one next to it.
        var sorted = outers.ToArray();
        var areas = new double[sorted.Length];
        for (var i = 0; i < sorted.Length; i++)
            areas[i] = contours[sorted[i]].SignedAreaMm2;

        Array.Sort(areas, sorted);
        for (var hole = 0; hole < contours.Length; hole++)
        {
            var area = contours[hole].SignedAreaMm2;
            if (area > 0)
                continue;

            foreach (var outer in sorted)
            {
                if (contours[outer].SignedAreaMm2 >= -area && Holds(contours[outer], contours[hole]))
                {
                    result.Add((hole, outer));
                    break;
                }
            }
        }

        return result;
    }

    // Contours of a valid region meet in single points at most, so the middles of the hole's segments decide by majority.
    private static bool Holds(Contour outer, Contour hole)
    {
        var slack = 1e-9 * Math.Max(outer.Bounds.Width, outer.Bounds.Height);
        if (!outer.Bounds.Inflate(slack).Contains(hole.Bounds))
            return false;

        var votes = 0;
        var step = Math.Max(1, hole.Count / 5);
        for (var i = 0; i < hole.Count; i += step)
            votes += outer.WindingNumber(hole.SegmentAt(i).PointAt(0.47)) != 0 ? 1 : -1;

        return votes > 0;
    }
}
