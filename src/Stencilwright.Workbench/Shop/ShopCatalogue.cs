using System.Collections.Immutable;
using System.Security;
using System.Text;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Shop;

/// <summary>A thing and where it was found.</summary>
/// <param name="Item">The thing.</param>
/// <param name="File">The user's file; null for one that comes with the program.</param>
/// <param name="HidesShipped">Whether one of the same kind and name comes with the program.</param>
public sealed record ShopEntry(ShopItem Item, string? File, bool HidesShipped)
{
    /// <summary>Whether it comes with the program and can therefore not be changed or removed, only covered by one of the same name.</summary>
    public bool IsShipped => File is null;
}

/// <summary>The things of a kind.</summary>
/// <param name="Entries">Ordered by name.</param>
/// <param name="Diagnostics">Files that could not be read as what they should be.</param>
public sealed record ShopListing(ImmutableArray<ShopEntry> Entries, ImmutableArray<Diagnostic> Diagnostics);

/// <summary>
/// The shop's things: those that come with the program, and the user's own in a folder, one TOML file each
/// (<c>films/thin.toml</c>). The user's win over those of the same name.
/// </summary>
/// <remarks>Nothing is kept in memory between calls: files changed by hand or by another program are seen at once.</remarks>
public sealed class ShopCatalogue
{
    private const long LargestBytes = 1 << 20;
    private const string Suffix = ".toml";
    private const string PartSuffix = ".stencilwright-part";

    /// <summary>A shop in a folder.</summary>
    /// <param name="folder">Need not exist yet; null for the things that come with the program alone.</param>
    public ShopCatalogue(string? folder) => Folder = folder;

    /// <summary>Raised after a thing was kept or removed through this object, from any thread.</summary>
    public event EventHandler? Changed;

    /// <summary>Only what comes with the program.</summary>
    public static ShopCatalogue ShippedOnly { get; } = new(null);

    /// <summary>Where the user's things are kept; null when there is no such place.</summary>
    public string? Folder { get; }

    /// <summary>Reads a description, such as one that is imported or edited as text.</summary>
    public static Outcome<ShopItem> Parse(string toml, string fileName) =>
        ShopItemText.Read(new SourceText(fileName, Encoding.UTF8.GetBytes(toml)));

    /// <summary>Writes a description, to be exported or edited as text.</summary>
    public static string ToToml(ShopItem item) => ShopItemText.Write(item);

    /// <summary>All things of a kind.</summary>
    public ShopListing List(ShopKind kind)
    {
        var diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
        var entries = new SortedDictionary<string, ShopEntry>(StringComparer.Ordinal);
        foreach (var item in ShippedItems.Of(kind))
        {
            entries[item.Name] = new(item, null, HidesShipped: false);
        }

        foreach (var path in UserFiles(kind, diagnostics))
        {
            var read = ReadUser(kind, path);
            diagnostics.AddRange(read.Diagnostics);
            if (read.Value is { } item)
            {
                entries[item.Name] = new(item, path, entries.ContainsKey(item.Name));
            }
        }

        return new([.. entries.Values], diagnostics.ToImmutable());
    }

    /// <summary>The thing of that name, the user's before the program's.</summary>
    /// <returns>Without a value when there is none, or the user's file cannot be read; a diagnostic says which.</returns>
    public Outcome<ShopEntry> Find(ShopKind kind, string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        if (UserFile(kind, name) is { } path && File.Exists(path))
        {
            var read = ReadUser(kind, path);
            return new(read.Value is { } own ? new ShopEntry(own, path, ShippedItems.Find(kind, name) is not null) : null, read.Diagnostics);
        }

        return ShippedItems.Find(kind, name) is { } item
            ? new(new ShopEntry(item, null, HidesShipped: false), [])
            : new(null, [NotThere(kind, name)]);
    }

    /// <summary>Whether there is a thing of that name, readable or not.</summary>
    public bool Knows(ShopKind kind, string name) =>
        (UserFile(kind, name) is { } path && File.Exists(path)) || ShippedItems.Find(kind, name) is not null;

    /// <summary>A name that is not taken: the wanted one, or with a number behind it.</summary>
    public string FreeName(ShopKind kind, string wanted)
    {
        var name = ShopItem.IsName(wanted) ? wanted : ShopItem.NameFrom(wanted);
        var stem = name[..Math.Min(name.Length, ShopItem.LongestName - 5)].TrimEnd('-', '.');
        for (var i = 2; Knows(kind, name); i++)
        {
            name = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{stem}-{i}");
        }

        return name;
    }

    /// <summary>Keeps a thing in the user's folder, in place of a former one of that name; the file is whole at every moment.</summary>
    /// <returns>Empty when it is kept; otherwise what is wrong, and nothing was changed.</returns>
    public ImmutableArray<Diagnostic> Save(ShopItem item)
    {
        ArgumentNullException.ThrowIfNull(item);
        var text = ShopItemText.Write(item);
        // What could not be read back must not be kept.
        var back = Parse(text, item.Name + Suffix);
        if (back.Failed)
        {
            return back.Diagnostics;
        }

        if (UserFile(item.Kind, item.Name) is not { } path)
        {
            return [NoFolder()];
        }

        try
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            WriteWhole(path, Encoding.UTF8.GetBytes(text));
        }
        catch (Exception failure) when (IsFileFailure(failure))
        {
            return [Error("SET207", $"this cannot be written: {Reason(failure)}; nothing was changed; make room or see to the folder's rights.", path)];
        }

