using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>Walks the elements in painting order and turns each painted shape into objects.</summary>
internal sealed partial class SvgPainter(
    SvgDocument document, SvgStyler styler, SvgDiagnosticSink sink, ReadLimits limits, CancellationToken cancellationToken)
{
    // Copies of copies grow by powers; a plot has no use for more elements than this.
    private const int MaxVisits = 2_000_000;

    private readonly ImmutableArray<PaintedObject>.Builder _objects = ImmutableArray.CreateBuilder<PaintedObject>();
    private readonly List<SvgElement> _copying = [];
    private int _visits;
    private int _vertices;
    private bool _isFull;

    /// <summary>Where the walk is.</summary>
    private sealed record Context(Affine2 ToMm, SvgStyle Style, SvgBox Viewport, double Opacity, int Depth, Region? Clip);

    /// <summary>Paints the page.</summary>
    public ImmutableArray<PaintedObject> Paint(SvgElement root, SvgPage page)
    {
        var context = new Context(page.ToMillimetres, SvgStyle.Initial, page.Viewport, 1, 0, Clip: null);
        if (Enter(root, context) is { } inside)
        {
            PaintChildren(root, inside);
        }

        return _objects.ToImmutable();
    }

    // The context inside an element; null when nothing of it shows.
    private Context? Enter(SvgElement element, Context outer)
    {
        if (_isFull || ++_visits > MaxVisits)
        {
            Full(element.Offset, string.Create(CultureInfo.InvariantCulture, $"{MaxVisits} elements"));
            return null;
        }

        if (outer.Depth > limits.MaxDepth)
        {
            sink.Once("depth", SvgCodes.LimitReached, Severity.Error, element.Offset,
                string.Create(CultureInfo.InvariantCulture, $"Groups nest more than {limits.MaxDepth} deep here; what lies deeper was left out. Flatten the groups."));
            return null;
        }

        cancellationToken.ThrowIfCancellationRequested();
        var style = styler.Of(element, outer.Style, outer.Viewport);
        var opacity = outer.Opacity * style.Opacity;
        if (!style.IsDisplayed || opacity == 0)
        {
            return null;
        }

        var (map, transform) = (outer.ToMm, Affine2.Identity);
        if (element.Attribute("transform") is { } text)
        {
            if (!SvgUnits.TryTransform(text, out var own))
            {
                sink.Error(SvgCodes.BadValue, element.Offset, $"The transform '{SvgText.Short(text)}' could not be understood, so what it moves was left out; correct it.");
                return null;
            }

            transform = own;
            map *= own;
        }

        var clip = Clipped(element, style, map, transform, outer);
        return clip is { IsEmpty: true } ? null : new Context(map, style, outer.Viewport, opacity, outer.Depth + 1, clip);
    }

    private void PaintChildren(SvgElement parent, Context context)
    {
        foreach (var child in parent.Children)
        {
            PaintElement(child, context);
        }
    }

    private void PaintElement(SvgElement element, Context outer)
    {
        switch (element.Name)
        {
            case "g" or "a" or "switch":
                // A clipping path holds shapes and copies of shapes only.
                if (_purpose != Purpose.Clip && Enter(element, outer) is { } group)
                {
                    PaintChildren(element, group);
                }

                break;
            case "svg":
                if (_purpose != Purpose.Clip && Enter(element, outer) is { } nested && Viewport(element, element, nested, isPlaced: true) is { } viewport)
                {
                    PaintChildren(element, viewport);
                }

                break;
            case "use":
                PaintCopy(element, outer);
                break;
            case "path" or "rect" or "circle" or "ellipse" or "line" or "polyline" or "polygon":
                if (Enter(element, outer) is { Style.IsVisible: true } shape)
                {
                    PaintShape(element, shape);
                }

                break;
            case "text" or "tspan" or "textPath":
                sink.Once("text", SvgCodes.TextIgnored, Severity.Note, element.Offset, "Text is not painted; if a shape of the layer is missing, have the exporter turn text into paths.");
                break;
            case "image" or "foreignObject":
                sink.Once(element.Name, SvgCodes.NotSupported, Severity.Warning, element.Offset, $"An element of kind {element.Name} was left out; only drawn shapes can be read.");
                break;
            default:
                // Definitions, titles, descriptions, metadata, scripts: nothing that shows by itself.
                break;
        }
    }

    private void PaintCopy(SvgElement element, Context outer)
    {
        var link = (element.Attribute("href") ?? element.Attribute("xlink:href") ?? "").Trim();
        if (!link.StartsWith('#'))
        {
            sink.Warn(SvgCodes.ReferenceRefused, element.Offset, $"A use element points to '{SvgText.Short(link)}' outside this file; nothing else is ever opened. Export the plot in one piece.");
            return;
        }

        if (!document.ById.TryGetValue(link[1..], out var target))
        {
            sink.Error(SvgCodes.UseUnresolved, element.Offset, $"A use element points to '{SvgText.Short(link)}', which is not in the file, so a shape is missing; export the plot again.");
            return;
        }

        if (_copying.Contains(target) || target.Name == "use" && ReferenceEquals(target, element))
        {
            sink.Error(SvgCodes.UseUnresolved, element.Offset, $"A use element points to '{SvgText.Short(link)}', which holds that very element; the endless copy was left out. Export the plot again.");
            return;
        }

        if (Enter(element, outer) is not { } context)
        {
            return;
        }

        var (x, y) = (Length(element, "x", context, SvgAxis.Horizontal, 0), Length(element, "y", context, SvgAxis.Vertical, 0));
        context = context with { ToMm = context.ToMm * Affine2.Translation(x, y) };
        _copying.Add(target);
        if (target.Name is "symbol" or "svg")
        {
            if (Enter(target, context) is { } inside && Viewport(target, element, inside, isPlaced: target.Name == "svg") is { } viewport)
            {
                PaintChildren(target, viewport);
            }
        }
        else
        {
            PaintElement(target, context);
        }

        _copying.RemoveAt(_copying.Count - 1);
    }

    // A new viewport with its view box; sizes of a copied one may come from the element that copies.
    private Context? Viewport(SvgElement element, SvgElement sized, Context context, bool isPlaced)
    {
        var box = context.Viewport;
        var width = Length(sized, "width", context, SvgAxis.Horizontal, Length(element, "width", context, SvgAxis.Horizontal, box.Width));
        var height = Length(sized, "height", context, SvgAxis.Vertical, Length(element, "height", context, SvgAxis.Vertical, box.Height));
        if (!(width > 0 && height > 0))
        {
            return null;
        }

        var map = context.ToMm;
        if (isPlaced)
        {
            map *= Affine2.Translation(Length(element, "x", context, SvgAxis.Horizontal, 0), Length(element, "y", context, SvgAxis.Vertical, 0));
        }

        return SvgUnits.TryViewBox(element.Attribute("viewBox"), out var inner)
            ? context with { ToMm = map * SvgUnits.FitViewBox(inner, width, height, element.Attribute("preserveAspectRatio")), Viewport = inner }
            : context with { ToMm = map, Viewport = new SvgBox(0, 0, width, height) };
    }

    private double Length(SvgElement element, string name, Context context, SvgAxis axis, double otherwise)
    {
        if (element.Attribute(name) is not { } text || text == "auto")
        {
            return otherwise;
        }

        if (SvgUnits.TryLength(text, context.Viewport, axis, out var length))
        {
            return length;
        }

        sink.Error(SvgCodes.BadValue, element.Offset, $"The attribute {name} has the value '{SvgText.Short(text)}', which is no length; it was passed over. Correct it.");
        return otherwise;
    }

    private void PaintShape(SvgElement element, Context context)
    {
        if (_purpose == Purpose.Measure)
        {
            Grow(element, context);
            return;
        }

        var determinant = context.ToMm.Determinant;
        if (!(Math.Abs(determinant) > 1e-18) || !double.IsFinite(determinant))
        {
            sink.Warn(SvgCodes.FlatTransform, element.Offset, "The transforms round this shape flatten it to nothing; it was left out.");
            return;
        }

        if (_purpose == Purpose.Clip)
        {
            Fill(element, context with { Style = context.Style with { FillRule = context.Style.ClipRule } }, isDark: true);
            return;
        }

        var style = context.Style;
        var fill = style.FillOpacity * context.Opacity == 0 || element.Name == "line" ? SvgPaint.None : style.Fill;
        var stroke = style.StrokeOpacity * context.Opacity == 0 ? SvgPaint.None : style.Stroke;
        if (fill == SvgPaint.None && stroke == SvgPaint.None)
        {
            return;
        }

        if ((fill != SvgPaint.None && style.FillOpacity * context.Opacity < 1) || (stroke != SvgPaint.None && style.StrokeOpacity * context.Opacity < 1))
        {
            sink.Once("opacity", SvgCodes.OpacityIgnored, Severity.Warning, element.Offset, "Half-transparent paint was taken as solid; export the plot in plain black and white.");
        }

        var isFilled = fill != SvgPaint.None && Fill(element, context, fill == SvgPaint.Dark);
        // A pen of no width adds nothing round an area; alone it is an outline.
        if (stroke != SvgPaint.None && !(isFilled && style.StrokeWidth <= 0))
        {
            Stroke(element, context, stroke == SvgPaint.Dark, isQuiet: fill != SvgPaint.None);
        }
    }

    private List<SvgSubPath>? Trace(SvgElement element, Context context, Affine2 frame, double tolerance, bool isQuiet)
    {
        var path = new SvgPathBuilder(frame, tolerance);
        SvgShapes.Trace(element, path, (name, axis, otherwise) => Length(element, name, context, axis, otherwise), isQuiet ? null : sink);
        var made = path.Finish();
        _vertices += path.VertexCount;
        if (_vertices > limits.MaxVertices)
        {
            Full(element.Offset, string.Create(CultureInfo.InvariantCulture, $"{limits.MaxVertices} vertices"));
            return null;
        }

        return made;
    }

    // True when it covers something.
    private bool Fill(SvgElement element, Context context, bool isDark)
    {
        if (Trace(element, context, context.ToMm, RegionTransform.FitToleranceMm, isQuiet: false) is not { } paths)
        {
            return false;
        }

        var contours = new List<Contour>(paths.Count);
        foreach (var path in paths)
        {
            if (IsFar(path, element))
            {
                return false;
            }

            if (path.Vertices.Length > 2 || (path.Vertices.Length == 2 && (path.Vertices[0].Bulge != 0 || path.Vertices[1].Bulge != 0)))
            {
                contours.Add(Contour.Adopt(path.IsClosed ? path.Vertices : Closed(path.Vertices)));
            }
        }

        if (contours.Count == 0)
        {
            return false;
        }

        var isSimple = contours.Count == 1 && element.Name is "rect" or "circle" or "ellipse";
        var shape = isSimple
            ? Region.Of(contours[0].SignedAreaMm2 < 0 ? contours[0].Reversed() : contours[0])
            : RegionBoolean.Resolve(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(contours), context.Style.FillRule);
        if (!shape.IsEmpty)
        {
            Add(new PaintedObject { Kind = PaintKind.Area, IsDark = isDark, Shape = shape, SourceOffset = element.Offset }, context.Clip);
        }

        return !shape.IsEmpty;
    }

    private void Stroke(SvgElement element, Context context, bool isDark, bool isQuiet)
    {
        var style = context.Style;
        // The pen is a circle of user space. Where the map keeps circles, lines are traced in millimetres; where it
        // does not, they are traced at the same scale in user space and each stroke is mapped as a whole.
        var scale = Math.Sqrt(Math.Abs(context.ToMm.Determinant));
        var isPlain = context.ToMm.IsSimilarity;
        var frame = isPlain ? context.ToMm : Affine2.Scale(scale, scale);
        var rest = isPlain ? Affine2.Identity : context.ToMm * Affine2.Scale(1 / scale, 1 / scale);
        if (Trace(element, context, frame, RegionTransform.FitToleranceMm, isQuiet) is not { } paths)
        {
            return;
        }

        paths = Dashed(element, style, paths, scale);

        var widthMm = Math.Max(0, style.StrokeWidth) * scale;
        if (widthMm == 0)
        {
            sink.Once("hairline", SvgCodes.HairlinePen, Severity.Note, element.Offset, "Lines with a width of zero or less cover nothing; they serve as outlines only.");
        }

        foreach (var path in paths)
        {
            if (_isFull || (isPlain && IsFar(path, element)))
            {
                return;
            }

            StrokePath(path, widthMm, context, rest, isDark, element);
        }
    }

    private List<SvgSubPath> Dashed(SvgElement element, SvgStyle style, List<SvgSubPath> paths, double scale)
    {
        if (style.Dashes.IsEmpty)
        {
            return paths;
        }

        // An author may state the line's length; the pattern is then in that measure.
        if (element.Attribute("pathLength") is { } text && new SvgScanner(text).TryNumber(out var stated) && stated > 0)
        {
            scale = paths.Sum(SvgDashes.LengthOf) / stated;
        }

        var dashes = new double[style.Dashes.Length];
        for (var i = 0; i < dashes.Length; i++)
        {
            dashes[i] = style.Dashes[i] * scale;
        }

        if (!SvgDashes.AreDrawable(paths, dashes))
        {
            sink.Once("dashes", SvgCodes.DashesIgnored, Severity.Warning, element.Offset, "A line has dashes too fine or too many to be drawn and was taken as an unbroken one; export it solid, or leave it out.");
            return paths;
        }

        var broken = new List<SvgSubPath>();
        foreach (var path in paths)
        {
            broken.AddRange(SvgDashes.Break(path, dashes, style.DashOffset * scale));
        }

        return broken;
    }

    private void StrokePath(SvgSubPath path, double widthMm, Context context, Affine2 rest, bool isDark, SvgElement element)
    {
        if (widthMm == 0)
        {
            for (var i = 0; i < path.SegmentCount; i++)
            {
                AddStroke(path.SegmentAt(i), Region.Empty, 0, rest, isDark, element, context.Clip);
            }

            return;
        }

        foreach (var (center, shape) in SvgPen.Stroke(path, widthMm / 2, context.Style))
        {
            var mapped = rest == Affine2.Identity ? shape : shape.Transform(rest);
            AddStroke(center, mapped, widthMm, rest, isDark, element, context.Clip);
        }
    }

    private void AddStroke(Segment center, Region shape, double widthMm, Affine2 rest, bool isDark, SvgElement element, Region? clip)
    {
        if (rest != Affine2.Identity)
        {
            center = MapSegment(center, rest);
            var far = limits.MaxCoordinateMm;
            if (!new Bounds2(-far, -far, far, far).Contains(center.Bounds))
            {
                return;
            }
        }

        Add(new PaintedObject
        {
            Kind = PaintKind.Stroke,
            IsDark = isDark,
            Shape = shape,
            SourceOffset = element.Offset,
            CenterLine = center,
            PenWidthMm = widthMm,
        },
        clip);
    }

    // An arc under a map that does not keep circles becomes the arc through its mapped ends and middle.
    private static Segment MapSegment(Segment segment, Affine2 map)
    {
        var (a, m, b) = (map.Apply(segment.Start), map.Apply(segment.Middle), map.Apply(segment.End));
        return new Segment(a, b, segment.IsLine ? 0 : SvgPathBuilder.BulgeThrough(a, m, b));
    }

    private bool IsFar(SvgSubPath path, SvgElement element)
    {
        var far = limits.MaxCoordinateMm;
        foreach (var vertex in path.Vertices)
        {
            if (!(Math.Abs(vertex.X) <= far && Math.Abs(vertex.Y) <= far))
            {
                sink.Error(SvgCodes.FarAway, element.Offset, string.Create(CultureInfo.InvariantCulture, $"This shape reaches more than {far} mm from the page's corner and was left out; check the page's size and the transforms."));
                return true;
            }
        }

        return false;
    }

    private void Add(PaintedObject painted, Region? clip)
    {
        if (clip is not null)
        {
            if (Cut(painted, clip) is not { } left)
            {
                return;
            }

            painted = left;
        }

        if (_objects.Count >= limits.MaxObjects)
        {
            Full(painted.SourceOffset, string.Create(CultureInfo.InvariantCulture, $"{limits.MaxObjects} objects"));
            return;
        }

        _objects.Add(painted);
    }

    private void Full(int offset, string what)
    {
        _isFull = true;
        sink.Once("full", SvgCodes.LimitReached, Severity.Error, offset, $"The plot draws more than {what}; the rest was left out. Split the plot.");
    }

    private static PathVertex[] Closed(PathVertex[] open)
    {
        // An open stretch is filled as if a line closed it.
        var last = open.Length - 1;
        if (Point2.Distance(open[0].Point, open[last].Point) <= 1e-9 && open.Length > 2)
        {
            return open[..last];
        }

        var closed = (PathVertex[])open.Clone();
        closed[last] = closed[last] with { Bulge = 0 };
        return closed;
    }
}
