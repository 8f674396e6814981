using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Settings of a job that is kept in the workshop.</summary>
public static class WorkshopSettings
{
    /// <summary>The settings in force.</summary>
    /// <remarks>Over the web no file of the machine is read by name, but for those that the shop keeps beside its things.</remarks>
    /// <param name="state">The job's decisions.</param>
    /// <param name="shop">Things that settings may name; null for those that come with the program.</param>
    public static Outcome<JobSettings> Read(JobState state, ShopCatalogue? shop = null)
    {
        ArgumentNullException.ThrowIfNull(state);
        foreach (var (name, text) in state.Settings)
        {
            if (ShopKinds.ChosenBy(name) is not null ? ShopLayers.IsPath(text) : name == "release_measurements" && text.Length > 0)
            {
                return Refused(name);
            }
        }

        shop ??= ShopCatalogue.ShippedOnly;
        var read = SettingsReader.Read([], state.Settings.Select(s => s.Key + "=" + s.Value), shop);
        return read.Value switch
        {
            { } made when !IsKept(made.ApertureRules, ["default", "none"], shop) => ShopLayers.IsPath(made.ApertureRules) ? Refused("aperture_rules") : NoRules(made.ApertureRules),
            { } made when !IsKept(made.ReleaseMeasurements, [""], shop) => Refused("release_measurements"),
            _ => read,
        };
    }

    /// <summary>What is wrong with a text for a setting; null when nothing is.</summary>
    public static string? Wrong(string name, string text, ShopCatalogue? shop = null)
    {
        var state = new JobState { Title = "" }.With(name, text);
        return Read(state, shop).Diagnostics.FirstOrDefault(d => d.Severity == Severity.Error)?.Message;
    }

    private static bool IsKept(string text, string[] words, ShopCatalogue shop) =>
        words.Contains(text, StringComparer.Ordinal)
        || (shop.Folder is { } folder && Path.GetFullPath(text).StartsWith(Path.GetFullPath(folder) + Path.DirectorySeparatorChar, StringComparison.Ordinal));

    // A set that the job took may have been deleted, and is no file to whoever chose it.
    private static Outcome<JobSettings> NoRules(string name) => new(null, [new Diagnostic(
        "SET210", Severity.Error, $"the shop has no aperture rules {name}; choose others, or put them back into the shop.", SourcePlace.Whole("aperture_rules"))]);

    private static Outcome<JobSettings> Refused(string name) => new(null, [new Diagnostic(
        "SET011", Severity.Error, $"{name} cannot name a file here; take the name of a thing in the shop, or leave it as it was.", SourcePlace.Whole(name))]);
}
