using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

public sealed class JobStoreTests : IDisposable
{
    private readonly WorkshopFolder _folder = new(Directory.CreateTempSubdirectory("store-").FullName);
    private readonly Clock _clock = new();

    public void Dispose() => Directory.Delete(_folder.Root, recursive: true);

    [Fact]
    public void What_was_decided_and_the_files_outlast_the_process()
    {
        string id;
        var wanted = new JobState { Title = "lamp", Side = SideChoice.Bottom, RulesToml = "# none", Changes = [new(BoardSide.Bottom, 11, OpeningWish.Offset, -0.025)] }
            .With("kerf_x_mm", "0.16");
        wanted = wanted with { Roles = wanted.Roles.SetItem("a.gbr", "outline") };
        using (var store = Open())
        {
            id = Make(store).Id;
            store.Append(id, "all of it", wanted);
        }

        using var again = Open();
        var (_, state) = again.Current(id);
        Assert.Equal(wanted.ToJson(), state.ToJson());
        Assert.Equal(wanted.Changes.AsEnumerable(), state.Changes);
        Assert.Equal("bytes"u8, File.ReadAllBytes(Assert.Single(again.ArtworkPaths(id))));
    }

    [Fact]
    public void Changes_are_taken_back_and_done_again_in_their_order_and_a_new_one_ends_what_was_taken_back()
    {
        using var store = Open();
        var id = Make(store).Id;
        foreach (var kerf in (string[])["0.1", "0.2", "0.3"])
        {
            store.Append(id, "kerf " + kerf, store.Current(id).State.With("kerf_x_mm", kerf));
        }

        Assert.Equal(("kerf 0.3", null), store.Steps(id));
        Assert.True(store.Step(id, back: true));
        Assert.True(store.Step(id, back: true));
        Assert.Equal(("kerf 0.1", "kerf 0.2"), store.Steps(id));
        Assert.Equal("0.1", store.Current(id).State.Settings["kerf_x_mm"]);
        Assert.True(store.Step(id, back: false));
        Assert.Equal("0.2", store.Current(id).State.Settings["kerf_x_mm"]);
        store.Append(id, "kerf 9", store.Current(id).State.With("kerf_x_mm", "9"));
        Assert.False(store.Step(id, back: false));
        Assert.Equal(("kerf 9", null), store.Steps(id));
    }

    [Fact]
    public void The_first_state_cannot_be_taken_back()
    {
        using var store = Open();
        var id = Make(store).Id;
        Assert.Equal((null, null), store.Steps(id));
        Assert.False(store.Step(id, back: true));
    }

    [Fact]
    public void The_list_begins_with_what_was_changed_last_and_leaves_out_what_was_deleted()
    {
        using var store = Open();
        var (a, b, c) = (Make(store), Make(store), Make(store));
        store.Append(a.Id, "title", store.Current(a.Id).State with { Title = "first" });
        store.Delete(b.Id);
        Assert.Equal([a.Id, c.Id], store.List().Select(j => j.Id));
        store.Restore(b.Id);
        Assert.Equal([a.Id, c.Id, b.Id], store.List().Select(j => j.Id));
    }

    [Fact]
    public void A_copy_has_the_state_and_the_files_but_no_history_and_goes_its_own_way()
    {
        using var store = Open();
        var id = Make(store).Id;
        store.Append(id, "kerf", store.Current(id).State.With("kerf_x_mm", "0.2"));
        var copy = store.Duplicate(id, "copy");
        store.Append(id, "kerf", store.Current(id).State.With("kerf_x_mm", "0.3"));
        Assert.Equal("0.2", store.Current(copy.Id).State.Settings["kerf_x_mm"]);
        Assert.Equal((null, null), store.Steps(copy.Id));
        Assert.Equal("bytes"u8, File.ReadAllBytes(Assert.Single(store.ArtworkPaths(copy.Id))));
    }

    [Theory]
    [InlineData("../outside")]
    [InlineData("a/b")]
    [InlineData("a\\b")]
    [InlineData("..")]
    [InlineData("")]
    public void A_name_that_leaves_the_jobs_folder_is_refused_and_nothing_is_kept(string name)
    {
        using var store = Open();
        Assert.Throws<ArgumentException>(() => store.Create("x", [(name, "x"u8.ToArray())]));
        Assert.Empty(store.List());
        Assert.Empty(Directory.EnumerateFileSystemEntries(_folder.Jobs));
    }

    [Fact]
    public void What_a_killed_process_left_half_made_is_gone_after_the_next_start_and_all_else_is_there()
    {
        string id;
        using (var store = Open())
        {
            id = Make(store).Id;
        }

        Directory.CreateDirectory(Path.Combine(_folder.Jobs, ".making-abcdefghij", "artwork"));
        Directory.CreateDirectory(Path.Combine(_folder.Jobs, "abcdefghij", "artwork"));
        Directory.CreateDirectory(Path.Combine(_folder.Jobs, "mine, not the program's"));
        using var again = Open();
        Assert.Equal(id, Assert.Single(again.List()).Id);
        Assert.Equal([id, "mine, not the program's"], Directory.EnumerateDirectories(_folder.Jobs).Select(Path.GetFileName).Order(StringComparer.Ordinal).OrderBy(n => n != id));
    }

    [Fact]
    public void A_job_deleted_a_month_ago_is_swept_away_and_one_deleted_yesterday_is_not()
    {
        using (var store = Open())
        {
            store.Delete(Make(store).Id);
            _clock.Pass(TimeSpan.FromDays(29.5));
            store.Delete(Make(store).Id);
            _clock.Pass(TimeSpan.FromDays(1));
        }

        using var again = Open();
        Assert.Single(Directory.EnumerateDirectories(_folder.Jobs));
    }

    private JobStore Open() => new(_folder, _clock);

    private JobEntry Make(JobStore store)
    {
        _clock.Pass(TimeSpan.FromSeconds(1));
        return store.Create("lamp", [("a.gbr", "bytes"u8.ToArray())]);
    }

    private sealed class Clock : TimeProvider
    {
        private DateTimeOffset _now = new(2030, 1, 1, 0, 0, 0, TimeSpan.Zero);

        public void Pass(TimeSpan time) => _now += time;

        public override DateTimeOffset GetUtcNow()
        {
            _now += TimeSpan.FromMilliseconds(5);
            return _now;
        }
    }
}
