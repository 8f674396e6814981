using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>How a stroke ends.</summary>
internal enum SvgCap
{
    Butt,
    Round,
    Square,
}

/// <summary>How a stroke goes round a corner.</summary>
internal enum SvgJoin
{
    Miter,
    Round,
    Bevel,
}

/// <summary>The properties in force at an element.</summary>
internal sealed record SvgStyle
{
    /// <summary>CSS's initial values.</summary>
    public static SvgStyle Initial { get; } = new();

    public SvgPaint Color { get; init; } = SvgPaint.Dark;

    public SvgPaint Fill { get; init; } = SvgPaint.Dark;

    public double FillOpacity { get; init; } = 1;

    public FillRule FillRule { get; init; } = FillRule.NonZero;

    public SvgPaint Stroke { get; init; } = SvgPaint.None;

    public double StrokeOpacity { get; init; } = 1;

    /// <summary>User units; may be 0 or less, which paints a line of no width.</summary>
    public double StrokeWidth { get; init; } = 1;

    public SvgCap Cap { get; init; } = SvgCap.Butt;

    public SvgJoin Join { get; init; } = SvgJoin.Miter;

    public double MiterLimit { get; init; } = 4;

    /// <summary>Dash, gap, dash, gap …, user units, not all zero; empty for an unbroken line.</summary>
    public ImmutableArray<double> Dashes { get; init; } = [];

    /// <summary>How far into the pattern a line begins, user units.</summary>
    public double DashOffset { get; init; }

    /// <summary>The rule inside clipping paths.</summary>
    public FillRule ClipRule { get; init; } = FillRule.NonZero;

    /// <summary>The clipping path as written; null for none. Not inherited.</summary>
    public string? ClipPath { get; init; }

    public bool IsVisible { get; init; } = true;

    /// <summary>Not inherited.</summary>
    public bool IsDisplayed { get; init; } = true;

    /// <summary>Of this element alone; not inherited.</summary>
    public double Opacity { get; init; } = 1;

    /// <summary>The style a child starts from.</summary>
    public SvgStyle ForChild() => IsDisplayed && Opacity == 1 && ClipPath is null ? this : this with { IsDisplayed = true, Opacity = 1, ClipPath = null };
}

/// <summary>Works out an element's style: presentation attributes, then rules by weight, then its own style attribute.</summary>
internal sealed class SvgStyler(SvgStyleSheet sheet, SvgDiagnosticSink sink)
{
    private static readonly string[] _presentation =
    [
        "color", "fill", "fill-opacity", "fill-rule", "stroke", "stroke-opacity", "stroke-width", "stroke-linecap",
        "stroke-linejoin", "stroke-miterlimit", "stroke-dasharray", "stroke-dashoffset", "visibility", "display", "opacity", "clip-path", "clip-rule",
        "mask", "filter", "marker-start", "marker-mid", "marker-end",
    ];

    /// <summary>The rules of the document's style elements.</summary>
    public SvgStyleSheet Sheet => sheet;

    /// <summary>The style of an element below a parent.</summary>
    public SvgStyle Of(SvgElement element, SvgStyle parent, SvgBox viewport)
    {
        var style = parent.ForChild();
        var inherited = style;
        foreach (var (name, value) in element.Attributes)
        {
            if (Array.IndexOf(_presentation, name) >= 0)
            {
                style = Apply(style, inherited, name, value, element, viewport);
            }
        }

        foreach (var (name, value) in sheet.DeclarationsFor(element))
        {
            style = Apply(style, inherited, name, value, element, viewport);
        }

        if (element.Attribute("style") is { } own)
        {
            foreach (var (name, value) in SvgStyleSheet.Declarations(own))
            {
                style = Apply(style, inherited, name, value, element, viewport);
            }
        }

        return style;
    }

