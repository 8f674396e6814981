using Microsoft.Data.Sqlite;
using Stencilwright.Testing;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

public sealed class OpenJobsTests : IDisposable
{
    private readonly string _root = Path.Combine(Directory.CreateTempSubdirectory("jobs-").FullName, "data");
    private readonly JobStore _store;
    private readonly OpenJobs _jobs;

    public OpenJobsTests()
    {
        _store = new JobStore(new WorkshopFolder(_root));
        _jobs = new OpenJobs(_store, "test");
    }

    public void Dispose()
    {
        _jobs.Dispose();
        _store.Dispose();
        Directory.Delete(Path.GetDirectoryName(_root)!, recursive: true);
    }

    [Fact]
    public async Task A_job_renamed_from_the_list_keeps_its_name_when_it_is_changed_where_it_is_open()
    {
        var job = await OpenAsync();
        _jobs.Change(job.Id, "renamed", s => s with { Title = "lamp" });
        Assert.Equal("lamp", job.State.Title);
        job.Change("kerf", s => s.With("kerf_x_mm", "0.2"));
        Assert.Equal("lamp", _store.Find(job.Id)!.Title);
        job.Step(back: true);
        job.Step(back: true);
        Assert.Equal("blinky", _store.Find(job.Id)!.Title);
    }

    [Fact]
    public void A_job_that_is_not_open_is_renamed_without_opening_it()
    {
        var id = Create();
        _jobs.Change(id, "renamed", s => s with { Title = "lamp" });
        Assert.Equal("lamp", _store.Find(id)!.Title);
    }

    [Fact]
    public async Task Whoever_shows_a_job_is_told_when_it_is_deleted_and_when_it_is_put_back()
    {
        var job = await OpenAsync();
        var told = 0;
        job.Changed += (_, _) => told++;
        _jobs.Delete(job.Id);
        Assert.Equal(1, told);
        Assert.Null(_jobs.Enter(job.Id));
        _jobs.Restore(job.Id);
        Assert.Equal(2, told);
        Assert.Same(job, _jobs.Enter(job.Id));
    }

    [Fact]
    public async Task What_was_worked_out_from_other_settings_is_not_all_of_a_job_but_an_acknowledgement_changes_nothing()
    {
        var job = await OpenAsync();
        var result = job.Result!;
        Assert.True(result.IsAllOf(job.State));
        job.Change("acknowledged", s => s with { Released = "film" });
        Assert.True(result.IsAllOf(job.State));
        Assert.False((result with { IsOrdered = false }).IsAllOf(job.State));
        job.Change("kerf", s => s.With("kerf_x_mm", "0.2"));
        Assert.False(result.IsAllOf(job.State));
    }

    [Fact]
    public async Task A_change_that_cannot_be_kept_is_not_made_and_says_so()
    {
        var job = await OpenAsync();
        var before = job.State;
        // As a full disk does, this makes every writing of a revision fail.
        using (var other = new SqliteConnection($"Data Source={Path.Combine(_root, "workshop.db")};Pooling=False"))
        {
            other.Open();
            using var spoil = other.CreateCommand();
            spoil.CommandText = "CREATE TRIGGER full BEFORE INSERT ON revisions BEGIN SELECT RAISE(ABORT, 'database or disk is full'); END";
            spoil.ExecuteNonQuery();
            job.Change("kerf", s => s.With("kerf_x_mm", "0.2"));
            Assert.Contains("disk is full", job.NotKept, StringComparison.Ordinal);
            Assert.Same(before, job.State);
            Assert.Throws<IOException>(() => _store.Create("x", []));

            spoil.CommandText = "DROP TRIGGER full";
            spoil.ExecuteNonQuery();
        }

        job.Change("kerf", s => s.With("kerf_x_mm", "0.2"));
        Assert.Null(job.NotKept);
        Assert.Equal("0.2", _store.Current(job.Id).State.Settings["kerf_x_mm"]);
    }

    [Fact]
    public void A_new_data_folder_is_its_owners_alone()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "Folders have no mode there.");
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute, File.GetUnixFileMode(_root));
        }
    }

    private string Create() => _store.Create("blinky", [.. Directory.GetFiles(Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky"))
        .Select(f => (Path.GetFileName(f), (ReadOnlyMemory<byte>)File.ReadAllBytes(f)))]).Id;

    private async Task<OpenJob> OpenAsync()
    {
        var job = _jobs.Enter(Create())!;
        Assert.NotNull((await job.SettledAsync(TestContext.Current.CancellationToken))?.Job);
        return job;
    }
}
