using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Stencilwright.Cutting.Heat;
using Stencilwright.Design;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Plans the cut of one side: beam paths of film and frame in order, and what they will leave open.</summary>
public static class CutPlanner
{
    private const int BlockSize = 256;
    private const int FewBlocks = 4;
    private const long QuickSteps = 30;
    private const long NormalSteps = 200;
    private const long HighSteps = 3000;
    private const long MostSteps = 1_000_000;

    /// <summary>Plans the cut of one side.</summary>
    /// <remarks>The same design and settings give the same plan; work is counted, not timed.</remarks>
    /// <param name="design">The stencil.</param>
    /// <param name="settings">Kerf, scale, speeds, limits.</param>
    /// <param name="cancellation">Stops the work with an <see cref="OperationCanceledException"/>.</param>
    /// <param name="progress">Takes the share done, 0 to 1.</param>
    /// <param name="enough">Ends the search for a better order and goes on with the best so far.</param>
    /// <param name="memory">How openings were cut before; null remembers nothing.</param>
    /// <param name="isSketch">True when another plan with a better order follows: heat, which the order decides, is left out.</param>
    [SuppressMessage("Design", "CA1068", Justification = "Progress comes last: most callers have none.")]
    public static CutPlan Plan(
        StencilDesign design,
        JobSettings settings,
        CancellationToken cancellation = default,
        IProgress<double>? progress = null,
        CancellationToken enough = default,
        CutMemory? memory = null,
        bool isSketch = false)
    {
        ArgumentNullException.ThrowIfNull(design);
        ArgumentNullException.ThrowIfNull(settings);
        var findings = new CutFindings(design, settings);
        var steps = StepsOf(settings.OrderEffort, findings);
        var builder = new SheetBuilder(settings);
        builder.AddMarks(design.Marks);
        var cuts = CutOpenings(design, settings, memory, cancellation, progress);
        var shapes = ImmutableArray.CreateBuilder<Region>(cuts.Length);
        for (var i = 0; i < cuts.Length; i++)
        {
            AddPaths(builder, cuts[i].Cut, design.Openings[i].Id, i);
            shapes.Add(cuts[i].Cut.Opened);
            findings.SeeCut(i, cuts[i].Cut);
        }

        var opened = shapes.MoveToImmutable();
        var webs = WebFinder.Find(opened, cancellation);
        var openings = Judge(design, cuts, webs, settings, findings);
        if (design.FilmEdge is { } edge)
        {
            foreach (var contour in RegionOffset.Outset(edge, settings.KerfXMm / 2, settings.KerfYMm / 2).Contours)
            {
                builder.AddLast(HeldEdge.PathsOf(contour, Math.Max(settings.KerfXMm, settings.KerfYMm)), CutKind.Edge);
            }
        }

        progress?.Report(0.7);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation, enough);
        var warm = WebSearch.Closer(opened.AsSpan(), Reheat.WidestMm(settings), cancellation);
        var recipe = new CutRecipe(settings.FilmThicknessMm, settings.FilmPowerPercent, settings.FilmSpeedMmS);
        var film = builder.Build("film", design.FilmBlank, recipe, warm, steps, stop.Token);
        cancellation.ThrowIfCancellationRequested();
        var heat = isSketch ? new HeatReading?[webs.Length] : WebHeat.Read(film, opened, webs, settings, cancellation);
        findings.SeeHeat(heat, webs);
        var frame = design.Frame is null ? null : PlanFrame(design.Frame, settings, steps, findings, stop.Token);
        progress?.Report(1);
        return new CutPlan
        {
            Side = design.Side,
            Film = film,
            Frame = frame,
            Openings = WebHeat.Tell(openings, heat),
            HottestWeb = WebHeat.Hottest(heat),
            Findings = findings.ToImmutable(),
        };
    }

    [SuppressMessage("Design", "CA1068", Justification = "As in Plan.")]
    private static CutResult[] CutOpenings(
        StencilDesign design, JobSettings settings, CutMemory? memory, CancellationToken cancellation, IProgress<double>? progress)
    {
        var cutter = new OpeningCutter(settings.KerfXMm, settings.KerfYMm);
        var forArea = settings.CutBalance == "area";
        var map = design.Placement.Map;
        var cuts = new CutResult[design.Openings.Length];
        var blocks = (cuts.Length + BlockSize - 1) / BlockSize;
        var done = 0;
        void CutBlock(int block)
        {
            cancellation.ThrowIfCancellationRequested();
            for (var i = block * BlockSize; i < Math.Min(cuts.Length, (block + 1) * BlockSize); i++)
            {
                var wanted = design.Openings[i].Design.Transform(map);
                cuts[i] = memory?.Of(wanted, cutter, forArea) ?? CutResult.Of(wanted, cutter, forArea);
            }

            progress?.Report(0.5 * Interlocked.Increment(ref done) / blocks);
        }

        // Small sheets are done sooner than a second thread would be at work.
        if (blocks <= FewBlocks)
        {
            for (var block = 0; block < blocks; block++)
            {
                CutBlock(block);
            }
        }
        else
        {
            Parallel.For(0, blocks, new ParallelOptions { CancellationToken = cancellation }, CutBlock);
        }

        return cuts;
    }

    private static void AddPaths(SheetBuilder builder, CutOpening cut, string id, int opening)
    {
        if (!cut.Inset.IsEmpty)
        {
            var islands = cut.Inset.Contours.Length == 1 ? [cut.Inset] : RegionBoolean.Islands(cut.Inset);
            foreach (var island in islands)
            {
                builder.AddIsland(island, CutKind.Opening, id, opening);
            }
        }

        foreach (var line in cut.Lines)
        {
            builder.AddLine(line, CutKind.OpeningLine, id, opening);
        }
    }

    private static ImmutableArray<AsCutOpening> Judge(
        StencilDesign design, CutResult[] cuts, Web?[] webs, JobSettings settings, CutFindings findings)
    {
        var conditions = PrintConditions.Of(settings);
        var openings = ImmutableArray.CreateBuilder<AsCutOpening>(cuts.Length);
        for (var i = 0; i < cuts.Length; i++)
        {
            var form = cuts[i].Form;
            var print = Printability.Judge(form, webs[i]?.WidthMm, conditions);
            openings.Add(new AsCutOpening
            {
                Id = design.Openings[i].Id,
                Shape = cuts[i].Cut.Opened,
                Form = form,
                WebMm = webs[i]?.WidthMm,
                Print = print,
            });
            findings.SeePrint(i, print);
        }

        findings.SeeWebs(webs);
        return openings.MoveToImmutable();
    }

    private static SheetPlan PlanFrame(
        FrameDesign frame, JobSettings settings, long steps, CutFindings findings, CancellationToken enough)
    {
        var half = settings.FrameKerfMm / 2;
        var builder = new SheetBuilder(settings);
        builder.AddMarks(frame.Marks);

        // What remains after cutting is what was wanted: the pocket's path runs inside its edge, the frame's outside.
        var pocket = half == 0 ? frame.Pocket : RegionOffset.Offset(frame.Pocket, -half);
        if (pocket.IsEmpty)
        {
            findings.SayNoPocket();
        }

        builder.AddLast(pocket, CutKind.Pocket);
        builder.AddLast(half == 0 ? frame.Edge : RegionOffset.Offset(frame.Edge, half), CutKind.Edge);
        var recipe = new CutRecipe(settings.FrameThicknessMm, settings.FramePowerPercent, settings.FrameSpeedMmS);
        return builder.Build("frame", frame.Blank, recipe, [], steps, enough);
    }

    private static long StepsOf(string effort, CutFindings findings)
    {
        switch (effort.Trim().ToUpperInvariant())
        {
            case "QUICK":
                return QuickSteps;
            case "NORMAL":
                return NormalSteps;
            case "HIGH":
                return HighSteps;
            default:
                if (long.TryParse(effort, NumberStyles.None, CultureInfo.InvariantCulture, out var steps) && steps <= MostSteps)
                {
                    return steps;
                }

                findings.SayUnknownEffort(effort);
                return NormalSteps;
        }
    }
}
