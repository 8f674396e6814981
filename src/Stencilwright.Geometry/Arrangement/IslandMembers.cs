using System.Collections.Immutable;

namespace Stencilwright.Geometry.Arranging;

/// <summary>Finds which inputs of a union made which island.</summary>
internal static class IslandMembers
{
    /// <summary>Adds the islands of one cluster's union.</summary>
    public static void Collect(ReadOnlySpan<Region> regions, ReadOnlySpan<int> cluster, ImmutableArray<UnionIsland>.Builder islands)
    {
        if (cluster.Length == 1 && regions[cluster[0]].Contours.Length == 1)
        {
            islands.Add(new(regions[cluster[0]], [cluster[0]]));
            return;
        }

        var merged = RegionClusters.Merge(regions, cluster);
        if (merged.Contours.Length == 1)
        {
            islands.Add(new(merged, ImmutableArray.Create(cluster)));
            return;
        }

        var shapes = IslandGrouping.Group(merged);
        if (cluster.Length == 1)
        {
            foreach (var part in shapes)
                islands.Add(new(part, [cluster[0]]));

            return;
        }

        if (shapes.Length == 1)
        {
            islands.Add(new(shapes[0], ImmutableArray.Create(cluster)));
            return;
        }

        var members = new List<(int Region, int Contour)>[shapes.Length];
        for (var s = 0; s < shapes.Length; s++)
            members[s] = [];

        var contours = ImmutableArray.CreateBuilder<Contour>();
        var owners = new List<int>();
        for (var s = 0; s < shapes.Length; s++)
        {
            contours.AddRange(shapes[s].Contours);
            foreach (var _ in shapes[s].Contours)
                owners.Add(s);
        }

        var index = new BoundaryIndex(contours.DrainToImmutable());
        foreach (var i in cluster)
            AssignParts(regions[i], i, index, owners, members);

        for (var s = 0; s < shapes.Length; s++)
        {
            // A shape is never lost: should no input be found in it, all of its cluster stand for it.
            islands.Add(members[s].Count > 0
                ? new(Original(regions, members[s]) ?? shapes[s], Distinct(members[s]))
                : new(shapes[s], ImmutableArray.Create(cluster)));
        }
    }

    private static void AssignParts(Region region, int input, BoundaryIndex index, List<int> owners, List<(int, int)>[] members)
    {
        for (var c = 0; c < region.Contours.Length; c++)
        {
            var outer = region.Contours[c];
            if (outer.SignedAreaMm2 <= 0 || InteriorPoint.Find(region, outer) is not { } point)
                continue;

            // The boundary met first from a point inside bounds the island that holds it.
            if (index.FirstFrom(point) is >= 0 and var contour)
                members[owners[contour]].Add((input, c));
        }
    }

    // What one outer contour of one input made alone is that contour with its holes, untouched.
    private static Region? Original(ReadOnlySpan<Region> regions, List<(int Region, int Contour)> members)
    {
        if (members.Count != 1)
            return null;

        var region = regions[members[0].Region];
        if (region.Contours.Length == 1)
            return region;

        foreach (var part in IslandGrouping.Group(region))
        {
            if (ReferenceEquals(part.Contours[0], region.Contours[members[0].Contour]))
                return part;
        }

        return null;
    }

    private static ImmutableArray<int> Distinct(List<(int Region, int Contour)> members)
    {
        var result = ImmutableArray.CreateBuilder<int>(members.Count);
        foreach (var (region, _) in members)
        {
            if (result.Count == 0 || result[^1] != region)
                result.Add(region);
        }

        return result.DrainToImmutable();
    }
}
