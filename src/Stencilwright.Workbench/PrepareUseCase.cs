using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Boards.Roles;
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
        var (files, gathered) = ArtworkGathering.Gather(request, openInput);
        if (HasError(gathered))
        {
            return new PrepareResult { Diagnostics = gathered, ExitCode = ExitCodes.BadInput };
        }

        var rules = RuleChoice.Load(request.Settings.ApertureRules);
        if (rules.Value is null || HasError(rules.Diagnostics))
        {
            return new PrepareResult { Diagnostics = gathered.AddRange(rules.Diagnostics), ExitCode = ExitCodes.BadInput };
        }

        var measured = ReleaseChoice.Load(request.Settings);
        if (measured.Value is null)
        {
            return new PrepareResult { Diagnostics = gathered.AddRange(measured.Diagnostics), ExitCode = ExitCodes.BadInput };
        }

        request = request with { Settings = measured.Value };
        gathered = gathered.AddRange(rules.Diagnostics);
        var board = BoardSearch.In(files, request.Settings.OutlineGapMm, CancellationToken.None);
        var sides = Wanted(request.Side, board);
        var diagnostics = gathered.AddRange(Said(sides, board));
        // A side whose paste layer holds nothing but a page frame has no paste and is not made; what was said of it is said of the board.
        var sorted = Sort(sides, board.Outline);
        var filled = sorted.RemoveAll(s => s.Paste.Openings.IsEmpty);
        board = board with { Findings = [.. board.Findings, .. sorted.Where(s => s.Paste.Openings.IsEmpty).SelectMany(s => s.Paste.Findings)] };
        if (filled.IsEmpty && !HasError(diagnostics))
        {
            // A file that could not be read may be the one that holds the paste.
            diagnostics = diagnostics.AddRange(files.SelectMany(f => f.AllDiagnostics).Where(d => d.Severity == Severity.Error).Except(diagnostics));
            diagnostics = diagnostics.Add(NoPaste(request));
        }

        (board, filled, var more) = Check(files, board, filled, request.Settings);
        diagnostics = diagnostics.AddRange(more.Except(diagnostics));
        if (request.Only is { } only && !HasError(diagnostics))
        {
            (filled, var missing) = Choose(filled, only);
            diagnostics = diagnostics.AddRange(missing);
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
            0, filled.Length, new ParallelOptions { MaxDegreeOfParallelism = 2 }, i => (made[i], own[i]) = filled[i].Make(board, request.Settings, rules.Value, title, request.Only is not null));
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

    private static ImmutableArray<BoardSideWork> Sort(ImmutableArray<(BoardSide Side, ArtworkFile File)> sides, BoardOutline? outline)
    {
        var work = ImmutableArray.CreateBuilder<BoardSideWork>();
        foreach (var (side, file) in sides)
        {
            if (file.Image is { Islands.IsEmpty: false } image)
            {
                var paste = PasteSorter.Sort(image, outline);
                work.Add(new(side, file, paste, PartList.Empty));
            }
        }

        return work.ToImmutable();
    }

    // Holds the layers against one another, keeps one board of a panel if asked, and finds out what the openings are for.
    private static (BoardSearch Board, ImmutableArray<BoardSideWork> Sides, ImmutableArray<Diagnostic> Said) Check(
        ImmutableArray<ArtworkFile> files, BoardSearch board, ImmutableArray<BoardSideWork> sides, JobSettings settings)
    {
        var (report, holes) = LayerChecks.Run(files, board, sides, CancellationToken.None);
        var panel = settings.Panel == "one" ? report.Panel : null;
        var placements = JobSources.Placements(files, CancellationToken.None);
        var circles = holes.SelectMany(LayerChecks.Circles).ToImmutableArray();
        var outline = board.Outline;
        var checkedSides = sides.Select(side =>
        {
            var paste = side.Paste;
            if (panel is not null)
            {
                (paste, outline) = panel.OneBoard(paste, board.Outline);
            }

            return side with
            {
                Paste = paste,
                Parts = PartNames.Join(FootprintFinder.Find(paste), paste, side.Side == BoardSide.Top, placements),
                // Their numbers are those of the whole panel's openings.
                Checks = panel is not null ? [] : [.. (side.Side == BoardSide.Top ? report.Top : report.Bottom).Where(c => !IsSaid(c.Finding, side.Paste.Findings))],
                Holes = circles,
            };
        }).ToImmutableArray();
        return (board with { Outline = outline, Findings = [.. board.Findings, .. report.Board.Select(c => c.Finding).Where(f => !IsSaid(f, board.Findings))] }, checkedSides, [.. files.SelectMany(Unread)]);
    }

    // Holes and parts that cannot be read stop the job, as any input does; other layers only help to check, and are done without.
    private static IEnumerable<Diagnostic> Unread(ArtworkFile file) => file.Role switch
    {
        LayerRole.DrillPlated or LayerRole.DrillNonplated => file.AllDiagnostics.Where(d => d.Severity == Severity.Error),
        // How a list was understood is a question to the person, not a remark.
        LayerRole.Placement => file.AllDiagnostics.Where(d => d.Severity >= Severity.Warning),
        LayerRole.CopperTop or LayerRole.CopperBottom or LayerRole.MaskTop or LayerRole.MaskBottom =>
            file.SketchDiagnostics.Where(d => d.Severity == Severity.Error).Select(d => d with { Severity = Severity.Warning }),
        _ => [],
    };

    // Sorting a layer and holding it against others can come upon the same thing; it is said once.
    private static bool IsSaid(Finding finding, ImmutableArray<Finding> before) => finding.Code switch
    {
        "BRD160" => before.Any(f => f.Code == "BRD024"),
        "BRD161" => before.Any(f => f.Code == "BRD027"),
        "BRD176" => before.Any(f => f.Code is "BRD002" or "BRD020" && f.Source?.File == finding.Source?.File),
        "BRD177" => before.Any(f => f.Code == "BRD006"),
        _ => false,
    };

    private static (ImmutableArray<BoardSideWork> Chosen, ImmutableArray<Diagnostic> Missing) Choose(ImmutableArray<BoardSideWork> sides, OnlyChoice only)
    {
        var known = sides
            .SelectMany(s => s.Parts.Parts.Select(p => p.Reference).Concat(s.Paste.Openings.Select(o => o.Component)))
            .OfType<string>().Distinct(StringComparer.OrdinalIgnoreCase).Order(StringComparer.Ordinal).ToList();
        var missing = only.References
            .Where(r => !known.Contains(r, StringComparer.OrdinalIgnoreCase))
            .Select(r => NoPart(r, known));
        var chosen = sides.Select(s =>
        {
            var (paste, parts) = only.Of(s.Paste, s.Parts);
            // What was said of parts left out would only distract.
            return s with { Paste = paste, Parts = parts with { Findings = [] }, Checks = [] };
        }).Where(s => !s.Paste.Openings.IsEmpty).ToImmutableArray();
        return chosen.IsEmpty && only.Box is not null ? (chosen, [NothingThere()]) : (chosen, [.. missing]);
    }

    private static Diagnostic NoPart(string reference, List<string> known)
    {
        var near = Suggestion.For(reference, known);
        var remedy = near is not null ? $"did you mean {near}?"
            : known.Count == 0 ? "no part of this artwork has a name: add a placement list, or give a rectangle of the board, --only 10,5,18,12."
            : "look for its name in apertures.csv of the whole board, or give a rectangle of the board, --only 10,5,18,12.";
        return new Diagnostic("PKG098", Severity.Error, $"no opening belongs to a part {reference}; {remedy}", SourcePlace.Whole("--only"));
    }

    private static Diagnostic NothingThere() => new(
        "PKG099", Severity.Error, "no opening lies in that rectangle; it is given in the artwork's own coordinates, x0,y0,x1,y1 in millimetres, as apertures.csv has them.", SourcePlace.Whole("--only"));

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

    private static JobSource Source(ArtworkFile file) => new(
        file.Source.Name, file.FormatText, file.Role.ToText(), file.Sha256);

    private static PrepareResult Write(JobRequest request, Job job, ImmutableArray<Diagnostic> diagnostics, ImmutableArray<Finding> findings)
    {
        // A sheet that does not fit its blank must not reach a laser.
        var unfit = job.Sides.Where(s => s.Design.Findings.Any(f => f.Severity == Severity.Error)).Select(s => Folder(s.Design.Side)).ToList();
        var outputs = JobFiles.Write(job).Where(f => !unfit.Exists(u => f.Path.StartsWith(u, StringComparison.Ordinal))).ToList();
        foreach (var folder in unfit)
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

    private static string Folder(BoardSide side) => side == BoardSide.Top ? "top/" : "bottom/";

    private static bool HasError(ImmutableArray<Diagnostic> diagnostics) => diagnostics.Any(d => d.Severity == Severity.Error);
}
