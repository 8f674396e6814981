using System.Collections.Immutable;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Walks through a step's features, dictionaries and repeated steps included, and makes the objects of one layer.</summary>
internal sealed class IpcPainter(Ipc2581Document document, ReadLimits limits, DiagnosticSink sink, CancellationToken cancellationToken)
{
    private const int CancellationInterval = 1024;

    private readonly ImmutableArray<PaintedObject>.Builder _objects = ImmutableArray.CreateBuilder<PaintedObject>();
    private readonly Dictionary<XmlItem, Region?> _shapes = [];
    private readonly HashSet<XmlItem> _inside = [];
    private readonly List<Segment> _segments = [];
    private long _vertices;
    private long _work;
    private bool _isFull;

    private IpcTables Tables => document.Tables;

    /// <summary>The objects of a layer, in the file's order.</summary>
    public ImmutableArray<PaintedObject> Layer(string layer)
    {
        Walk((step, map) =>
        {
            if (step.Sets.TryGetValue(layer, out var sets))
            {
                foreach (var set in sets)
                {
                    PaintSet(set, step, layer, map);
                }
            }
        });
        return _objects.ToImmutable();
    }

    /// <summary>The profile: one area for each board, cut-outs left out.</summary>
    public ImmutableArray<PaintedObject> Profile()
    {
        var hasOwn = Tables.Steps.TryGetValue(document.Step, out var main) && main.Profile is not null;
        Walk((step, map) =>
        {
            // A panel's own edge stands for all that is in it.
            if (step.Profile is { } profile && (!hasOwn || step.Name == document.Step))
            {
                PaintContour(profile, new IpcContext { Map = map, UnitMm = Tables.UnitMm, IsDark = true, Kind = PaintKind.Area, Depth = 0, Offset = profile.Offset, Function = "Profile" });
            }
        });
        return _objects.ToImmutable();
    }

    private void Walk(Action<IpcStep, Affine2> visit) => new IpcStepWalk(document, limits, sink).Visit((step, map, _) =>
    {
        visit(step, map);
        return !_isFull;
    });

    private void PaintSet(XmlItem set, IpcStep step, string layer, Affine2 map)
    {
        var context = new IpcContext
        {
            Map = map,
            UnitMm = Tables.UnitMm,
            IsDark = !"NEGATIVE".Equals(set.Text("polarity"), StringComparison.OrdinalIgnoreCase),
            Kind = PaintKind.Area,
            Depth = 0,
            Offset = set.Offset,
            Net = set.Text("net"),
            Component = set.Text("componentRef"),
        };
        context = Styled(set, context);
        foreach (var child in set.Children)
        {
            if (!Spend(child.Offset))
            {
                return;
            }

            var own = context with { Offset = child.Offset };
            switch (child.Name)
            {
                case "Pad" or "LayerPad":
                    PaintPad(child, step, layer, own);
                    break;
                case "Features":
                    PaintAll(child, Placed(child, own));
                    break;
                case "Hole" or "LayerHole":
                    PaintHole(child, own);
                    break;
                case "SlotCavity" or "Slot":
                    PaintAll(child, Placed(child, own) with { Kind = PaintKind.Area, Function = HoleFunction(child), IsSlot = true });
                    break;
                case "GlobalFiducial" or "LocalFiducial" or "GlobalFiducialMark" or "LocalFiducialMark" or "GoodPanelMark" or "BadBoardMark" or "Fiducial":
                    PaintAll(child, Placed(child, own) with { Kind = PaintKind.Flash, Function = child.Name.StartsWith("Local", StringComparison.Ordinal) ? "FiducialPad,Local" : "FiducialPad,Global" });
                    break;
                default:
                    PaintShape(child, own);
                    break;
            }
        }
    }