        Changed?.Invoke(this, EventArgs.Empty);
        return [];
    }

    /// <summary>Removes a thing of the user's; one of the same name that comes with the program shows again.</summary>
    /// <returns>Empty when it is gone; otherwise why not.</returns>
    public ImmutableArray<Diagnostic> Delete(ShopKind kind, string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        if (UserFile(kind, name) is not { } path || !File.Exists(path))
        {
            return [ShippedItems.Find(kind, name) is null
                ? NotThere(kind, name)
                : Error("SET208", $"{name} comes with the program and stays; keep one of your own under the same name to cover it.", name)];
        }

        try
        {
            File.Delete(path);
        }
        catch (Exception failure) when (IsFileFailure(failure))
        {
            return [Error("SET207", $"this cannot be removed: {Reason(failure)}.", path)];
        }

        Changed?.Invoke(this, EventArgs.Empty);
        return [];
    }

    /// <summary>Reads a thing from any file.</summary>
    public static Outcome<ShopItem> ReadFile(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        try
        {
            if (new FileInfo(path) is { Exists: true, Length: > LargestBytes })
            {
                return new(null, [Error("SET206", "this file is far too large for a description of a thing; check its name.", path)]);
            }

            return ShopItemText.Read(new SourceText(path, File.ReadAllBytes(path)));
        }
        catch (Exception failure) when (IsFileFailure(failure))
        {
            return new(null, [Error("SET206", $"this file cannot be read ({failure.Message.TrimEnd('.')}); check its name.", path)]);
        }
    }

    // Beside its place first, then renamed, which the file system does in one step.
    private static void WriteWhole(string path, byte[] bytes)
    {
        // Of a name of its own: two that keep the same thing at once must not take each other's away.
        var part = path + "." + Guid.NewGuid().ToString("N") + PartSuffix;
        try
        {
            using (var stream = new FileStream(part, FileMode.CreateNew, FileAccess.Write, FileShare.None))
            {
                stream.Write(bytes);
                stream.Flush(flushToDisk: true);
            }

            File.Move(part, path, overwrite: true);
        }
        finally
        {
            File.Delete(part);
        }
    }

    private static Outcome<ShopItem> ReadUser(ShopKind kind, string path)
    {
        var read = ReadFile(path);
        if (read.Failed)
        {
            return new(null, read.Diagnostics);
        }

        var name = Path.GetFileNameWithoutExtension(path);
        return read.Value!.Kind != kind || read.Value.Name != name
            ? new(null, [Error("SET209", $"this file describes the {read.Value.Kind.Word()} {read.Value.Name}; move it to {read.Value.Kind.Plural()}/{read.Value.Name}{Suffix}.", path)])
            : read;
    }

    private string? UserFile(ShopKind kind, string name) =>
        Folder is null || !ShopItem.IsName(name) ? null : Path.Combine(Folder, kind.Plural(), name + Suffix);

    private string[] UserFiles(ShopKind kind, ImmutableArray<Diagnostic>.Builder diagnostics)
    {
        if (Folder is null || Path.Combine(Folder, kind.Plural()) is var folder && !Directory.Exists(folder))
        {
            return [];
        }

        try
        {
            var files = Directory.GetFiles(folder, "*" + Suffix);
            Array.Sort(files, StringComparer.Ordinal);
            return files;
        }
        catch (Exception failure) when (IsFileFailure(failure))
        {
            diagnostics.Add(Error("SET206", $"this folder cannot be read ({failure.Message.TrimEnd('.')}).", folder));
            return [];
        }
    }

    private Diagnostic NotThere(ShopKind kind, string name)
    {
        var near = Suggestion.For(name, List(kind).Entries.Select(e => e.Item.Name));
        return Error(
            "SET210",
            near is null ? $"the shop has no {kind.Word()} {name}; `stencilwright shop list {kind.Plural()}` shows what it has."
                : $"the shop has no {kind.Word()} {name}; did you mean {near}?",
            kind.Plural());
    }

    private static Diagnostic NoFolder() =>
        Error("SET207", "there is no folder to keep things in; set STENCILWRIGHT_SHOP to one.", "shop");

    private static bool IsFileFailure(Exception failure) =>
        failure is IOException or UnauthorizedAccessException or SecurityException or NotSupportedException or ArgumentException;

    private static string Reason(Exception failure) =>
        failure is UnauthorizedAccessException ? "it may not be changed by you" : failure.Message.TrimEnd('.');

    private static Diagnostic Error(string code, string message, string place) => new(code, Severity.Error, message, SourcePlace.Whole(place));
}
