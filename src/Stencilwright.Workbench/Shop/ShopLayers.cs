using System.Collections.Immutable;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.Workbench.Shop;

/// <summary>Gathers what job files and the command line say, then lays it over the things they name.</summary>
/// <remarks>Names are settled first, wherever they were given: a film named on the command line still lies under every line of a job file.</remarks>
internal sealed class ShopLayers(ShopCatalogue shop, ImmutableArray<Diagnostic>.Builder diagnostics)
{
    private readonly List<(Setting Setting, SettingValue Value)> _said = [];
    private readonly Dictionary<ShopKind, (string Name, SourcePlace Place)> _named = [];

    /// <summary>Takes a setting; later ones win.</summary>
    public void Add(Setting setting, SettingReading reading, SourcePlace place)
    {
        var kind = ShopKinds.ChosenBy(setting.Name);
        if (kind is { } one && reading.Code is null && IsThing(one, reading.Value.Text))
        {
            // What was said before, the thing's own paste or rules replace.
            _said.RemoveAll(s => s.Setting.Name == setting.Name);
            _named[one] = (reading.Value.Text, place);
            if (one is ShopKind.Paste or ShopKind.Rules)
            {
                return;
            }
        }

        if (SettingJudge.Accept(setting, reading, place, diagnostics) is { } value)
        {
            _said.Add((setting, value));
            if (kind is { } other && !IsThing(other, value.Text))
            {
                _named.Remove(other);
            }
        }
    }

    /// <summary>The settings in force.</summary>
    public JobSettings Settle()
    {
        var settings = JobSettings.Default;
        foreach (var kind in ShopKinds.All)
        {
            if (_named.TryGetValue(kind, out var named) && Resolve(kind, named.Name, named.Place) is { } item)
            {
                settings = item.Over(settings);
            }
        }

        foreach (var (setting, value) in _said)
        {
            settings = setting.With(settings, value);
        }

        return settings;
    }

    // Pastes that the program knows and rule files are named by the same settings; only what is neither is looked for in the shop.
    private bool IsThing(ShopKind kind, string text) => kind switch
    {
        ShopKind.Paste => Pastes.Find(text) is null && shop.Knows(kind, text),
        ShopKind.Rules => text is not ("default" or "none") && !IsPath(text) && shop.Knows(kind, text),
        _ => text.Length > 0,
    };

    private ShopItem? Resolve(ShopKind kind, string name, SourcePlace place)
    {
        if (!IsPath(name))
        {
            var found = shop.Find(kind, name);
            diagnostics.AddRange(found.Diagnostics.Select(d => d.Code == "SET210" ? d with { Place = place } : d));
            return found.Value is { } entry ? Rooted(entry.Item, entry.File) : null;
        }

        var read = ShopCatalogue.ReadFile(name);
        diagnostics.AddRange(read.Diagnostics);
        if (read.Value is { } item && item.Kind != kind)
        {
            diagnostics.Add(new Diagnostic("SET211", Severity.Error, $"{name} describes a {item.Kind.Word()}; give it as {item.Kind.Chooser()}, or name a {kind.Word()}.", place));
            return null;
        }

        return read.Value is { } good ? Rooted(good, name) : null;
    }

    /// <summary>Whether a text means a file and not the name of a thing.</summary>
    public static bool IsPath(string name) => name.EndsWith(".toml", StringComparison.OrdinalIgnoreCase) || name.AsSpan().ContainsAny('/', '\\');

    // Files that a thing names lie beside its own description.
    private static ShopItem Rooted(ShopItem item, string? file)
    {
        if (file is null || Path.GetDirectoryName(Path.GetFullPath(file)) is not { } folder)
        {
            return item;
        }

        foreach (var name in (string[])["aperture_rules", "release_measurements"])
        {
            if (item.Find(name) is { Text: { Length: > 0 } text } && text is not ("default" or "none") && !Path.IsPathRooted(text))
            {
                item = item.With(name, new SettingValue(Text: Path.Combine(folder, text)));
            }
        }

        return item;
    }
}
