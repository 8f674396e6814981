using System.Collections.Immutable;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Paints layers of an IPC-2581 file.</summary>
public static class Ipc2581Image
{
    /// <summary>Paints one layer of the document's step, repeated steps included.</summary>
    /// <param name="document">As read.</param>
    /// <param name="layer">Name of the layer.</param>
    /// <param name="limits">Bounds; what goes beyond them ends in a message.</param>
    /// <param name="cancellationToken">Ends the painting early.</param>
    /// <returns>The image in millimetres, y up, empty for a layer without features; what is said concerns this layer alone.</returns>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    /// <exception cref="ArgumentException">The document has no such layer.</exception>
    public static Outcome<LayerImage> Compose(Ipc2581Document document, string layer, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(document);
        var known = document.Layers.FirstOrDefault(l => l.Name == layer) ?? throw new ArgumentException($"The document has no layer {layer}.", nameof(layer));
        var sink = new DiagnosticSink(document.Source.Name, limits.MaxDiagnostics, Ipc2581Codes.MoreLeftOut);
        var objects = new IpcPainter(document, limits, sink, cancellationToken).Layer(layer);
        return Finish(document, objects, known.FileFunction, known.IsNegative, sink, cancellationToken);
    }

    /// <summary>The step's profile as a layer: one area for each board, inside is board.</summary>
    /// <param name="document">As read.</param>
    /// <param name="limits">Bounds.</param>
    /// <param name="cancellationToken">Ends the painting early.</param>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static Outcome<LayerImage> ComposeProfile(Ipc2581Document document, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(document);
        var sink = new DiagnosticSink(document.Source.Name, limits.MaxDiagnostics, Ipc2581Codes.MoreLeftOut);
        var objects = new IpcPainter(document, limits, sink, cancellationToken).Profile();
        return Finish(document, objects, ["Profile", "NP"], false, sink, cancellationToken);
    }

    private static Outcome<LayerImage> Finish(
        Ipc2581Document document, ImmutableArray<PaintedObject> objects, ImmutableArray<string> function, bool isNegative, DiagnosticSink sink, CancellationToken cancellationToken)
    {
        ImmutableArray<ImageIsland> islands;
        try
        {
            islands = ImageComposer.Compose(objects, cancellationToken);
        }
        catch (InvalidOperationException)
        {
            sink.Error(Ipc2581Codes.ShapeUnresolved, sink.Whole, "The objects of this layer meet in a way that could not be resolved into one image; simplify the layer or report the file.");
            return new Outcome<LayerImage>(null, sink.ToImmutable());
        }

        var attributes = ImmutableSortedDictionary.CreateBuilder<string, ImmutableArray<string>>(StringComparer.Ordinal);
        attributes[".FilePolarity"] = [isNegative ? "Negative" : "Positive"];
        if (!function.IsEmpty)
        {
            attributes[".FileFunction"] = function;
        }

        var image = new LayerImage
        {
            Source = document.Source,
            Format = ArtworkFormat.Ipc2581,
            Unit = document.Unit,
            FileAttributes = attributes.ToImmutable(),
            Objects = objects,
            Islands = islands,
        };
        return new Outcome<LayerImage>(image, sink.ToImmutable());
    }
}
