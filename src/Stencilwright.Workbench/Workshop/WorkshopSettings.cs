using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Settings of a job that is kept in the workshop.</summary>
public static class WorkshopSettings
{
    /// <summary>Settings whose value may name a file: over the web no file of the machine is read by name.</summary>
    private static readonly Dictionary<string, string[]> _named = new(StringComparer.Ordinal)
    {
        ["aperture_rules"] = ["default", "none"],
        ["release_measurements"] = [""],
    };

    /// <summary>The settings in force.</summary>
    public static Outcome<JobSettings> Read(JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        foreach (var (name, text) in state.Settings)
        {
            if (ShopKinds.All.Any(k => k.Word() == name) && ShopLayers.IsPath(text))
            {
                return new Outcome<JobSettings>(null, [new Diagnostic(
                    "SET011", Severity.Error, $"{name} cannot name a file here; take the name of a thing in the shop.", SourcePlace.Whole(name))]);
            }

            if (_named.TryGetValue(name, out var allowed) && !allowed.Contains(text, StringComparer.Ordinal))
            {
                return new Outcome<JobSettings>(null, [new Diagnostic(
                    "SET011", Severity.Error, $"{name} cannot name a file here; take one of: {string.Join(", ", allowed.Select(a => a.Length == 0 ? "nothing" : a))}.", SourcePlace.Whole(name))]);
            }
        }

        return SettingsReader.Read([], state.Settings.Select(s => s.Key + "=" + s.Value));
    }

    /// <summary>What is wrong with a text for a setting; null when nothing is.</summary>
    public static string? Wrong(string name, string text)
    {
        var state = new JobState { Title = "" }.With(name, text);
        return Read(state).Diagnostics.FirstOrDefault(d => d.Severity == Severity.Error)?.Message;
    }
}
