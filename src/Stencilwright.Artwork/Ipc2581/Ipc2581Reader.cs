using System.Collections.Immutable;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Reads IPC-2581, revisions A, B and C.</summary>
/// <remarks>
/// The names of elements and attributes are those of the open standard, written from memory; what had to be assumed is listed in
/// docs/formats/ipc-2581.md. Namespaces and prefixes are not looked at.
/// </remarks>
public static class Ipc2581Reader
{
    /// <summary>Reads a file; never throws for what it holds.</summary>
    /// <param name="source">Name and bytes.</param>
    /// <param name="limits">Bounds on what is read.</param>
    /// <param name="cancellationToken">Ends the reading early.</param>
    /// <returns>The document as far as it could be read, and diagnostics ART340 to ART358. None when it is no IPC-2581.</returns>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static Outcome<Ipc2581Document> Read(SourceText source, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(source);
        var sink = new DiagnosticSink(source.Name, limits.MaxDiagnostics, Ipc2581Codes.MoreLeftOut);
        var root = XmlItemLoader.Load(source, limits, sink, cancellationToken);
        Ipc2581Document? document = null;
        if (root is not { Name: "IPC-2581" })
        {
            sink.Error(Ipc2581Codes.NotIpc2581, root is null ? sink.Whole : source.PlaceOf(root.Offset), "The file has no IPC-2581 element at its root; check that it is an IPC-2581 file.");
        }
        else
        {
            document = new Ipc2581Builder(source, root, sink).Build();
        }

        return new Outcome<Ipc2581Document>(document, sink.ToImmutable());
    }
}

/// <summary>Sorts the elements of a file into tables.</summary>
internal sealed class Ipc2581Builder(SourceText source, XmlItem root, DiagnosticSink sink)
{
    private readonly IpcTables _tables = new();
    private readonly List<string> _stepOrder = [];
    private readonly List<XmlItem> _layerItems = [];
    private string? _wantedStep;
    private ArtworkUnit _unit;
    private bool _hasUnit;

    public Ipc2581Document Build()
    {
        foreach (var part in root.Children)
        {
            switch (part.Name)
            {
                case "Content":
                    ReadContent(part);
                    break;
                case "Bom":
                    ReadBom(part);
                    break;
                case "Ecad":
                    ReadEcad(part);
                    break;
                default:
                    break;
            }
        }

        var step = MainStep();
        if (step is null)
        {
            sink.Error(Ipc2581Codes.NoStep, source.PlaceOf(root.Offset), "The file holds no step, so there is no board in it; export it with its design data (Ecad).");
        }
        else if (!_hasUnit)
        {
            sink.Warn(Ipc2581Codes.NoUnit, source.PlaceOf(root.Offset), "The file does not say in which unit its design data is (CadHeader units); millimetres were taken, so check a known distance.");
        }

        var hasProfile = step?.Profile is not null || (step is not null && step.Repeats.Exists(r => _tables.Steps.GetValueOrDefault(r.Text("stepRef") ?? "")?.Profile is not null));
        if (step is not null && !hasProfile)
        {
            sink.Note(Ipc2581Codes.NoProfile, source.PlaceOf(step.Item.Offset), "The step has no profile, so the board's edge must come from a layer or another file.");
        }

        var document = new Ipc2581Document(source, _tables)
        {
            Revision = root.Text("revision") ?? "",
            Unit = _unit,
            Layers = Layers(),
            Steps = [.. _stepOrder],
            Step = step?.Name ?? "",
            HasProfile = hasProfile,
        };
        foreach (var each in _stepOrder.Select(s => _tables.Steps[s]).Where(s => s.Components.Count > 0))
        {
            (document.TurnsBeforeMirroring, document.MirrorsBottomParts, document.TurnIsAssumed) = new IpcPartPlacer(document, each).Reading();
            break;
        }

        return document;
    }

    private void ReadContent(XmlItem content)
    {
        foreach (var item in content.Children)
        {
            switch (item.Name)
            {
                case "StepRef":
                    _wantedStep ??= item.Text("name");
                    break;
                case "DictionaryStandard":
                    ReadDictionary(item, _tables.Standard);
                    break;
                case "DictionaryUser":
                    ReadDictionary(item, _tables.User);
                    break;
                case "DictionaryLineDesc":
                    ReadDictionary(item, _tables.Lines);
                    break;
                case "DictionaryFillDesc":
                    ReadDictionary(item, _tables.Fills);
                    break;
                default:
                    break;
            }
        }
    }

