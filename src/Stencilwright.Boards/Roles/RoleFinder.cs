using System.Collections.Immutable;
using System.Text;
using Stencilwright.Artwork;

namespace Stencilwright.Boards.Roles;

/// <summary>Finds out what a file of a package is for.</summary>
/// <remarks>
/// What the file states in standard attributes counts most (Gerber layer format specification, ".FileFunction"), then
/// the package's job file or layer report, then names inside the file, then the extension and the file's name.
/// </remarks>
public static class RoleFinder
{
    /// <summary>Bytes of a file's beginning that are worth passing in.</summary>
    public const int HeadBytes = 16 * 1024;

    /// <summary>Guesses one file's role.</summary>
    /// <param name="fileName">Name inside the package; folders before it are left aside.</param>
    /// <param name="format">What the content is; null when it is nothing that can be read.</param>
    /// <param name="head">The file's first bytes, about <see cref="HeadBytes"/>.</param>
    /// <param name="attributes">File attributes where a reader has found them; null otherwise.</param>
    /// <param name="hints">What the package's other files say; null for none.</param>
    public static RoleGuess Find(
        string fileName,
        ArtworkFormat? format,
        ReadOnlyMemory<byte> head,
        ImmutableSortedDictionary<string, ImmutableArray<string>>? attributes = null,
        RoleHints? hints = null)
    {
        ArgumentNullException.ThrowIfNull(fileName);
        if (format is null)
        {
            return new RoleGuess(LayerRole.Ignore, "its content is not a layer, drill data or a placement list", 1);
        }

        if (format == ArtworkFormat.Placement)
        {
            return new RoleGuess(LayerRole.Placement, "its content is a placement list", 0.9);
        }

        if (format == ArtworkFormat.Ipc2581)
        {
            return new RoleGuess(LayerRole.Ignore, "a file of the whole board names its own layers", 0.9);
        }

        var text = TextOf(head.Span);
        var best = FromAttribute(attributes, text);
        foreach (var next in (ReadOnlySpan<RoleGuess?>)[hints?.For(fileName), FromContent(format.Value, text), FromExtension(fileName, format.Value), FromName(fileName, format.Value)])
        {
            // The earlier source wins a tie.
            if (next is not null && (best is null || next.Confidence > best.Confidence))
            {
                best = next;
            }
        }

        return best ?? Default(format.Value);
    }

    /// <summary>The role that a <c>.FileFunction</c> value states; null for an empty one.</summary>
    /// <param name="value">Fields, such as <c>Paste</c>, <c>Top</c>.</param>
    public static LayerRole? FromFileFunction(IReadOnlyList<string> value)
    {
        ArgumentNullException.ThrowIfNull(value);
        if (value.Count == 0 || value[0].Length == 0)
        {
            return null;
        }

        var isTop = Has(value, "Top");
        var isBottom = Has(value, "Bot") || Has(value, "Bottom");
        return value[0].Trim().ToUpperInvariant() switch
        {
            "PASTE" or "SOLDERPASTE" => isBottom ? LayerRole.PasteBottom : LayerRole.PasteTop,
            "SOLDERMASK" => isBottom ? LayerRole.MaskBottom : LayerRole.MaskTop,
            "LEGEND" or "SILKSCREEN" => isBottom ? LayerRole.LegendBottom : LayerRole.LegendTop,
            "COPPER" => isBottom ? LayerRole.CopperBottom : isTop ? LayerRole.CopperTop : LayerRole.Ignore,
            "PROFILE" => LayerRole.Outline,
            "PLATED" or "MIXEDPLATING" => LayerRole.DrillPlated,
            "NONPLATED" => LayerRole.DrillNonplated,
            "COMPONENT" => LayerRole.Placement,
            _ => LayerRole.Ignore,
        };
    }

    private static RoleGuess? FromAttribute(ImmutableSortedDictionary<string, ImmutableArray<string>>? attributes, string text)
    {
        IReadOnlyList<string>? value = null;
        if (attributes is not null && attributes.TryGetValue(".FileFunction", out var read) && !read.IsDefaultOrEmpty)
        {
            value = read;
        }

        // In a command, in a comment of an older file, or in a comment of drill data: the same words.
        var at = text.IndexOf("TF.FileFunction,", StringComparison.Ordinal);
        if (value is null && at >= 0)
        {
            var from = at + "TF.FileFunction,".Length;
            var end = text.AsSpan(from).IndexOfAny("*%\r\n");
            value = text[from..(end < 0 ? text.Length : from + end)].Split(',');
        }

        return value is not null && FromFileFunction(value) is { } role
            ? new RoleGuess(role, $"its attribute .FileFunction says {string.Join(',', value).Trim()}", 1)
            : null;
    }

    private static RoleGuess? FromContent(ArtworkFormat format, string text) => format switch
    {
        ArtworkFormat.NcDrill => FromDrill(text),
        ArtworkFormat.Svg when IsCutDrawing(text) => new RoleGuess(LayerRole.Ignore, "it is a drawing of cuts that this program wrote", 0.99),
        ArtworkFormat.Svg => Words(Between(text, "<title>", "</title>"), format, "title", 0),
        ArtworkFormat.Gerber => FromGerber(text),
        _ => null,
    };

