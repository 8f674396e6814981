using System.Globalization;
using Stencilwright.Foundation;
using Tomlyn.Syntax;

namespace Stencilwright.Workbench.Settings;

/// <summary>A value, or the code of what is wrong and what was wanted instead.</summary>
internal readonly record struct SettingReading(SettingValue Value, string? Code, string Wanted)
{
    public static SettingReading Of(SettingValue value) => new(value, null, "");

    public static SettingReading Wrong(string code, string wanted) => new(default, code, wanted);
}

/// <summary>Turns words and numbers into the value of a setting, without judging its range.</summary>
internal static class SettingParser
{
    // Longer than any title, list or path; what is pasted by mistake must not be kept with every step that can be taken back.
    private const int LongestText = 4000;

    public static string Wanted(Setting setting) => setting.Kind switch
    {
        SettingKind.Length => "a length in millimetres, or with a unit such as 4mil, 0.004in or 100um",
        SettingKind.Size => "a width and a height: [101.6, 101.6] in a file, 101.6x101.6 or 4inx4in on the command line",
        SettingKind.Flag => "true or false",
        SettingKind.Text => "words in quotes",
        _ => setting.Unit.Length == 0 ? "a number" : $"a number in {setting.Unit}",
    };

    public static SettingReading FromNumber(Setting setting, double number) => setting.Kind switch
    {
        SettingKind.Length or SettingKind.Number => SettingReading.Of(new SettingValue(Number: number)),
        // A count of steps is a number to whoever writes it.
        SettingKind.Text when setting.Name == "order_effort" =>
            SettingReading.Of(new SettingValue(Text: number.ToString("R", CultureInfo.InvariantCulture))),
        _ => SettingReading.Wrong("SET002", Wanted(setting)),
    };

    public static SettingReading FromFlag(Setting setting, bool flag) => setting.Kind == SettingKind.Flag
        ? SettingReading.Of(new SettingValue(Flag: flag))
        : SettingReading.Wrong("SET002", Wanted(setting));

    public static SettingReading FromText(Setting setting, string text) => setting.Kind switch
    {
        _ when text.Length > LongestText => SettingReading.Wrong("SET002", string.Create(CultureInfo.InvariantCulture, $"at most {LongestText} characters")),
        SettingKind.Text => SettingReading.Of(new SettingValue(Text: text)),
        SettingKind.Flag => text switch
        {
            "true" or "yes" or "on" => SettingReading.Of(new SettingValue(Flag: true)),
            "false" or "no" or "off" => SettingReading.Of(new SettingValue(Flag: false)),
            _ => SettingReading.Wrong("SET002", Wanted(setting)),
        },
        SettingKind.Length => Lengths.TryParse(text, out var length)
            ? SettingReading.Of(new SettingValue(Number: length))
            : SettingReading.Wrong("SET003", Wanted(setting)),
        SettingKind.Size => Size(setting, text),
        _ => Number(setting, text),
    };

    public static SettingReading FromToml(Setting setting, ValueSyntax value) => value switch
    {
        IntegerValueSyntax integer => FromNumber(setting, integer.Value),
        FloatValueSyntax number => FromNumber(setting, number.Value),
        BooleanValueSyntax flag => FromFlag(setting, flag.Value),
        StringValueSyntax words => FromText(setting, words.Value ?? ""),
        DateTimeValueSyntax date when setting.Kind == SettingKind.Text => FromText(setting, date.ToString().Trim()),
        ArraySyntax array when setting.Kind == SettingKind.Size => FromPair(setting, array),
        // A list of lengths or names is written either way: in one string, or as an array.
        ArraySyntax array when setting.Kind == SettingKind.Text => FromText(setting, string.Join(setting.Between, array.Items.Select(ItemText))),
        _ => SettingReading.Wrong("SET002", Wanted(setting)),
    };

    private static string ItemText(ArrayItemSyntax item) =>
        item.Value is StringValueSyntax words ? words.Value ?? "" : item.Value?.ToString().Trim() ?? "";

    private static SettingReading FromPair(Setting setting, ArraySyntax array)
    {
        Span<double> sides = stackalloc double[2];
        var count = 0;
        foreach (var item in array.Items)
        {
            var read = item.Value switch
            {
                IntegerValueSyntax integer => integer.Value,
                FloatValueSyntax number => number.Value,
                StringValueSyntax words when Lengths.TryParse(words.Value ?? "", out var length) => length,
                _ => double.NaN,
            };
            if (count == 2 || double.IsNaN(read))
            {
                return SettingReading.Wrong("SET002", Wanted(setting));
            }

            sides[count++] = read;
        }

        return count == 2
            ? SettingReading.Of(new SettingValue(Size: new BlankSize(sides[0], sides[1])))
            : SettingReading.Wrong("SET002", Wanted(setting));
    }

    private static SettingReading Number(Setting setting, string text)
    {
        var digits = text.AsSpan();
        if (setting.Unit.Length > 0 && digits.EndsWith(setting.Unit, StringComparison.Ordinal))
        {
            digits = digits[..^setting.Unit.Length].TrimEnd();
        }

        return double.TryParse(digits, NumberStyles.Float, CultureInfo.InvariantCulture, out var number)
            ? SettingReading.Of(new SettingValue(Number: number))
            : SettingReading.Wrong("SET003", Wanted(setting));
    }

    // 101.6x101.6, 4inx4in, 4in × 4in. A unit given only once, after the second number, holds for the second alone: nothing is guessed.
    private static SettingReading Size(Setting setting, string text)
    {
        var cross = text.AsSpan().IndexOfAny('x', 'X', '×');
        return cross > 0
            && Lengths.TryParse(text.AsSpan(0, cross), out var width)
            && Lengths.TryParse(text.AsSpan(cross + 1), out var height)
                ? SettingReading.Of(new SettingValue(Size: new BlankSize(width, height)))
                : SettingReading.Wrong("SET003", Wanted(setting));
    }
}
