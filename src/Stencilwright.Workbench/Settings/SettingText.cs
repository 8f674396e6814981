using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Settings;

/// <summary>Values of settings as a person reads and types them, in the form that <c>--set</c> takes.</summary>
public static class SettingText
{
    /// <summary>The value in words that <see cref="Read"/> takes back.</summary>
    public static string Of(Setting setting, SettingValue value)
    {
        ArgumentNullException.ThrowIfNull(setting);
        return setting.Kind switch
        {
            SettingKind.Size => string.Create(CultureInfo.InvariantCulture, $"{value.Size.WidthMm:R}x{value.Size.HeightMm:R}"),
            SettingKind.Flag => value.Flag ? "true" : "false",
            SettingKind.Text => value.Text,
            _ => value.Number.ToString("R", CultureInfo.InvariantCulture),
        };
    }

    /// <summary>The value that words mean, or what is wrong with them and what to do.</summary>
    public static (SettingValue? Value, string? Wrong) Read(Setting setting, string text)
    {
        ArgumentNullException.ThrowIfNull(setting);
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var value = SettingJudge.Accept(setting, SettingParser.FromText(setting, text), SourcePlace.Whole(setting.Name), diagnostics);
        return value is null ? (null, diagnostics[0].Message) : (value, null);
    }
}
