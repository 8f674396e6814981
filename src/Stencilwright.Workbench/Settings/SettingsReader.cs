using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.Workbench.Settings;

/// <summary>Puts a job's settings together from the defaults, the shop's things, job files, and single settings of the command line.</summary>
/// <remarks>
/// Later wins: defaults, then the laser, film, frame, board, paste and rules that are named anywhere, then each job file in
/// turn, then each single setting in turn.
/// </remarks>
public static class SettingsReader
{
    /// <summary>Reads job files (TOML 1.0) and <c>name=value</c> settings.</summary>
    /// <param name="jobFiles">In the order given; later ones win.</param>
    /// <param name="sets">Single settings such as <c>kerf_x_mm=0.14</c> or <c>film_blank_mm=4inx4in</c>; they win over the files.</param>
    /// <param name="shop">Where named things are looked up; without one, among those that come with the program.</param>
    /// <returns>The settings with every good value in them, and a SET diagnostic for every bad one.</returns>
    public static Outcome<JobSettings> Read(IEnumerable<SourceText> jobFiles, IEnumerable<string> sets, ShopCatalogue? shop = null)
    {
        ArgumentNullException.ThrowIfNull(jobFiles);
        ArgumentNullException.ThrowIfNull(sets);
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var layers = new ShopLayers(shop ?? ShopCatalogue.ShippedOnly, diagnostics);
        foreach (var file in jobFiles)
        {
            ReadFile(file, layers, diagnostics);
        }

        foreach (var set in sets)
        {
            ReadSingle(set, layers, diagnostics);
        }

        return new Outcome<JobSettings>(layers.Settle(), diagnostics.ToImmutable());
    }

    private static void ReadSingle(string set, ShopLayers layers, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        var place = SourcePlace.Whole($"--set {set}");
        var equals = set.IndexOf('=', StringComparison.Ordinal);
        if (equals <= 0)
        {
            diagnostics.Add(Error("SET006", "a single setting is written name=value, such as kerf_x_mm=0.14.", place));
            return;
        }

        var name = set[..equals].Trim();
        if (SettingsCatalogue.Find(name) is not { } setting)
        {
            diagnostics.Add(Unknown(name, place));
            return;
        }

        layers.Add(setting, SettingParser.FromText(setting, set[(equals + 1)..].Trim()), place);
    }

    private static void ReadFile(SourceText file, ShopLayers layers, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        foreach (var entry in TomlEntries.Of(file, "a job file", diagnostics))
        {
            if (SettingsCatalogue.Find(entry.Name) is { } setting)
            {
                layers.Add(setting, SettingParser.FromToml(setting, entry.Value), entry.ValuePlace);
            }
            else
            {
                diagnostics.Add(Unknown(entry.Name, entry.NamePlace));
            }
        }
    }

    private static Diagnostic Unknown(string name, SourcePlace place)
    {
        var nearest = Suggestion.For(name, SettingsCatalogue.All.Select(s => s.Name));
        return Error(
            "SET001",
            nearest is null
                ? $"there is no setting {name}; `stencilwright prepare --help` lists them."
                : $"there is no setting {name}; did you mean {nearest}?",
            place);
    }

    private static Diagnostic Error(string code, string message, SourcePlace place) => new(code, Severity.Error, message, place);
}
