using System.Collections.Immutable;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Lists the parts of an IPC-2581 file, with pins and boxes in board coordinates.</summary>
public static class Ipc2581Parts
{
    /// <summary>The parts of the document's step, repeated steps included.</summary>
    /// <param name="document">As read.</param>
    /// <param name="limits">Bounds.</param>
    /// <param name="cancellationToken">Ends the work early.</param>
    /// <returns>The list, which may be empty, and diagnostics.</returns>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static Outcome<PlacementList> From(Ipc2581Document document, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(document);
        var sink = new DiagnosticSink(document.Source.Name, limits.MaxDiagnostics, Ipc2581Codes.MoreLeftOut);
        var parts = ImmutableArray.CreateBuilder<PlacedPart>();
        new IpcStepWalk(document, limits, sink).Visit((step, map, _) =>
        {
            var placer = new IpcPartPlacer(document, step);
            foreach (var component in step.Components)
            {
                cancellationToken.ThrowIfCancellationRequested();
                if (parts.Count >= limits.MaxObjects)
                {
                    sink.Error(Ipc2581Codes.LimitReached, document.Source.PlaceOf(component.Offset), "Repeated steps make more parts than this program accepts; the rest was left out. Export one copy of the board.");
                    return false;
                }

                if (placer.Place(component, map, limits.MaxCoordinateMm) is { } part)
                {
                    parts.Add(part);
                }
                else
                {
                    sink.Warn(Ipc2581Codes.PartUnplaced, document.Source.PlaceOf(component.Offset), $"The component '{DiagnosticSink.Shown(component.Text("refDes") ?? "")}' has no name or no usable place and was left out; export the file again.");
                }
            }

            return true;
        });

        if (document.TurnIsAssumed)
        {
            sink.Note(Ipc2581Codes.TurnAssumed, sink.Whole, "Parts of the bottom are both mirrored and turned, and no pad with a pin's name shows which comes first; the mirror was taken first. Check the pins of a part on the bottom.");
        }

        var list = new PlacementList { Source = document.Source, Format = ArtworkFormat.Ipc2581, Unit = document.Unit, Parts = parts.ToImmutable() };
        return new Outcome<PlacementList>(list, sink.ToImmutable());
    }
}

/// <summary>Places the components of a step.</summary>
internal sealed class IpcPartPlacer
{
    private const double SamePlaceMm = 0.02;
    private const int ComponentsLookedAt = 2000;

    private readonly Ipc2581Document _document;
    private readonly IpcStep _step;
    private readonly double _unitMm;
    private readonly Dictionary<string, Ipc2581Side> _sides = new(StringComparer.Ordinal);
    private readonly Dictionary<string, List<PlacedPin>> _padsByPart = new(StringComparer.Ordinal);
    private readonly List<Segment> _segments = [];

    public IpcPartPlacer(Ipc2581Document document, IpcStep step)
    {
        (_document, _step, _unitMm) = (document, step, document.Tables.UnitMm);
        foreach (var layer in document.Layers)
        {
            _sides.TryAdd(layer.Name, layer.Side);
        }

        foreach (var sets in step.Sets.Values)
        {
            foreach (var set in sets)
            {
                foreach (var pad in set.Children)
                {
                    Collect(pad);
                }
            }
        }
    }

    private void Collect(XmlItem pad)
    {
        if (pad.Name is not ("Pad" or "LayerPad") || pad.Child("PinRef") is not { } pin || pad.Child("Location") is not { } location)
        {
            return;
        }

        var at = new Point2(location.Number("x") * _unitMm, location.Number("y") * _unitMm);
        if (pin.Text("componentRef") is { } component && pin.Text("pin") is { } name && !double.IsNaN(at.X + at.Y))
        {
            if (!_padsByPart.TryGetValue(component, out var pins))
            {
                _padsByPart.Add(component, pins = []);
            }

            if (!pins.Exists(p => p.Name == name))
            {
                pins.Add(new PlacedPin(name, at));
            }
        }
    }

    /// <summary>A part; null when it has no name or no usable place.</summary>
    public PlacedPart? Place(XmlItem component, Affine2 map, double farMm)
    {
        if (component.Text("refDes") is not { Length: > 0 } reference || LocationOf(component) is not { } at)
        {
            return null;
        }

        var center = map.Apply(at);
        if (Math.Abs(center.X) > farMm || Math.Abs(center.Y) > farMm)
        {
            return null;
        }

        var xform = component.Child("Xform");
        var own = map * MapOf(component, at, _document.TurnsBeforeMirroring, _document.MirrorsBottomParts);
        var turn = xform?.Number("rotation") ?? double.NaN;
        var copyDeg = Math.Atan2(map.Yx, map.Xx) * 180 / Math.PI;
        var package = component.Text("packageRef");
        var item = package is null ? null : _step.Packages.GetValueOrDefault(package);
        return new PlacedPart
        {
            Reference = reference,
            At = center,
            RotationDeg = (double.IsNaN(turn) ? 0 : turn) + copyDeg,
            IsTop = IsTop(component),
            Value = _document.Tables.Values.GetValueOrDefault(reference),
            Package = package,
            Pins = Pins(item, reference, own, map),
            Box = item is null ? null : BoxOf(item, own),
            Place = _document.Source.PlaceOf(component.Offset),
        };
    }

