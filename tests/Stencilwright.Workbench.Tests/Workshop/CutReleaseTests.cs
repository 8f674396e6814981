using Stencilwright.Cutting.Heat;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

public sealed class CutReleaseTests : WorkshopTests
{
    [Fact]
    public async Task Cautions_are_acknowledged_for_one_material_and_anew_for_another()
    {
        var job = Open("blinky");
        Assert.False(CutRelease.IsGiven(job));
        CutRelease.Give(job, true, "read");
        Assert.True(CutRelease.IsGiven(job));
        job.Change("power", s => s.With("film_power_percent", "12"));
        Assert.True(CutRelease.IsGiven(job));
        job.Change("thicker", s => s.With("film_thickness_mm", "0.127"));
        Assert.False(CutRelease.IsGiven(job));
        job.Step(back: true);
        Assert.True(CutRelease.IsGiven(job));
        job.Change("another film as thick", s => s.With("film", "polyester-102"));
        Assert.False(CutRelease.IsGiven(job));
        CutRelease.Give(job, true, "read");
        Assert.True(CutRelease.IsGiven(job));
        CutRelease.Give(job, false, "withdrawn");
        Assert.False(CutRelease.IsGiven(job));
        await job.SettledAsync(TestContext.Current.CancellationToken);
    }

    [Fact]
    public async Task An_acknowledgement_outlasts_the_process_can_be_taken_back_and_works_nothing_out_anew()
    {
        var job = Open("blinky");
        var before = await job.SettledAsync(TestContext.Current.CancellationToken);
        CutRelease.Give(job, true, "read");
        Assert.Null(job.Work);
        Assert.Same(before, job.Result);
        Assert.Equal(job.State.Released, Store.Current(job.Id).State.Released);
        Assert.Equal("read", job.Steps.Undo);
        job.Step(back: true);
        Assert.False(CutRelease.IsGiven(job));
        await job.SettledAsync(TestContext.Current.CancellationToken);
    }

    [Fact]
    public void A_state_kept_by_an_earlier_version_is_not_released()
    {
        var kept = new JobState { Title = "old" }.ToJson().Replace(",\"Released\":\"\"", "", StringComparison.Ordinal);
        Assert.DoesNotContain("Released", kept, StringComparison.Ordinal);
        Assert.Equal("", JobState.FromJson(kept).Released);
    }

    [Theory]
    [InlineData("top/film.nc", true)]
    [InlineData("bottom/frame.dxf", true)]
    [InlineData("top/film-cut.svg", true)]
    [InlineData("top/template.pdf", false)]
    [InlineData("report.json", false)]
    public void What_drives_a_laser_is_told_by_its_kind(string path, bool isForMachine) => Assert.Equal(isForMachine, CutRelease.IsForMachine(path));

    [Fact]
    public async Task The_picture_of_heat_has_the_figures_of_the_model_on_one_scale()
    {
        var job = Open("blinky");
        var made = (await job.SettledAsync(TestContext.Current.CancellationToken))!.Job!;
        var side = made.Sides[0];
        var picture = HeatPicture.Of(side, made.Settings, TestContext.Current.CancellationToken)!;
        var heat = FilmHeat.Of(side.Plan.Film, made.Settings);
        Assert.Equal(picture.Columns * picture.Rows, picture.Peak.Length);
        Assert.Equal(picture.Peak.Count(p => p > 0), picture.PeakCounts.Sum());
        Assert.Equal(picture.Residual.Count(p => p > 0), picture.ResidualCounts.Sum());
        for (var i = 0; i < picture.Peak.Length; i += 997)
        {
            var at = new Geometry.Point2(
                picture.Corner.X + (((i % picture.Columns) + 0.5) * picture.CellMm), picture.Corner.Y + (((i / picture.Columns) + 0.5) * picture.CellMm));
            if (picture.Peak[i] > 0)
            {
                var wanted = Math.Min(HeatPicture.HighC, heat.At(at).PeakC);
                var level = HeatPicture.LowC + ((picture.Peak[i] - 1) / 254.0 * (HeatPicture.HighC - HeatPicture.LowC));
                Assert.Equal(wanted, level, 0.5);
            }
        }
    }

    [Fact]
    public async Task Heat_that_nobody_waits_for_is_not_worked_out()
    {
        var made = (await Open("blinky").SettledAsync(TestContext.Current.CancellationToken))!.Job!;
        Assert.ThrowsAny<OperationCanceledException>(() => HeatPicture.Of(made.Sides[0], made.Settings, new CancellationToken(canceled: true)));
    }
}
