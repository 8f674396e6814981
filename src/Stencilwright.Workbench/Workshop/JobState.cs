using System.Collections.Immutable;
using System.Text.Json;
using System.Text.Json.Serialization;
using Stencilwright.Design.Rules;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Everything a person decided about a job; a revision of it is kept for every change.</summary>
public sealed record JobState
{
    /// <summary>Name in the list, and the title scored into the sheets unless the settings give one.</summary>
    public required string Title { get; init; }

    /// <summary>Settings that differ from the defaults, by name, in the form that <c>--set</c> takes.</summary>
    public ImmutableSortedDictionary<string, string> Settings { get; init; } = ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>Roles that a person gave to files, in the contract's words.</summary>
    public ImmutableSortedDictionary<string, string> Roles { get; init; } = ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>Sides to make.</summary>
    public SideChoice Side { get; init; }

    /// <summary>Jobs whose boards lie in the same frame, to the right of this one's.</summary>
    public ImmutableArray<string> Beside { get; init; } = [];

    /// <summary>Changes of single openings.</summary>
    public ImmutableArray<OpeningChange> Changes { get; init; } = [];

    /// <summary>Aperture rules of this job alone, as TOML; empty when the setting <c>aperture_rules</c> decides.</summary>
    public string RulesToml { get; init; } = "";

    /// <summary>The material whose cautions were acknowledged, as <see cref="CutRelease.MaterialOf"/> names it; empty before that.</summary>
    public string Released { get; init; } = "";

    /// <summary>Put over the settings: text for a name, or null to return to the default.</summary>
    public JobState With(string setting, string? text) =>
        this with { Settings = text is null ? Settings.Remove(setting) : Settings.SetItem(setting, text) };

    /// <summary>As kept in the database.</summary>
    public string ToJson() => JsonSerializer.Serialize(this, StateJson.Default.JobState);

    /// <summary>From the database.</summary>
    /// <exception cref="JsonException">The text is no state.</exception>
    public static JobState FromJson(string json)
    {
        var state = JsonSerializer.Deserialize(json, StateJson.Default.JobState) ?? throw new JsonException("A job's state is empty.");
        // What a state of an earlier version did not have is not there at all.
        return state with { Changes = state.Changes.IsDefault ? [] : state.Changes, Beside = state.Beside.IsDefault ? [] : state.Beside, Released = state.Released ?? "" };
    }
}

[JsonSourceGenerationOptions(UseStringEnumConverter = true)]
[JsonSerializable(typeof(JobState))]
internal sealed partial class StateJson : JsonSerializerContext;
