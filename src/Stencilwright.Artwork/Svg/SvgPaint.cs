using System.Globalization;

namespace Stencilwright.Artwork.Svg;

/// <summary>What a colour means for a layer.</summary>
internal enum SvgPaint
{
    /// <summary>Paints nothing.</summary>
    None,

    /// <summary>Any colour that is not white: adds to the image.</summary>
    Dark,

    /// <summary>White: clears, because plots paint holes in the page's colour.</summary>
    Clear,
}

/// <summary>Reads CSS colours as far as the difference between white, nothing and all else.</summary>
internal static class SvgPaints
{
    // From here up a channel counts as white: a plot through a lossy colour space writes 254.
    private const double White = 250;

    /// <summary>Reads a colour.</summary>
    /// <param name="text">A CSS colour, <c>none</c>, or a paint server.</param>
    /// <param name="current">What <c>currentColor</c> stands for.</param>
    /// <param name="isServer">True for a gradient or pattern, which is taken as dark.</param>
    /// <returns>Null when the text is no colour.</returns>
    public static SvgPaint? Parse(string text, SvgPaint current, out bool isServer)
    {
        isServer = false;
        var value = text.Trim();
        if (value.StartsWith('#'))
        {
            return Hex(value.AsSpan(1));
        }

        var open = value.IndexOf('(', StringComparison.Ordinal);
        if (open > 0)
        {
            var name = value[..open];
            isServer = Is(name, "url");
            return isServer ? SvgPaint.Dark : Function(name, value.AsSpan(open + 1));
        }

        return value.ToLowerInvariant() switch
        {
            "" => null,
            "none" or "transparent" => SvgPaint.None,
            "currentcolor" => current,
            "white" => SvgPaint.Clear,
            var word => IsWord(word) ? SvgPaint.Dark : null,
        };
    }

    private static SvgPaint? Hex(ReadOnlySpan<char> digits)
    {
        if (digits.Length is not (3 or 4 or 6 or 8) || !uint.TryParse(digits, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var number))
        {
            return null;
        }

        var isShort = digits.Length < 5;
        var (bits, factor) = isShort ? (4, 17) : (8, 1);
        var mask = (1u << bits) - 1;
        var alpha = 255.0;
        if (digits.Length is 4 or 8)
        {
            alpha = (number & mask) * factor;
            number >>= bits;
        }

        return Of(((number >> (2 * bits)) & mask) * factor, ((number >> bits) & mask) * factor, (number & mask) * factor, alpha);
    }

    private static SvgPaint? Function(string name, ReadOnlySpan<char> arguments)
    {
        Span<double> n = [0, 0, 0, 255];
        var scanner = new SvgScanner(arguments);
        var count = 0;
        while (count < 4 && scanner.TryNumber(out var number))
        {
            n[count] = number;
            scanner.SkipSpace();
            if (scanner.Peek == '%')
            {
                n[count] *= 2.55;
                scanner.Advance();
            }
            else if (count == 3)
            {
                n[3] *= 255;
            }

            scanner.SkipSpace();
            if (scanner.Peek == '/')
            {
                scanner.Advance();
            }

            count++;
        }

        if (count < 3)
        {
            return null;
        }

        // Hue, saturation, lightness: white is full lightness whatever the hue.
        return Is(name, "hsl") || Is(name, "hsla") ? Of(n[2], n[2], n[2], n[3]) : Of(n[0], n[1], n[2], n[3]);
    }

    private static SvgPaint Of(double red, double green, double blue, double alpha)
    {
        if (alpha <= 0)
        {
            return SvgPaint.None;
        }

        return Math.Min(red, Math.Min(green, blue)) >= White ? SvgPaint.Clear : SvgPaint.Dark;
    }

    private static bool IsWord(string text)
    {
        foreach (var c in text)
        {
            if (!char.IsAsciiLetter(c) && c != '-')
            {
                return false;
            }
        }

        return true;
    }

    private static bool Is(string a, string b) => string.Equals(a, b, StringComparison.OrdinalIgnoreCase);
}
