using Stencilwright.Cutting;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Workbench.Shop;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

/// <summary>What the page of openings is given to show.</summary>
public sealed class OpeningPageTests : WorkshopTests
{
    [Fact]
    public async Task Figures_of_a_side_add_up_to_what_its_openings_are()
    {
        var (_, side, figures) = await OpenAsync("dense");
        Assert.Equal(side.Plan.Openings.Length, figures.Openings.Length);
        foreach (var verdict in Enum.GetValues<Verdict>())
        {
            Assert.Equal(side.Plan.Openings.Count(o => o.Verdict == verdict), figures.Tally[verdict]);
        }

        Assert.All(figures.Openings, (o, i) => Assert.Same(side.Plan.Openings[i], figures.Find(o.Id)!.AsCut));
        var kinds = figures.VolumeByKind();
        Assert.Equal(figures.Openings.Length, kinds.Sum(k => k.Openings));
        Assert.Equal(side.Plan.Openings.Sum(o => o.PasteVolumeMm3), kinds.Sum(k => k.Sum), 9);
        Assert.All(kinds, k => Assert.InRange(k.Mean, k.Least - 1e-12, k.Most + 1e-12));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(40)]
    public async Task Every_opening_counts_in_exactly_one_bin_however_many_bins_there_are(int count)
    {
        var (_, _, figures) = await OpenAsync("dense");
        var bins = figures.Bins(o => o.AsCut.AreaRatio, 0.6, 1.2, count);
        Assert.Equal(count, bins.Length);
        Assert.Equal(figures.Tally, new VerdictTally(bins.Sum(b => b.Tally.Prints), bins.Sum(b => b.Tally.Marginal), bins.Sum(b => b.Tally.WillNotPrint)));
        var inner = bins[count / 2];
        if (count > 2)
        {
            Assert.Equal(figures.Openings.Count(o => o.AsCut.AreaRatio >= inner.From && o.AsCut.AreaRatio < inner.To), inner.Tally.All);
        }

        Assert.Empty(figures.Bins(o => o.AsCut.AreaRatio, 1, 1, count));
    }

    [Theory]
    [InlineData("a0001", 0)]
    [InlineData("a0012", 11)]
    [InlineData("a0012p3", 11)]
    [InlineData("a12345p12", 12344)]
    public void An_opening_is_traced_to_the_artwork_by_its_name(string id, int index) => Assert.Equal(index, OpeningFigures.IndexOf(id));

    [Fact]
    public async Task A_comparison_names_what_changed_and_only_that()
    {
        var (job, _, before) = await OpenAsync("blinky");
        Assert.True(SideComparison.Of(before, before).IsNothing);
        job.Change("one", s => OpeningEdits.With(s, BoardSide.Top, [2], OpeningWish.Offset, -0.1));
        var after = Figures(await SettledAsync(job));
        var found = SideComparison.Of(before, after);
        Assert.Equal([after.Openings[2].Id], found.Touched);
        Assert.Equal(0, found.Gone);
        Assert.True(found.VolumeAfterMm3 < found.VolumeBeforeMm3);
        job.Change("out", s => OpeningEdits.With(s, BoardSide.Top, [4], OpeningWish.LeaveOut));
        Assert.Equal(1, SideComparison.Of(after, Figures(await SettledAsync(job))).Gone);
    }

    [Fact]
    public async Task Edges_are_moved_from_what_the_rules_made_and_panes_stay_panes()
    {
        var (job, _, before) = await OpenAsync("dense");
        var panes = before.Openings.First(o => o.Id.Contains('p', StringComparison.Ordinal)).Id.Split('p')[0] + "p";
        job.Change("smaller", s => OpeningEdits.With(s, BoardSide.Top, [0, OpeningFigures.IndexOf(panes + "1")], OpeningWish.Offset, -0.01));
        var after = Figures(await SettledAsync(job));
        Assert.Equal(before.Openings.Count(o => o.Id.StartsWith(panes, StringComparison.Ordinal)), after.Openings.Count(o => o.Id.StartsWith(panes, StringComparison.Ordinal)));
        foreach (var opening in before.Openings.Where(o => o.Id == before.Openings[0].Id || o.Id.StartsWith(panes, StringComparison.Ordinal)))
        {
            var (was, now) = (opening.Design.Design, after.Find(opening.Id)!.Design.Design);
            Assert.Equal(was.Bounds.Width - 0.02, now.Bounds.Width, 1e-6);
            Assert.Equal(was.Bounds.Height - 0.02, now.Bounds.Height, 1e-6);
        }
    }

