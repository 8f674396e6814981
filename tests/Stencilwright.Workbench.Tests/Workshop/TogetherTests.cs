using System.Collections.Concurrent;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Stencilwright.Workbench.Packages;
using Stencilwright.Workbench.Settings;
using Stencilwright.Workbench.Shop;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

/// <summary>Several windows over one workshop, and texts that nobody means well with.</summary>
public sealed class TogetherTests : IDisposable
{
    private readonly string _root = Directory.CreateTempSubdirectory("together-").FullName;
    private readonly JobStore _store;
    private readonly ShopCatalogue _shop;
    private readonly OpenJobs _jobs;

    public TogetherTests()
    {
        _store = new JobStore(new WorkshopFolder(_root));
        _shop = new ShopCatalogue(Path.Combine(_root, "shop"));
        _jobs = new OpenJobs(_store, "test", _shop);
    }

    public void Dispose()
    {
        _jobs.Dispose();
        _store.Dispose();
        Directory.Delete(_root, recursive: true);
    }

    [Fact]
    public void Whoever_watches_the_list_is_told_of_every_change_when_it_can_be_read()
    {
        var seen = new List<string>();
        // As a window does: from another thread, which must not find the store held.
        _store.Changed += (_, _) => seen.Add(Task.Run(() => string.Join(",", _store.List().Select(j => j.Title + (j.Digest is null ? "" : "!") + j.Pictures))).WaitAsync(TimeSpan.FromSeconds(20), Stop).GetAwaiter().GetResult());
        var id = _store.Create("a", []).Id;
        _store.Append(id, "renamed", _store.Current(id).State with { Title = "b" });
        _store.Step(id, back: true);
        _store.Step(id, back: true);
        _store.Keep(id, new JobDigest(), default);
        _store.Delete(id);
        _store.Restore(id);
        Assert.Equal(["a0", "b0", "a0", "a!1", "", "a!1"], seen);
    }

    [Fact]
    public void A_second_store_over_one_folder_is_refused_and_takes_nothing_away()
    {
        var making = Path.Combine(_root, "jobs", ".making-abcdefghij");
        Directory.CreateDirectory(making);
        Assert.Contains("another workshop", Assert.Throws<IOException>(() => new JobStore(new WorkshopFolder(_root))).Message, StringComparison.Ordinal);
        Assert.True(Directory.Exists(making));
        _store.Dispose();
        using var next = new JobStore(new WorkshopFolder(_root));
        Assert.False(Directory.Exists(making));
    }

    [Fact]
    public async Task A_job_follows_the_thing_of_the_shop_that_it_names()
    {
        Assert.Empty(_shop.Save(Film(0.1)));
        var job = _jobs.Enter(_store.Create("blinky", [.. Directory.EnumerateFiles(Path.Combine(RealBoards.CheckoutRoot, "samples", "blinky"))
            .Select(f => (Path.GetFileName(f), (ReadOnlyMemory<byte>)File.ReadAllBytes(f)))]).Id)!;
        job.Change("film", s => s.With("film", "mine"));
        var before = (await job.SettledAsync(Stop))!;
        Assert.Equal(0.1, before.Job!.Settings.FilmThicknessMm);

        Assert.Empty(_shop.Save(Film(0.15)));
        Assert.False(job.Result!.Job!.Settings.FilmThicknessMm == 0.1 && job.Result.IsAllOf(job.State));
        Assert.Equal(0.15, job.Settings.FilmThicknessMm);
        Assert.Equal(0.15, (await job.SettledAsync(Stop))!.Job!.Settings.FilmThicknessMm);
        _jobs.Leave(job);
    }

    [Fact]
    public void Two_that_keep_the_same_thing_at_once_leave_one_of_the_two_whole()
    {
        var told = 0;
        _shop.Changed += (_, _) => Interlocked.Increment(ref told);
        var wrong = new ConcurrentBag<Diagnostic>();
        Parallel.For(0, 40, i => _shop.Save(Film(0.1 + (i / 1000.0))).ToList().ForEach(wrong.Add));
        Assert.Empty(wrong);
        Assert.Equal(40, told);
        Assert.Equal("mine", Assert.Single(_shop.List(ShopKind.Film).Entries, e => !e.IsShipped).Item.Name);
        Assert.Single(Directory.GetFiles(Path.Combine(_root, "shop", "films")));
    }

    [Fact]
    public void Texts_and_names_without_end_are_refused_in_a_line_that_can_be_read()
    {
        var endless = new string('9', 1_000_000);
        Assert.Contains("at most", WorkshopSettings.Wrong("kerf_x_mm", endless), StringComparison.Ordinal);
        Assert.Contains("at most", WorkshopSettings.Wrong("title", endless), StringComparison.Ordinal);
        Assert.Contains("longer than", Assert.Single(WorkshopRules.Read("# " + endless).Diagnostics).Message, StringComparison.Ordinal);
        foreach (var toml in (string[])["kind = \"film\"\nname = \"x\"\n" + endless + " = 1\n", "[" + endless + "]\n", "x = " + new string('[', 100_000)])
        {
            var read = ShopCatalogue.Parse(toml, "x.toml");
            Assert.True(read.Failed);
            Assert.All(read.Diagnostics, d => Assert.InRange(d.Message.Length, 10, 400));
        }
    }

    // Unicode Standard Annex 9, section 2 (from memory): what follows U+202E is written from right to left.
    [Fact]
    public void A_name_in_a_package_cannot_be_written_so_that_it_passes_for_another()
    {
        var path = Path.Combine(_root, "a.zip");
        using (var zip = System.IO.Compression.ZipFile.Open(path, System.IO.Compression.ZipArchiveMode.Create))
        {
            using var to = zip.CreateEntry("a\u202Erbg.exe").Open();
            to.Write("M02*"u8);
        }

        var file = Assert.Single(PackageReader.Read([path], null, PackageLimits.Default, Stop).Value!.Files);
        Assert.Equal("a\uFFFDrbg.exe", file.Name);
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private static ShopItem Film(double thicknessMm) =>
        new ShopItem { Kind = ShopKind.Film, Name = "mine", Title = "mine" }.With("film_thickness_mm", new SettingValue(Number: thicknessMm));
}
