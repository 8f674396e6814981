using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

public sealed class OpenJobTests : WorkshopTests
{
    [Fact]
    public async Task A_job_in_the_workshop_writes_the_same_files_as_the_command_line()
    {
        var job = Open("dense");
        var result = await SettledAsync(job);
        var folder = Path.Combine(Root, "out");
        var settings = JobSettings.Default with { Title = "dense" };
        PrepareUseCase.Run(
            new JobRequest { Paths = Store.ArtworkPaths(job.Id), Settings = settings, OutDirectory = folder, Version = "test" }, () => Stream.Null, new Progress<string>());
        var files = result.OutputFiles();
        Assert.NotEmpty(files);
        Assert.All(files, f => Assert.Equal(File.ReadAllBytes(Path.Combine(folder, f.Path)), f.Bytes));
    }

    [Fact]
    public async Task A_change_is_worked_out_and_taking_it_back_gives_what_was_there_before()
    {
        var job = Open("blinky");
        var before = Areas(await SettledAsync(job));
        job.Change("kerf", s => s.With("kerf_x_mm", "0.3").With("kerf_y_mm", "0.3"));
        var wider = Areas(await SettledAsync(job));
        job.Step(back: true);
        Assert.Equal(before, Areas(await SettledAsync(job)));
        Assert.NotEqual(before, wider);
    }

    [Fact]
    public async Task A_change_of_one_opening_changes_that_opening_alone()
    {
        var job = Open("blinky");
        job.Change("as drawn", s => s with { Settings = s.Settings.SetItem("aperture_rules", "none") });
        var before = (await SettledAsync(job)).Job!.Sides[0].Design.Openings;
        job.Change("smaller", s => s with { Changes = [new OpeningChange(BoardSide.Top, 2, OpeningWish.Offset, -0.1), new OpeningChange(BoardSide.Top, 4, OpeningWish.LeaveOut)] });
        var after = (await SettledAsync(job)).Job!.Sides[0].Design.Openings;
        Assert.Equal(before.Length - 1, after.Length);
        var kept = before.RemoveAt(4);
        for (var i = 0; i < after.Length; i++)
        {
            // A rectangle moved inwards by d loses perimeter × d − 4 d² (closed form).
            var lost = i == 2 ? (kept[i].Design.PerimeterMm * 0.1) - (4 * 0.01) : 0;
            Assert.Equal(kept[i].Design.AreaMm2 - lost, after[i].Design.AreaMm2, 9);
        }

        Assert.Equal(OpeningChanges.RuleName, after[2].Rule);
    }

    [Theory]
    [InlineData("aperture_rules", "/etc/passwd")]
    [InlineData("release_measurements", "/etc/passwd")]
    [InlineData("kerf_x_mm", "wide")]
    [InlineData("no_such_setting", "1")]
    public async Task A_setting_that_names_a_file_or_makes_no_sense_is_refused_with_words(string name, string text)
    {
        var job = Open("blinky");
        Assert.NotNull(WorkshopSettings.Wrong(name, text));
        job.Change("wrong", s => s.With(name, text));
        var result = await SettledAsync(job);
        Assert.Null(result.Job);
        var said = Assert.Single(result.Diagnostics, d => d.Severity == Severity.Error);
        Assert.DoesNotContain("root:", said.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Changes_in_quick_succession_end_with_the_last_one()
    {
        var job = Open("dense");
        for (var i = 1; i <= 12; i++)
        {
            var kerf = FormattableString.Invariant($"0.{100 + i}");
            job.Change("kerf", s => s.With("kerf_x_mm", kerf));
        }

        var result = await SettledAsync(job);
        Assert.Equal(0.112, result.Job!.Settings.KerfXMm, 12);
        Assert.Null(job.Fault);
        Assert.True(result.IsOrdered);
    }

    [Fact]
    public async Task Work_that_is_stopped_stays_stopped_until_somebody_starts_it()
    {
        var job = Open("dense");
        job.Stop();
        Assert.Equal(JobStep.Stopped, job.Work?.Step);
        job.Start();
        Assert.NotNull((await SettledAsync(job)).Job);
    }

    private static double[] Areas(JobResult result) => [.. result.Job!.Sides[0].Plan.Openings.Select(o => o.AreaMm2)];
}
