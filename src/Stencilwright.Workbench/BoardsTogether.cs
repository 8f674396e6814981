using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Workbench;

/// <summary>Different boards in one frame: each is read by itself, then they are laid side by side.</summary>
internal static class BoardsTogether
{
    // A role was given for a file that is not there.
    private const string NoSuchFileCode = "BRD063";

    /// <summary>Reads the artwork of the job's own board and of those beside it.</summary>
    /// <returns>Files of all, those of the first board first, and what was said about them.</returns>
    public static (ImmutableArray<ArtworkFile> Files, ImmutableArray<ImmutableArray<ArtworkFile>> Beside, ImmutableArray<Diagnostic> Said) Gather(JobRequest request, Func<Stream> openInput)
    {
        var (files, said) = ArtworkGathering.Gather(request, openInput);
        var beside = ImmutableArray.CreateBuilder<ImmutableArray<ArtworkFile>>();
        foreach (var board in request.Beside)
        {
            var (its, more) = ArtworkGathering.Gather(request with { Paths = board.Paths, Roles = board.Roles, Beside = [] }, openInput);
            beside.Add(its);
            said = said.AddRange(Named(more, its, board.Name));
        }

        return (files, beside.ToImmutable(), request.Beside.IsEmpty ? said : WithoutFound(said, [request.Roles, .. request.Beside.Select(b => b.Roles)]));
    }

    // Roles on the command line are said of all boards; it is enough when one of them has the file.
    private static ImmutableArray<Diagnostic> WithoutFound(ImmutableArray<Diagnostic> said, ImmutableArray<ImmutableArray<(string File, string Role)>> given)
    {
        var lost = said.Where(d => d.Code == NoSuchFileCode).ToLookup(d => d.Place.File, StringComparer.OrdinalIgnoreCase);
        return lost.Count == 0 ? said : said.RemoveAll(d => d.Code == NoSuchFileCode
            && (lost[d.Place.File].Count() < given.Count(roles => roles.Any(r => r.File.Equals(d.Place.File, StringComparison.OrdinalIgnoreCase))) || !ReferenceEquals(d, lost[d.Place.File].First())));
    }

    /// <summary>Reads the boards and lays them side by side.</summary>
    /// <param name="files">The first board's.</param>
    /// <param name="beside">Files of each of the others.</param>
    /// <param name="request">The job's.</param>
    /// <param name="cancellation">Stops the work.</param>
    public static BoardReading ReadBoards(ImmutableArray<ArtworkFile> files, ImmutableArray<ImmutableArray<ArtworkFile>> beside, JobRequest request, CancellationToken cancellation)
    {
        var first = JobStages.ReadBoard(files, request, cancellation);
        if (request.Beside.IsEmpty)
        {
            return first;
        }

        // Copies are of the first board; which openings are chosen or changed is said of it alone.
        var one = request with { Only = null, Beside = [], Settings = request.Settings with { BoardsAcross = 1, BoardsUp = 1 } };
        var readings = ImmutableArray.Create(first);
        var diagnostics = first.Diagnostics;
        for (var i = 0; i < beside.Length; i++)
        {
            var reading = JobStages.ReadBoard(beside[i], one with { Paths = request.Beside[i].Paths }, cancellation);
            diagnostics = diagnostics.AddRange(Named(reading.Diagnostics, beside[i], request.Beside[i].Name));
            readings = readings.Add(reading);
        }

        // One of them may have no paste on a side that another has.
        if (readings.Any(r => !r.Sides.IsEmpty))
        {
            diagnostics = diagnostics.RemoveAll(d => d.Code == JobStages.NoPasteCode);
        }

        if (request.Only is not null)
        {
            diagnostics = diagnostics.Add(Wrong("PKG111", "a small stencil of some parts is cut for one board alone; leave out the boards beside it, or the choice of parts."));
        }

        for (var i = 0; i < readings.Length; i++)
        {
            if (readings[i].Board.Outline is null)
            {
                var name = i == 0 ? "the job's own board" : request.Beside[i - 1].Name;
                diagnostics = diagnostics.Add(Wrong("PKG110", $"{name} has no outline, and boards can be laid side by side only by their outlines; give the file that holds it the role outline, or leave out the boards beside."));
            }
        }

        return JobStages.HasError(diagnostics) ? first with { Diagnostics = diagnostics } : Join(readings, request) with { Diagnostics = diagnostics };
    }

