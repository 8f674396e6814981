using Stencilwright.Artwork;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Pads and other things that lie on a board: what tells a board's edge from a page's.</summary>
/// <param name="At">Middle, millimetres.</param>
/// <param name="Box">Extent, millimetres.</param>
internal readonly record struct ContentItem(Point2 At, Bounds2 Box)
{
    // More would not change which loop holds them, only the time to count.
    private const int Enough = 3000;

    /// <summary>Flashes of the layers; filled areas when nothing is flashed; strokes' islands when nothing is filled.</summary>
    public static ContentItem[] Of(IReadOnlyList<LayerImage> layers)
    {
        var items = Objects(layers, PaintKind.Flash);
        if (items.Count < 4)
        {
            items.AddRange(Objects(layers, PaintKind.Area));
        }

        if (items.Count == 0)
        {
            foreach (var layer in layers)
            {
                foreach (var island in layer.Islands)
                {
                    items.Add(new(island.Shape.Bounds.Center, island.Shape.Bounds));
                }
            }
        }

        var step = (items.Count + Enough - 1) / Enough;
        return step <= 1 ? [.. items] : [.. items.Where((_, i) => i % step == 0)];
    }

    private static List<ContentItem> Objects(IReadOnlyList<LayerImage> layers, PaintKind kind)
    {
        var items = new List<ContentItem>();
        foreach (var layer in layers)
        {
            foreach (var painted in layer.Objects)
            {
                if (painted.Kind == kind && painted.IsDark && !painted.Shape.IsEmpty)
                {
                    var box = painted.Shape.Bounds;
                    items.Add(new(box.Center, box));
                }
            }
        }

        return items;
    }
}
