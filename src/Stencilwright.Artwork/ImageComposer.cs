using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork;

/// <summary>Carries out a layer's painting: later objects cover or clear earlier ones, overlaps count once.</summary>
/// <remarks>
/// Consecutive objects of one polarity are taken together, because among themselves their order does not matter.
/// Cost grows with the objects plus, at each change of polarity, the islands present.
/// </remarks>
internal static class ImageComposer
{
    /// <summary>The separate parts of the final image, in the order of the first object that painted each.</summary>
    /// <param name="objects">In painting order; shapes in one frame, millimetres.</param>
    /// <param name="cancellationToken">Looked at between runs and islands.</param>
    /// <param name="sharesShapes">True when objects that cover the same may have one and the same shape, which is then joined once.</param>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static ImmutableArray<ImageIsland> Compose(
        ImmutableArray<PaintedObject> objects, CancellationToken cancellationToken, bool sharesShapes = false)
    {
        var islands = new List<ImageIsland>();
        var from = 0;
        while (from < objects.Length)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var to = from;
            while (to < objects.Length && objects[to].IsDark == objects[from].IsDark)
            {
                to++;
            }

            islands = objects[from].IsDark
                ? Paint(islands, objects, from, to, sharesShapes)
                : Clear(islands, objects, from, to, cancellationToken);
            from = to;
        }

        islands.Sort(static (a, b) => a.Objects[0].CompareTo(b.Objects[0]));
        return [.. islands];
    }

    private static List<ImageIsland> Paint(List<ImageIsland> islands, ImmutableArray<PaintedObject> objects, int from, int to, bool sharesShapes)
    {
        // Islands never overlap one another, so only those that the run may touch take part in the union.
        var run = BoundsOf(objects, from, to);
        var kept = new List<ImageIsland>();
        var touched = new List<ImageIsland>();
        foreach (var island in islands)
        {
            (island.Shape.Bounds.Overlaps(run) ? touched : kept).Add(island);
        }

        var shapes = new List<Region>(touched.Count + to - from);
        var members = new List<ImmutableArray<int>>(touched.Count + to - from);
        foreach (var island in touched)
        {
            shapes.Add(island.Shape);
            members.Add(island.Objects);
        }

        if (sharesShapes)
        {
            AddShared(objects, from, to, shapes, members);
        }
        else
        {
            for (var i = from; i < to; i++)
            {
                if (!objects[i].Shape.IsEmpty)
                {
                    shapes.Add(objects[i].Shape);
                    members.Add([i]);
                }
            }
        }

        foreach (var (shape, inputs) in RegionBoolean.UnionIslands(CollectionsMarshal.AsSpan(shapes)))
        {
            kept.Add(new ImageIsland(shape, Flatten(inputs, members)));
        }

        return kept;
    }

    private static void AddShared(
        ImmutableArray<PaintedObject> objects, int from, int to, List<Region> shapes, List<ImmutableArray<int>> members)
    {
        var bearers = new Dictionary<Region, List<int>>(ReferenceEqualityComparer.Instance);
        var order = new List<Region>();
        for (var i = from; i < to; i++)
        {
            var shape = objects[i].Shape;
            if (shape.IsEmpty)
            {
                continue;
            }

            if (!bearers.TryGetValue(shape, out var list))
            {
                bearers.Add(shape, list = []);
                order.Add(shape);
            }

            list.Add(i);
        }

        foreach (var shape in order)
        {
            shapes.Add(shape);
            members.Add([.. bearers[shape]]);
        }
    }

    private static ImmutableArray<int> Flatten(ImmutableArray<int> inputs, List<ImmutableArray<int>> members)
    {
        if (inputs.Length == 1)
        {
            return members[inputs[0]];
        }

        // An island split earlier may list the same object in two of its parts.
        var all = new List<int>();
        foreach (var input in inputs)
        {
            all.AddRange(members[input]);
        }

        all.Sort();
        var distinct = ImmutableArray.CreateBuilder<int>(all.Count);
        foreach (var index in all)
        {
            if (distinct.Count == 0 || distinct[^1] != index)
            {
                distinct.Add(index);
            }
        }

        return distinct.ToImmutable();
    }

    private static List<ImageIsland> Clear(
        List<ImageIsland> islands,
        ImmutableArray<PaintedObject> objects,
        int from,
        int to,
        CancellationToken cancellationToken)
    {
        var run = BoundsOf(objects, from, to);
        var byLeftEdge = new List<(Bounds2 Box, Region Shape)>();
        for (var i = from; i < to; i++)
        {
            if (!objects[i].Shape.IsEmpty)
            {
                byLeftEdge.Add((objects[i].Shape.Bounds, objects[i].Shape));
            }
        }

        byLeftEdge.Sort(static (a, b) => a.Box.MinX.CompareTo(b.Box.MinX));
        var result = new List<ImageIsland>(islands.Count);
        var cutters = new List<Region>();
        foreach (var island in islands)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var box = island.Shape.Bounds;
            cutters.Clear();
            if (box.Overlaps(run))
            {
                foreach (var (cutterBox, cutter) in byLeftEdge)
                {
                    if (cutterBox.MinX > box.MaxX)
                    {
                        break;
                    }

                    if (cutterBox.Overlaps(box))
                    {
                        cutters.Add(cutter);
                    }
                }
            }

            if (cutters.Count == 0)
            {
                result.Add(island);
            }
            else
            {
                Subtract(island, RegionBoolean.Union(CollectionsMarshal.AsSpan(cutters)), objects, result);
            }
        }

        return result;
    }

    private static void Subtract(ImageIsland island, Region cutter, ImmutableArray<PaintedObject> objects, List<ImageIsland> result)
    {
        var rest = RegionBoolean.Difference(island.Shape, cutter);
        if (rest.IsEmpty)
        {
            return;
        }

        foreach (var part in RegionBoolean.Islands(rest))
        {
            var members = island.Objects.Length == 1 ? island.Objects : MembersOf(part, island.Objects, objects);
            // A part too thin for the test above still came from the island: keep its origin rather than lose it.
            result.Add(new ImageIsland(part, members.IsEmpty ? island.Objects : members));
        }
    }

    private static ImmutableArray<int> MembersOf(Region part, ImmutableArray<int> candidates, ImmutableArray<PaintedObject> objects)
    {
        var box = part.Bounds;
        var members = ImmutableArray.CreateBuilder<int>();
        foreach (var index in candidates)
        {
            var shape = objects[index].Shape;
            if (shape.Bounds.Overlaps(box) && !RegionBoolean.Intersection(part, shape).IsEmpty)
            {
                members.Add(index);
            }
        }

        return members.ToImmutable();
    }

    private static Bounds2 BoundsOf(ImmutableArray<PaintedObject> objects, int from, int to)
    {
        var box = Bounds2.Empty;
        for (var i = from; i < to; i++)
        {
            box = Bounds2.Union(box, objects[i].Shape.Bounds);
        }

        return box;
    }
}
