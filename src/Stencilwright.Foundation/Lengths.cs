using System.Globalization;

namespace Stencilwright.Foundation;

/// <summary>Conversions between the trade's units of length and millimetres.</summary>
public static class Lengths
{
    /// <summary>Millimetres in an inch, exactly (international yard and pound agreement, 1959).</summary>
    public const double MillimetresPerInch = 25.4;

    /// <summary>Millimetres in a mil (a thousandth of an inch), exactly.</summary>
    public const double MillimetresPerMil = 0.0254;

    private static readonly (string Suffix, double Millimetres)[] _units =
    [
        ("mm", 1), ("cm", 10), ("um", 0.001), ("µm", 0.001), ("μm", 0.001), ("mil", MillimetresPerMil),
        ("thou", MillimetresPerMil), ("inch", MillimetresPerInch), ("in", MillimetresPerInch), ("\"", MillimetresPerInch),
    ];

    /// <summary>Reads a length such as <c>0.1</c> (millimetres), <c>4mil</c>, <c>0.004in</c> or <c>100 um</c>.</summary>
    /// <param name="text">The text; the decimal point is always a full stop.</param>
    /// <param name="lengthMm">The length in millimetres.</param>
    /// <returns>False when the text is no number, is not finite, or has an unknown unit.</returns>
    public static bool TryParse(ReadOnlySpan<char> text, out double lengthMm)
    {
        text = text.Trim();
        var factor = 1.0;
        foreach (var (suffix, millimetres) in _units)
        {
            if (text.EndsWith(suffix, StringComparison.OrdinalIgnoreCase))
            {
                text = text[..^suffix.Length].TrimEnd();
                factor = millimetres;
                break;
            }
        }

        var read = double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number);
        lengthMm = number * factor;
        return read && double.IsFinite(lengthMm);
    }
}
