using System.Collections.Immutable;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Workshop;

/// <summary>A person's changes of single openings, as they stand in a job's state.</summary>
public static class OpeningEdits
{
    /// <summary>The state with a wish for some openings in place of what was wished for them before.</summary>
    /// <param name="state">As it is.</param>
    /// <param name="side">Which side of the board.</param>
    /// <param name="indices">Openings of the artwork.</param>
    /// <param name="wish">Null gives them back to the rules.</param>
    /// <param name="offsetMm">For <see cref="OpeningWish.Offset"/>.</param>
    public static JobState With(JobState state, BoardSide side, IEnumerable<int> indices, OpeningWish? wish, double offsetMm = 0)
    {
        ArgumentNullException.ThrowIfNull(state);
        var which = indices.ToHashSet();
        var kept = state.Changes.Where(c => c.Side != side || !which.Contains(c.Index));
        var made = wish is { } wanted ? which.Select(i => new OpeningChange(side, i, wanted, wanted == OpeningWish.Offset ? offsetMm : 0)) : [];
        ImmutableArray<OpeningChange> changes = [.. kept.Concat(made).OrderBy(c => c.Side).ThenBy(c => c.Index)];
        return changes.SequenceEqual(state.Changes) ? state : state with { Changes = changes };
    }

    /// <summary>What is wished for an opening of the artwork; null when the rules decide.</summary>
    public static OpeningChange? Of(JobState state, BoardSide side, int index)
    {
        ArgumentNullException.ThrowIfNull(state);
        return state.Changes.LastOrDefault(c => c.Side == side && c.Index == index);
    }
}