    private Point2? LocationOf(XmlItem component)
    {
        if (component.Child("Location") is not { } location)
        {
            return null;
        }

        var at = new Point2(location.Number("x") * _unitMm, location.Number("y") * _unitMm);
        return double.IsNaN(at.X + at.Y) ? null : at;
    }

    private bool? IsTop(XmlItem component) => _sides.GetValueOrDefault(component.Text("layerRef") ?? "") switch
    {
        Ipc2581Side.Top => true,
        Ipc2581Side.Bottom => false,
        _ => component.Child("Xform")?.IsTrue("mirror") == true ? false : null,
    };

    private Affine2 MapOf(XmlItem component, Point2 at, bool turnsFirst, bool mirrorsBottom)
    {
        var xform = component.Child("Xform");
        var isMirrored = xform?.IsTrue("mirror") == true || (mirrorsBottom && IsTop(component) == false);
        return Affine2.Translation(at.X, at.Y) * IpcXform.Of(xform, _unitMm, turnsFirst, isMirrored);
    }

    private ImmutableArray<PlacedPin> Pins(XmlItem? package, string reference, Affine2 own, Affine2 map)
    {
        var pins = ImmutableArray.CreateBuilder<PlacedPin>();
        foreach (var (name, at) in package is null ? [] : PinsOf(package))
        {
            pins.Add(new PlacedPin(name, own.Apply(at)));
        }

        if (pins.Count == 0 && _padsByPart.TryGetValue(reference, out var pads))
        {
            foreach (var pad in pads)
            {
                pins.Add(pad with { At = map.Apply(pad.At) });
            }
        }

        return pins.ToImmutable();
    }

    private IEnumerable<(string Name, Point2 At)> PinsOf(XmlItem package)
    {
        foreach (var pin in package.Children)
        {
            if (pin.Name == "Pin" && pin.Child("Location") is { } location)
            {
                var at = new Point2(location.Number("x") * _unitMm, location.Number("y") * _unitMm);
                if (!double.IsNaN(at.X + at.Y))
                {
                    yield return (pin.Text("number") ?? pin.Text("name") ?? "", at);
                }
            }
        }
    }

    private Bounds2? BoxOf(XmlItem package, Affine2 map)
    {
        var outline = package.Child("Outline") ?? package.Child("AssemblyDrawing")?.Child("Outline");
        var polygon = outline?.Child("Polygon") ?? outline;
        if (polygon is null || polygon.Steps.Count < 2)
        {
            return null;
        }

        _segments.Clear();
        IpcPaths.Steps(polygon, _unitMm, _segments, out _);
        var box = Bounds2.Empty;
        foreach (var segment in _segments)
        {
            box = Bounds2.Union(box, new Segment(map.Apply(segment.Start), map.Apply(segment.End), map.Determinant < 0 ? -segment.Bulge : segment.Bulge).Bounds);
        }

        return box.IsEmpty ? null : box;
    }

    /// <summary>Which reading of mirror and turn puts the pins of the bottom's parts onto the pads that name them.</summary>
    /// <returns>The best reading, and whether anything spoke for it where readings differ.</returns>
    public (bool TurnsFirst, bool MirrorsBottom, bool IsAssumed) Reading()
    {
        // In order of preference, where the pads speak for several.
        (bool TurnsFirst, bool MirrorsBottom)[] readings = [(false, false), (true, false), (false, true), (true, true)];
        var hits = new int[readings.Length];
        var isDoubtful = false;
        foreach (var component in _step.Components.Where(c => IsTop(c) == false).Take(ComponentsLookedAt))
        {
            if (LocationOf(component) is not { } at || component.Text("packageRef") is not { } name || !_step.Packages.TryGetValue(name, out var package))
            {
                continue;
            }

            var turn = component.Child("Xform")?.Number("rotation") ?? 0;
            isDoubtful |= component.Child("Xform")?.IsTrue("mirror") == true && Math.IEEERemainder(turn, 180) != 0;
            var pads = _padsByPart.GetValueOrDefault(component.Text("refDes") ?? "", []);
            for (var i = 0; i < readings.Length; i++)
            {
                var map = MapOf(component, at, readings[i].TurnsFirst, readings[i].MirrorsBottom);
                hits[i] += PinsOf(package).Count(p => pads.Exists(d => d.Name == p.Name && Point2.Distance(d.At, map.Apply(p.At)) < SamePlaceMm));
            }
        }

        var best = Array.IndexOf(hits, hits.Max());
        return (readings[best].TurnsFirst, readings[best].MirrorsBottom, isDoubtful && hits[0] == hits[1]);
    }
}