    private void PaintPad(XmlItem pad, IpcStep step, string layer, IpcContext context)
    {
        if (pad.Child("PinRef") is { } pin)
        {
            var (component, name) = (pin.Text("componentRef"), pin.Text("pin"));
            var net = component is not null && name is not null ? step.Nets.GetValueOrDefault((component, name)) : null;
            context = context with { Component = component, Pin = name, Net = context.Net ?? net };
        }

        context = Placed(pad, context) with { Kind = PaintKind.Flash };
        if (pad.Children.Any(c => c.Name is "StandardPrimitiveRef" or "UserPrimitiveRef" or "Contour" or "UserSpecial" || IpcPrimitives.IsPrimitive(c.Name)))
        {
            PaintAll(pad, context);
            return;
        }

        // Without a shape of its own a pad has that of its pad stack on this layer.
        var name2 = pad.Text("padstackDefRef");
        var shape = name2 is null || !step.Padstacks.TryGetValue(name2, out var stack) ? null
            : stack.Children.FirstOrDefault(c => c.Name == "PadstackPadDef" && c.Text("layerRef") == layer && c.Text("padUse") is null or "REGULAR")
                ?? stack.Children.FirstOrDefault(c => c.Name == "PadstackPadDef" && c.Text("layerRef") == layer);
        if (shape is null)
        {
            Say(Ipc2581Codes.Unresolved, pad.Offset, $"A pad has no shape, and no pad stack '{DiagnosticSink.Shown(name2 ?? "")}' gives it one on this layer, so it was left out; export the file again.");
            return;
        }

        PaintAll(shape, Placed(shape, context));
    }

    private void PaintHole(XmlItem hole, IpcContext context)
    {
        var (x, y, diameter) = (hole.Number("x") * Tables.UnitMm, hole.Number("y") * Tables.UnitMm, hole.Number("diameter") * Tables.UnitMm);
        if (double.IsNaN(x) || double.IsNaN(y) || !(diameter > 0))
        {
            Say(Ipc2581Codes.BadValue, hole.Offset, "A hole has no usable place or diameter and was left out; export the file again.");
            return;
        }

        var shape = Region.Of(Contour.Circle(new Point2(x, y), diameter / 2)).Transform(context.Map);
        Add(context with { Kind = PaintKind.Flash, Function = HoleFunction(hole) }, shape, null, 0);
    }

    // In the words of the Gerber aperture function.
    private static string HoleFunction(XmlItem hole) => hole.Text("platingStatus") switch
    {
        "VIA" => "ViaDrill",
        "NONPLATED" => "MechanicalDrill",
        _ => "ComponentDrill",
    };

    private void PaintAll(XmlItem parent, IpcContext context)
    {
        context = Styled(parent, context);
        foreach (var child in parent.Children)
        {
            if (_isFull)
            {
                return;
            }

            PaintShape(child, context);
        }
    }

    private void PaintShape(XmlItem item, IpcContext context)
    {
        if (!Spend(item.Offset))
        {
            return;
        }

        switch (item.Name)
        {
            case "StandardPrimitiveRef":
                PaintEntry(item, Tables.Standard, context);
                break;
            case "UserPrimitiveRef":
                PaintEntry(item, Tables.User, context);
                break;
            case "UserSpecial" or "UserPrimitive" or "Outline":
                PaintAll(item, Placed(item, context));
                break;
            case "Line" or "Arc" or "Polyline":
                PaintLine(item, Styled(item, Placed(item, context)));
                break;
            case "Contour" or "Polygon":
                PaintContour(item, Styled(item, Placed(item, context)));
                break;
            case "Text":
                SayOnce(Ipc2581Codes.NotPainted, Severity.Note, item.Offset, "Text is not painted; if it belongs to the layer, export it as lines.");
                break;
            case "Xform" or "Location" or "LineDesc" or "LineDescRef" or "FillDesc" or "FillDescRef" or "PinRef" or "Span" or "Attribute" or "SpecRef" or "Property" or "Fill":
                break;
            default:
                PaintPrimitive(item, context);
                break;
        }
    }

