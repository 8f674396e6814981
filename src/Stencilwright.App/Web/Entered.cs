using System.Globalization;

namespace Stencilwright.App.Web;

/// <summary>Numbers as people type them: with a true minus sign, and with a comma where their language has one.</summary>
internal static class Entered
{
    /// <summary>The text with a decimal point and a plain minus sign; a comma counts as a point where it is the only one, between digits.</summary>
    public static string Plain(string text)
    {
        var plain = text.Trim().Replace('−', '-');
        var comma = plain.IndexOf(',', StringComparison.Ordinal);
        return comma > 0 && comma == plain.LastIndexOf(',') && !plain.Contains('.', StringComparison.Ordinal)
            && char.IsAsciiDigit(plain[comma - 1]) && comma + 1 < plain.Length && char.IsAsciiDigit(plain[comma + 1])
            ? plain.Replace(',', '.')
            : plain;
    }

    /// <summary>Reads a number.</summary>
    public static bool TryNumber(string text, out double number) => double.TryParse(Plain(text), NumberStyles.Float, CultureInfo.InvariantCulture, out number);
}
