using System.Text;
using Stencilwright.Artwork.Placement;

namespace Stencilwright.Artwork;

/// <summary>Tells a file's format from its content; names and extensions are not looked at.</summary>
public static class FormatSniffer
{
    /// <summary>Bytes of a file's beginning that are worth passing in.</summary>
    public const int HeadBytes = 16 * 1024;

    /// <summary>The format; null when the content is none that can be read.</summary>
    /// <param name="head">The file's first bytes, about <see cref="HeadBytes"/>, or all of a shorter file.</param>
    public static ArtworkFormat? Sniff(ReadOnlySpan<byte> head)
    {
        var bytes = head[..Math.Min(head.Length, HeadBytes)];
        var isWide = bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..];
        if (bytes.StartsWith("id,xMm,yMm,"u8) || bytes.StartsWith("id,widthMm,heightMm"u8))
        {
            // Tables that this program wrote beside the artwork: they list openings, not parts.
            return null;
        }

        if (!isWide && bytes[..Math.Min(bytes.Length, 1024)].Contains((byte)0))
        {
            // Text of two bytes a character without a mark is met in lists alone.
            return PlacementReader.LooksLikePlacement(bytes) ? ArtworkFormat.Placement : null;
        }

        var text = bytes switch
        {
            [0xFF, 0xFE, ..] => Encoding.Unicode.GetString(bytes[2..]),
            [0xFE, 0xFF, ..] => Encoding.BigEndianUnicode.GetString(bytes[2..]),
            [0xEF, 0xBB, 0xBF, ..] => Encoding.UTF8.GetString(bytes[3..]),
            _ => Encoding.Latin1.GetString(bytes),
        };
        var start = text.AsSpan().TrimStart();
        return start switch
        {
            ['<', ..] => Markup(text),
            ['{', ..] or ['[', ..] or [] => null,
            _ when start.StartsWith("%PDF") => null,
            _ => Plain(text, bytes),
        };
    }

    private static ArtworkFormat? Markup(string text)
    {
        if (text.Contains("<IPC-2581", StringComparison.Ordinal) || text.Contains(":IPC-2581", StringComparison.Ordinal))
        {
            return ArtworkFormat.Ipc2581;
        }

        // A page that holds a drawing is no plot.
        return text.Contains("<svg", StringComparison.Ordinal) && !text.Contains("<html", StringComparison.OrdinalIgnoreCase)
            ? ArtworkFormat.Svg
            : null;
    }

    private static ArtworkFormat? Plain(string text, ReadOnlySpan<byte> bytes)
    {
        var (gerber, drill) = (0, 0);
        foreach (var range in text.AsSpan().SplitAny('\r', '\n'))
        {
            var line = text.AsSpan()[range].Trim();
            if (line.IsEmpty)
            {
                continue;
            }

            if (line.StartsWith("M48") && (line.Length == 3 || !char.IsAsciiDigit(line[3])))
            {
                return ArtworkFormat.NcDrill;
            }

            if (IsGerberHeader(line))
            {
                return ArtworkFormat.Gerber;
            }

            gerber += IsGerberWord(line) ? 1 : 0;
            drill += IsDrillWord(line) ? 1 : 0;
        }

        if (gerber > drill && gerber > 0)
        {
            return ArtworkFormat.Gerber;
        }

        return drill >= 3 ? ArtworkFormat.NcDrill : PlacementReader.LooksLikePlacement(bytes) ? ArtworkFormat.Placement : null;
    }

    private static bool IsGerberHeader(ReadOnlySpan<char> line) =>
        line.StartsWith("%FS") || line.StartsWith("%MO") || line.StartsWith("%AD") || line.StartsWith("%AM")
        || line.StartsWith("%TF.") || line.StartsWith("%LP") || line.StartsWith("%IPPOS");

    // A block that ends with a star and begins as Gerber blocks do.
    private static bool IsGerberWord(ReadOnlySpan<char> line) =>
        line.EndsWith("*") && line[0] is 'G' or 'D' or 'X' or 'Y' or 'M' && (line.Length == 1 || char.IsAsciiDigit(line[1]) || line[1] is '-' or '+');

    // Coordinates, tools and codes of drill data: capitals and numbers, no star.
    private static bool IsDrillWord(ReadOnlySpan<char> line)
    {
        if (line[0] is not ('X' or 'Y' or 'T' or 'G' or 'M') || line.Length < 2 || line.Length > 80 || !(char.IsAsciiDigit(line[1]) || line[1] is '-' or '+'))
        {
            return false;
        }

        foreach (var c in line)
        {
            if (!(char.IsAsciiDigit(c) || c is '.' or '-' or '+' or 'X' or 'Y' or 'T' or 'C' or 'F' or 'S' or 'G' or 'M' or 'R' or 'A' or 'I' or 'J' or 'H' or 'Z'))
            {
                return false;
            }
        }

        return true;
    }
}