    private void PaintEntry(XmlItem reference, Dictionary<string, IpcEntry> dictionary, IpcContext context)
    {
        var id = reference.Text("id") ?? "";
        if (!dictionary.TryGetValue(id, out var entry))
        {
            Say(Ipc2581Codes.Unresolved, reference.Offset, $"No dictionary has an entry '{DiagnosticSink.Shown(id)}', so the shape was left out; export the file again.");
            return;
        }

        if (context.Depth >= limits.MaxDepth || !_inside.Add(entry.Content))
        {
            Say(Ipc2581Codes.HoldsItself, reference.Offset, $"The entry '{DiagnosticSink.Shown(id)}' holds itself, or entries nest too deeply; that part was left out. Export the file again.");
            return;
        }

        PaintAll(entry.Content, context with { UnitMm = entry.UnitMm, Depth = context.Depth + 1 });
        _inside.Remove(entry.Content);
    }

    private void PaintPrimitive(XmlItem item, IpcContext context)
    {
        if (!IpcPrimitives.IsPrimitive(item.Name))
        {
            SayOnce(Ipc2581Codes.NotPainted, Severity.Warning, item.Offset, $"'{DiagnosticSink.Shown(item.Name)}' is no shape that this program knows, and was not painted; check the layer.");
            return;
        }

        if (!_shapes.TryGetValue(item, out var shape))
        {
            shape = Guarded(item.Offset, () => IpcPrimitives.Of(item));
            _shapes.Add(item, shape);
        }

        if (shape is null)
        {
            Say(Ipc2581Codes.BadValue, item.Offset, $"The {item.Name} has a size that is missing, no number, or not above zero; it was left out. Export the file again.");
            return;
        }

        context = Styled(item, Placed(item, context));
        if (context.IsSlot && IpcPrimitives.SlotOf(item, context.UnitMm) is var (center, widthMm))
        {
            Stroke(center, context with { Pen = new IpcPen(widthMm, double.NaN) }, false, false);
            return;
        }

        PaintRegion(shape.Transform(Affine2.Scale(context.UnitMm, context.UnitMm)), context);
    }

    private void PaintContour(XmlItem item, IpcContext context)
    {
        // A contour holds a polygon and its cut-outs; a profile is one too.
        var outer = item.Name == "Polygon" ? item : item.Child("Polygon") ?? item;
        if (Area(outer, context) is not { } shape)
        {
            return;
        }

        if (shape.IsEmpty)
        {
            Say(Ipc2581Codes.BadValue, item.Offset, "A polygon encloses nothing and was left out; if the layer lacks a shape, export the file again.");
            return;
        }

        var holes = new List<Region>();
        foreach (var child in item.Children)
        {
            if (child.Name == "Cutout" && Area(child.Steps.Count > 0 ? child : child.Child("Polygon") ?? child, context) is { IsEmpty: false } hole)
            {
                holes.Add(hole);
            }
        }

        if (holes.Count > 0)
        {
            shape = Guarded(item.Offset, () => RegionBoolean.Difference(shape, RegionBoolean.Union([.. holes]))) ?? Region.Empty;
        }

        if (!ReferenceEquals(outer, item))
        {
            context = Styled(outer, Placed(outer, context));
        }

        PaintRegion(shape, context);
    }

    private Region? Area(XmlItem polygon, in IpcContext context)
    {
        _segments.Clear();
        SayMismatch(IpcPaths.Steps(polygon, context.UnitMm, _segments, out var bad), polygon.Offset);
        if (bad >= 0)
        {
            Say(Ipc2581Codes.BadValue, bad, "A corner of a polygon is no number, so the polygon was left out; export the file again.");
            return null;
        }

        return Guarded(polygon.Offset, () => IpcPaths.Enclosed(_segments));
    }

