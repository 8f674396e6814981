using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Rules;

/// <summary>Openings of one board among those of a side.</summary>
/// <param name="Side">Which side.</param>
/// <param name="Board">Whose: empty for the job's own board.</param>
/// <param name="First">Index of the first.</param>
/// <param name="Count">How many there are.</param>
public sealed record BoardStretch(BoardSide Side, string Board, int First, int Count);

/// <summary>Which opening of a sheet is of which of the boards in its frame.</summary>
/// <remarks>Openings are counted through the whole side, so a board that comes or goes moves those behind it; a person's change must stay with its opening.</remarks>
/// <param name="Stretches">Of each side, from left to right; a side without any has the job's own board alone.</param>
public sealed record FrameBoards(ImmutableArray<BoardStretch> Stretches)
{
    /// <summary>The job's own board alone.</summary>
    public static FrameBoards Own { get; } = new([]);

    /// <summary>The board of an opening, and its index among that board's.</summary>
    /// <param name="side">Which side.</param>
    /// <param name="index">Among all of the side.</param>
    public (string Board, int Index) Of(BoardSide side, int index)
    {
        foreach (var stretch in Stretches)
        {
            if (stretch.Side == side && index >= stretch.First && index < stretch.First + stretch.Count)
            {
                return (stretch.Board, index - stretch.First);
            }
        }

        return ("", index);
    }

    /// <summary>Index among all openings of the side; null when the board or its opening is not there.</summary>
    public int? IndexOf(OpeningChange change)
    {
        ArgumentNullException.ThrowIfNull(change);
        var isAlone = true;
        foreach (var stretch in Stretches)
        {
            if (stretch.Side != change.Side)
            {
                continue;
            }

            isAlone = false;
            if (stretch.Board == change.Board && change.Index >= 0 && change.Index < stretch.Count)
            {
                return stretch.First + change.Index;
            }
        }

        return isAlone && change.Board.Length == 0 ? change.Index : null;
    }
}
