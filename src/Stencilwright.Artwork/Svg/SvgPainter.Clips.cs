using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <content>Clipping (W3C SVG, "Clipping paths") and the boxes that clipping paths may be measured in.</content>
internal sealed partial class SvgPainter
{
    private readonly Dictionary<(SvgElement Element, Affine2 Map), Region> _clips = [];
    private readonly List<SvgElement> _clipping = [];
    private Purpose _purpose;

    // Shapes met in clipping paths, those taken again for another box or place included.
    private int _clipShapes;
    private Bounds2 _measured = Bounds2.Empty;

    private const int MostClipShapes = 50_000;

    private enum Purpose
    {
        Paint,

        /// <summary>Shapes give their filled area by the clip rule, whatever their paint.</summary>
        Clip,

        /// <summary>Shapes only grow a box.</summary>
        Measure,
    }

    /// <summary>What of the plane remains after an element's clipping path; null when there is none.</summary>
    private Region? Clipped(SvgElement element, SvgStyle style, Affine2 map, Affine2 own, Context outer)
    {
        if (style.ClipPath is not { } reference || _purpose == Purpose.Measure)
        {
            return outer.Clip;
        }

        if (Resolve(reference, element) is not { } target)
        {
            return outer.Clip;
        }

        if (target.Attribute("clipPathUnits") == "objectBoundingBox")
        {
            var box = BoxOf(element, outer, own);
            if (!(box.Width > 0 && box.Height > 0))
            {
                return Region.Empty;
            }

            map = map * Affine2.Translation(box.MinX, box.MinY) * Affine2.Scale(box.Width, box.Height);
        }

        var clip = ClipRegion(target, map, outer);
        return outer.Clip is null ? clip : RegionBoolean.Intersection(outer.Clip, clip);
    }

    private SvgElement? Resolve(string reference, SvgElement element)
    {
        var id = reference.Trim();
        id = id.StartsWith("url(", StringComparison.OrdinalIgnoreCase) && id.EndsWith(')') ? id[4..^1].Trim(' ', '\'', '"', '\t') : id;
        if (!id.StartsWith('#'))
        {
            sink.Once("clip " + id, SvgCodes.NotSupported, Foundation.Severity.Warning, element.Offset,
                $"The clipping '{SvgText.Short(reference)}' is no clipping path of this file, so nothing was cut off; export the plot without it if it changes a shape.");
            return null;
        }

        if (document.ById.TryGetValue(id[1..], out var target) && target.Name == "clipPath")
        {
            return target;
        }

        sink.Once("clip " + id, SvgCodes.UseUnresolved, Foundation.Severity.Warning, element.Offset,
            $"The clipping path '{SvgText.Short(id)}' is not in the file, so nothing was cut off; export the plot again.");
        return null;
    }

    private Region ClipRegion(SvgElement target, Affine2 map, Context outer)
    {
        if (_clips.TryGetValue((target, map), out var known))
        {
            return known;
        }

        if (_clipping.Contains(target) || _clipping.Count > limits.MaxDepth)
        {
            sink.Once("clip loop", SvgCodes.UseUnresolved, Foundation.Severity.Error, target.Offset, "A clipping path is cut by itself; what it cuts was left out. Export the plot again.");
            return Region.Empty;
        }

        var inner = new SvgPainter(document, styler, sink, limits, cancellationToken) { _purpose = Purpose.Clip, _visits = _visits, _vertices = _vertices };
        inner._clipping.AddRange(_clipping);
        inner._clipping.Add(target);
        var style = StyleAbove(target, outer.Viewport);
        var shapes = new List<Region>();
        if (inner.Enter(target, new Context(map, style, outer.Viewport, 1, outer.Depth, Clip: null)) is { } context)
        {
            inner.PaintChildren(target, context);
            foreach (var painted in inner._objects)
            {
                shapes.Add(painted.Shape);
            }
        }

        _clipShapes += shapes.Count;
        if (_clipShapes > MostClipShapes)
        {
            Full(target.Offset, string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{MostClipShapes} shapes in clipping paths"));
        }

        (_visits, _vertices, _isFull) = (inner._visits, inner._vertices, _isFull || inner._isFull);
        var region = shapes.Count == 0 ? Region.Empty : RegionBoolean.Union(CollectionsMarshal.AsSpan(shapes));
        _clips.Add((target, map), region);
        return region;
    }

    // What a clipping path inherits comes from where it stands, not from what it cuts.
    private SvgStyle StyleAbove(SvgElement element, SvgBox viewport) =>
        element.Parent is { } parent ? styler.Of(parent, StyleAbove(parent, viewport), viewport) : SvgStyle.Initial;

    /// <summary>The box of an element's shapes in its own user space, strokes left out.</summary>
    private Bounds2 BoxOf(SvgElement element, Context outer, Affine2 own)
    {
        if (own.Determinant == 0)
        {
            return Bounds2.Empty;
        }

        var silent = new SvgDiagnosticSink(new Foundation.SourceText(string.Empty, default), 0);
        var inner = new SvgPainter(document, new SvgStyler(styler.Sheet, silent), silent, limits, cancellationToken) { _purpose = Purpose.Measure, _visits = _visits };
        // The element applies its own transform again, which this undoes.
        inner.PaintElement(element, outer with { ToMm = own.Inverse(), Clip = null });
        _visits = inner._visits;
        return inner._measured;
    }

    private void Grow(SvgElement element, Context context)
    {
        if (Trace(element, context, context.ToMm, RegionTransform.FitToleranceMm, isQuiet: true) is not { } paths)
        {
            return;
        }

        foreach (var path in paths)
        {
            _measured = _measured.Include(path.Vertices[0].Point);
            for (var i = 0; i < path.SegmentCount; i++)
            {
                _measured = Bounds2.Union(_measured, path.SegmentAt(i).Bounds);
            }
        }
    }

    /// <summary>The object as the clipping leaves it; null when nothing is left.</summary>
    private static PaintedObject? Cut(PaintedObject painted, Region clip)
    {
        if (painted.CenterLine is { } line && painted.Shape.IsEmpty)
        {
            // A pen of no width: kept or dropped segment by segment.
            return clip.Contains(line.Middle) ? painted : null;
        }

        var shape = IsInside(painted.Shape.Bounds, clip) ? painted.Shape : RegionBoolean.Intersection(painted.Shape, clip);
        if (shape.IsEmpty)
        {
            return null;
        }

        // What remains of a stroke beside its centre line is an area and no line any more.
        return painted.CenterLine is { } center && !clip.Contains(center.Middle)
            ? painted with { Kind = PaintKind.Area, Shape = shape, CenterLine = null, PenWidthMm = 0 }
            : painted with { Shape = shape };
    }

    // Pages are often clipped to their own edge: then nothing needs cutting.
    private static bool IsInside(Bounds2 box, Region clip)
    {
        if (clip.Contours.Length != 1 || clip.Contours[0].Count != 4)
        {
            return false;
        }

        foreach (ref readonly var vertex in clip.Contours[0].Vertices)
        {
            if (vertex.Bulge != 0)
            {
                return false;
            }
        }

        var all = clip.Bounds;
        return all.Contains(box) && Math.Abs(all.Width * all.Height - clip.AreaMm2) <= 1e-12 * clip.AreaMm2;
    }
}
