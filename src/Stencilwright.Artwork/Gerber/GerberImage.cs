using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Carries out what a Gerber document says: repetition, transformations, shapes, and dark minus clear.</summary>
public static class GerberImage
{
    /// <summary>Paints a document.</summary>
    /// <param name="document">As <see cref="GerberReader"/> read it.</param>
    /// <param name="limits">What a file may cost; more objects or vertices give an error and no image.</param>
    /// <param name="cancellationToken">Looked at every few thousand objects and between islands.</param>
    /// <returns>The image in millimetres, y up. A draw of more than half a turn appears as several strokes of at most half a turn.</returns>
    /// <exception cref="OperationCanceledException">Cancelled by the caller.</exception>
    public static Outcome<LayerImage> Compose(GerberDocument document, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(document);
        var diagnostics = new GerberDiagnostics(document.Source, limits.MaxDiagnostics);
        var painter = new GerberPainter(document, limits, diagnostics, cancellationToken);
        if (painter.Paint() is not { } objects)
        {
            return new Outcome<LayerImage>(null, diagnostics.ToImmutable());
        }

        ImmutableArray<ImageIsland> islands;
        try
        {
            islands = ImageComposer.Compose(objects, cancellationToken);
        }
        catch (InvalidOperationException)
        {
            diagnostics.Error(GerberCodes.ShapeUnresolved, 0, "The objects of this layer meet in a way that could not be resolved into one image; simplify the layer or report the file.");
            return new Outcome<LayerImage>(null, diagnostics.ToImmutable());
        }

        var image = new LayerImage
        {
            Source = document.Source,
            Format = ArtworkFormat.Gerber,
            Unit = document.Unit,
            FileAttributes = document.FileAttributes,
            Objects = objects,
            Islands = islands,
        };
        return new Outcome<LayerImage>(image, diagnostics.ToImmutable());
    }

    /// <summary>The objects of a document without the final image, which costs most for a copper layer and is not always needed.</summary>
    /// <param name="document">As <see cref="GerberReader"/> read it.</param>
    /// <param name="limits">What a file may cost; more objects or vertices give an error and no objects.</param>
    /// <param name="cancellationToken">Looked at every few thousand objects.</param>
    /// <exception cref="OperationCanceledException">Cancelled by the caller.</exception>
    public static Outcome<PaintedArtwork> Paint(GerberDocument document, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(document);
        var diagnostics = new GerberDiagnostics(document.Source, limits.MaxDiagnostics);
        var objects = new GerberPainter(document, limits, diagnostics, cancellationToken).Paint();
        return new Outcome<PaintedArtwork>(
            objects is { } painted ? new PaintedArtwork(document.Source, painted, document.FileAttributes) : null, diagnostics.ToImmutable());
    }
}