    private void ReadDictionary(XmlItem dictionary, Dictionary<string, IpcEntry> into)
    {
        var unit = UnitOf(dictionary, out _) ?? 1;
        foreach (var entry in dictionary.Children)
        {
            if (entry.Text("id") is not { Length: > 0 } id || entry.Children.Count == 0)
            {
                sink.Warn(Ipc2581Codes.BadValue, source.PlaceOf(entry.Offset), "An entry of a dictionary has no name or no content and was left out; export the file again.");
            }
            else if (!into.TryAdd(id, new IpcEntry(entry, unit)))
            {
                sink.Warn(Ipc2581Codes.BadValue, source.PlaceOf(entry.Offset), $"The entry '{DiagnosticSink.Shown(id)}' is there twice; the first was kept.");
            }
        }
    }

    private double? UnitOf(XmlItem item, out ArtworkUnit unit)
    {
        unit = ArtworkUnit.Millimetre;
        switch (item.Text("units"))
        {
            case "MILLIMETER" or "MM":
                return 1;
            case "MICRON":
                return 0.001;
            case "INCH":
                unit = ArtworkUnit.Inch;
                return Lengths.MillimetresPerInch;
            case { } other:
                sink.Warn(Ipc2581Codes.NoUnit, source.PlaceOf(item.Offset), $"The unit '{DiagnosticSink.Shown(other)}' is none of MILLIMETER, MICRON and INCH; millimetres were taken, so check a known distance.");
                return null;
            default:
                return null;
        }
    }

    // The value stands among the characteristics of an item; which name it has depends on the exporter.
    private void ReadBom(XmlItem bom)
    {
        foreach (var item in bom.Children)
        {
            if (item.Name != "BomItem" || item.Child("Characteristics") is not { } characteristics)
            {
                continue;
            }

            string? value = null;
            foreach (var one in characteristics.Children)
            {
                var name = one.Text("textualCharacteristicName") ?? one.Text("definitionSource") ?? "";
                if (one.Name == "Textual" && (name.Equals("value", StringComparison.OrdinalIgnoreCase) || name.Equals("val", StringComparison.OrdinalIgnoreCase)))
                {
                    value ??= one.Text("textualCharacteristicValue");
                }
            }

            foreach (var reference in item.Children)
            {
                if (value is { Length: > 0 } && reference.Name == "RefDes" && reference.Text("name") is { Length: > 0 } name)
                {
                    _tables.Values.TryAdd(name, value);
                }
            }
        }
    }

    private void ReadEcad(XmlItem ecad)
    {
        foreach (var part in ecad.Children)
        {
            if (part.Name == "CadHeader")
            {
                var unit = UnitOf(part, out _unit);
                _hasUnit |= part.Text("units") is not null;
                _tables.UnitMm = unit ?? 1;
            }
            else if (part.Name == "CadData")
            {
                foreach (var item in part.Children)
                {
                    if (item.Name == "Layer")
                    {
                        _layerItems.Add(item);
                    }
                    else if (item.Name == "Step")
                    {
                        ReadStep(item);
                    }
                }
            }
        }
    }

    private void ReadStep(XmlItem item)
    {
        var name = item.Text("name") ?? "";
        var step = new IpcStep(name, item);
        if (!_tables.Steps.TryAdd(name, step))
        {
            sink.Warn(Ipc2581Codes.BadValue, source.PlaceOf(item.Offset), $"The step '{DiagnosticSink.Shown(name)}' is there twice; the first was kept.");
            return;
        }

        _stepOrder.Add(name);
        foreach (var child in item.Children)
        {
            switch (child.Name)
            {
                case "Profile":
                    step.Profile ??= child;
                    break;
                case "Datum":
                    (step.DatumX, step.DatumY) = (OrZero(child.Number("x")), OrZero(child.Number("y")));
                    break;
                case "StepRepeat":
                    step.Repeats.Add(child);
                    break;
                case "Package" when child.Text("name") is { } package:
                    step.Packages.TryAdd(package, child);
                    break;
                case "Component":
                    step.Components.Add(child);
                    break;
                case "PadStackDef" when child.Text("name") is { } padstack:
                    step.Padstacks.TryAdd(padstack, child);
                    break;
                case "PadStack":
                    ReadPadstack(child, step);
                    break;
                case "LogicalNet":
                    ReadNet(child, step);
                    break;
                case "LayerFeature":
                    SetsOf(step, child.Text("layerRef") ?? "").AddRange(child.Children.Where(c => c.Name == "Set"));
                    break;
                default:
                    break;
            }
        }
    }

    private static double OrZero(double number) => double.IsNaN(number) ? 0 : number;

    private static List<XmlItem> SetsOf(IpcStep step, string layer)
    {
        if (!step.Sets.TryGetValue(layer, out var sets))
        {
            step.Sets.Add(layer, sets = []);
        }

        return sets;
    }

