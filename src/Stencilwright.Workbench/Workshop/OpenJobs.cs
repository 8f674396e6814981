using Stencilwright.Workbench.Shop;

namespace Stencilwright.Workbench.Workshop;

/// <summary>The jobs that are open: one object for each, shared by every page that shows it.</summary>
public sealed class OpenJobs : IDisposable
{
    // A job that nobody looks at is kept ready for this many others.
    private const int MostIdle = 2;

    private readonly JobStore _store;
    private readonly string _version;
    private readonly ShopCatalogue _shop;
    private readonly Lock _lock = new();
    private readonly LinkedList<OpenJob> _jobs = new();
    private readonly CancellationTokenSource _needed = new();

    /// <summary>None are open at first.</summary>
    /// <param name="store">Where jobs are kept.</param>
    /// <param name="version">The program's version, for the reports.</param>
    /// <param name="shop">Things that settings may name; null for those that come with the program.</param>
    public OpenJobs(JobStore store, string version, ShopCatalogue? shop = null)
    {
        (_store, _version, _shop) = (store, version, shop ?? ShopCatalogue.ShippedOnly);
        _shop.Changed += FollowShop;
        _store.Changed += FollowBeside;
    }

    /// <summary>Falls when a job is opened for the first time: what was only practice ends then.</summary>
    public CancellationToken Needed => _needed.Token;

    /// <summary>Opens a job and begins to work it out; null when there is no such job. Each call is answered by one of <see cref="Leave"/>.</summary>
    public OpenJob? Enter(string id)
    {
        _needed.Cancel();
        lock (_lock)
        {
            var job = _jobs.FirstOrDefault(j => j.Id == id);
            if (_store.Find(id) is null)
            {
                return null;
            }

            if (job is null)
            {
                job = new OpenJob(_store, id, _version, _shop);
                job.Start();
            }
            else
            {
                _jobs.Remove(job);
            }

            _jobs.AddFirst(job);
            job.Hold(1);
            return job;
        }
    }

    /// <summary>Says that a page shows the job no longer.</summary>
    public void Leave(OpenJob job)
    {
        ArgumentNullException.ThrowIfNull(job);
        lock (_lock)
        {
            job.Hold(-1);
            foreach (var idle in _jobs.Where(j => j.Hold(0) == 0).Skip(MostIdle).ToList())
            {
                _jobs.Remove(idle);
                idle.Dispose();
            }
        }
    }

    /// <summary>Changes what was decided about a job that may be open, without opening it: pages that show it follow.</summary>
    /// <param name="id">The job.</param>
    /// <param name="what">The change in a few words, for taking it back.</param>
    /// <param name="change">From the state in force to the new one.</param>
    /// <exception cref="IOException">It cannot be kept.</exception>
    public void Change(string id, string what, Func<JobState, JobState> change)
    {
        ArgumentNullException.ThrowIfNull(change);
        OpenJob? job;
        lock (_lock)
        {
            job = _jobs.FirstOrDefault(j => j.Id == id);
            if (job is null)
            {
                _store.Append(id, what, change(_store.Current(id).State));
            }
        }

        job?.Change(what, change);
    }

    /// <summary>Takes a job out of the list; pages that show it are told.</summary>
    public void Delete(string id)
    {
        _store.Delete(id);
        TellOf(id);
    }

    /// <summary>Puts a deleted job back; pages that show it are told.</summary>
    public void Restore(string id)
    {
        _store.Restore(id);
        TellOf(id);
    }

    // What a job takes from the shop is worked out anew when the shop has it otherwise.
    private void FollowShop(object? sender, EventArgs e)
    {
        List<OpenJob> open;
        lock (_lock)
        {
            open = [.. _jobs];
        }

        foreach (var job in open)
        {
            job.FollowShop();
        }
    }

    // Boards that lie beside others change in their own jobs. Whoever tells may hold a job, so nothing is held for it here.
    private void FollowBeside(object? sender, EventArgs e) => _ = Task.Run(FollowBeside);

    private void FollowBeside()
    {
        List<OpenJob> open;
        lock (_lock)
        {
            open = [.. _jobs.Where(j => !j.State.Beside.IsEmpty)];
        }

        foreach (var job in open)
        {
            job.FollowBeside();
        }
    }

    private void TellOf(string id)
    {
        OpenJob? job;
        lock (_lock)
        {
            job = _jobs.FirstOrDefault(j => j.Id == id);
        }

        job?.TellAgain();
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        _shop.Changed -= FollowShop;
        _store.Changed -= FollowBeside;
        foreach (var job in _jobs)
        {
            job.Dispose();
        }

        _needed.Dispose();
    }
}
