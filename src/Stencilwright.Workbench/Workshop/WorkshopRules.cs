using System.Text;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Workshop;

/// <summary>Where a job's aperture rules come from.</summary>
public enum RuleSource
{
    /// <summary>The set that comes with the program.</summary>
    Default,

    /// <summary>No rules: openings as the artwork has them.</summary>
    None,

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
            : state.Settings.TryGetValue(Setting, out var named) && named == "none" ? RuleSource.None : RuleSource.Default;
    }

    /// <summary>The rules as a file: the job's own, or the default ones as a start for them.</summary>
    public static string TextOf(JobState state)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.RulesToml.Length > 0 ? state.RulesToml : Encoding.UTF8.GetString(DefaultRules.Text().Bytes.Span);
    }

    /// <summary>Reads rules that a person wrote; diagnostics have their line.</summary>
    public static Outcome<RuleSet> Read(string toml) => RuleSetReader.Read(new SourceText(Name, Encoding.UTF8.GetBytes(toml)));

    /// <summary>The rules in force.</summary>
    public static Outcome<RuleSet> InForce(JobState state) => SourceOf(state) switch
    {
        RuleSource.Own => Read(state.RulesToml),
        RuleSource.None => new(RuleSet.None, []),
        _ => new(RuleSet.Default, []),
    };

    /// <summary>The state with rules from elsewhere; a job's own begin as those that are in force, or as the default ones.</summary>
    public static JobState Take(JobState state, RuleSource source)
    {
        ArgumentNullException.ThrowIfNull(state);
        return source switch
        {
            RuleSource.Default => state.With(Setting, null) with { RulesToml = "" },
            RuleSource.None => state.With(Setting, "none") with { RulesToml = "" },
            _ => WithText(state, TextOf(state)),
        };
    }

    /// <summary>The state with own rules.</summary>
    public static JobState WithText(JobState state, string toml)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.With(Setting, null) with { RulesToml = toml };
    }
}
