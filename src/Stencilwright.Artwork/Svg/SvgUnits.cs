using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>Which side of the viewport a percentage refers to.</summary>
internal enum SvgAxis
{
    Horizontal,
    Vertical,
    Diagonal,
}

/// <summary>A rectangle of user space.</summary>
internal readonly record struct SvgBox(double X, double Y, double Width, double Height);

/// <summary>Lengths, view boxes and transform lists.</summary>
internal static class SvgUnits
{
    /// <summary>Millimetres in a CSS pixel: 96 to the inch (W3C CSS Values and Units, absolute lengths).</summary>
    public const double MillimetresPerPixel = 25.4 / 96;

    // CSS's initial font size; plots that size shapes by type are not worth more.
    private const double PixelsPerEm = 16;

    /// <summary>A length in millimetres when it has a physical unit.</summary>
    /// <param name="text">The attribute.</param>
    /// <param name="lengthMm">Millimetres; pixels are turned at 96 to the inch.</param>
    /// <param name="unit">The unit as written, in lower case; empty for none.</param>
    public static bool TryPhysical(string? text, out double lengthMm, out string unit)
    {
        (lengthMm, unit) = (0, "");
        if (text is null)
        {
            return false;
        }

        var scanner = new SvgScanner(text);
        if (!scanner.TryNumber(out var number))
        {
            return false;
        }

        unit = Fold(scanner.Rest.Trim());
        if (FactorMm(unit) is not { } factor)
        {
            return false;
        }

        lengthMm = number * factor;
        return double.IsFinite(lengthMm);
    }

    /// <summary>A length in user units.</summary>
    public static bool TryLength(string text, SvgBox viewport, SvgAxis axis, out double length)
    {
        var scanner = new SvgScanner(text);
        length = 0;
        if (!scanner.TryNumber(out var number))
        {
            return false;
        }

        var unit = Fold(scanner.Rest.Trim());
        if (unit == "%")
        {
            // W3C SVG, units: a length along neither axis is taken of the normalised diagonal.
            var whole = axis switch
            {
                SvgAxis.Horizontal => viewport.Width,
                SvgAxis.Vertical => viewport.Height,
                _ => Math.Sqrt(((viewport.Width * viewport.Width) + (viewport.Height * viewport.Height)) / 2),
            };
            length = number / 100 * whole;
            return true;
        }

        var factor = unit switch
        {
            "" or "px" => 1,
            "em" or "rem" => PixelsPerEm,
            "ex" or "ch" => PixelsPerEm / 2,
            _ => FactorMm(unit) / MillimetresPerPixel,
        };
        length = number * (factor ?? 0);
        return factor is not null && double.IsFinite(length);
    }

    /// <summary>Four numbers, width and height above 0.</summary>
    public static bool TryViewBox(string? text, out SvgBox box)
    {
        box = default;
        var scanner = new SvgScanner(text);
        if (text is null || !scanner.TryNumber(out var x) || !scanner.TryNumber(out var y)
            || !scanner.TryNumber(out var width) || !scanner.TryNumber(out var height))
        {
            return false;
        }

        box = new SvgBox(x, y, width, height);
        return width > 0 && height > 0;
    }

    /// <summary>The map from a view box into a viewport of a size given in the outer unit.</summary>
    /// <param name="box">The view box.</param>
    /// <param name="width">Viewport width.</param>
    /// <param name="height">Viewport height.</param>
    /// <param name="aspect">The preserveAspectRatio attribute; null for its initial value xMidYMid meet.</param>
    public static Affine2 FitViewBox(SvgBox box, double width, double height, string? aspect)
    {
        var (sx, sy) = (width / box.Width, height / box.Height);
        var words = (aspect ?? "").Split([' ', '\t', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries);
        var first = words.Length > 0 && words[0] == "defer" ? 1 : 0;
        var align = words.Length > first ? words[first] : "xMidYMid";
        if (align == "none")
        {
            return new Affine2(sx, 0, -box.X * sx, 0, sy, -box.Y * sy);
        }

        var slice = words.Length > first + 1 && words[first + 1] == "slice";
        var scale = slice ? Math.Max(sx, sy) : Math.Min(sx, sy);
        var shareX = align.StartsWith("xMin", StringComparison.Ordinal) ? 0 : align.StartsWith("xMax", StringComparison.Ordinal) ? 1 : 0.5;
        var shareY = align.EndsWith("YMin", StringComparison.Ordinal) ? 0 : align.EndsWith("YMax", StringComparison.Ordinal) ? 1 : 0.5;
        return new Affine2(
            scale, 0, ((width - (box.Width * scale)) * shareX) - (box.X * scale),
            0, scale, ((height - (box.Height * scale)) * shareY) - (box.Y * scale));
    }

    /// <summary>A transform list; what stands before a fault is kept.</summary>
    /// <returns>False when the list has a fault.</returns>
    public static bool TryTransform(string text, out Affine2 map)
    {
        map = Affine2.Identity;
        var scanner = new SvgScanner(text);
        Span<double> numbers = stackalloc double[6];
        while (true)
        {
            scanner.SkipSeparator();
            if (scanner.AtEnd)
            {
                return true;
            }

            var open = scanner.Rest.IndexOf('(');
            if (open < 0)
            {
                return text.AsSpan().Trim() is "none";
            }

            var name = scanner.Rest[..open].Trim();
            for (var i = 0; i <= open; i++)
            {
                scanner.Advance();
            }

            var count = 0;
            while (count < 6 && scanner.NumberFollows() && scanner.TryNumber(out numbers[count]))
            {
                count++;
            }

            scanner.SkipSpace();
            if (scanner.Peek != ')' || OneTransform(name, numbers[..count]) is not { } one)
            {
                return false;
            }

            scanner.Advance();
            map *= one;
        }
    }

    private static Affine2? OneTransform(ReadOnlySpan<char> name, ReadOnlySpan<double> n) => name switch
    {
        "matrix" when n.Length == 6 => new Affine2(n[0], n[2], n[4], n[1], n[3], n[5]),
        "translate" when n.Length is 1 or 2 => Affine2.Translation(n[0], n.Length == 2 ? n[1] : 0),
        "scale" when n.Length is 1 or 2 => Affine2.Scale(n[0], n[^1]),
        "rotate" when n.Length == 1 => Affine2.RotationDegrees(n[0]),
        "rotate" when n.Length == 3 =>
            Affine2.Translation(n[1], n[2]) * Affine2.RotationDegrees(n[0]) * Affine2.Translation(-n[1], -n[2]),
        "skewX" when n.Length == 1 => new Affine2(1, Math.Tan(n[0] * Math.PI / 180), 0, 0, 1, 0),
        "skewY" when n.Length == 1 => new Affine2(1, 0, 0, Math.Tan(n[0] * Math.PI / 180), 1, 0),
        _ => null,
    };

    private static double? FactorMm(string unit) => unit switch
    {
        "mm" => 1,
        "cm" => 10,
        "q" => 0.25,
        "in" => 25.4,
        "pt" => 25.4 / 72,
        "pc" => 25.4 / 6,
        "px" or "" => MillimetresPerPixel,
        _ => null,
    };

    private static string Fold(ReadOnlySpan<char> unit)
    {
        Span<char> lower = stackalloc char[8];
        return unit.Length > 8 ? "?" : new string(lower[..unit.ToLowerInvariant(lower)]);
    }
}
