using Stencilwright.App.Web.Drawing;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>Works out a sample behind the scenes when the service has started: the first board of a person then finds the program warm.</summary>
internal static class Practice
{
    // The largest of them.
    private const string Sample = "dense";

    // Every step's code has run thirty times then, which is when the runtime makes it fast.
    private const int Rounds = 2;

    /// <summary>Begins; it ends by itself, and as soon as a job is opened.</summary>
    public static void Begin(OpenJobs jobs)
    {
        var stop = jobs.Needed;
        new Thread(() => Run(stop)) { IsBackground = true, Priority = ThreadPriority.Lowest, Name = "practice" }.Start();
    }

    private static void Run(CancellationToken stop)
    {
        // A fault here would be one of the first job as well, where it is told.
#pragma warning disable CA1031
        try
        {
            var package = Samples.Package(Sample);
            for (var round = 0; round < Rounds && !stop.IsCancellationRequested; round++)
            {
                if (Rehearsal.Run(package, stop) is var (job, figures))
                {
                    OpeningsScene.Of(job, figures);
                }
            }
        }
        catch (Exception)
        {
            return;
        }
#pragma warning restore CA1031
    }
}
