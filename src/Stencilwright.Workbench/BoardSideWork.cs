using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Checks;
using Stencilwright.Boards.Parts;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Design.Printing;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Output.Machine;

namespace Stencilwright.Workbench;

/// <summary>One side of a board on its way from paste layer to job.</summary>
/// <param name="Side">Which.</param>
/// <param name="File">Its paste layer.</param>
/// <param name="Paste">Sorted into openings.</param>
/// <param name="Parts">What the openings are for.</param>
internal sealed record BoardSideWork(BoardSide Side, ArtworkFile File, PasteLayer Paste, PartList Parts)
{
    /// <summary>What holding it against other layers showed.</summary>
    public ImmutableArray<CheckFinding> Checks { get; init; } = [];

    /// <summary>Holes of the board, for panes to keep away from.</summary>
    public ImmutableArray<HoleCircle> Holes { get; init; } = [];

    /// <summary>Where each board's openings stand when there are several; empty when there is one.</summary>
    public ImmutableArray<BoardStretch> Boards { get; init; } = [];

    /// <summary>Designs the side.</summary>
    public StencilDesign Design(BoardSearch board, JobRequest request, RuleSet rules, string title)
    {
        var settings = request.Settings;
        var shaped = rules.Rules.IsEmpty ? null : ApertureShaper.Shape(rules, new ShapingContext
        {
            Side = Side,
            Paste = Paste,
            Parts = Parts,
            FilmThicknessMm = settings.FilmThicknessMm,
            SmallestWebMm = settings.SmallestWebMm,
            BeamWidthMm = Math.Max(settings.KerfXMm, settings.KerfYMm),
            Holes = Holes,
        });
        var boards = new FrameBoards(Boards);
        shaped = OpeningChanges.Apply(Paste, shaped, request.Changes.Where(c => c.Side == Side).Select(c => c with { Index = boards.IndexOf(c) ?? -1 }));
        return StencilDesigner.Design(Side, Paste, board.Outline, settings, title, Parts, shaped, request.Only is not null);
    }

    /// <summary>Plans and judges the designed side.</summary>
    public (JobSide Side, ImmutableArray<Finding> Own) Make(StencilDesign design, BoardSearch board, JobRequest request, MakingChoice making, CancellationToken cancellation)
    {
        var settings = request.Settings;
        var enough = making.IsSketch ? new CancellationToken(canceled: true) : default;
        var plan = CutPlanner.Plan(design, settings, cancellation, enough: enough, memory: making.Memory, isSketch: making.IsSketch);
        ImmutableArray<Finding> own = [.. Paste.Findings, .. Checks.Select(c => Named(c, design)), .. Parts.Findings, .. design.Findings, .. plan.Findings, .. MachineFindings.Of(plan, settings)];
        // What the reader warned about belongs into the report too; on the terminal it has been said with its place already.
        var read = File.AllDiagnostics.Where(d => d.Severity >= Severity.Warning)
            .Select(d => new Finding { Code = d.Code, Severity = d.Severity, Message = d.Message, Source = d.Place });
        var subjects = SubjectsOf(design, plan);
        var now = PrintConditions.Of(settings);
        var (films, pastes) = (FilmAdvice.FilmsOf(settings.FilmsAtHandMm), FilmAdvice.PastesOf(settings.PastesAtHand, settings.Paste));
        var cost = settings.FilmBlankCost + (plan.Frame is null ? 0 : settings.FrameBlankCost);
        var made = new JobSide(design, plan, plan.Openings.Sum(o => o.Print.PasteMassG), cost, [.. read, .. board.Findings, .. own])
        {
            Parts = new PartJudge(now, films, pastes).Judge(design.Parts, subjects),
            Advice = FilmAdvice.Of(design.Parts, subjects, now, films, pastes),
        };
        return (made, own);
    }

    // An opening that the rules split is named by its panes.
    private Finding Named(CheckFinding check, StencilDesign design)
    {
        if (check.Openings.IsEmpty)
        {
            return check.Finding;
        }

        var ids = check.Openings.Select(i => StencilDesigner.IdOf(i, Paste.Openings.Length)).ToHashSet(StringComparer.Ordinal);
        return check.Finding with { Apertures = [.. design.Openings.Select(o => o.Id).Where(id => ids.Contains(id.Split('p')[0]))] };
    }

    private static PrintSubject[] SubjectsOf(StencilDesign design, CutPlan plan)
    {
        var subjects = new PrintSubject[design.Openings.Length];
        for (var i = 0; i < subjects.Length; i++)
        {
            var opening = design.Openings[i];
            subjects[i] = new()
            {
                Id = opening.Id,
                Part = opening.Part,
                Function = opening.Function,
                Form = plan.Openings[i].Form,
                WebMm = plan.Openings[i].WebMm,
                WantedAreaMm2 = opening.Function == PadFunction.ThermalPad ? opening.Design.AreaMm2 : opening.Artwork.AreaMm2,
            };
        }

        return subjects;
    }
}
