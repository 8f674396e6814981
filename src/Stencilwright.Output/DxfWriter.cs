using Stencilwright.Cutting;
using Stencilwright.Foundation;

namespace Stencilwright.Output;

/// <summary>Writes the cut paths of a sheet as DXF release 12 (AC1009), ASCII, y up, millimetres.</summary>
/// <remarks>
/// Release 12 has no header variable for units; a comment (group 999) at the top says millimetres, and the limits are the
/// blank's size. Paths are POLYLINE entities with bulges. Source: DXF reference, groups 42, 66, 70 and 999.
/// </remarks>
public static class DxfWriter
{
    // Names of release 12 have at most 31 characters, none of them a blank. Source: DXF reference, symbol names of release 12.
    private const int LongestName = 31;

    /// <summary>Writes a sheet.</summary>
    /// <param name="plan">The film or the frame.</param>
    /// <param name="title">Goes into a comment; what is not ASCII becomes a question mark.</param>
    /// <param name="settings">Names of the layers; null takes the default.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite, or a layer's name is none of release 12.</exception>
    public static byte[] Write(SheetPlan plan, string title, JobSettings? settings = null)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(title);
        var layers = new Layers(settings ?? JobSettings.Default);
        var (w, h) = (plan.Blank.WidthMm, plan.Blank.HeightMm);
        var text = new PlainText(64 * 1024);
        Group(text, 999, "Lengths are millimetres");
        Group(text, 999, "Title: " + PlainText.Ascii(title));
        Group(text, 0, "SECTION", 2, "HEADER", 9, "$ACADVER", 1, "AC1009");
        Corner(text, "$EXTMIN", 0, 0);
        Corner(text, "$EXTMAX", w, h);
        Corner(text, "$LIMMIN", 0, 0);
        Corner(text, "$LIMMAX", w, h);
        Group(text, 9, "$LUNITS", 70, "2", 9, "$LUPREC", 70, "6", 0, "ENDSEC");
        Tables(text, layers);
        Group(text, 0, "SECTION", 2, "ENTITIES");
        foreach (var path in plan.Paths.Where(p => !p.IsRepeat))
        {
            Polyline(text, path, layers.Of(path.Kind));
        }

        Begin(text, layers.Blank, isClosed: true);
        Vertex(text, layers.Blank, 0, 0, 0);
        Vertex(text, layers.Blank, w, 0, 0);
        Vertex(text, layers.Blank, w, h, 0);
        Vertex(text, layers.Blank, 0, h, 0);
        Group(text, 0, "SEQEND", 8, layers.Blank, 0, "ENDSEC", 0, "EOF");
        return text.ToBytes();
    }

    /// <summary>Whether release 12 takes a name for a layer: letters, digits, <c>$</c>, <c>-</c> and <c>_</c>.</summary>
    public static bool IsLayerName(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        return name.Length is > 0 and <= LongestName && name.All(c => char.IsAsciiLetterOrDigit(c) || c is '$' or '-' or '_');
    }

    private static void Tables(PlainText text, Layers layers)
    {
        Group(text, 0, "SECTION", 2, "TABLES", 0, "TABLE", 2, "LTYPE", 70, "1", 0, "LTYPE", 2, "CONTINUOUS", 70, "64");
        Group(text, 3, "Solid line", 72, "65", 73, "0", 40, "0.0", 0, "ENDTAB");
        var all = layers.All();
        Group(text, 0, "TABLE", 2, "LAYER", 70, PlainText.Of(all.Count, 0));
        foreach (var (name, colour) in all)
        {
            Group(text, 0, "LAYER", 2, name, 70, "64", 62, PlainText.Of(colour, 0), 6, "CONTINUOUS");
        }

        Group(text, 0, "ENDTAB", 0, "ENDSEC");
    }

    private static void Polyline(PlainText text, CutPath path, string layer)
    {
        Begin(text, layer, path.IsClosed);
        for (var i = 0; i < path.Vertices.Length; i++)
        {
            var v = path.Vertices[i];
            Vertex(text, layer, v.X, v.Y, i < path.SegmentCount ? v.Bulge : 0);
        }

        if (path.Vertices.Length == 1)
        {
            Vertex(text, layer, path.Start.X, path.Start.Y, 0);
        }

        Group(text, 0, "SEQEND", 8, layer);
    }

    private static void Begin(PlainText text, string layer, bool isClosed)
    {
        Group(text, 0, "POLYLINE", 8, layer, 66, "1");
        Group(text, 10, "0.0", 20, "0.0", 30, "0.0", 70, isClosed ? "1" : "0");
    }

    private static void Vertex(PlainText text, string layer, double x, double y, double bulge)
    {
        Group(text, 0, "VERTEX", 8, layer);
        Number(text, 10, x);
        Number(text, 20, y);
        Group(text, 30, "0.0");
        if (bulge != 0)
        {
            // Six decimals of a bulge would move a long shallow arc by micrometres; eleven digits do not.
            text.Add(" 42\n").Add(bulge.ToString("0.###########", System.Globalization.CultureInfo.InvariantCulture)).Add('\n');
        }
    }

    private static void Corner(PlainText text, string name, double x, double y)
    {
        Group(text, 9, name);
        Number(text, 10, x);
        Number(text, 20, y);
    }

    private static void Number(PlainText text, int code, double value) => text.Add(' ').Add(code, 0).Add('\n').Add(value).Add('\n');

    private static void Group(PlainText text, params ReadOnlySpan<object> pairs)
    {
        for (var i = 0; i < pairs.Length; i += 2)
        {
            var code = (int)pairs[i];
            text.Add(code < 10 ? "  " : code < 100 ? " " : "").Add(code, 0).Add('\n').Add((string)pairs[i + 1]).Add('\n');
        }
    }

    private sealed class Layers
    {
        private readonly JobSettings _settings;

        public Layers(JobSettings settings)
        {
            _settings = settings;
            foreach (var (name, _) in All())
            {
                if (!IsLayerName(name))
                {
                    throw new ArgumentException("A layer's name has 1 to 31 letters, digits, $, - and _.", nameof(settings));
                }
            }
        }

        public string Blank => _settings.DxfBlankLayer;

        public string Of(CutKind kind) => kind switch
        {
            CutKind.Score => _settings.DxfScoreLayer,
            CutKind.Pocket => _settings.DxfPocketLayer,
            CutKind.Edge => _settings.DxfEdgeLayer,
            _ => _settings.DxfCutLayer,
        };

        // Each name once: operations may share a layer, and letter case does not tell two layers apart.
        public List<(string Name, int Colour)> All()
        {
            var layers = new List<(string Name, int Colour)>(5);
            foreach (var (name, colour) in (ReadOnlySpan<(string, int)>)
                [(_settings.DxfCutLayer, 6), (_settings.DxfScoreLayer, 30), (_settings.DxfPocketLayer, 4), (_settings.DxfEdgeLayer, 5), (_settings.DxfBlankLayer, 8)])
            {
                if (!layers.Exists(l => string.Equals(l.Name, name, StringComparison.OrdinalIgnoreCase)))
                {
                    layers.Add((name, colour));
                }
            }

            return layers;
        }
    }
}