    // Boards may have files of the same names, and what is said of another board's must not be looked for in one's own.
    private static IEnumerable<Diagnostic> Named(ImmutableArray<Diagnostic> said, ImmutableArray<ArtworkFile> files, string board) =>
        said.Select(d => files.Any(f => f.Source.Name == d.Place.File) ? d with { Place = d.Place with { File = board + "/" + d.Place.File } } : d);

    private static BoardReading Join(ImmutableArray<BoardReading> readings, JobRequest request)
    {
        var outlines = readings.Select(r => r.Board.Outline!).ToList();
        var steps = BoardRow.Steps(outlines, request.Settings.BoardsGapMm);
        var sides = ImmutableArray.CreateBuilder<BoardSideWork>();
        foreach (var side in (BoardSide[])[BoardSide.Top, BoardSide.Bottom])
        {
            BoardSideWork? joined = null;
            for (var i = 0; i < readings.Length; i++)
            {
                if (readings[i].Sides.FirstOrDefault(s => s.Side == side) is { } its)
                {
                    joined = Add(joined, its, steps[i], i == 0 ? null : request.Beside[i - 1].Id);
                }
            }

            if (joined is not null)
            {
                sides.Add(joined);
            }
        }

        // Notes are said when they are jobs of their own; what may spoil the print must not be.
        var grave = readings.Skip(1).SelectMany((r, i) => Grave(r).Select(f => Moved(f, request.Beside[i].Name, steps[i + 1])));
        var names = string.Join(", ", request.Beside.Select(b => b.Name));
        var told = new Finding { Code = "BRD195", Severity = Severity.Note, Message = $"Boards in the same frame, to the right: {names}. What else there is to say of their artwork is said when they are jobs of their own." };
        return readings[0] with
        {
            Board = readings[0].Board with { Outline = BoardRow.Outline(outlines, steps), Findings = [.. readings[0].Board.Findings, told, .. grave] },
            Sides = sides.ToImmutable(),
        };
    }

    private static IEnumerable<Finding> Grave(BoardReading reading) =>
        ((IEnumerable<Finding>)[.. reading.Board.Findings, .. reading.Sides.SelectMany(s => s.Paste.Findings.Concat(s.Checks.Select(c => c.Finding)).Concat(s.Parts.Findings))])
            .Where(f => f.Severity > Severity.Note);

    // Openings are numbered otherwise here, so it is told by its place alone.
    private static Finding Moved(Finding finding, string board, Vector2 step) => finding with
    {
        Message = $"{board}: {finding.Message}",
        Apertures = [],
        XMm = finding.XMm + step.X,
        YMm = finding.YMm + step.Y,
        Source = finding.Source is { } source ? source with { File = board + "/" + source.File } : null,
    };

    private static BoardSideWork Add(BoardSideWork? before, BoardSideWork its, Vector2 step, string? id)
    {
        if (id is null)
        {
            return its with { Boards = [new(its.Side, "", 0, its.Paste.Openings.Length)] };
        }

        var (openings, parts) = BoardRow.Moved(its.Paste, its.Parts, step, before?.Paste.Openings.Length ?? 0);
        var stretch = new BoardStretch(its.Side, id, before?.Paste.Openings.Length ?? 0, openings.Length);
        var holes = its.Holes.Select(h => h with { Center = new(h.Center.X + step.X, h.Center.Y + step.Y) });
        return before is null
            ? its with { Paste = its.Paste with { Openings = openings, SetAside = [], Findings = [] }, Parts = new PartList(parts, []), Holes = [.. holes], Checks = [], Boards = [stretch] }
            : before with
            {
                Paste = before.Paste with { Openings = before.Paste.Openings.AddRange(openings) },
                Parts = before.Parts with { Parts = before.Parts.Parts.AddRange(parts) },
                Holes = before.Holes.AddRange(holes),
                Boards = before.Boards.Add(stretch),
            };
    }

    private static Diagnostic Wrong(string code, string message) => new(code, Severity.Error, message, SourcePlace.Whole("--beside"));
}
