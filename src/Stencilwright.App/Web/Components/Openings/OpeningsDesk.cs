using System.Collections.Immutable;
using System.Text;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web.Components.Openings;

/// <summary>What the page of openings shows and what is chosen on it: its parts share one.</summary>
public sealed class OpeningsDesk
{
    // A longer address is cut off by some browsers and mail programs.
    private const int LongestAddress = 1500;

    private SideFigures? _earlier;
    private HashSet<string> _chosen = new(StringComparer.Ordinal);

    /// <summary>Raised when anything is chosen or worked out anew.</summary>
    public event EventHandler? Changed;

    /// <summary>The job that is open.</summary>
    public OpenJob? Job { get; private set; }

    /// <summary>What came of it last.</summary>
    public JobResult? Result { get; private set; }

    /// <summary>The side that is shown; null while nothing is worked out.</summary>
    public SideFigures? Figures { get; private set; }

    /// <summary>Sides that the job has.</summary>
    public ImmutableArray<BoardSide> Sides { get; private set; } = [];

    /// <summary>Side that was asked for; the first that exists when there is none such.</summary>
    public BoardSide Side { get; private set; }

    /// <summary>By what openings are coloured.</summary>
    public string By { get; private set; } = Scales.Verdict;

    /// <summary>Ids of the selected openings, in the side's order.</summary>
    public ImmutableArray<string> Selected { get; private set; } = [];

    /// <summary>What the last change did; null before the first.</summary>
    public SideComparison? Comparison { get; private set; }

    /// <summary>The last change in words.</summary>
    public string ComparedWith { get; private set; } = "";

    /// <summary>The opening of which everything is shown: the first selected.</summary>
    public OpeningFigures? First => Selected.IsEmpty ? null : Figures?.Find(Selected[0]);

    /// <summary>Called to bring openings into view in the drawing.</summary>
    public Func<IReadOnlyCollection<string>, Task>? Show { get; set; }

    /// <summary>Counts changes of the selection that the table must follow.</summary>
    public int Follow { get; private set; }

    public bool IsChosen(string id) => _chosen.Contains(id);

    /// <summary>Takes what the job has come to.</summary>
    public void Take(OpenJob job)
    {
        Job = job;
        if (job.Result is { } result && !ReferenceEquals(result, Result))
        {
            var isSameState = ReferenceEquals(Result?.State, result.State);
            Result = result;
            Look(isNew: true, isSameState);
        }

        Changed?.Invoke(this, EventArgs.Empty);
    }

    /// <summary>Takes what the address says.</summary>
    public void Ask(string? side, string? by, string? select)
    {
        Side = side == "bottom" ? BoardSide.Bottom : BoardSide.Top;
        By = by is not null && Scales.Names.Contains(by, StringComparer.Ordinal) ? by : Scales.Verdict;
        Look(isNew: false);
        if (Figures is not null && select is not null)
        {
            Set(Read(select));
        }
    }

    public void ShowSide(BoardSide side)
    {
        Side = side;
        (_earlier, Comparison) = (null, null);
        Look(isNew: false);
        Set([]);
        Tell();
    }

    public void ColourBy(string by)
    {
        By = by;
        Tell();
    }

    /// <summary>Puts away what the last change did.</summary>
    public void Forget()
    {
        Comparison = null;
        Tell();
    }

    /// <summary>Selects these alone.</summary>
    /// <param name="ids">Which.</param>
    /// <param name="fromDrawing">Chosen in the drawing, which then need not be moved.</param>
    public async Task SelectAsync(IEnumerable<string> ids, bool fromDrawing = false)
    {
        Set(ids);
        Follow += fromDrawing ? 1 : 0;
        Tell();
        if (!fromDrawing && !Selected.IsEmpty && Show is not null)
        {
            await Show(Selected);
        }
    }

    public Task SelectAsync(Func<OpeningFigures, bool> which) => SelectAsync(Figures?.Openings.Where(which).Select(o => o.Id).ToList() ?? []);

    /// <summary>The selection for an address: ids with runs of neighbours written <c>a0001~a0040</c>; null for none or too many.</summary>
    public string? Address()
    {
        if (Figures is null || Selected.IsEmpty)
        {
            return null;
        }

        var text = new StringBuilder();
        for (var i = 0; i < Selected.Length;)
        {
            var from = i;
            var at = Figures.Find(Selected[i])!.At;
            while (i + 1 < Selected.Length && Figures.Find(Selected[i + 1])!.At == at + (i + 1 - from))
            {
                i++;
            }

            text.Append(text.Length > 0 ? "," : "").Append(Selected[from]);
            text.Append(i > from + 1 ? "~" : i > from ? "," : "").Append(i > from ? Selected[i] : "");
            i++;
            if (text.Length > LongestAddress)
            {
                return null;
            }
        }

        return text.ToString();
    }

    private HashSet<string> Read(string select)
    {
        var ids = new HashSet<string>(StringComparer.Ordinal);
        // No address of ours is longer: what an address can ask for must stay little work.
        if (select.Length > 2 * LongestAddress)
        {
            return ids;
        }

        foreach (var one in select.Split(',', StringSplitOptions.RemoveEmptyEntries))
        {
            if (one.Split('~') is [var from, var to] && Figures!.Find(from) is { } first && Figures.Find(to) is { } last)
            {
                ids.UnionWith(Figures.Openings.Where(o => o.At >= first.At && o.At <= last.At).Select(o => o.Id));
            }
            else
            {
                ids.Add(one);
            }
        }

        return ids;
    }

    private void Set(IEnumerable<string> ids)
    {
        var known = Figures is null ? [] : ids.Select(Figures.Find).OfType<OpeningFigures>().Distinct().OrderBy(o => o.At).ToList();
        Selected = [.. known.Select(o => o.Id)];
        _chosen = [.. Selected];
    }

    private void Tell() => Changed?.Invoke(this, EventArgs.Empty);

    private void Look(bool isNew, bool isSameState = false)
    {
        if (Result?.Job is not { Sides: [_, ..] } made)
        {
            Figures = null;
            return;
        }

        Sides = [.. made.Sides.Select(s => s.Design.Side)];
        var side = made.Sides.FirstOrDefault(s => s.Design.Side == Side) ?? made.Sides[0];
        Side = side.Design.Side;
        if (ReferenceEquals(Figures?.Side, side))
        {
            return;
        }

        var last = Figures;
        Figures = SideFigures.Of(side, made.Settings);
        if (isNew && last is not null && last.Side.Design.Side == Side)
        {
            Compare(last, isSameState);
        }

        Set(Selected);
    }

    // A second result of one state differs from the first in the order of cuts alone.
    private void Compare(SideFigures last, bool isSameState)
    {
        if (!isSameState)
        {
            _earlier = last;
            ComparedWith = Job?.Steps.Undo ?? "";
        }

        if (_earlier is not null)
        {
            Comparison = SideComparison.Of(_earlier, Figures!);
        }

        // Nothing more comes of this state: a whole job of before need not be kept for it.
        _earlier = Result!.IsOrdered ? null : _earlier;
    }
}
