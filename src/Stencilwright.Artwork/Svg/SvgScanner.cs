using System.Globalization;

namespace Stencilwright.Artwork.Svg;

/// <summary>Reads numbers and flags out of SVG's compact number lists.</summary>
internal ref struct SvgScanner(ReadOnlySpan<char> text)
{
    private readonly ReadOnlySpan<char> _text = text;

    /// <summary>Index of the next character.</summary>
    public int Position { get; private set; }

    /// <summary>True when only white space is left.</summary>
    public bool AtEnd
    {
        get
        {
            SkipSpace();
            return Position >= _text.Length;
        }
    }

    /// <summary>The next character, or NUL at the end.</summary>
    public readonly char Peek => Position < _text.Length ? _text[Position] : '\0';

    /// <summary>What has not been read.</summary>
    public readonly ReadOnlySpan<char> Rest => _text[Position..];

    /// <summary>Passes over one character.</summary>
    public void Advance() => Position++;

    /// <summary>Passes over white space.</summary>
    public void SkipSpace()
    {
        while (Position < _text.Length && _text[Position] is ' ' or '\t' or '\n' or '\r' or '\f')
        {
            Position++;
        }
    }

    /// <summary>Passes over white space with at most one comma.</summary>
    public void SkipSeparator()
    {
        SkipSpace();
        if (Peek == ',')
        {
            Position++;
            SkipSpace();
        }
    }

    /// <summary>True when a number begins here, separators passed over.</summary>
    public bool NumberFollows()
    {
        SkipSeparator();
        return Peek is (>= '0' and <= '9') or '.' or '-' or '+';
    }

    /// <summary>Reads a number such as <c>-.5e3</c>, which may follow the one before it without a gap.</summary>
    public bool TryNumber(out double value)
    {
        SkipSeparator();
        var from = Position;
        var at = from;
        if (at < _text.Length && _text[at] is '+' or '-')
        {
            at++;
        }

        var digitsFrom = at;
        at = SkipDigits(at);
        var digits = at - digitsFrom;
        if (at < _text.Length && _text[at] == '.')
        {
            var fraction = SkipDigits(at + 1);
            digits += fraction - at - 1;
            at = fraction;
        }

        if (digits == 0)
        {
            value = 0;
            return false;
        }

        if (at < _text.Length && _text[at] is 'e' or 'E')
        {
            var exponent = at + 1 < _text.Length && _text[at + 1] is '+' or '-' ? at + 2 : at + 1;
            var end = SkipDigits(exponent);
            // An e without digits belongs to a unit such as em.
            at = end > exponent ? end : at;
        }

        Position = at;
        return double.TryParse(_text[from..at], NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
    }

    /// <summary>Reads an arc flag, one digit that needs no gap after it.</summary>
    public bool TryFlag(out bool value)
    {
        SkipSeparator();
        value = Peek == '1';
        if (Peek is not ('0' or '1'))
        {
            return false;
        }

        Position++;
        return true;
    }

    private readonly int SkipDigits(int at)
    {
        while (at < _text.Length && char.IsAsciiDigit(_text[at]))
        {
            at++;
        }

        return at;
    }
}