    private SvgStyle Apply(SvgStyle style, SvgStyle inherited, string name, string value, SvgElement element, SvgBox viewport)
    {
        if (value == "inherit")
        {
            return Inherit(style, inherited, name);
        }

        switch (name)
        {
            case "color":
                return style with { Color = Paint(value, inherited.Color, style.Color, name, element) };
            case "fill":
                return style with { Fill = Paint(value, style.Color, style.Fill, name, element) };
            case "stroke":
                return style with { Stroke = Paint(value, style.Color, style.Stroke, name, element) };
            case "fill-opacity":
                return style with { FillOpacity = Opacity(value, style.FillOpacity, name, element) };
            case "stroke-opacity":
                return style with { StrokeOpacity = Opacity(value, style.StrokeOpacity, name, element) };
            case "opacity":
                return style with { Opacity = Opacity(value, style.Opacity, name, element) };
            case "fill-rule":
                return style with { FillRule = value == "evenodd" ? FillRule.EvenOdd : FillRule.NonZero };
            case "stroke-width":
                return SvgUnits.TryLength(value, viewport, SvgAxis.Diagonal, out var width)
                    ? style with { StrokeWidth = width }
                    : Bad(style, name, value, element);
            case "stroke-linecap":
                return style with { Cap = value switch { "round" => SvgCap.Round, "square" => SvgCap.Square, _ => SvgCap.Butt } };
            case "stroke-linejoin":
                return style with { Join = value switch { "round" => SvgJoin.Round, "bevel" => SvgJoin.Bevel, _ => SvgJoin.Miter } };
            case "stroke-miterlimit":
                return SvgUnits.TryLength(value, viewport, SvgAxis.Diagonal, out var limit) && limit >= 1
                    ? style with { MiterLimit = limit }
                    : Bad(style, name, value, element);
            case "stroke-dasharray":
                return SvgDashes.Parse(value, viewport) is { } dashes ? style with { Dashes = dashes } : Bad(style, name, value, element);
            case "stroke-dashoffset":
                return SvgUnits.TryLength(value, viewport, SvgAxis.Diagonal, out var offset)
                    ? style with { DashOffset = offset }
                    : Bad(style, name, value, element);
            case "clip-path":
                return style with { ClipPath = value.Trim() is "none" or "" ? null : value };
            case "clip-rule":
                return style with { ClipRule = value == "evenodd" ? FillRule.EvenOdd : FillRule.NonZero };
            case "mask" or "filter" or "marker" or "marker-start" or "marker-mid" or "marker-end":
                return value == "none" ? style : NotApplied(style, name, element);
            case "visibility":
                return style with { IsVisible = value is not ("hidden" or "collapse") };
            case "display":
                return style with { IsDisplayed = value != "none" };
            default:
                return style;
        }
    }

    private static SvgStyle Inherit(SvgStyle style, SvgStyle from, string name) => name switch
    {
        "color" => style with { Color = from.Color },
        "fill" => style with { Fill = from.Fill },
        "stroke" => style with { Stroke = from.Stroke },
        "fill-opacity" => style with { FillOpacity = from.FillOpacity },
        "stroke-opacity" => style with { StrokeOpacity = from.StrokeOpacity },
        "fill-rule" => style with { FillRule = from.FillRule },
        "stroke-width" => style with { StrokeWidth = from.StrokeWidth },
        "stroke-linecap" => style with { Cap = from.Cap },
        "stroke-linejoin" => style with { Join = from.Join },
        "stroke-miterlimit" => style with { MiterLimit = from.MiterLimit },
        "stroke-dasharray" => style with { Dashes = from.Dashes },
        "stroke-dashoffset" => style with { DashOffset = from.DashOffset },
        "clip-rule" => style with { ClipRule = from.ClipRule },
        "visibility" => style with { IsVisible = from.IsVisible },
        _ => style,
    };

    private SvgPaint Paint(string value, SvgPaint current, SvgPaint before, string name, SvgElement element)
    {
        if (SvgPaints.Parse(value, current, out var isServer) is not { } paint)
        {
            Bad(SvgStyle.Initial, name, value, element);
            return before;
        }

        if (isServer)
        {
            sink.Once("server", SvgCodes.NotSupported, Foundation.Severity.Warning, element.Offset,
                "A gradient or pattern is used as paint; it was taken as solid. Check that the shape is meant to be painted.");
        }

        return paint;
    }

    private double Opacity(string value, double before, string name, SvgElement element)
    {
        var scanner = new SvgScanner(value);
        if (!scanner.TryNumber(out var number))
        {
            Bad(SvgStyle.Initial, name, value, element);
            return before;
        }

        return Math.Clamp(scanner.Rest.Trim() is "%" ? number / 100 : number, 0, 1);
    }

    private SvgStyle NotApplied(SvgStyle unchanged, string name, SvgElement element)
    {
        sink.Once(name, SvgCodes.NotSupported, Foundation.Severity.Warning, element.Offset, $"The property {name} was not applied; export the plot without it if it changes a shape.");
        return unchanged;
    }

    private SvgStyle Bad(SvgStyle unchanged, string name, string value, SvgElement element)
    {
        sink.Warn(SvgCodes.BadValue, element.Offset, $"The property {name} has the value '{SvgText.Short(value)}', which could not be understood and was passed over; correct it.");
        return unchanged;
    }
}

/// <summary>Text of a file, made fit for a message.</summary>
internal static class SvgText
{
    /// <summary>At most forty characters on one line.</summary>
    public static string Short(string text)
    {
        var trimmed = text.Trim();
        Span<char> kept = stackalloc char[Math.Min(trimmed.Length, 40)];
        for (var i = 0; i < kept.Length; i++)
        {
            kept[i] = char.IsControl(trimmed[i]) ? ' ' : trimmed[i];
        }

        return trimmed.Length > 40 ? string.Concat(kept, "…") : new string(kept);
    }
}
