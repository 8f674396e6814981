using Stencilwright.Testing;
using Stencilwright.Workbench.Workshop;
using Xunit;

namespace Stencilwright.Workbench.Tests.Workshop;

/// <summary>A workshop in a folder of its own, for the tests of one class.</summary>
public abstract class WorkshopTests : IDisposable
{
    private protected WorkshopTests()
    {
        Store = new JobStore(new WorkshopFolder(Root));
        Jobs = new OpenJobs(Store, "test");
    }

    protected string Root { get; } = Directory.CreateTempSubdirectory("workshop-").FullName;

    protected JobStore Store { get; }

    protected OpenJobs Jobs { get; }

    public void Dispose()
    {
        Jobs.Dispose();
        Store.Dispose();
        Directory.Delete(Root, recursive: true);
        GC.SuppressFinalize(this);
    }

    /// <summary>A new job of a sample; gives its id.</summary>
    protected string Create(string sample, string title)
    {
        var files = Directory.GetFiles(Path.Combine(RealBoards.CheckoutRoot, "samples", sample)).Order(StringComparer.Ordinal);
        return Store.Create(title, [.. files.Select(f => (Path.GetFileName(f), (ReadOnlyMemory<byte>)File.ReadAllBytes(f)))]).Id;
    }

    /// <summary>A new job of a sample, open.</summary>
    protected OpenJob Open(string sample) => Jobs.Enter(Create(sample, sample))!;

    /// <summary>What came of a job once nothing goes on.</summary>
    protected static async Task<JobResult> SettledAsync(OpenJob job)
    {
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(120));
        var result = await job.SettledAsync(patience.Token);
        Assert.Null(job.Fault);
        return result!;
    }
}
