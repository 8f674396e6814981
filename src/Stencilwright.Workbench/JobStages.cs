using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Boards.Roles;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Output;

namespace Stencilwright.Workbench;

/// <summary>What the artwork says about the board, before anything is designed.</summary>
/// <param name="Board">Edge and paste layers.</param>
/// <param name="Sides">Sides that have paste, with their parts and checks.</param>
/// <param name="Diagnostics">Statements about the input; an error among them ends the job.</param>
internal sealed record BoardReading(BoardSearch Board, ImmutableArray<BoardSideWork> Sides, ImmutableArray<Diagnostic> Diagnostics);

/// <summary>How a job is made from what was read.</summary>
/// <param name="IsSketch">True for a first picture: the order of cuts is not searched for, and heat, which depends on it, is left out.</param>
/// <param name="Memory">How openings were cut before; null remembers nothing.</param>
internal sealed record MakingChoice(bool IsSketch = false, CutMemory? Memory = null)
{
    /// <summary>All at once, with nothing from before.</summary>
    public static MakingChoice Whole { get; } = new();

    /// <summary>Designs of the sides that were made from the same request; empty makes them.</summary>
    public ImmutableArray<StencilDesign> Designs { get; init; } = [];
}

/// <summary>The steps from artwork to job, each on its own: a program that stays open repeats only those whose input changed.</summary>
internal static class JobStages
{
    /// <summary>What is said when no paste was found.</summary>
    public const string NoPasteCode = "PKG093";

    /// <summary>Finds the board, sorts the paste layers, holds the layers against one another, and finds the parts.</summary>
    /// <param name="files">As gathered.</param>
    /// <param name="request">Sides, choice of parts, and the settings <c>outline_gap_mm</c> and <c>panel</c>; others do not matter here.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static BoardReading ReadBoard(ImmutableArray<ArtworkFile> files, JobRequest request, CancellationToken cancellation)
    {
        var board = BoardSearch.In(files, request.Settings.OutlineGapMm, cancellation);
        var sides = Wanted(request.Side, board);
        var diagnostics = Said(sides, board).ToImmutableArray();
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

        (board, filled, var more) = Check(files, board, filled, request.Settings, cancellation);
        diagnostics = diagnostics.AddRange(more.Except(diagnostics));
        if (request.Only is { } only && !HasError(diagnostics))
        {
            (filled, var missing) = Choose(filled, only);
            diagnostics = diagnostics.AddRange(missing);
        }
        else
        {
            (board, filled) = Repeat(board, filled, request.Settings);
        }

        return new BoardReading(board, filled, diagnostics);
    }

    /// <summary>Designs and plans every side.</summary>
    /// <param name="files">As gathered.</param>
    /// <param name="read">Without an error.</param>
    /// <param name="request">Settings in force, changes of single openings.</param>
    /// <param name="rules">That shape the openings.</param>
    /// <param name="making">How thoroughly, and what is known from before.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <returns>The job, and the sides' own findings.</returns>
    public static (Job Job, ImmutableArray<Finding> Own) Make(
        ImmutableArray<ArtworkFile> files, BoardReading read, JobRequest request, RuleSet rules, MakingChoice making, CancellationToken cancellation)
    {
        making.Memory?.Begin();
        var title = request.Settings.Title.Length > 0 ? request.Settings.Title : ArtworkGathering.TitleOf(request.Paths[0]);
        var own = new ImmutableArray<Finding>[read.Sides.Length];
        var made = new JobSide[read.Sides.Length];
        Parallel.For(
            0, made.Length, new ParallelOptions { MaxDegreeOfParallelism = 2, CancellationToken = cancellation },
            i =>
            {
                var design = making.Designs.IsEmpty ? read.Sides[i].Design(read.Board, request, rules, title) : making.Designs[i];
                cancellation.ThrowIfCancellationRequested();
                (made[i], own[i]) = read.Sides[i].Make(design, read.Board, request, making, cancellation);
            });
        var job = new Job
        {
            Version = request.Version,
            Title = title,
            Settings = request.Settings,
            Sources = [.. files.Where(f => f.Format is not null && (f.Whole is null || f.Role != LayerRole.Ignore)).Select(Source)],
            Outline = read.Board.Outline,
            Sides = [.. made],
        };
        return (job, [.. own.SelectMany(f => f)]);
    }

    public static bool HasError(ImmutableArray<Diagnostic> diagnostics) => diagnostics.Any(d => d.Severity == Severity.Error);

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
        ImmutableArray<ArtworkFile> files, BoardSearch board, ImmutableArray<BoardSideWork> sides, JobSettings settings, CancellationToken cancellation)
    {
        var (report, holes) = LayerChecks.Run(files, board, sides, cancellation);
        var panel = settings.Panel == "one" ? report.Panel : null;
        var placements = JobSources.Placements(files, cancellation);
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

    // Several copies of the board in one frame; what was found of the one is said once.
    private static (BoardSearch Board, ImmutableArray<BoardSideWork> Sides) Repeat(BoardSearch board, ImmutableArray<BoardSideWork> sides, JobSettings settings)
    {
        if (board.Outline is not { } outline || BoardCopies.Grid(outline, settings.BoardsAcross, settings.BoardsUp, settings.BoardsGapMm) is not { } copies)
        {
            return (board, sides);
        }

        return (board with { Outline = copies.Of(outline) }, [.. sides.Select(side =>
        {
            var (paste, parts) = copies.Of(side.Paste, side.Parts);
            return side with
            {
                Paste = paste,
                Parts = parts,
                Holes = [.. copies.Steps.SelectMany(s => side.Holes.Select(h => h with { Center = new(h.Center.X + s.X, h.Center.Y + s.Y) }))],
            };
        })]);
    }

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
            NoPasteCode,
            Severity.Error,
            $"{what}; `stencilwright survey` shows what each file was taken for, and --role FILE={role} says otherwise.",
            SourcePlace.Whole(request.Paths[0]));
    }

    private static JobSource Source(ArtworkFile file) => new(
        file.Source.Name, file.FormatText, file.Role.ToText(), file.Sha256);
}
