using System.Security.Cryptography;
using Stencilwright.Design.Rules;
using Stencilwright.Testing;
using Stencilwright.Workbench.Shop;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

/// <summary>Changes as every page makes them, taken back and done again, across a restart too: what comes of a state depends on that state alone.</summary>
public sealed class TakingBackTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("back-").FullName;

    public void Dispose() => Directory.Delete(_root, recursive: true);

    [Fact]
    public Task A_sample_is_each_time_what_it_was() => CheckAsync(Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky"));

    [Theory]
    [InlineData("paired-svg")]
    [InlineData("outline-with-dimensions")]
    [InlineData("mixed-pads")]
    [InlineData("page-frame")]
    [InlineData("old-codes")]
    [InlineData("modal-lines")]
    [InlineData("hatched-pads")]
    [InlineData("outline-on-artwork")]
    public Task A_real_board_is_each_time_what_it_was(string board)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        Assert.SkipUnless(Environment.GetEnvironmentVariable("STENCILWRIGHT_FRESH_SAMPLES") is { Length: > 0 }, "Takes minutes; STENCILWRIGHT_FRESH_SAMPLES=1 runs it.");
        return CheckAsync(Path.Combine(RealBoards.Folder!, board));
    }

    private async Task CheckAsync(string folder)
    {
        string id;
        var seen = new List<string>();
        using (var store = Open())
        using (var jobs = new OpenJobs(store, "test"))
        {
            id = store.Create(Path.GetFileName(folder), [.. Directory.EnumerateFiles(folder).Order(StringComparer.Ordinal).Select(f => (Path.GetFileName(f), (ReadOnlyMemory<byte>)File.ReadAllBytes(f)))]).Id;
            var job = jobs.Enter(id)!;
            // Looking long for an order of cuts is not what this is about.
            job.Change("quick", s => s.With("order_effort", "1"));
            seen.Add(await PrintAsync(job));
            foreach (var change in Changes(job))
            {
                job.Change("one more", change);
                seen.Add(await PrintAsync(job));
            }

            Assert.Equal(seen.Count, seen.Distinct().Count());
            await GoAsync(job, seen, back: true);
            await GoAsync(job, seen, back: false);
            jobs.Leave(job);
        }

        using (var store = Open())
        using (var jobs = new OpenJobs(store, "test"))
        {
            var job = jobs.Enter(id)!;
            Assert.Equal(seen[^1], await PrintAsync(job));
            await GoAsync(job, seen, back: true);
            jobs.Leave(job);
        }
    }

    private static async Task GoAsync(OpenJob job, List<string> seen, bool back)
    {
        for (var i = 1; i < seen.Count; i++)
        {
            job.Step(back);
            Assert.Equal(seen[back ? seen.Count - 1 - i : i], await PrintAsync(job));
        }

        Assert.Equal(back ? "quick" : null, back ? job.Steps.Undo : job.Steps.Redo);
    }

    private static IEnumerable<Func<JobState, JobState>> Changes(OpenJob job)
    {
        var side = job.Result!.Job!.Sides[0].Design.Side;
        var apart = job.Result.Files.First(f => f.Role is "mask-top" or "mask-bottom" or "copper-top" or "copper-bottom").File;
        yield return s => OpeningEdits.With(s, side, [0, 2], OpeningWish.Offset, -0.02);
        yield return s => OpeningEdits.With(s, side, [1], OpeningWish.LeaveOut);
        yield return s => WorkshopRules.Take(s, RuleSource.None, ShopCatalogue.ShippedOnly);
        yield return s => WorkshopRules.Take(s, RuleSource.Own, ShopCatalogue.ShippedOnly);
        yield return s => s.With("film_thickness_mm", "0.127");
        yield return s => s.With("frame_clearance_mm", "0.3").With("film_offset_x_mm", "1.5");
        yield return s => s.With("kerf_x_mm", "0.2");
        yield return s => s with { Released = CutRelease.MaterialOf(job.Settings) };
        yield return s => s with { Roles = s.Roles.SetItem(apart, "ignore") };
        yield return s => s with { Title = "another" };
    }

    private static async Task<string> PrintAsync(OpenJob job)
    {
        var result = (await job.SettledAsync(TestContext.Current.CancellationToken))!;
        Assert.Null(job.Fault);
        Assert.True(result.IsAllOf(job.State));
        var files = result.OutputFiles();
        Assert.NotEmpty(files);
        return job.State.ToJson() + string.Concat(files.Select(f => $"\n{f.Path} {Convert.ToHexString(SHA256.HashData(f.Bytes))}"));
    }

    private JobStore Open() => new(new WorkshopFolder(Path.Combine(_root, "data")));
}