    // Revision A: pads of all layers together, each naming its own; holes go to the layers they name, else to every drill layer.
    private void ReadPadstack(XmlItem padstack, IpcStep step)
    {
        foreach (var child in padstack.Children)
        {
            if (child.Name == "LayerPad" && child.Text("layerRef") is { } layer)
            {
                SetsOf(step, layer).Add(Wrapped(padstack, child));
            }
            else if (child.Name == "LayerHole")
            {
                foreach (var drill in _layerItems.Where(l => l.Text("layerFunction") is "DRILL"))
                {
                    SetsOf(step, drill.Text("name") ?? "").Add(Wrapped(padstack, child));
                }
            }
        }
    }

    private static XmlItem Wrapped(XmlItem padstack, XmlItem child)
    {
        var set = new XmlItem("Set", child.Offset, padstack.Text("net") is { } net ? [("net", net)] : []);
        set.Add(child);
        return set;
    }

    private static void ReadNet(XmlItem net, IpcStep step)
    {
        foreach (var pin in net.Children)
        {
            if (pin.Name == "PinRef" && pin.Text("componentRef") is { } component && pin.Text("pin") is { } name && net.Text("name") is { } text)
            {
                step.Nets.TryAdd((component, name), text);
            }
        }
    }

    private IpcStep? MainStep()
    {
        if (_wantedStep is not null && _tables.Steps.TryGetValue(_wantedStep, out var wanted))
        {
            return wanted;
        }

        var repeated = new HashSet<string>(StringComparer.Ordinal);
        foreach (var step in _tables.Steps.Values)
        {
            repeated.UnionWith(step.Repeats.Select(r => r.Text("stepRef") ?? ""));
        }

        var main = _stepOrder.Find(s => !repeated.Contains(s)) ?? (_stepOrder.Count > 0 ? _stepOrder[0] : null);
        return main is null ? null : _tables.Steps[main];
    }

    private ImmutableArray<Ipc2581Layer> Layers()
    {
        var painted = new HashSet<string>(StringComparer.Ordinal);
        foreach (var step in _tables.Steps.Values)
        {
            painted.UnionWith(step.Sets.Where(s => s.Value.Count > 0).Select(s => s.Key));
        }

        var layers = ImmutableArray.CreateBuilder<Ipc2581Layer>();
        var known = new HashSet<string>(StringComparer.Ordinal);
        foreach (var item in _layerItems)
        {
            if (item.Text("name") is { } name && known.Add(name))
            {
                layers.Add(IpcLayerWords.Layer(item, name, painted.Contains(name)));
            }
        }

        foreach (var name in painted.Order(StringComparer.Ordinal).Where(known.Add))
        {
            sink.Warn(Ipc2581Codes.UndeclaredLayer, sink.Whole, $"Features are drawn on the layer '{DiagnosticSink.Shown(name)}', which the file does not declare, so its function is not known; give it a role if it is needed.");
            layers.Add(new Ipc2581Layer(name, "", Ipc2581Side.None, false, [], true));
        }

        return layers.ToImmutable();
    }
}

/// <summary>The standard's words for layers, in those of the Gerber attribute.</summary>
internal static class IpcLayerWords
{
    public static Ipc2581Layer Layer(XmlItem item, string name, bool hasFeatures)
    {
        var function = (item.Text("layerFunction") ?? "").ToUpperInvariant();
        var side = (item.Text("side") ?? "").ToUpperInvariant() switch
        {
            "TOP" => Ipc2581Side.Top,
            "BOTTOM" => Ipc2581Side.Bottom,
            "INTERNAL" => Ipc2581Side.Internal,
            "BOTH" or "ALL" => Ipc2581Side.Both,
            _ => Ipc2581Side.None,
        };
        var isNegative = "NEGATIVE".Equals(item.Text("polarity"), StringComparison.OrdinalIgnoreCase);
        return new Ipc2581Layer(name, function, side, isNegative, FileFunction(function, side), hasFeatures);
    }

    private static ImmutableArray<string> FileFunction(string function, Ipc2581Side side)
    {
        var sided = side switch { Ipc2581Side.Top => "Top", Ipc2581Side.Bottom => "Bot", _ => "" };
        return function switch
        {
            "SOLDERPASTE" or "PASTEMASK" when sided.Length > 0 => ["Paste", sided],
            "SOLDERMASK" when sided.Length > 0 => ["Soldermask", sided],
            "SILKSCREEN" or "LEGEND" when sided.Length > 0 => ["Legend", sided],
            "CONDUCTOR" or "SIGNAL" or "PLANE" or "MIXED" or "CONDFILM" or "CONDFOIL" or "CONDUCTIVE_ADHESIVE" => ["Copper", "L1", sided.Length > 0 ? sided : "Inr"],
            "BOARD_OUTLINE" => ["Profile", "NP"],
            "DRILL" => ["Plated", "1", "2", "PTH"],
            "ROUT" => ["NonPlated", "1", "2", "NPTH", "Rout"],
            "GLUE" when sided.Length > 0 => ["Glue", sided],
            _ => [],
        };
    }
}