    private static RoleGuess? FromGerber(string text)
    {
        // A film's name, or the one layer that a comment names. Several such comments list what the film is made of,
        // the outline among them, and tell nothing.
        var guess = Words(After(text, "G04 Film Name:"), ArtworkFormat.Gerber, "film name", 0.1)
            ?? (Count(text, "G04 Layer:") == 1 ? Words(After(text, "G04 Layer:"), ArtworkFormat.Gerber, "layer comment", 0.1) : null);
        foreach (var command in (ReadOnlySpan<string>)["%LN", "%IN"])
        {
            var next = Words(After(text, command), ArtworkFormat.Gerber, command == "%LN" ? "layer name" : "image name", 0.05);
            guess = next is not null && (guess is null || next.Confidence > guess.Confidence) ? next : guess;
        }

        return guess;
    }

    private static RoleGuess? FromDrill(string text)
    {
        var (bare, plated) = (0, 0);
        foreach (var range in text.AsSpan().SplitAny('\r', '\n'))
        {
            var line = text.AsSpan()[range].Trim();
            if (line is [';', ..])
            {
                var isBare = line.Contains("NON_PLATED", StringComparison.OrdinalIgnoreCase) || line.Contains("NON-PLATED", StringComparison.OrdinalIgnoreCase)
                    || line.Contains("NONPLATED", StringComparison.OrdinalIgnoreCase) || line.Contains("NPTH", StringComparison.OrdinalIgnoreCase);
                bare += isBare ? 1 : 0;
                plated += !isBare && line.Contains("PLATED", StringComparison.OrdinalIgnoreCase) ? 1 : 0;
            }
        }

        return (bare, plated) switch
        {
            (0, 0) => null,
            (_, 0) => new RoleGuess(LayerRole.DrillNonplated, "its comments say non-plated", 0.75),
            (0, _) => new RoleGuess(LayerRole.DrillPlated, "its comments say plated", 0.75),
            _ => new RoleGuess(LayerRole.DrillPlated, "its comments name plated and non-plated holes", 0.6),
        };
    }

    // Its title may well name a layer, as it is that of the artwork.
    private static bool IsCutDrawing(string text) =>
        text.Contains("</title>\n<g id=\"marks\" stroke=\"#", StringComparison.Ordinal) && text.Contains("\" fill=\"none\" stroke-width=\"", StringComparison.Ordinal);

    private static RoleGuess? FromExtension(string fileName, ArtworkFormat format)
    {
        var extension = ExtensionOf(fileName);
        return extension.Length > 0 ? RoleExtensions.Find(extension, format) : null;
    }

    private static RoleGuess? FromName(string fileName, ArtworkFormat format)
    {
        var name = BaseName(fileName);
        var dot = name.LastIndexOf('.');
        return Words(dot > 0 ? name[..dot] : name, format, "file name", 0);
    }

    private static RoleGuess Default(ArtworkFormat format) => format == ArtworkFormat.NcDrill
        ? new RoleGuess(LayerRole.DrillPlated, "it is drill data that does not say whether the holes are plated", 0.3)
        : new RoleGuess(LayerRole.Ignore, "nothing in it or in its name says what it is", 0);

    private static RoleGuess? Words(string? text, ArtworkFormat format, string source, double bonus)
    {
        if (string.IsNullOrWhiteSpace(text))
        {
            return null;
        }

        var guess = RoleWords.Read(text, format == ArtworkFormat.NcDrill, format == ArtworkFormat.Gerber, source);
        return guess is null ? null : guess with { Confidence = guess.Confidence + bonus };
    }

    private static string? After(string text, string mark)
    {
        var at = text.IndexOf(mark, StringComparison.Ordinal);
        if (at < 0)
        {
            return null;
        }

        var from = at + mark.Length;
        var end = text.AsSpan(from).IndexOfAny("*%\r\n");
        return text[from..(end < 0 ? text.Length : from + end)].Trim();
    }

    private static string? Between(string text, string open, string close)
    {
        var from = text.IndexOf(open, StringComparison.Ordinal);
        var to = from < 0 ? -1 : text.IndexOf(close, from, StringComparison.Ordinal);
        return to < 0 ? null : text[(from + open.Length)..to];
    }

    private static int Count(string text, string mark)
    {
        var (count, at) = (0, text.IndexOf(mark, StringComparison.Ordinal));
        while (at >= 0)
        {
            count++;
            at = text.IndexOf(mark, at + mark.Length, StringComparison.Ordinal);
        }

        return count;
    }

    private static bool Has(IReadOnlyList<string> value, string wanted)
    {
        foreach (var field in value)
        {
            if (string.Equals(field.Trim(), wanted, StringComparison.OrdinalIgnoreCase))
            {
                return true;
            }
        }

        return false;
    }

    internal static string BaseName(string fileName) => fileName[(fileName.LastIndexOfAny(['/', '\\']) + 1)..];

    internal static string ExtensionOf(string fileName)
    {
        var name = BaseName(fileName);
        var dot = name.LastIndexOf('.');
        return dot < 0 ? "" : name[(dot + 1)..].ToUpperInvariant();
    }

    // Bytes as characters: every mark that is looked for is ASCII.
    internal static string TextOf(ReadOnlySpan<byte> head) =>
        head is [0xFF, 0xFE, ..] ? Encoding.Unicode.GetString(head[2..]) : Encoding.UTF8.GetString(head);
}