    private void PaintRegion(Region shape, IpcContext context)
    {
        if (context.Fill == IpcFill.Hollow)
        {
            foreach (var contour in shape.Contours)
            {
                for (var i = 0; i < contour.Count; i++)
                {
                    Stroke(contour.SegmentAt(i), context, false, false);
                }
            }

            return;
        }

        if (context.Fill == IpcFill.Hatched)
        {
            SayOnce(Ipc2581Codes.FillTakenSolid, Severity.Warning, context.Offset, "Areas filled with a hatch or mesh were taken as solid; check the layer.");
        }

        Add(context with { IsDark = context.IsDark ^ (context.Fill == IpcFill.Void) }, shape.Transform(context.Map), null, 0);
    }

    private void PaintLine(XmlItem item, IpcContext context)
    {
        _segments.Clear();
        var (unit, bad, mismatch) = (context.UnitMm, -1, 0.0);
        if (item.Name == "Polyline")
        {
            mismatch = IpcPaths.Steps(item, unit, _segments, out bad);
        }
        else
        {
            var start = new Point2(item.Number("startX") * unit, item.Number("startY") * unit);
            var end = new Point2(item.Number("endX") * unit, item.Number("endY") * unit);
            var center = item.Name == "Arc" ? new Point2(item.Number("centerX") * unit, item.Number("centerY") * unit) : start;
            if (double.IsNaN(start.X + start.Y + end.X + end.Y + center.X + center.Y))
            {
                bad = item.Offset;
            }
            else if (item.Name == "Arc")
            {
                mismatch = IpcPaths.Arc(start, end, center, item.IsTrue("clockwise"), _segments);
            }
            else
            {
                _segments.Add(new Segment(start, end, 0));
            }
        }

        SayMismatch(mismatch, item.Offset);
        if (bad >= 0)
        {
            Say(Ipc2581Codes.BadValue, bad, $"An end of a {item.Name} is missing or no number, so it was left out; export the file again.");
            return;
        }

        var path = _segments.ToArray();
        var isLoop = path.Length > 1 && path[0].Start == path[^1].End;
        for (var i = 0; i < path.Length; i++)
        {
            Stroke(path[i], context, i == 0 && !isLoop, i == path.Length - 1 && !isLoop);
        }
    }

    private void Stroke(Segment segment, in IpcContext context, bool hasStart, bool hasEnd)
    {
        var pen = context.Pen;
        var shape = Guarded(context.Offset, () => IpcPaths.Stroke(segment, pen.WidthMm, pen.ReachMm, hasStart, hasEnd)) ?? Region.Empty;
        var map = context.Map;
        var center = new Segment(map.Apply(segment.Start), map.Apply(segment.End), map.Determinant < 0 ? -segment.Bulge : segment.Bulge);
        Add(context with { Kind = PaintKind.Stroke }, shape.Transform(map), center, pen.WidthMm * Math.Sqrt(Math.Abs(map.Determinant)));
    }

    // Lines and fills that a parent names hold for its children too.
    private IpcContext Styled(XmlItem item, IpcContext context)
    {
        foreach (var child in item.Children)
        {
            context = child.Name switch
            {
                "LineDesc" => context with { Pen = IpcPen.Of(child, context.UnitMm) },
                "FillDesc" => context with { Fill = FillOf(child) },
                "LineDescRef" when Look(child, Tables.Lines) is { } entry => context with { Pen = IpcPen.Of(Inner(entry.Content, "LineDesc"), entry.UnitMm) },
                "FillDescRef" when Look(child, Tables.Fills) is { } entry => context with { Fill = FillOf(Inner(entry.Content, "FillDesc")) },
                _ => context,
            };
        }

        return context;
    }

    private static XmlItem Inner(XmlItem entry, string name) => entry.Child(name) ?? entry;

    private static IpcFill FillOf(XmlItem fill) => fill.Text("fillProperty") switch
    {
        "HOLLOW" => IpcFill.Hollow,
        "VOID" => IpcFill.Void,
        "HATCH" or "MESH" => IpcFill.Hatched,
        _ => IpcFill.Solid,
    };

