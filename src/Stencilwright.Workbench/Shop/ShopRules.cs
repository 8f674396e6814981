using System.Security;
using System.Text;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Shop;

/// <summary>The text of aperture rules that a thing of the shop brings, kept in a file beside it.</summary>
public static class ShopRules
{
    private const string Suffix = ".aperture-rules";
    private const string Setting = "aperture_rules";

    /// <summary>The program's own rules as TOML, to begin with.</summary>
    public static string DefaultToml => Encoding.UTF8.GetString(DefaultRules.Text().Bytes.Span);

    /// <summary>The rules' TOML; null when the thing brings the program's own rules, none, or a file that is not there.</summary>
    public static string? TextOf(ShopCatalogue shop, ShopItem item)
    {
        ArgumentNullException.ThrowIfNull(shop);
        ArgumentNullException.ThrowIfNull(item);
        try
        {
            return FileOf(shop, item.Name) is { } path && item.Find(Setting)?.Text == Path.GetFileName(path) && File.Exists(path) ? File.ReadAllText(path) : null;
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or SecurityException)
        {
            return null;
        }
    }

    /// <summary>Keeps a thing of the shop with rules of its own.</summary>
    /// <param name="shop">The shop.</param>
    /// <param name="item">A thing of the kind <see cref="ShopKind.Rules"/>.</param>
    /// <param name="toml">The rules.</param>
    /// <returns>Empty when both are kept; otherwise what is wrong, and nothing was changed.</returns>
    public static IReadOnlyList<Diagnostic> Save(ShopCatalogue shop, ShopItem item, string toml)
    {
        ArgumentNullException.ThrowIfNull(shop);
        ArgumentNullException.ThrowIfNull(item);
        var bytes = Encoding.UTF8.GetBytes(toml);
        var read = RuleSetReader.Read(new SourceText(item.Name, bytes));
        if (read.Failed)
        {
            return read.Diagnostics;
        }

        if (FileOf(shop, item.Name) is not { } path)
        {
            return shop.Save(item);
        }

        // The rules first: a thing that names rules which are not there could not be used.
        var failures = Files.FolderWriter.WriteAll(Path.GetDirectoryName(path)!, [(Path.GetFileName(path), bytes)]);
        return failures.IsEmpty ? shop.Save(item.With(Setting, new(Text: Path.GetFileName(path)))) : failures;
    }

    private static string? FileOf(ShopCatalogue shop, string name) =>
        shop.Folder is null || !ShopItem.IsName(name) ? null : Path.Combine(shop.Folder, ShopKind.Rules.Plural(), name + Suffix);
}
