using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>A layer's objects in painting order, ready to be asked what they leave dark within a small window.</summary>
/// <remarks>
/// The final image of a copper layer costs more than everything else in a job, and the checks ask only what lies under and
/// round openings. So the image is never made: the few objects that touch an opening are carried out there, in order.
/// Immutable once made; may be read from several threads.
/// </remarks>
public sealed class PaintedLayer
{
    // Below it a shape is taken whole; above, only what is near the window.
    private const int SmallShape = 24;

    private readonly Dictionary<int, BlockedShape> _large = [];

    private PaintedLayer(SourceText source, ImmutableArray<PaintedObject> objects, ImmutableArray<ImageIsland> islands)
    {
        Source = source;
        Objects = objects;
        Islands = islands;
        Boxes = new Bounds2[objects.Length];
        for (var i = 0; i < Boxes.Length; i++)
        {
            var shape = objects[i].Shape;
            Boxes[i] = shape.Bounds;
            var segments = 0;
            foreach (var contour in shape.Contours)
            {
                segments += contour.Count;
            }

            if (segments > SmallShape)
            {
                _large.Add(i, new BlockedShape(shape));
            }

            HasDark |= objects[i].IsDark && !shape.IsEmpty;
        }
    }

    /// <summary>The file's name.</summary>
    public string File => Source.Name;

    /// <summary>True when nothing is painted.</summary>
    public bool IsEmpty => !HasDark;

    internal SourceText Source { get; }

    internal ImmutableArray<PaintedObject> Objects { get; }

    /// <summary>Box of each object; <see cref="Bounds2.Empty"/> where it covers nothing.</summary>
    internal Bounds2[] Boxes { get; }

    /// <summary>The final image's parts where they are known anyway; default otherwise.</summary>
    internal ImmutableArray<ImageIsland> Islands { get; }

    private bool HasDark { get; }

    /// <summary>A layer whose final image is known.</summary>
    public static PaintedLayer Of(LayerImage image)
    {
        ArgumentNullException.ThrowIfNull(image);
        return new PaintedLayer(image.Source, image.Objects, image.Islands);
    }

    /// <summary>A layer of which only the objects are known.</summary>
    public static PaintedLayer Of(PaintedArtwork artwork)
    {
        ArgumentNullException.ThrowIfNull(artwork);
        return new PaintedLayer(artwork.Source, artwork.Objects, default);
    }

    /// <summary>A layer of one shape.</summary>
    internal static PaintedLayer Of(string file, Region shape) => new(
        new SourceText(file, new byte[1]), [new PaintedObject { Kind = PaintKind.Area, Shape = shape, SourceOffset = 0 }], default);

    /// <summary>The index for a shape of many segments; null for a small one.</summary>
    internal BlockedShape? LargeShape(int index) => _large.GetValueOrDefault(index);

    internal SourcePlace PlaceOf(int index) => Source.PlaceOf(Objects[index].SourceOffset);
}
