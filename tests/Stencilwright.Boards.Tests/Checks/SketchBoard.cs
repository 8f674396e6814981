using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Boards.Checks;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>A layer drawn by hand, object by object.</summary>
internal sealed class SketchLayer(string name)
{
    public List<PaintedObject> Objects { get; } = [];

    public SketchLayer Rectangle(double x, double y, double width, double height, bool isDark = true) =>
        Add(Region.Of(Contour.Rectangle(new(x - (width / 2), y - (height / 2), x + (width / 2), y + (height / 2)))), PaintKind.Flash, isDark);

    public SketchLayer Circle(double x, double y, double diameter, bool isDark = true) =>
        Add(Region.Of(Contour.Circle(new(x, y), diameter / 2)), PaintKind.Flash, isDark);

    public SketchLayer Line(double x0, double y0, double x1, double y1, double pen = 0.15)
    {
        var sketch = new LayerSketch().Line(x0, y0, x1, y1, pen).Image();
        Objects.Add(sketch.Objects[0] with { SourceOffset = Objects.Count });
        return this;
    }

    public SketchLayer Add(Region shape, PaintKind kind, bool isDark = true)
    {
        Objects.Add(new PaintedObject { Kind = kind, Shape = shape, IsDark = isDark, SourceOffset = Objects.Count });
        return this;
    }

    public SketchLayer Mapped(Affine2 map)
    {
        var mapped = new SketchLayer(name);
        mapped.Objects.AddRange(Objects.Select(o => o with
        {
            Shape = o.Shape.Transform(map),
            CenterLine = o.CenterLine is { } line ? new Segment(map.Apply(line.Start), map.Apply(line.End), map.Determinant < 0 ? -line.Bulge : line.Bulge) : null,
        }));
        return mapped;
    }

    public PaintedLayer Painted() => PaintedLayer.Of(new PaintedArtwork(
        Source, [.. Objects], ImmutableSortedDictionary<string, ImmutableArray<string>>.Empty));

    public LayerImage Image() => new()
    {
        Source = Source,
        Format = ArtworkFormat.Gerber,
        Unit = ArtworkUnit.Millimetre,
        Objects = [.. Objects],
        Islands = [.. RegionBoolean.UnionIslands([.. Objects.Select(o => o.Shape)]).Select(i => new ImageIsland(i.Shape, i.Members))],
    };

    private SourceText Source => new(name, new byte[Objects.Count + 1]);
}

/// <summary>A pad of a part with all that belongs to it.</summary>
internal readonly record struct SketchPad(double X, double Y, double Width, double Height);

/// <summary>A small board without faults, of which each layer can be spoilt.</summary>
internal sealed class SketchBoard
{
    public const double WidthMm = 40;
    public const double HeightMm = 30;

    public SketchBoard(int seed = 1, int parts = 25)
    {
        Top = Pads(seed, parts);
        Bottom = Pads(seed + 1000, parts);
        foreach (var (pads, paste, copper, mask) in new[] { (Top, TopPaste, TopCopper, TopMask), (Bottom, BottomPaste, BottomCopper, BottomMask) })
        {
            foreach (var pad in pads)
            {
                paste.Rectangle(pad.X, pad.Y, pad.Width * 0.9, pad.Height * 0.9);
                copper.Rectangle(pad.X, pad.Y, pad.Width, pad.Height);
                mask.Rectangle(pad.X, pad.Y, pad.Width + 0.1, pad.Height + 0.1);
            }
        }

        for (var i = 0; i < 9; i++)
        {
            // Vias in the free band along the lower edge, at uneven distances.
            Via(3 + (i * 3.7) + (i * i * 0.05), 1.5 + (0.2 * (i % 3)));
        }
    }

    public List<SketchPad> Top { get; }

    public List<SketchPad> Bottom { get; }

    public SketchLayer TopPaste { get; set; } = new("paste-top.gbr");

