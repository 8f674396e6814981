using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Settings;

/// <summary>Holds a value that was read against what its setting can mean.</summary>
internal static class SettingJudge
{
    /// <summary>The value, or null with the reason said.</summary>
    public static SettingValue? Accept(Setting setting, SettingReading reading, SourcePlace place, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        if (reading.Code is { } code)
        {
            diagnostics.Add(Error(code, $"{setting.Name} takes {reading.Wanted}.", place));
            return null;
        }

        var value = reading.Value;
        var numbersFit = setting.Kind switch
        {
            SettingKind.Length or SettingKind.Number => setting.Allows(value.Number),
            SettingKind.Size => setting.Allows(value.Size.WidthMm) && setting.Allows(value.Size.HeightMm),
            _ => true,
        };
        if (!numbersFit)
        {
            var each = setting.Kind == SettingKind.Size ? "each side of " : "";
            var given = setting.Kind == SettingKind.Size
                ? $"{Setting.Number(value.Size.WidthMm)} × {Setting.Number(value.Size.HeightMm)}"
                : Setting.Number(value.Number);
            diagnostics.Add(Error("SET004", $"{each}{setting.Name} must be {setting.RangeInWords()}, not {given}.", place));
            return null;
        }

        if (setting.Kind == SettingKind.Text && setting.CheckText(value.Text) is { } wanted)
        {
            diagnostics.Add(Error("SET008", $"{setting.Name} takes {wanted}.", place));
            return null;
        }

        return value;
    }

    private static Diagnostic Error(string code, string message, SourcePlace place) => new(code, Severity.Error, message, place);
}
