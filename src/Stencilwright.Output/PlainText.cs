using System.Globalization;
using System.Text;

namespace Stencilwright.Output;

/// <summary>Builds a UTF-8 file piece by piece; numbers are plain decimals in every locale.</summary>
internal sealed class PlainText(int capacity = 16 * 1024)
{
    private byte[] _bytes = new byte[capacity];
    private int _length;

    /// <summary>Appends text as it is; halves of surrogate pairs that stand alone become U+FFFD.</summary>
    public PlainText Add(string text)
    {
        Reserve(Encoding.UTF8.GetMaxByteCount(text.Length));
        _length += Encoding.UTF8.GetBytes(text, _bytes.AsSpan(_length));
        return this;
    }

    /// <summary>Appends one ASCII character.</summary>
    public PlainText Add(char ascii)
    {
        Reserve(1);
        _bytes[_length++] = (byte)ascii;
        return this;
    }

    /// <summary>Appends a number: rounded, without exponent, trailing zeros or a minus before zero.</summary>
    /// <exception cref="ArgumentException">The number is not finite, or is beyond any sheet.</exception>
    public PlainText Add(double value, int decimals = 6)
    {
        Reserve(32);
        _length += Format(value, decimals, _bytes.AsSpan(_length));
        return this;
    }

    /// <summary>The bytes so far, copied.</summary>
    public byte[] ToBytes() => _bytes.AsSpan(0, _length).ToArray();

    /// <summary>Writes a number as <see cref="Add(double, int)"/> does, into at least 32 bytes.</summary>
    /// <returns>How many bytes were written.</returns>
    public static int Format(double value, int decimals, Span<byte> into)
    {
        // Whole steps of the last decimal in a long: the same digits on every machine, and no "-0".
        var power = decimals switch { 6 => 1_000_000L, 5 => 100_000, 4 => 10_000, 3 => 1000, 2 => 100, 1 => 10, _ => 1 };
        if (!(Math.Abs(value) < 1e12))
        {
            throw new ArgumentException("A number in an output file is finite and below 1e12.", nameof(value));
        }

        var steps = (long)Math.Round(value * power, MidpointRounding.AwayFromZero);
        var at = 0;
        if (steps < 0)
        {
            into[at++] = (byte)'-';
            steps = -steps;
        }

        (steps / power).TryFormat(into[at..], out var written, provider: CultureInfo.InvariantCulture);
        at += written;
        var fraction = steps % power;
        if (fraction != 0)
        {
            into[at++] = (byte)'.';
            for (power /= 10; fraction != 0; power /= 10)
            {
                into[at++] = (byte)('0' + (fraction / power));
                fraction %= power;
            }
        }

        return at;
    }

    /// <summary>A number as text, as <see cref="Add(double, int)"/> writes it.</summary>
    public static string Of(double value, int decimals)
    {
        Span<byte> bytes = stackalloc byte[32];
        return Encoding.ASCII.GetString(bytes[..Format(value, decimals, bytes)]);
    }

    /// <summary>A number with all its decimals, so that columns line up; a dash when it is not finite.</summary>
    public static string Fixed(double value, int decimals) => double.IsFinite(value)
        ? Math.Round(value, decimals, MidpointRounding.AwayFromZero).ToString("F" + decimals, CultureInfo.InvariantCulture)
        : "–";

    /// <summary>Keeps printable ASCII, for formats that promise no more; everything else becomes a question mark.</summary>
    /// <param name="text">Any text.</param>
    /// <param name="forbidden">ASCII characters with a meaning in the format, also replaced.</param>
    /// <param name="longest">Characters kept; the rest is cut off.</param>
    public static string Ascii(string text, string forbidden = "", int longest = 60)
    {
        var kept = new StringBuilder();
        foreach (var rune in text.EnumerateRunes())
        {
            if (kept.Length == longest)
            {
                break;
            }

            var c = rune.Value is >= 32 and < 127 ? (char)rune.Value : rune.Value is 9 or 10 or 13 ? ' ' : '?';
            kept.Append(forbidden.Contains(c, StringComparison.Ordinal) ? '?' : c);
        }

        return kept.ToString();
    }

    private void Reserve(int more)
    {
        if (_length + more > _bytes.Length)
        {
            Array.Resize(ref _bytes, Math.Max(_bytes.Length * 2, _length + more));
        }
    }
}
