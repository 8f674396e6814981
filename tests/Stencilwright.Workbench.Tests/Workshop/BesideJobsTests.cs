using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

/// <summary>Boards of other jobs in a job's frame, which come, go and change by themselves.</summary>
public sealed class BesideJobsTests : WorkshopTests
{
    [Theory]
    [InlineData("out")]
    [InlineData("copies")]
    [InlineData("deleted")]
    public async Task A_change_of_an_opening_stays_with_its_opening_whatever_comes_or_goes_before_it(string what)
    {
        var (first, second) = (Create("blinky", "first"), Create("blinky", "second"));
        var job = Jobs.Enter(Create("blinky", "own"))!;
        job.Change("beside", s => s.With("film_blank_mm", "400x400").With("frame_blank_mm", "400x400") with { Beside = [first, second] });
        var boards = (await SettledAsync(job)).Boards;
        var count = boards.Stretches[0].Count;
        Assert.Equal([("", 0), (first, count), (second, 2 * count)], boards.Stretches.Select(s => (s.Board, s.First)));
        // One opening of the last board, and one of the one that goes.
        job.Change("out", s => OpeningEdits.With(s, BoardSide.Top, [(2 * count) + 3, count + 1], OpeningWish.LeaveOut, boards: boards));
        Assert.Equal([count + 1, (2 * count) + 3], LeftOut(await SettledAsync(job)));
        Assert.NotNull(OpeningEdits.Of(job.State, BoardSide.Top, (2 * count) + 3, boards));
        Assert.Null(OpeningEdits.Of(job.State, BoardSide.Top, 3, boards));
        switch (what)
        {
            case "out":
                job.Change("out", s => s with { Beside = s.Beside.Remove(first) });
                break;
            case "copies":
                job.Change("two", s => s.With("boards_across", "2"));
                break;
            default:
                Jobs.Delete(first);
                await UntilAsync(job, r => r.Diagnostics.Any(d => d.Code == "PKG112"));
                break;
        }

        int[] expected = what == "copies" ? [(2 * count) + 1, (3 * count) + 3] : [count + 3];
        Assert.Equal(expected, LeftOut(await SettledAsync(job)));
        Assert.Equal(expected, job.State.Changes.Select(job.Result!.Boards.IndexOf).OfType<int>().Order());
    }

    [Fact]
    public async Task A_job_follows_the_other_job_whose_board_lies_beside_its_own()
    {
        var other = Create("twoside", "other");
        var job = Jobs.Enter(Create("blinky", "own"))!;
        job.Change("beside", s => s.With("film_blank_mm", "400x400").With("frame_blank_mm", "400x400") with { Beside = [other] });
        Assert.Equal(2, (await SettledAsync(job)).Job!.Sides.Length);
        Jobs.Change(other, "role", s => s with { Roles = s.Roles.SetItem("twoside-bottom-paste.gbr", "ignore") });
        await UntilAsync(job, r => r.Job?.Sides.Length == 1);
    }

    [Fact]
    public async Task Jobs_of_the_same_title_are_not_taken_for_one_another()
    {
        var (one, two) = (Create("blinky", "board"), Create("dense", "board"));
        var job = Jobs.Enter(Create("blinky", "own"))!;
        job.Change("one", s => s with { Beside = [one] });
        var before = (await SettledAsync(job)).Job!.Outline!.WidthMm;
        job.Change("two", s => s with { Beside = [two] });
        Assert.NotEqual(before, (await SettledAsync(job)).Job!.Outline!.WidthMm, 3);
    }

    [Fact]
    public void A_change_that_was_kept_before_there_were_several_boards_is_of_the_jobs_own()
    {
        var state = JobState.FromJson("""{"Title":"t","Changes":[{"Side":"Top","Index":3,"Wish":"LeaveOut","OffsetMm":0}]}""");
        Assert.Equal([new OpeningChange(BoardSide.Top, 3, OpeningWish.LeaveOut)], state.Changes);
    }

    private static IEnumerable<int> LeftOut(JobResult result)
    {
        var side = result.Job!.Sides.Single(s => s.Design.Side == BoardSide.Top).Design;
        var made = side.Openings.Select(o => OpeningFigures.IndexOf(o.Id)).ToHashSet();
        var all = result.Boards.Stretches.Where(s => s.Side == BoardSide.Top).Sum(s => s.Count);
        return Enumerable.Range(0, all).Where(i => !made.Contains(i));
    }

    private static async Task UntilAsync(OpenJob job, Func<JobResult, bool> isSo)
    {
        var met = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        void Look(object? sender, EventArgs e)
        {
            if (job.Result is { } result && isSo(result))
            {
                met.TrySetResult();
            }
        }

        job.Changed += Look;
        Look(null, EventArgs.Empty);
        await met.Task.WaitAsync(TimeSpan.FromSeconds(60), TestContext.Current.CancellationToken);
        job.Changed -= Look;
    }
}
