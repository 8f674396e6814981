using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Workbench.Files;

namespace Stencilwright.Workbench;

/// <summary>The main job: artwork in, everything needed to cut and print out.</summary>
public static class PrepareUseCase
{
    /// <summary>Reads, designs, plans and writes.</summary>
    /// <param name="request">Paths, roles, settings and the output folder.</param>
    /// <param name="openInput">Opens standard input, when a path is <c>-</c>.</param>
    /// <param name="progress">Takes a few words at each step.</param>
    public static PrepareResult Run(JobRequest request, Func<Stream> openInput, IProgress<string> progress)
    {
        ArgumentNullException.ThrowIfNull(request);
        ArgumentNullException.ThrowIfNull(openInput);
        ArgumentNullException.ThrowIfNull(progress);
        progress.Report("Reading the artwork…");
        var (files, beside, gathered) = BoardsTogether.Gather(request, openInput);
        if (JobStages.HasError(gathered))
        {
            return new PrepareResult { Diagnostics = gathered, ExitCode = ExitCodes.BadInput };
        }

        var rules = RuleChoice.Load(request.Settings.ApertureRules);
        if (rules.Value is null || JobStages.HasError(rules.Diagnostics))
        {
            return new PrepareResult { Diagnostics = gathered.AddRange(rules.Diagnostics), ExitCode = ExitCodes.BadInput };
        }

        var measured = ReleaseChoice.Load(request.Settings);
        if (measured.Value is null)
        {
            return new PrepareResult { Diagnostics = gathered.AddRange(measured.Diagnostics), ExitCode = ExitCodes.BadInput };
        }

        request = request with { Settings = measured.Value };
        var read = BoardsTogether.ReadBoards(files, beside, request, CancellationToken.None);
        ImmutableArray<Diagnostic> diagnostics = [.. gathered, .. rules.Diagnostics, .. read.Diagnostics];
        if (JobStages.HasError(diagnostics))
        {
            return new PrepareResult { Diagnostics = diagnostics, Findings = read.Board.Findings, ExitCode = ExitCodes.BadInput };
        }

        progress.Report("Designing and planning the cut…");
        var (job, own) = JobStages.Make([.. files, .. beside.SelectMany(f => f)], read, request, rules.Value, MakingChoice.Whole, CancellationToken.None);
        progress.Report("Writing the files…");
        return Write(request, job, diagnostics, [.. read.Board.Findings, .. own]);
    }

    private static PrepareResult Write(JobRequest request, Job job, ImmutableArray<Diagnostic> diagnostics, ImmutableArray<Finding> findings)
    {
        var outputs = FitFiles(job);
        foreach (var folder in Unfit(job))
        {
            diagnostics = diagnostics.Add(new Diagnostic(
                "PKG095", Severity.Warning, $"no cut files were written for the {folder.TrimEnd('/')} side, because what was found of it (see the errors) must not reach a laser; put that right and run again.", SourcePlace.Whole(request.OutDirectory)));
        }

        var failures = FolderWriter.WriteAll(request.OutDirectory, [.. outputs.Select(f => (f.Path, f.Bytes))]);
        if (!failures.IsEmpty)
        {
            return new PrepareResult { Job = job, Diagnostics = diagnostics.AddRange(failures), Findings = findings, ExitCode = ExitCodes.NotWritten };
        }

        var possible = ((string[])["top/", "bottom/"]).SelectMany(folder => JobFiles.SideFileNames.Select(name => folder + name));
        foreach (var stale in FolderWriter.LeftFromBefore(request.OutDirectory, possible, outputs.Select(f => f.Path)))
        {
            diagnostics = diagnostics.Add(new Diagnostic(
                "PKG091", Severity.Warning, "this file is left from a former run and is not part of this job; remove it so that nobody cuts it by mistake.", SourcePlace.Whole(Path.Combine(request.OutDirectory, stale))));
        }

        return new PrepareResult
        {
            Job = job,
            Diagnostics = diagnostics,
            Findings = findings,
            WrittenFiles = [.. outputs.Select(f => f.Path)],
            ReportJson = outputs.First(f => f.Path == "report.json").Bytes,
            ExitCode = ExitCodes.ForFindings(job.Sides.SelectMany(s => s.Findings), diagnostics, request.FailOn),
        };
    }

    /// <summary>The job's files without those of a side that does not fit its blank: it must not reach a laser.</summary>
    internal static List<OutputFile> FitFiles(Job job)
    {
        var unfit = Unfit(job);
        return [.. JobFiles.Write(job).Where(f => !unfit.Exists(u => f.Path.StartsWith(u, StringComparison.Ordinal)))];
    }

    private static List<string> Unfit(Job job) =>
        [.. job.Sides.Where(s => s.Design.Findings.Any(f => f.Severity == Severity.Error)).Select(s => Folder(s.Design.Side))];

    private static string Folder(BoardSide side) => side == BoardSide.Top ? "top/" : "bottom/";
}
