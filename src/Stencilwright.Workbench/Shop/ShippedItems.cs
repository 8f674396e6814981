using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.Workbench.Shop;

/// <summary>Starting values that come with the program.</summary>
internal static class ShippedItems
{
    private const string Prefix = "shop.";
    private const string Suffix = ".toml";

    /// <summary>All of a kind, in no order that matters.</summary>
    public static ImmutableArray<ShopItem> Of(ShopKind kind)
    {
        if (kind == ShopKind.Paste)
        {
            return [.. Pastes.All.Select(Paste)];
        }

        var start = Prefix + kind.Word() + ".";
        var names = typeof(ShippedItems).Assembly.GetManifestResourceNames().Where(n => n.StartsWith(start, StringComparison.Ordinal));
        return [.. names.Order(StringComparer.Ordinal).Select(Load)];
    }

    /// <summary>The one of that name, or null.</summary>
    public static ShopItem? Find(ShopKind kind, string name)
    {
        if (kind == ShopKind.Paste)
        {
            return Pastes.All.FirstOrDefault(p => p.Name == name) is { } paste ? Paste(paste) : null;
        }

        var resource = Prefix + kind.Word() + "." + name + Suffix;
        return ShopItem.IsName(name) && typeof(ShippedItems).Assembly.GetManifestResourceInfo(resource) is not null ? Load(resource) : null;
    }

    private static ShopItem Load(string resource)
    {
        using var stream = typeof(ShippedItems).Assembly.GetManifestResourceStream(resource)!;
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return ShopItemText.Read(new SourceText(resource, bytes)).Value
            ?? throw new InvalidOperationException($"The program's own {resource} is damaged.");
    }

    private static ShopItem Paste(Paste paste) => new ShopItem
    {
        Kind = ShopKind.Paste,
        Name = paste.Name,
        Title = string.Create(
            CultureInfo.InvariantCulture,
            $"{paste.Name[..paste.Name.IndexOf('-', StringComparison.Ordinal)].ToUpperInvariant()}, powder type {paste.Name[^1]} (up to {paste.LargestPowderUm:0} µm)"),
        Source = "alloy density and metal content as named in the program's list of pastes",
    }.With("paste", new SettingValue(Text: paste.Name));
}