    [Fact]
    public void A_new_wish_for_an_opening_takes_the_place_of_the_old_one_and_others_stay()
    {
        var state = new JobState { Title = "t" };
        state = OpeningEdits.With(state, BoardSide.Top, [3, 1], OpeningWish.LeaveOut);
        state = OpeningEdits.With(state, BoardSide.Bottom, [1], OpeningWish.AsArtwork);
        state = OpeningEdits.With(state, BoardSide.Top, [1], OpeningWish.Offset, 0.02);
        Assert.Equal(
            [new(BoardSide.Top, 1, OpeningWish.Offset, 0.02), new(BoardSide.Top, 3, OpeningWish.LeaveOut), new(BoardSide.Bottom, 1, OpeningWish.AsArtwork)],
            state.Changes.AsEnumerable());
        Assert.Same(state, OpeningEdits.With(state, BoardSide.Top, [1], OpeningWish.Offset, 0.02));
        state = OpeningEdits.With(state, BoardSide.Top, [1], null);
        Assert.Null(OpeningEdits.Of(state, BoardSide.Top, 1));
        Assert.NotNull(OpeningEdits.Of(state, BoardSide.Bottom, 1));
    }

    [Fact]
    public void Rules_come_from_one_place_at_a_time_and_a_jobs_own_begin_as_the_programs()
    {
        var state = new JobState { Title = "t" };
        Assert.Equal(RuleSource.Default, WorkshopRules.SourceOf(state));
        var none = WorkshopRules.Take(state, RuleSource.None, ShopCatalogue.ShippedOnly);
        Assert.Equal(RuleSource.None, WorkshopRules.SourceOf(none));
        Assert.Empty(WorkshopRules.InForce(none, WorkshopSettings.Read(none).Value!).Value!.Rules);
        var own = WorkshopRules.Take(none, RuleSource.Own, ShopCatalogue.ShippedOnly);
        Assert.Equal(RuleSource.Own, WorkshopRules.SourceOf(own));
        Assert.Equal(RuleSet.Default.Rules.Select(r => r.Name), WorkshopRules.InForce(own, WorkshopSettings.Read(own).Value!).Value!.Rules.Select(r => r.Name));
        var shop = WorkshopRules.Take(own, RuleSource.Shop, ShopCatalogue.ShippedOnly, "as-drawn");
        Assert.Equal((RuleSource.Shop, "as-drawn"), (WorkshopRules.SourceOf(shop), WorkshopRules.NameOf(shop)));
        Assert.Empty(WorkshopRules.InForce(shop, WorkshopSettings.Read(shop).Value!).Value!.Rules);
        Assert.Equal(RuleSource.Default, WorkshopRules.SourceOf(WorkshopRules.Take(own, RuleSource.Default, ShopCatalogue.ShippedOnly)));
    }

    [Fact]
    public async Task What_is_remembered_of_former_cuts_never_shows_in_the_files()
    {
        var (job, _, _) = await OpenAsync("dense");
        foreach (var kerf in (string[])["0.2", "0.13", "0.2"])
        {
            job.Change("kerf", s => s.With("kerf_x_mm", kerf));
            await SettledAsync(job);
        }

        job.Change("film", s => s.With("film_thickness_mm", "0.15"));
        var there = await SettledAsync(job);
        var fresh = Jobs.Enter(Store.Duplicate(job.Id, "dense").Id)!;
        var here = await SettledAsync(fresh);
        Assert.Equal(here.OutputFiles().Select(f => f.Path), there.OutputFiles().Select(f => f.Path));
        Assert.All(here.OutputFiles().Zip(there.OutputFiles()), pair => Assert.Equal(pair.First.Bytes, pair.Second.Bytes));
    }

    [Fact]
    public async Task A_first_picture_differs_from_the_plan_in_order_and_heat_alone()
    {
        var (_, side, _) = await OpenAsync("dense");
        var settings = JobSettings.Default;
        var memory = new CutMemory();
        memory.Begin();
        var sketch = CutPlanner.Plan(side.Design, settings, TestContext.Current.CancellationToken, memory: memory, isSketch: true, enough: new CancellationToken(canceled: true));
        var whole = CutPlanner.Plan(side.Design, settings, TestContext.Current.CancellationToken, memory: memory);
        Assert.Equal(whole.Openings.Select(o => (o.Id, o.AreaMm2, o.WebMm, o.Verdict)), sketch.Openings.Select(o => (o.Id, o.AreaMm2, o.WebMm, o.Verdict)));
        Assert.All(sketch.Openings, o => Assert.Null(o.WebHeat));
        Assert.Contains(whole.Openings, o => o.WebHeat is not null);
        Assert.InRange(memory.Count, 1, side.Design.Openings.Length);
        for (var i = 0; i < 20; i++)
        {
            memory.Begin();
        }

        Assert.Equal(0, memory.Count);
    }

    private async Task<(OpenJob Job, JobSide Side, SideFigures Figures)> OpenAsync(string sample)
    {
        var job = Open(sample);
        var result = await SettledAsync(job);
        return (job, result.Job!.Sides[0], Figures(result));
    }

    private static SideFigures Figures(JobResult result) => SideFigures.Of(result.Job!.Sides[0], result.Job.Settings);
}
