namespace Stencilwright.Boards.Roles;

/// <summary>What a file is for.</summary>
public enum LayerRole
{
    /// <summary>Of no use here.</summary>
    Ignore,

    /// <summary>Solder paste of the top side.</summary>
    PasteTop,

    /// <summary>Solder paste of the bottom side.</summary>
    PasteBottom,

    /// <summary>The board's edge.</summary>
    Outline,

    /// <summary>Outer copper of the top side.</summary>
    CopperTop,

    /// <summary>Outer copper of the bottom side.</summary>
    CopperBottom,

    /// <summary>Solder mask of the top side.</summary>
    MaskTop,

    /// <summary>Solder mask of the bottom side.</summary>
    MaskBottom,

    /// <summary>Printed legend of the top side.</summary>
    LegendTop,

    /// <summary>Printed legend of the bottom side.</summary>
    LegendBottom,

    /// <summary>Plated holes.</summary>
    DrillPlated,

    /// <summary>Holes without plating.</summary>
    DrillNonplated,

    /// <summary>A list of where parts are placed.</summary>
    Placement,
}

/// <summary>The roles' texts, as commands and reports write them.</summary>
public static class LayerRoles
{
    private static readonly (LayerRole Role, string Text)[] _texts =
    [
        (LayerRole.PasteTop, "paste-top"), (LayerRole.PasteBottom, "paste-bottom"), (LayerRole.Outline, "outline"),
        (LayerRole.CopperTop, "copper-top"), (LayerRole.CopperBottom, "copper-bottom"), (LayerRole.MaskTop, "mask-top"),
        (LayerRole.MaskBottom, "mask-bottom"), (LayerRole.LegendTop, "legend-top"), (LayerRole.LegendBottom, "legend-bottom"),
        (LayerRole.DrillPlated, "drill-plated"), (LayerRole.DrillNonplated, "drill-nonplated"),
        (LayerRole.Placement, "placement"), (LayerRole.Ignore, "ignore"),
    ];

    /// <summary>Every text, in the order in which help lists them.</summary>
    public static IEnumerable<string> Texts
    {
        get
        {
            foreach (var (_, text) in _texts)
            {
                yield return text;
            }
        }
    }

    /// <summary>The role's text, such as <c>paste-top</c>.</summary>
    public static string ToText(this LayerRole role)
    {
        foreach (var (known, text) in _texts)
        {
            if (known == role)
            {
                return text;
            }
        }

        throw new ArgumentOutOfRangeException(nameof(role));
    }

    /// <summary>Reads a role's text, capitals allowed.</summary>
    /// <returns>Null when no role has that text; <see cref="Foundation.Suggestion"/> over <see cref="Texts"/> then helps.</returns>
    public static LayerRole? Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        foreach (var (role, known) in _texts)
        {
            if (string.Equals(known, text.Trim(), StringComparison.OrdinalIgnoreCase))
            {
                return role;
            }
        }

        return null;
    }
}

/// <summary>What a file was taken for.</summary>
/// <param name="Role">The role.</param>
/// <param name="Why">One phrase, fit to stand after "because".</param>
/// <param name="Confidence">From 0 (nothing known) to 1 (the file says so itself in a standard attribute).</param>
public sealed record RoleGuess(LayerRole Role, string Why, double Confidence);
