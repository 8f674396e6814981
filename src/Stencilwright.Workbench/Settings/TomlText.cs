using System.Globalization;
using System.Text;

namespace Stencilwright.Workbench.Settings;

/// <summary>Writes values as TOML 1.0.</summary>
internal static class TomlText
{
    /// <summary>A basic string; halves of surrogate pairs, which no file can hold, become U+FFFD.</summary>
    public static string Quoted(string words)
    {
        var text = new StringBuilder(words.Length + 2).Append('"');
        foreach (var rune in words.EnumerateRunes())
        {
            _ = rune.Value switch
            {
                '"' => text.Append("\\\""),
                '\\' => text.Append("\\\\"),
                '\n' => text.Append("\\n"),
                '\r' => text.Append("\\r"),
                '\t' => text.Append("\\t"),
                < 0x20 or (>= 0x7f and < 0xa0) => text.Append("\\u").Append(rune.Value.ToString("X4", CultureInfo.InvariantCulture)),
                _ => text.Append(rune.ToString()),
            };
        }

        return text.Append('"').ToString();
    }

    /// <summary>The value of a setting, in a form that reads back as the same.</summary>
    public static string Of(Setting setting, SettingValue value) => setting.Kind switch
    {
        SettingKind.Size => $"[{Exact(value.Size.WidthMm)}, {Exact(value.Size.HeightMm)}]",
        SettingKind.Flag => value.Flag ? "true" : "false",
        SettingKind.Text => Quoted(value.Text),
        _ => Exact(value.Number),
    };

    private static string Exact(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
