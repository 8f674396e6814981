using System.Collections.Immutable;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Drill;

/// <summary>What a drill file takes away from the board.</summary>
public static class DrillImage
{
    /// <summary>Paints the holes, slots and routed paths.</summary>
    /// <param name="document">As <see cref="DrillReader"/> read it.</param>
    /// <param name="limits">What a file may cost.</param>
    /// <param name="cancellationToken">Looked at every few thousand holes and between islands.</param>
    /// <returns>
    /// The image in millimetres, y up: a flash for each hole, a stroke for each segment of a slot or a routed path; tools without a
    /// diameter cover nothing. Islands are openings in the board.
    /// </returns>
    /// <exception cref="OperationCanceledException">Cancelled by the caller.</exception>
    public static Outcome<LayerImage> Compose(DrillDocument document, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(document);
        var diagnostics = new GerberDiagnostics(document.Source, limits.MaxDiagnostics, DrillCodes.MoreLeftOut);
        try
        {
            var objects = Paint(document, cancellationToken);
            if (DrillTangle.Is(DistinctBoxes(objects)))
            {
                diagnostics.Error(DrillCodes.ShapeUnresolved, 0, "Holes and paths lie on one another so often that their image was not worked out; check the repetitions and the number format.");
                return new Outcome<LayerImage>(null, diagnostics.ToImmutable());
            }

            var image = new LayerImage
            {
                Source = document.Source,
                Format = ArtworkFormat.NcDrill,
                Unit = document.Format.Unit,
                FileAttributes = document.FileAttributes,
                Objects = objects,
                Islands = ImageComposer.Compose(objects, cancellationToken, sharesShapes: true),
            };
            return new Outcome<LayerImage>(image, diagnostics.ToImmutable());
        }
        catch (InvalidOperationException)
        {
            diagnostics.Error(DrillCodes.ShapeUnresolved, 0, "The holes and slots of this file meet in a way that could not be resolved into one image; simplify the file or report it.");
            return new Outcome<LayerImage>(null, diagnostics.ToImmutable());
        }
    }

    private static List<Bounds2> DistinctBoxes(ImmutableArray<PaintedObject> objects)
    {
        var seen = new HashSet<Region>(ReferenceEqualityComparer.Instance);
        var boxes = new List<Bounds2>(objects.Length);
        foreach (var painted in objects)
        {
            if (!painted.Shape.IsEmpty && seen.Add(painted.Shape))
            {
                boxes.Add(painted.Shape.Bounds);
            }
        }

        return boxes;
    }

    private static ImmutableArray<PaintedObject> Paint(DrillDocument document, CancellationToken cancellationToken)
    {
        var objects = ImmutableArray.CreateBuilder<PaintedObject>(document.Items.Length);
        // A place drilled twice has one shape, which the composer then takes once.
        var shapes = new Dictionary<(Point2 At, double DiameterMm), Region>();
        foreach (var item in document.Items)
        {
            if ((objects.Count & 0xFFF) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            var tool = document.Tools[item.Tool];
            if (item.Path is not { } path)
            {
                if (!shapes.TryGetValue((item.At, tool.DiameterMm), out var shape))
                {
                    shape = tool.DiameterMm > 0 ? Region.Of(Contour.Circle(item.At, tool.DiameterMm / 2)) : Region.Empty;
                    shapes.Add((item.At, tool.DiameterMm), shape);
                }

                objects.Add(new PaintedObject
                {
                    Kind = PaintKind.Flash,
                    Shape = shape,
                    SourceOffset = item.SourceOffset,
                    ApertureFunction = tool.Function,
                });
                continue;
            }

            for (var i = 0; i < path.SegmentCount; i++)
            {
                var segment = path.SegmentAt(i);
                objects.Add(new PaintedObject
                {
                    Kind = PaintKind.Stroke,
                    Shape = StrokeShapes.Round(segment, tool.DiameterMm),
                    SourceOffset = item.SourceOffset,
                    CenterLine = segment,
                    PenWidthMm = tool.DiameterMm,
                    ApertureFunction = tool.Function,
                });
            }
        }

        return objects.ToImmutable();
    }
}