    private IpcEntry? Look(XmlItem reference, Dictionary<string, IpcEntry> dictionary)
    {
        var id = reference.Text("id") ?? "";
        if (dictionary.TryGetValue(id, out var entry))
        {
            return entry;
        }

        Say(Ipc2581Codes.Unresolved, reference.Offset, $"No dictionary has a line or fill '{DiagnosticSink.Shown(id)}', so lines that use it cover nothing and areas are filled; export the file again.");
        return null;
    }

    private IpcContext Placed(XmlItem item, IpcContext context)
    {
        var (location, xform) = (item.Child("Location"), item.Child("Xform"));
        if (location is null && xform is null)
        {
            return context;
        }

        var map = IpcXform.Of(xform, context.UnitMm, document.TurnsBeforeMirroring);
        if (location is not null)
        {
            var (x, y) = (location.Number("x") * context.UnitMm, location.Number("y") * context.UnitMm);
            if (double.IsNaN(x) || double.IsNaN(y))
            {
                Say(Ipc2581Codes.BadValue, location.Offset, "A place is missing a number, so 0 was taken; export the file again.");
            }

            map = Affine2.Translation(double.IsNaN(x) ? 0 : x, double.IsNaN(y) ? 0 : y) * map;
        }

        return context with { Map = context.Map * map };
    }

    private void Add(in IpcContext context, Region shape, Segment? center, double penMm)
    {
        var box = shape.IsEmpty && center is { } line ? line.Bounds : shape.Bounds;
        var far = limits.MaxCoordinateMm;
        if (!box.IsEmpty && !(box.MinX >= -far && box.MinY >= -far && box.MaxX <= far && box.MaxY <= far))
        {
            Say(Ipc2581Codes.FarAway, context.Offset, "A shape lies further out than any board and was left out; check the unit of the file.");
            return;
        }

        foreach (var contour in shape.Contours)
        {
            _vertices += contour.Count;
        }

        if (_objects.Count >= limits.MaxObjects || _vertices > limits.MaxVertices)
        {
            Fill(context.Offset);
            return;
        }

        _objects.Add(new PaintedObject
        {
            Kind = context.Kind,
            IsDark = context.IsDark,
            Shape = shape,
            SourceOffset = context.Offset,
            CenterLine = center,
            PenWidthMm = penMm,
            ApertureFunction = context.Function,
            Component = context.Component,
            Pin = context.Pin,
            Net = context.Net,
        });
    }

    // Entries that hold entries grow without painting anything; so steps are counted too.
    private bool Spend(int offset)
    {
        if ((++_work & (CancellationInterval - 1)) == 0)
        {
            cancellationToken.ThrowIfCancellationRequested();
        }

        if (_work > 4L * limits.MaxObjects)
        {
            Fill(offset);
        }

        return !_isFull;
    }

    private void Fill(int offset)
    {
        if (!_isFull)
        {
            _isFull = true;
            Say(Ipc2581Codes.LimitReached, offset, "Entries and repeated steps make more objects than this program accepts; the rest was not painted. Export one copy of the board.");
        }
    }

    private Region? Guarded(int offset, Func<Region?> make)
    {
        try
        {
            return make();
        }
        catch (InvalidOperationException)
        {
            Say(Ipc2581Codes.ShapeUnresolved, offset, "A shape could not be resolved and was left out; simplify it or report the file.");
            return Region.Empty;
        }
    }

    private void SayMismatch(double mismatchMm, int offset)
    {
        if (mismatchMm > IpcPaths.ArcToleranceMm)
        {
            SayOnce(Ipc2581Codes.BadValue, Severity.Warning, offset, "An arc's ends are not equally far from its centre; the radius was evened out, so check the shape.");
        }
    }

    private void Say(string code, int offset, string message) => sink.Error(code, document.Source.PlaceOf(offset), message);

    private void SayOnce(string code, Severity severity, int offset, string message)
    {
        if (sink.IsFirst(message))
        {
            sink.Add(code, severity, document.Source.PlaceOf(offset), message);
        }
    }
}
