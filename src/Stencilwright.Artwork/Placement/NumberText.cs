using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Placement;

/// <summary>What a comma in a number means.</summary>
internal enum CommaMeaning
{
    /// <summary>The decimal sign.</summary>
    Decimal,

    /// <summary>Parts thousands.</summary>
    Thousands,
}

/// <summary>A unit of length as lists write it.</summary>
/// <param name="Millimetres">Millimetres in one.</param>
/// <param name="Name">As messages name it.</param>
internal readonly record struct ListUnit(double Millimetres, string Name)
{
    public static ListUnit Millimetre { get; } = new(1, "mm");

    public static ListUnit Mil { get; } = new(Lengths.MillimetresPerMil, "mil");

    /// <summary>The contract knows millimetres and inches; a mil belongs to the inch.</summary>
    public ArtworkUnit Artwork => Name is "inch" or "mil" ? ArtworkUnit.Inch : ArtworkUnit.Millimetre;

    /// <summary>Reads a unit's name, in lower case; null when it is none.</summary>
    public static ListUnit? Find(ReadOnlySpan<char> word) => word switch
    {
        "mm" or "millimeter" or "millimeters" or "millimetre" or "millimetres" or "metric" or "millimètres" or "millimètre" => Millimetre,
        "mil" or "mils" or "thou" or "th" => Mil,
        "in" or "inch" or "inches" or "\"" or "imperial" or "zoll" or "pouce" or "pouces" => new ListUnit(Lengths.MillimetresPerInch, "inch"),
        "um" or "µm" or "μm" or "micron" or "microns" or "mikrometer" => new ListUnit(0.001, "um"),
        "cm" => new ListUnit(10, "cm"),
        _ => null,
    };
}

/// <summary>Numbers as people and programs write them in tables: with a unit, a sign of degrees, a comma or a point.</summary>
internal static class NumberText
{
    /// <summary>Parts a cell into its number and its unit.</summary>
    /// <returns>False when it does not begin with a number, or something follows that is no unit.</returns>
    public static bool TrySplit(string cell, out ReadOnlySpan<char> digits, out ListUnit? unit)
    {
        var text = cell.AsSpan().Trim();
        var end = 0;
        while (end < text.Length && (char.IsAsciiDigit(text[end]) || text[end] is '.' or ',' or '+' or '-' or '−'
            || (text[end] is 'e' or 'E' && end > 0 && end + 1 < text.Length && (char.IsAsciiDigit(text[end + 1]) || text[end + 1] is '-' or '+'))))
        {
            end++;
        }

        digits = text[..end];
        unit = null;
        var rest = text[end..].Trim();
        if (rest.IsEmpty)
        {
            return end > 0;
        }

        // Units are few and short, so longer text is no unit.
        if (rest.Length <= 12)
        {
            unit = ListUnit.Find(rest.ToString().ToLowerInvariant());
        }

        return end > 0 && unit is not null;
    }

    /// <summary>Reads digits that <see cref="TrySplit"/> parted.</summary>
    public static bool TryRead(ReadOnlySpan<char> digits, CommaMeaning comma, out double value)
    {
        Span<char> plain = stackalloc char[64];
        value = 0;
        if (digits.Length > plain.Length)
        {
            return false;
        }

        // Where both stand, the later one is the decimal sign.
        var (lastComma, lastPoint) = (digits.LastIndexOf(','), digits.LastIndexOf('.'));
        var isDecimal = lastComma >= 0 && (lastPoint >= 0 ? lastComma > lastPoint : comma == CommaMeaning.Decimal);
        var n = 0;
        for (var i = 0; i < digits.Length; i++)
        {
            switch (digits[i])
            {
                case '−':
                    plain[n++] = '-';
                    break;
                case ',' when i == lastComma && isDecimal:
                    plain[n++] = '.';
                    break;
                case ',':
                    break;
                case '.' when isDecimal:
                    break;
                default:
                    plain[n++] = digits[i];
                    break;
            }
        }

        return double.TryParse(plain[..n], NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
    }

    /// <summary>Reads an angle in degrees, with or without a word or sign for degrees.</summary>
    public static bool TryAngle(string cell, CommaMeaning comma, out double degrees)
    {
        var text = cell.Trim();
        foreach (var suffix in (ReadOnlySpan<string>)["degrees", "deg", "grad", "°"])
        {
            if (text.EndsWith(suffix, StringComparison.OrdinalIgnoreCase))
            {
                text = text[..^suffix.Length].TrimEnd();
                break;
            }
        }

        degrees = 0;
        return TrySplit(text, out var digits, out var unit) && unit is null && TryRead(digits, comma, out degrees);
    }

    /// <summary>Whether a cell is a plain number, perhaps with a unit.</summary>
    public static bool IsNumber(string cell) => TrySplit(cell, out var digits, out _) && TryRead(digits, CommaMeaning.Decimal, out _);
}
