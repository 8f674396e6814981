using System.Globalization;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.App.Web;

/// <summary>Settings as the pages name, show and read them.</summary>
internal static class SettingWords
{
    /// <summary>What a setting is called.</summary>
    public static string Label(this Words words, Setting setting) => words["setting." + setting.Name];

    /// <summary>What one of a setting's words is called; words without a text of their own are shown as they are.</summary>
    public static string Choice(this Words words, string setting, string choice)
    {
        var key = $"choice.{setting}.{choice}";
        return words.Has(key) ? words[key] : choice.Replace('_', ' ');
    }

    /// <summary>A sentence about a setting, without what only the command line needs.</summary>
    public static string Help(this Words words, Setting setting, LengthUnit unit)
    {
        var help = setting.Choices.Aggregate(setting.Help, (text, choice) => text.Replace($"`{choice}`", choice == "center" ? words.Choice(setting.Name, choice) : choice.Replace('_', ' '), StringComparison.Ordinal));
        return PlainWords.Of(words, help, unit);
    }

    /// <summary>What is wrong with an entry, for a field whose bare numbers are in the unit that was chosen.</summary>
    public static string Refusal(this Words words, Setting setting, string wrong, LengthUnit unit)
    {
        if (setting.Kind is SettingKind.Length or SettingKind.Size)
        {
            var range = setting.RangeInWords(unit.Name, unit.MillimetresEach);
            var at = wrong.IndexOf(setting.RangeInWords(), StringComparison.Ordinal);
            wrong = (at < 0 ? wrong : wrong[..at] + range + ".")
                .Replace("a length in millimetres, or", words.Format("setting.lengthIn", unit.Name), StringComparison.Ordinal)
                .Replace("a width and a height: [101.6, 101.6] in a file, 101.6x101.6 or 4inx4in on the command line", words.Format("setting.sizeIn", unit.Name), StringComparison.Ordinal);
        }

        return PlainWords.Of(words, wrong, unit);
    }

    /// <summary>The value with its unit.</summary>
    public static string Value(this Words words, Setting setting, SettingValue value, LengthUnit unit) => setting.Kind switch
    {
        SettingKind.Length => $"{unit.Entry(value.Number)} {unit.Name}",
        SettingKind.Size => $"{unit.Entry(value.Size.WidthMm)} × {unit.Entry(value.Size.HeightMm)} {unit.Name}",
        SettingKind.Number => (value.Number.ToString("0.######", CultureInfo.InvariantCulture) + " " + setting.Unit).TrimEnd(),
        SettingKind.Flag => words[value.Flag ? "flag.true" : "flag.false"],
        _ when value.Text.Length == 0 => words["setting.nothing"],
        _ => words.Choice(setting.Name, value.Text),
    };
}
