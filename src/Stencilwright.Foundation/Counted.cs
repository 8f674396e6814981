using System.Globalization;

namespace Stencilwright.Foundation;

/// <summary>Numbers of things in sentences: 1 opening is, 2 openings are.</summary>
public static class Counted
{
    /// <summary>The number and its noun, which takes an s for several unless their word is given.</summary>
    /// <param name="count">How many.</param>
    /// <param name="one">The noun for one.</param>
    /// <param name="many">The noun for several; null adds an s.</param>
    public static string Of(int count, string one, string? many = null) =>
        count.ToString(CultureInfo.InvariantCulture) + " " + (count == 1 ? one : many ?? one + "s");

    /// <summary>The word that agrees with a number, such as is or are.</summary>
    /// <param name="count">How many.</param>
    /// <param name="one">The word for one.</param>
    /// <param name="many">The word for several.</param>
    public static string Word(int count, string one, string many) => count == 1 ? one : many;
}
