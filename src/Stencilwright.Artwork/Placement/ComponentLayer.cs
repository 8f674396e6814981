using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Placement;

/// <summary>Makes a placement list of a Gerber component layer.</summary>
/// <remarks>Source: Gerber Layer Format Specification, 2021.02, 6.9 (component information) and 5.6 (attributes).</remarks>
public static class ComponentLayer
{
    // Which outline tells a part's box best: its body, the room it needs, its pads, its leads.
    private static readonly string[] _outlines = ["Body", "Courtyard", "Footprint", "Lead2Lead"];

    /// <summary>The parts of a painted component layer.</summary>
    /// <param name="image">As painted; its objects carry the attributes.</param>
    /// <param name="limits">Bounds on diagnostics.</param>
    /// <returns>The parts with pins and box, and diagnostics ART320 to ART322. No list when there is no part.</returns>
    public static Outcome<PlacementList> From(LayerImage image, ReadLimits limits)
    {
        ArgumentNullException.ThrowIfNull(image);
        var sink = new DiagnosticSink(image.Source.Name, limits.MaxDiagnostics, PlacementCodes.MoreLeftOut);
        var parts = new Dictionary<string, Draft>(StringComparer.Ordinal);
        var order = new List<Draft>();
        foreach (var painted in image.Objects)
        {
            if (painted.ApertureFunction?.StartsWith("Component", StringComparison.Ordinal) != true)
            {
                continue;
            }

            if (painted.Component is not { } reference)
            {
                if (sink.IsFirst("pin without part"))
                {
                    sink.Warn(PlacementCodes.PinWithoutPart, image.Source.PlaceOf(painted.SourceOffset), "A component's pin or outline names no part (.C or .P), so it was left out, and so are others like it; export the component layer again.");
                }

                continue;
            }

            if (!parts.TryGetValue(reference, out var draft))
            {
                draft = new Draft(reference, painted.SourceOffset);
                parts.Add(reference, draft);
                order.Add(draft);
            }

            draft.Take(painted);
        }

        var list = Finish(image, order, sink);
        if (list.IsEmpty)
        {
            sink.Error(PlacementCodes.NotComponentLayer, sink.Whole, "There is no part in the layer (no flash of the aperture function ComponentMain); give a component layer.");
        }

        var value = list.IsEmpty ? null : new PlacementList { Source = image.Source, Format = ArtworkFormat.Gerber, Unit = image.Unit, Parts = list };
        return new Outcome<PlacementList>(value, sink.ToImmutable());
    }

    private static ImmutableArray<PlacedPart> Finish(LayerImage image, List<Draft> order, DiagnosticSink sink)
    {
        var isTop = SideOf(image);
        var result = ImmutableArray.CreateBuilder<PlacedPart>(order.Count);
        foreach (var draft in order)
        {
            if (draft.Main is not { } main)
            {
                sink.Warn(PlacementCodes.PartWithoutCentre, image.Source.PlaceOf(draft.Offset), $"'{DiagnosticSink.Shown(Plain(draft.Reference))}' has pins or an outline but no middle (a flash of ComponentMain), so it was left out; export the component layer again.");
                continue;
            }

            result.Add(new PlacedPart
            {
                Reference = Plain(draft.Reference),
                At = main.At,
                RotationDeg = main.Attributes.TryGetValue(".CRot", out var text) && double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var degrees) && double.IsFinite(degrees) ? degrees : null,
                IsTop = isTop,
                Value = Text(main, ".CVal"),
                Package = Text(main, ".CFtp") ?? Text(main, ".CPgN"),
                Pins = draft.Pins.ToImmutable(),
                Box = draft.Box(),
                Place = image.Source.PlaceOf(draft.MainOffset),
            });
        }

        return result.ToImmutable();
    }

    private static bool? SideOf(LayerImage image)
    {
        if (!image.FileAttributes.TryGetValue(".FileFunction", out var function) || function is not ["Component", ..])
        {
            return null;
        }

        return function[^1] switch { "Top" => true, "Bot" => false, _ => null };
    }

    private static string? Text(ComponentMark mark, string name) => mark.Attributes.TryGetValue(name, out var text) && text.Length > 0 ? Plain(text) : null;

    // A backslash, u and four hexadecimal digits stand for a character that fields may not hold (3.4.3).
    private static string Plain(string text)
    {
        if (!text.Contains("\\u", StringComparison.Ordinal))
        {
            return text;
        }

        var plain = new StringBuilder(text.Length);
        for (var i = 0; i < text.Length; i++)
        {
            if (text[i] == '\\' && i + 5 < text.Length && text[i + 1] == 'u'
                && ushort.TryParse(text.AsSpan(i + 2, 4), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var code))
            {
                plain.Append((char)code);
                i += 5;
            }
            else
            {
                plain.Append(text[i]);
            }
        }

        return plain.ToString();
    }

    private sealed class Draft(string reference, int offset)
    {
        private readonly Bounds2[] _boxes = [Bounds2.Empty, Bounds2.Empty, Bounds2.Empty, Bounds2.Empty];

        public string Reference => reference;

        public int Offset => offset;

        public ComponentMark? Main { get; private set; }

        public int MainOffset { get; private set; }

        public ImmutableArray<PlacedPin>.Builder Pins { get; } = ImmutableArray.CreateBuilder<PlacedPin>();

        public void Take(PaintedObject painted)
        {
            var function = painted.ApertureFunction!;
            if (function == "ComponentMain")
            {
                if (Main is null && painted.Mark is not null)
                {
                    (Main, MainOffset) = (painted.Mark, painted.SourceOffset);
                }
            }
            else if (function == "ComponentPin")
            {
                if (painted.Mark is { } mark)
                {
                    Pins.Add(new PlacedPin(Plain(painted.Pin ?? ""), mark.At));
                }
            }
            else if (Array.FindIndex(_outlines, o => function.EndsWith(o, StringComparison.Ordinal)) is >= 0 and var kind)
            {
                _boxes[kind] = Bounds2.Union(_boxes[kind], painted.CenterLine?.Bounds ?? painted.Shape.Bounds);
            }
        }

        public Bounds2? Box() => Array.FindIndex(_boxes, b => !b.IsEmpty) is >= 0 and var kind ? _boxes[kind] : null;
    }
}
