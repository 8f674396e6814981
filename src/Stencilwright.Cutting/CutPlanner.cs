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
        var steps = StepsOf(settings.OrderEffort, design.Openings.Length, findings);
        var builder = new SheetBuilder(settings);
        builder.AddMarks(design.Marks);
        var cuts = CutOpenings(design, settings, memory, cancellation, progress);
        var shapes = ImmutableArray.CreateBuilder<Region>(cuts.Length);
        var misses = new BeamMiss[cuts.Length];
        for (var i = 0; i < cuts.Length; i++)
        {
            AddPaths(builder, cuts[i].Cut, design.Openings[i].Id, i);
            shapes.Add(cuts[i].Cut.Opened);
            misses[i] = cuts[i].Cut.Miss;
            findings.SeeCut(i, cuts[i].Cut);
        }

        var opened = shapes.MoveToImmutable();
        if (design.FilmEdge is { } edge)
        {
            foreach (var contour in RegionOffset.Outset(edge, settings.KerfXMm / 2, settings.KerfYMm / 2).Contours)
            {
                builder.AddLast(HeldEdge.PathsOf(contour, Math.Max(settings.KerfXMm, settings.KerfYMm)), CutKind.Edge);
            }
        }

        progress?.Report(0.7);
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(cancellation, enough);
        var warmMm = Reheat.WidestMm(settings);
        using var field = new WebField(opened.AsMemory());
        var close = field.Closer(Math.Max(warmMm, ThinWebs.LimitMm(settings)), cancellation);
        var warm = warmMm > 0 ? close.RemoveAll(web => web.WidthMm >= warmMm) : [];
        var recipe = new CutRecipe(settings.FilmThicknessMm, settings.FilmPowerPercent, settings.FilmSpeedMmS, settings.FilmPasses);
        SheetPlan BuildFilm() => builder.Build("film", design.FilmBlank, recipe, warm, steps, ThinWebs.Of(opened, close, settings), stop.Token);
        // Openings that do not grow by the way they are cut have the webs that they have now.
        var (film, near) = Both(BuildFilm, () => BeamGrowth.IsAny(settings) ? null : WebFinder.Find(field, cancellation), opened.Length, cancellation);
        cancellation.ThrowIfCancellationRequested();
        findings.SeeCramped(builder.Cramped);
        var grown = Grow(design, opened, misses, film, settings, cancellation);
        var webs = near ?? WebFinder.Find(grown, cancellation);
        var openings = Judge(design, cuts, misses, grown, webs, settings, findings);
        var heat = isSketch ? new HeatReading?[webs.Length] : WebHeat.Read(film, grown, webs, settings, cancellation);
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
        memory ??= new CutMemory();
        var blocks = (cuts.Length + BlockSize - 1) / BlockSize;
        var done = 0;
        void CutBlock(int block)
        {
            cancellation.ThrowIfCancellationRequested();
            for (var i = block * BlockSize; i < Math.Min(cuts.Length, (block + 1) * BlockSize); i++)
            {
                var wanted = design.Openings[i].Design.Transform(map);
                cuts[i] = memory.Of(wanted, cutter, forArea);
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

    // Two things that do not need one another, on a large sheet at the same time.
    private static (TA First, TB Second) Both<TA, TB>(Func<TA> first, Func<TB> second, int openings, CancellationToken cancellation)
    {
        if (openings <= FewBlocks * BlockSize)
        {
            return (first(), second());
        }

        var (a, b) = (default(TA)!, default(TB)!);
        Parallel.Invoke(new ParallelOptions { CancellationToken = cancellation }, () => a = first(), () => b = second());
        return (a, b);
    }

    // Where the beam opens more than its kerf, which depends on where it starts, what was missed is found again.
    private static ImmutableArray<Region> Grow(
        StencilDesign design, ImmutableArray<Region> opened, BeamMiss[] misses, SheetPlan film, JobSettings settings, CancellationToken cancellation)
    {
        var grown = BeamGrowth.Grow(opened, design.Openings.Select(o => o.Id), film, settings, cancellation);
        for (var i = 0; i < grown.Length; i++)
        {
            if (!ReferenceEquals(grown[i], opened[i]))
            {
                misses[i] = BeamMiss.Between(design.Openings[i].Design.Transform(design.Placement.Map), grown[i], misses[i].CornerGapMm);
            }
        }

        return grown;
    }

    private static ImmutableArray<AsCutOpening> Judge(
        StencilDesign design, CutResult[] cuts, BeamMiss[] misses, ImmutableArray<Region> shapes, Web?[] webs, JobSettings settings, CutFindings findings)
    {
        var conditions = PrintConditions.Of(settings);
        var openings = ImmutableArray.CreateBuilder<AsCutOpening>(shapes.Length);
        for (var i = 0; i < shapes.Length; i++)
        {
            var form = ReferenceEquals(shapes[i], cuts[i].Cut.Opened) ? cuts[i].Form : ShapeMeasure.FormOf(shapes[i]);
            var print = Printability.Judge(form, webs[i]?.WidthMm, conditions);
            var miss = misses[i];
            openings.Add(new AsCutOpening
            {
                Id = design.Openings[i].Id,
                Shape = shapes[i],
                Form = form,
                LostAreaMm2 = miss.LostMm2,
                ExtraAreaMm2 = miss.ExtraMm2,
                CornerGapMm = miss.CornerGapMm,
                EntryAreaMm2 = form.AreaOutMm2(settings.TaperMm / 2),
                WallAreaMm2 = form.WallAreaMm2(settings.FilmThicknessMm, settings.TaperMm),
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
        var recipe = new CutRecipe(settings.FrameThicknessMm, settings.FramePowerPercent, settings.FrameSpeedMmS, settings.FramePasses);
        return builder.Build("frame", frame.Blank, recipe, [], steps, null, enough);
    }

    // Normal and high take about as long whatever the number of openings, as far as that leaves each its share:
    // 2 million tried legs are less than a tenth of a second, 100 million two to four.
    private static long StepsOf(string effort, int openings, CutFindings findings)
    {
        var normal = Math.Clamp(2_000_000 / Math.Max(1, openings), 100, 3_000);
        var high = Math.Clamp(100_000_000 / Math.Max(1, openings), 3_000, 200_000);
        switch (effort.Trim().ToUpperInvariant())
        {
            case "QUICK":
                return QuickSteps;
            case "NORMAL":
                return normal;
            case "HIGH":
                return high;
            default:
                if (long.TryParse(effort, NumberStyles.None, CultureInfo.InvariantCulture, out var steps) && steps <= MostSteps)
                {
                    return steps;
                }

                findings.SayUnknownEffort(effort);
                return normal;
        }
    }
}
