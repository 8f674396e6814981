using Stencilwright.Artwork;

namespace Stencilwright.Boards.Roles;

/// <summary>File extensions in common use by the trade (common practice, no source).</summary>
internal static class RoleExtensions
{
    private static readonly (string Extension, LayerRole Role, double Confidence)[] _gerber =
    [
        ("GTP", LayerRole.PasteTop, 0.75), ("GBP", LayerRole.PasteBottom, 0.75), ("CRC", LayerRole.PasteTop, 0.75), ("CRS", LayerRole.PasteBottom, 0.75),
        ("GKO", LayerRole.Outline, 0.65), ("GM1", LayerRole.Outline, 0.62), ("GML", LayerRole.Outline, 0.65), ("GM", LayerRole.Outline, 0.6),
        ("GM2", LayerRole.Outline, 0.58), ("OLN", LayerRole.Outline, 0.65), ("BOR", LayerRole.Outline, 0.65), ("DIM", LayerRole.Outline, 0.6),
        ("GTS", LayerRole.MaskTop, 0.75), ("GBS", LayerRole.MaskBottom, 0.75), ("STC", LayerRole.MaskTop, 0.75), ("STS", LayerRole.MaskBottom, 0.75),
        ("GTL", LayerRole.CopperTop, 0.75), ("GBL", LayerRole.CopperBottom, 0.75), ("CMP", LayerRole.CopperTop, 0.7), ("SOL", LayerRole.CopperBottom, 0.7),
        ("GTO", LayerRole.LegendTop, 0.75), ("GBO", LayerRole.LegendBottom, 0.75), ("PLC", LayerRole.LegendTop, 0.7), ("PLS", LayerRole.LegendBottom, 0.7),
        ("GPT", LayerRole.Ignore, 0.7), ("GPB", LayerRole.Ignore, 0.7), ("GDD", LayerRole.Ignore, 0.7), ("GTA", LayerRole.Ignore, 0.7), ("GBA", LayerRole.Ignore, 0.7),
    ];

    /// <summary>The role that an extension stands for; null when it stands for none.</summary>
    /// <param name="extension">In capitals, without the dot.</param>
    /// <param name="format">What the content is.</param>
    public static RoleGuess? Find(string extension, ArtworkFormat format)
    {
        if (format == ArtworkFormat.NcDrill)
        {
            // A rout file cuts slots and edges, which stay bare.
            return extension is "ROU" or "RTE"
                ? new RoleGuess(LayerRole.DrillNonplated, $"its extension .{extension} is that of routing", 0.8)
                : null;
        }

        foreach (var (known, role, confidence) in _gerber)
        {
            if (known == extension)
            {
                return new RoleGuess(role, $"its extension is .{extension}", confidence);
            }
        }

        // Inner copper, drill drawings and guides, further mechanical layers: a letter pair and numbers.
        return extension.Length >= 2 && extension[0] == 'G' && IsNumbered(extension)
            ? new RoleGuess(LayerRole.Ignore, $"its extension .{extension} is that of a layer of no use here", 0.5)
            : null;
    }

    private static bool IsNumbered(string extension)
    {
        var digits = 0;
        for (var i = 1; i < extension.Length; i++)
        {
            if (char.IsAsciiDigit(extension[i]))
            {
                digits++;
            }
            else if (extension[i] is not ('M' or 'P' or 'D' or 'G' or 'L'))
            {
                return false;
            }
        }

        return digits > 0;
    }
}