    public SketchLayer TopCopper { get; set; } = new("copper-top.gbr");

    public SketchLayer TopMask { get; set; } = new("mask-top.gbr");

    public SketchLayer BottomPaste { get; set; } = new("paste-bottom.gbr");

    public SketchLayer BottomCopper { get; set; } = new("copper-bottom.gbr");

    public SketchLayer BottomMask { get; set; } = new("mask-bottom.gbr");

    public SketchLayer OutlineLayer { get; set; } = new SketchLayer("outline.gbr").Line(0, 0, WidthMm, 0);

    public Region Edge { get; set; } = Region.Of(Contour.Rectangle(new(0, 0, WidthMm, HeightMm)));

    public List<BoardHole> Holes { get; private set; } = [];

    public void Via(double x, double y, double drill = 0.3, bool? isPlated = true)
    {
        TopCopper.Circle(x, y, 2 * drill);
        BottomCopper.Circle(x, y, 2 * drill);
        Hole(x, y, drill, isPlated);
    }

    public void Hole(double x, double y, double drill, bool? isPlated = true) =>
        Holes.Add(new BoardHole(new(x, y), drill, isPlated, new SourcePlace("holes.drl", Holes.Count + 1, 1)));

    public void MoveHoles(Affine2 map) => Holes = Holes.ConvertAll(h => h with { At = map.Apply(h.At) });

    /// <summary>All layers mapped together.</summary>
    public SketchBoard Mapped(Affine2 map)
    {
        foreach (var layer in new (Func<SketchLayer> Get, Action<SketchLayer> Set)[]
        {
            (() => TopPaste, l => TopPaste = l), (() => TopCopper, l => TopCopper = l), (() => TopMask, l => TopMask = l),
            (() => BottomPaste, l => BottomPaste = l), (() => BottomCopper, l => BottomCopper = l), (() => BottomMask, l => BottomMask = l),
            (() => OutlineLayer, l => OutlineLayer = l),
        })
        {
            layer.Set(layer.Get().Mapped(map));
        }

        Edge = Edge.Transform(map);
        MoveHoles(map);
        return this;
    }

    public BoardLayers Layers()
    {
        var outline = new BoardOutline(Edge, "outline.gbr", "drawn");
        return new BoardLayers
        {
            Outline = outline,
            OutlineArtwork = OutlineLayer.Painted(),
            Holes = [.. Holes],
            Top = Side(TopPaste, TopCopper, TopMask, outline),
            Bottom = Side(BottomPaste, BottomCopper, BottomMask, outline),
        };
    }

    public CheckReport Check() => CrossChecks.Run(Layers());

    private static CheckedSide Side(SketchLayer paste, SketchLayer copper, SketchLayer mask, BoardOutline outline) => new()
    {
        Paste = PasteSorter.Sort(paste.Image(), outline),
        PasteArtwork = paste.Painted(),
        Copper = copper.Painted(),
        Mask = mask.Painted(),
    };

    // Parts of two pads each on a jittered grid, lying or standing, of a few sizes.
    private static List<SketchPad> Pads(int seed, int parts)
    {
        var pads = new List<SketchPad>();
        var state = (uint)seed;
        double Next()
        {
            // Numerical Recipes' quick generator: enough to scatter parts.
            state = (state * 1664525) + 1013904223;
            return (state >> 8) / (double)(1 << 24);
        }

        for (var i = 0; i < parts; i++)
        {
            var (x, y) = (4 + (7 * (i % 5)) + (2 * Next()), 5 + (4.6 * (i / 5)) + (1.5 * Next()));
            var size = 0.4 + (0.2 * (int)(4 * Next()));
            var lies = Next() < 0.5;
            for (var sign = -1; sign <= 1; sign += 2)
            {
                pads.Add(lies
                    ? new(x + (sign * size), y, size, size * 1.3)
                    : new(x, y + (sign * size), size * 1.3, size));
            }
        }

        return pads;
    }
}
