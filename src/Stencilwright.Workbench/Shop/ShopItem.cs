using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.Workbench.Shop;

/// <summary>One setting that a thing brings.</summary>
/// <param name="Name">The setting's name.</param>
/// <param name="Value">Its value, in the setting's own unit.</param>
public readonly record struct ShopValue(string Name, SettingValue Value);

/// <summary>A laser, a film, a frame material, a board, a paste or a set of rules, with the settings that go with it.</summary>
/// <remarks>Equal when everything in them is. What is not set stays as the layer below has it.</remarks>
public sealed record ShopItem
{
    /// <summary>Most characters of a name.</summary>
    public const int LongestName = 60;

    /// <summary>What it is.</summary>
    public required ShopKind Kind { get; init; }

    /// <summary>Its name in job files and on the command line: small letters, digits, points and hyphens.</summary>
    public required string Name { get; init; }

    /// <summary>A line for people; may be empty.</summary>
    public string Title { get; init; } = "";

    /// <summary>Anything worth knowing, of any length; may be empty.</summary>
    public string Note { get; init; } = "";

    /// <summary>Where the values come from: a coupon, a data sheet, common practice; may be empty.</summary>
    public string Source { get; init; } = "";

    /// <summary>The settings it brings, in the order of <see cref="SettingsCatalogue.All"/>, each once.</summary>
    public ImmutableArray<ShopValue> Values { get; private init; } = [];

    /// <summary>Whether words serve as a name: small letters, digits, points and hyphens, first and last a letter or digit.</summary>
    public static bool IsName(string? name) =>
        name is { Length: > 0 and <= LongestName }
        && name.All(c => c is (>= 'a' and <= 'z') or (>= '0' and <= '9') or '.' or '-')
        && char.IsAsciiLetterOrDigit(name[0]) && char.IsAsciiLetterOrDigit(name[^1])
        && !IsDevice(name);

    /// <summary>A name made of any words, such as a title; never empty.</summary>
    public static string NameFrom(string words)
    {
        ArgumentNullException.ThrowIfNull(words);
        var name = new System.Text.StringBuilder();
        foreach (var c in words)
        {
            var small = char.ToLowerInvariant(c);
            if (char.IsAsciiLetterOrDigit(small) || (small == '.' && name.Length > 0 && name[^1] != '-'))
            {
                name.Append(small);
            }
            else if (name.Length > 0 && name[^1] != '-')
            {
                name.Append('-');
            }
        }

        var made = name.ToString(0, Math.Min(name.Length, LongestName)).Trim('-', '.');
        return IsName(made) ? made : made.Length == 0 || made.Length > LongestName - 2 ? "unnamed" : made + "-1";
    }

    /// <summary>The value it brings for a setting, or null.</summary>
    public SettingValue? Find(string setting)
    {
        foreach (var value in Values)
        {
            if (value.Name == setting)
            {
                return value.Value;
            }
        }

        return null;
    }

    /// <summary>The same with one setting brought, or changed.</summary>
    /// <exception cref="ArgumentException">There is no such setting, or it does not belong to the kind.</exception>
    public ShopItem With(string setting, SettingValue value)
    {
        if (SettingsCatalogue.Find(setting) is null || !Kind.MayHold(setting))
        {
            throw new ArgumentException($"{setting} is no setting of a {Kind.Word()}.", nameof(setting));
        }

        var values = ImmutableArray.CreateBuilder<ShopValue>(Values.Length + 1);
        foreach (var known in SettingsCatalogue.All)
        {
            if (known.Name == setting)
            {
                values.Add(new(setting, value));
            }
            else if (Find(known.Name) is { } kept)
            {
                values.Add(new(known.Name, kept));
            }
        }

        return this with { Values = values.ToImmutable() };
    }

    /// <summary>The same without one setting, which then stays as the layer below has it.</summary>
    public ShopItem Without(string setting) => this with { Values = Values.RemoveAll(v => v.Name == setting) };

    /// <summary>Settings with those of this thing put over them.</summary>
    public JobSettings Over(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        foreach (var value in Values)
        {
            settings = SettingsCatalogue.Find(value.Name)!.With(settings, value.Value);
        }

        return settings;
    }

    /// <summary>A thing that brings what settings hold, to keep what has proved good.</summary>
    /// <param name="kind">What it is.</param>
    /// <param name="name">Its name.</param>
    /// <param name="settings">Where the values are taken from; of these, those that belong to the kind.</param>
    public static ShopItem Of(ShopKind kind, string name, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return new ShopItem
        {
            Kind = kind,
            Name = name,
            Values = [.. kind.SettingsOf().Select(s => new ShopValue(s.Name, s.Get(settings)))],
        };
    }

    /// <inheritdoc/>
    public bool Equals(ShopItem? other) =>
        other is not null && Kind == other.Kind && Name == other.Name && Title == other.Title && Note == other.Note
        && Source == other.Source && Values.AsSpan().SequenceEqual(other.Values.AsSpan());

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Kind, Name, Title, Note, Source, Values.Length);

    // Names that one system takes for devices, whatever stands behind the first point.
    private static bool IsDevice(string name)
    {
        var first = name.AsSpan(0, name.IndexOf('.', StringComparison.Ordinal) is var at and >= 0 ? at : name.Length);
        return first is "con" or "prn" or "aux" or "nul"
            || (first.Length == 4 && (first.StartsWith("com") || first.StartsWith("lpt")) && char.IsAsciiDigit(first[3]));
    }
}
