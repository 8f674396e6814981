using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Rules;

/// <summary>A rule while its keys are being read.</summary>
internal sealed class RuleDraft
{
    public required SourcePlace Place { get; init; }

    public string? Name { get; set; }

    public string? Source { get; set; }

    public double KeepAreaRatio { get; set; } = 0.66;

    public RuleMatch Match { get; set; } = new();

    public RuleChange Change { get; set; } = new();

    /// <summary>Where each key stands that was given, whether its value was good or not.</summary>
    public Dictionary<string, SourcePlace> Given { get; } = new(StringComparer.Ordinal);

    /// <summary>True when anything about it is wrong: such a rule is left out, since half a rule may do harm.</summary>
    public bool IsSpoilt { get; set; }

    // Panes are put together from several keys.
    public double PaneCoveragePercent { get; set; }

    public double PaneWebMm { get; set; } = 0.25;

    public double PaneMostMm { get; set; } = 2;

    public double PaneLeastMm { get; set; } = 0.4;

    public PaneEdges PaneEdges { get; set; }

    public double? PaneViaClearanceMm { get; set; }

    public ApertureRule Finish() => new()
    {
        Name = Name!,
        Source = Source!,
        Place = Place,
        KeepAreaRatio = KeepAreaRatio,
        Match = Match,
        Change = PaneCoveragePercent > 0
            ? Change with { Panes = new(PaneCoveragePercent, PaneWebMm, PaneMostMm, PaneLeastMm, PaneEdges, PaneViaClearanceMm) }
            : Change,
    };
}

/// <summary>How a key's value is written.</summary>
internal enum KeyKind
{
    Flag,
    Number,
    Range,
    Text,
    Word,
    Words,
}

/// <summary>A value as read; only the member that belongs to the key's kind means anything.</summary>
internal readonly record struct KeyValue(bool Flag = false, double Number = 0, NumberRange Range = default, string Text = "", ImmutableArray<string> Words = default);

/// <summary>One key of a rule file.</summary>
internal sealed record RuleKey(string Table, string Name, KeyKind Kind, Action<RuleDraft, KeyValue> Set)
{
    /// <summary>Least number allowed.</summary>
    public double Least { get; init; }

    /// <summary>Greatest number allowed.</summary>
    public double Most { get; init; }

    /// <summary>The words allowed; empty for any.</summary>
    public ImmutableArray<string> Known { get; init; } = [];

    /// <summary>The key with its table, as people write it.</summary>
    public string Path { get; } = Table.Length == 0 ? Name : Table + "." + Name;
}
