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
    /// <param name="indices">Openings of the side, counted through all boards.</param>
    /// <param name="wish">Null gives them back to the rules.</param>
    /// <param name="offsetMm">For <see cref="OpeningWish.Offset"/>.</param>
    /// <param name="boards">Which of them are of which board; null when there is one.</param>
    public static JobState With(JobState state, BoardSide side, IEnumerable<int> indices, OpeningWish? wish, double offsetMm = 0, FrameBoards? boards = null)
    {
        ArgumentNullException.ThrowIfNull(state);
        var which = indices.Select(i => (boards ?? FrameBoards.Own).Of(side, i)).ToHashSet();
        var kept = state.Changes.Where(c => c.Side != side || !which.Contains((c.Board, c.Index)));
        var made = wish is { } wanted ? which.Select(i => new OpeningChange(side, i.Index, wanted, wanted == OpeningWish.Offset ? offsetMm : 0, i.Board)) : [];
        ImmutableArray<OpeningChange> changes = [.. kept.Concat(made).OrderBy(c => c.Side).ThenBy(c => c.Board, StringComparer.Ordinal).ThenBy(c => c.Index)];
        return changes.SequenceEqual(state.Changes) ? state : state with { Changes = changes };
    }

    /// <summary>What is wished for an opening of the artwork; null when the rules decide.</summary>
    public static OpeningChange? Of(JobState state, BoardSide side, int index, FrameBoards? boards = null)
    {
        ArgumentNullException.ThrowIfNull(state);
        var (board, at) = (boards ?? FrameBoards.Own).Of(side, index);
        return state.Changes.LastOrDefault(c => c.Side == side && c.Board == board && c.Index == at);
    }
}
