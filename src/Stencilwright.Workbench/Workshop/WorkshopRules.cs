using System.Text;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Shop;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Where a job's aperture rules come from.</summary>
public enum RuleSource
{
    /// <summary>The set that comes with the program.</summary>
    Default,

    /// <summary>No rules: openings as the artwork has them.</summary>
    None,

    /// <summary>A set out of the shop.</summary>
    Shop,

    /// <summary>The job's own.</summary>
    Own,
}

/// <summary>Aperture rules of a job that is kept in the workshop.</summary>
public static class WorkshopRules
{
    private const string Setting = "aperture_rules";
    private const string Name = "rules of this job";

    /// <summary>Where they come from.</summary>
    public static RuleSource SourceOf(JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.RulesToml.Length > 0 ? RuleSource.Own
            : NameOf(state) switch { "default" => RuleSource.Default, "none" => RuleSource.None, _ => RuleSource.Shop };
    }

    /// <summary>What the job names: <c>default</c>, <c>none</c>, or a set out of the shop.</summary>
    public static string NameOf(JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.Settings.GetValueOrDefault(Setting, "default");
    }

    /// <summary>The rules as a file: the job's own, those of the shop that it names, or the default ones as a start.</summary>
    public static string TextOf(JobState state, ShopCatalogue shop)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(shop);
        return state.RulesToml.Length > 0 ? state.RulesToml
            : SourceOf(state) == RuleSource.Shop && shop.Find(ShopKind.Rules, NameOf(state)).Value is { Item: var item } && ShopRules.TextOf(shop, item) is { } kept ? kept
            : ShopRules.DefaultToml;
    }

    /// <summary>Reads rules that a person wrote; diagnostics have their line.</summary>
    public static Outcome<RuleSet> Read(string toml) => RuleSetReader.Read(new SourceText(Name, Encoding.UTF8.GetBytes(toml)));

    /// <summary>The rules in force.</summary>
    /// <param name="state">The job's decisions.</param>
    /// <param name="settings">Its settings in force: a set of the shop has its file there.</param>
    public static Outcome<RuleSet> InForce(JobState state, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(state);
        ArgumentNullException.ThrowIfNull(settings);
        return state.RulesToml.Length > 0 ? Read(state.RulesToml) : RuleChoice.Load(settings.ApertureRules);
    }

    /// <summary>The state with rules from elsewhere; a job's own begin as those that are in force, or as the default ones.</summary>
    /// <param name="state">The job's decisions.</param>
    /// <param name="source">Where the rules come from.</param>
    /// <param name="shop">The shop.</param>
    /// <param name="name">For a set out of the shop, which.</param>
    public static JobState Take(JobState state, RuleSource source, ShopCatalogue shop, string name = "")
    {
        ArgumentNullException.ThrowIfNull(state);
        return source switch
        {
            RuleSource.Default => state.With(Setting, null) with { RulesToml = "" },
            RuleSource.None => state.With(Setting, "none") with { RulesToml = "" },
            RuleSource.Shop => state.With(Setting, name) with { RulesToml = "" },
            _ => WithText(state, TextOf(state, shop)),
        };
    }

    /// <summary>The state with own rules.</summary>
    public static JobState WithText(JobState state, string toml)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.With(Setting, null) with { RulesToml = toml };
    }
}
