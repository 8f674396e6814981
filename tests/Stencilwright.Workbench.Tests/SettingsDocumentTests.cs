using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Stencilwright.Workbench.Settings;
using Xunit;

namespace Stencilwright.Workbench.Tests;

public sealed class SettingsDocumentTests
{
    [Fact]
    public void The_document_lists_every_setting_with_its_default_and_meaning()
    {
        var document = File.ReadAllText(Path.Combine(RealBoards.CheckoutRoot, "docs", "files.md"));
        var missing = SettingsCatalogue.All.Select(Row).Where(row => !document.Contains(row, StringComparison.Ordinal)).ToArray();
        Assert.True(missing.Length == 0, "Put these rows into docs/files.md:\n" + string.Join('\n', missing));
    }

    private static string Row(Setting setting)
    {
        var value = setting.Get(JobSettings.Default);
        var shown = setting.Kind switch
        {
            SettingKind.Size => string.Create(CultureInfo.InvariantCulture, $"{value.Size.WidthMm:0.####} × {value.Size.HeightMm:0.####}"),
            SettingKind.Flag => value.Flag ? "true" : "false",
            SettingKind.Text => value.Text.Length == 0 ? "empty" : $"`{value.Text}`",
            _ => value.Number.ToString("0.#####", CultureInfo.InvariantCulture),
        };
        // A bar in a cell of a table would end it.
        return $"| `{setting.Name}` | {Escaped(shown)} | {Escaped(setting.Help)} |";

        static string Escaped(string text) => text.Replace("|", "\\|", StringComparison.Ordinal);
    }
}
