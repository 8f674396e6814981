using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Roles;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Workbench.Files;

namespace Stencilwright.Workbench;

/// <summary>The main job: artwork in, everything needed to cut and print out.</summary>
public static class PrepareUseCase
{
    private static readonly string[] _sideFiles =
    [
        "film.svg", "film.dxf", "film.nc", "frame.svg", "frame.dxf", "frame.nc", "template.pdf", "preview.png", "apertures.csv",
    ];

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
        var (files, gathered) = ArtworkGathering.Gather(request, openInput);
        if (HasError(gathered))
        {
            return new PrepareResult { Diagnostics = gathered, ExitCode = ExitCodes.BadInput };
        }

        var board = BoardSearch.In(files, request.Settings.OutlineGapMm, CancellationToken.None);
        var sides = Wanted(request.Side, board);
        var diagnostics = gathered.AddRange(Said(sides, board));
        // A side whose paste layer holds nothing but a page frame has no paste and is not made; what was said of it is said of the board.
        var sorted = Sort(sides, board.Outline);
        var filled = sorted.RemoveAll(s => s.Paste.Openings.IsEmpty);
        board = board with { Findings = [.. board.Findings, .. sorted.Where(s => s.Paste.Openings.IsEmpty).SelectMany(s => s.Paste.Findings)] };
        if (filled.IsEmpty && !HasError(diagnostics))
        {
            diagnostics = diagnostics.Add(NoPaste(request));
        }

        if (HasError(diagnostics))
        {
            return new PrepareResult { Diagnostics = diagnostics, Findings = board.Findings, ExitCode = ExitCodes.BadInput };
        }

        progress.Report("Designing and planning the cut…");
        var title = request.Settings.Title.Length > 0 ? request.Settings.Title : ArtworkGathering.TitleOf(request.Paths[0]);
        var own = new ImmutableArray<Finding>[filled.Length];
        var made = new JobSide[filled.Length];
        Parallel.For(
            0, filled.Length, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i => (made[i], own[i]) = Make(filled[i], board, request.Settings, title));
        var job = new Job
        {
            Version = request.Version,
            Title = title,
            Settings = request.Settings,
            Sources = [.. files.Where(f => f.Format is not null && (f.Whole is null || f.Role != LayerRole.Ignore)).Select(Source)],
            Outline = board.Outline,
            Sides = [.. made],
        };
        progress.Report("Writing the files…");
        return Write(request, job, diagnostics, [.. board.Findings, .. own.SelectMany(f => f)]);
    }

    private static ImmutableArray<(BoardSide Side, ArtworkFile File)> Wanted(SideChoice choice, BoardSearch board)
    {
        var sides = ImmutableArray.CreateBuilder<(BoardSide, ArtworkFile)>();
        if (choice != SideChoice.Bottom && board.TopPaste is { } top)
        {
            sides.Add((BoardSide.Top, top));
        }

        if (choice != SideChoice.Top && board.BottomPaste is { } bottom)
        {
            sides.Add((BoardSide.Bottom, bottom));
        }

        return sides.ToImmutable();
    }

    private static ImmutableArray<(BoardSide Side, ArtworkFile File, PasteLayer Paste)> Sort(
        ImmutableArray<(BoardSide Side, ArtworkFile File)> sides, BoardOutline? outline) =>
        [.. sides.Where(s => s.File.Image is { Islands.IsEmpty: false }).Select(s => (s.Side, s.File, PasteSorter.Sort(s.File.Image!, outline)))];

    private static IEnumerable<Diagnostic> Said(ImmutableArray<(BoardSide Side, ArtworkFile File)> sides, BoardSearch board) =>
        sides.Select(s => s.File).Append(board.OutlineFile).OfType<ArtworkFile>().Distinct().SelectMany(f => f.AllDiagnostics).Distinct();

    private static Diagnostic NoPaste(JobRequest request)
    {
        var (what, role) = request.Side switch
        {
            SideChoice.Top => ("no paste layer of the top was found", "paste-top"),
            SideChoice.Bottom => ("no paste layer of the bottom was found", "paste-bottom"),
            _ => ("no paste layer with anything on it was found", "paste-top"),
        };
        return new Diagnostic(
            "PKG093",
            Severity.Error,
            $"{what}; `stencilwright survey` shows what each file was taken for, and --role FILE={role} says otherwise.",
            SourcePlace.Whole(request.Paths[0]));
    }

    private static (JobSide Side, ImmutableArray<Finding> Own) Make(
        (BoardSide Side, ArtworkFile File, PasteLayer Paste) wanted, BoardSearch board, JobSettings settings, string title)
    {
        var paste = wanted.Paste;
        var design = StencilDesigner.Design(wanted.Side, paste, board.Outline, settings, title);
        var plan = CutPlanner.Plan(design, settings);
        ImmutableArray<Finding> own = [.. paste.Findings, .. design.Findings, .. plan.Findings];
        // What the reader warned about belongs into the report too; on the terminal it has been said with its place already.
        var read = wanted.File.AllDiagnostics.Where(d => d.Severity >= Severity.Warning)
            .Select(d => new Finding { Code = d.Code, Severity = d.Severity, Message = d.Message, Source = d.Place });
        var volumeMm3 = 0.0;
        foreach (var opening in plan.Openings)
        {
            volumeMm3 += opening.PasteVolumeMm3;
        }

        var cost = settings.FilmBlankCost + (plan.Frame is null ? 0 : settings.FrameBlankCost);
        return (new JobSide(design, plan, (Pastes.Find(settings.Paste) ?? Pastes.All[0]).MassG(volumeMm3), cost, [.. read, .. board.Findings, .. own]), own);
    }

    private static JobSource Source(ArtworkFile file) => new(
        file.Source.Name, file.FormatText, file.Role.ToText(), file.Sha256);

    private static PrepareResult Write(JobRequest request, Job job, ImmutableArray<Diagnostic> diagnostics, ImmutableArray<Finding> findings)
    {
        // A sheet that does not fit its blank must not reach a laser.
        var unfit = job.Sides.Where(s => s.Design.Findings.Any(f => f.Severity == Severity.Error)).Select(s => Folder(s.Design.Side)).ToList();
        var outputs = JobFiles.Write(job).Where(f => !unfit.Exists(u => f.Path.StartsWith(u, StringComparison.Ordinal))).ToList();
        var failures = FolderWriter.WriteAll(request.OutDirectory, [.. outputs.Select(f => (f.Path, f.Bytes))]);
        if (!failures.IsEmpty)
        {
            return new PrepareResult { Job = job, Diagnostics = diagnostics.AddRange(failures), Findings = findings, ExitCode = ExitCodes.NotWritten };
        }

        var possible = ((string[])["top/", "bottom/"]).SelectMany(folder => _sideFiles.Select(name => folder + name));
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
            ExitCode = ExitCodes.ForFindings(job.Sides.SelectMany(s => s.Findings), request.FailOn),
        };
    }

    private static string Folder(BoardSide side) => side == BoardSide.Top ? "top/" : "bottom/";

    private static bool HasError(ImmutableArray<Diagnostic> diagnostics) => diagnostics.Any(d => d.Severity == Severity.Error);
}
