using SkiaSharp;
using Stencilwright.Boards;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>Draws sheets for PNG and PDF alike: film and frame, openings by verdict, marks, dimensions, scales.</summary>
internal static class SheetDrawing
{
    // Hatches need this much page to be read; smaller openings are drawn as solid marks.
    private const double SmallestHatchedMm = 0.4;
    private const double HatchSpacingMm = 0.65;

    /// <summary>What of the film is worth showing large: the board and everything that is cut.</summary>
    public static Bounds2 Window(JobSide side, BoardOutline? outline)
    {
        if (side.Design.FilmEdge is { } small)
        {
            return small.Bounds;
        }

        var box = Bounds2.Empty;
        if (outline is not null)
        {
            box = outline.Shape.Transform(side.Design.Placement.Map).Bounds;
        }

        foreach (var opening in side.Plan.Openings)
        {
            box = Bounds2.Union(box, opening.Shape.Bounds);
        }

        return box.IsEmpty ? new(0, 0, side.Design.FilmBlank.WidthMm, side.Design.FilmBlank.HeightMm) : box;
    }

    /// <summary>The film as it will be cut, clipped to a box of the page.</summary>
    public static void Film(Pad pad, SheetMap map, SKRect clip, JobSide side, BoardOutline? outline, SKColor paper)
    {
        var canvas = pad.Canvas;
        canvas.Save();
        canvas.ClipRect(clip);
        var blank = map.Box(new(0, 0, side.Design.FilmBlank.WidthMm, side.Design.FilmBlank.HeightMm));
        if (side.Design.FilmEdge is { } small)
        {
            using var film = map.Path(small);
            pad.FillPath(film, Ink.Film);
            pad.Outline(film, Ink.Line, Weight.Normal);
        }
        else
        {
            pad.FillBox(blank, Ink.Film);
            pad.Box(blank, Ink.Line, Weight.Normal);
        }

        Openings(pad, map, side, paper);
        if (outline is not null && side.Design.FilmEdge is null)
        {
            using var edge = map.Path(outline.Shape.Transform(side.Design.Placement.Map));
            pad.Outline(edge, Ink.Line, Weight.Normal, Dash.Hidden);
        }

        Marks(pad, map, side.Design.Marks);
        canvas.Restore();
    }

    /// <summary>The film for a paper template: thin outlines of what will be open, and as little ink as can be.</summary>
    public static void Template(Pad pad, SheetMap map, SKRect blank, JobSide side, BoardOutline? outline)
    {
        pad.Box(blank, Ink.Line, Weight.Thin);
        using var builder = new SKPathBuilder();
        foreach (var opening in side.Plan.Openings)
        {
            map.Add(builder, opening.Shape);
        }

        using var openings = builder.Detach();
        pad.Outline(openings, Ink.Line, Weight.Hair);
        if (side.Design.FilmEdge is { } small)
        {
            using var film = map.Path(small);
            pad.Outline(film, Ink.Line, Weight.Thin);
        }
        else if (outline is not null)
        {
            using var edge = map.Path(outline.Shape.Transform(side.Design.Placement.Map));
            pad.Outline(edge, Ink.Line, Weight.Thin, Dash.Hidden);
        }

        Marks(pad, map, side.Design.Marks);
    }

    /// <summary>Score marks: dotted, in their own ink.</summary>
    public static void Marks(Pad pad, SheetMap map, System.Collections.Immutable.ImmutableArray<ScoreMark> marks)
    {
        foreach (var mark in marks)
        {
            using var strokes = map.Path(mark.Strokes);
            pad.Outline(strokes, Ink.Score, Weight.Normal, Dash.Dotted);
        }
    }

    /// <summary>A small picture of the frame: stock hatched, pocket open.</summary>
    public static void Frame(Pad pad, SheetMap map, FrameDesign frame)
    {
        using var builder = new SKPathBuilder { FillType = SKPathFillType.EvenOdd };
        map.Add(builder, frame.Edge);
        map.Add(builder, frame.Pocket);
        using var stock = builder.Detach();
        pad.Hatch(stock, Ink.Frame, 1.6, rising: false);
        pad.Outline(stock, Ink.Line, Weight.Normal);
    }

    /// <summary>The film's edge on the frame, and where tape and magnets hold it: nothing of it is cut.</summary>
    public static void Holding(Pad pad, SheetMap map, FrameDesign frame)
    {
        foreach (var shape in frame.Holding.Select(h => h.Shape).Append(Region.Of(Contour.Rectangle(frame.Film))))
        {
            using var path = map.Path(shape);
            pad.Outline(path, Ink.Quiet, Weight.Hair, Dash.Hidden);
        }

        foreach (var place in frame.Holding)
        {
            var at = place.Shape.Bounds.Center;
            pad.Text(place.Kind switch { HoldingKind.Magnet => "magnet", HoldingKind.Hinge => "hinge", _ => "tape" }, map.X(at.X), map.Y(at.Y) + 1, 6, Ink.Quiet, align: SKTextAlign.Center);
        }
    }

    /// <summary>One opening of a kind, for legends.</summary>
    public static void Sample(Pad pad, SKRect box, Verdict verdict, SKColor paper)
    {
        using var builder = new SKPathBuilder();
        builder.AddRoundRect(box, 0.5f, 0.5f);
        using var path = builder.Detach();
        pad.FillBox(SKRect.Inflate(box, 1.2f, 1.2f), Ink.Film);
        pad.FillPath(path, paper);
        Verdicts(pad, path, verdict);
    }

    /// <summary>The hatch and outline that tell a verdict.</summary>
    public static void Verdicts(Pad pad, SKPath path, Verdict verdict, float? outline = null)
    {
        var colour = Colour(verdict);
        if (verdict != Verdict.Prints)
        {
            pad.Hatch(path, colour, HatchSpacingMm, width: Weight.Thin);
        }

        if (verdict == Verdict.WillNotPrint)
        {
            pad.Hatch(path, colour, HatchSpacingMm, rising: false, Weight.Thin);
        }

        pad.Outline(path, colour, outline ?? (verdict == Verdict.WillNotPrint ? Weight.Heavy : Weight.Normal));
    }

    private static void Openings(Pad pad, SheetMap map, JobSide side, SKColor paper)
    {
        using var all = new SKPathBuilder();
        var kinds = new SKPathBuilder[] { new(), new(), new() };
        var solids = new SKPathBuilder[] { new(), new(), new() };
        for (var i = 0; i < side.Plan.Openings.Length; i++)
        {
            var opening = side.Plan.Openings[i];
            // What does not open at all is shown as it was wanted.
            var shape = opening.Shape.IsEmpty
                ? side.Design.Openings[i].Design.Transform(side.Design.Placement.Map)
                : opening.Shape;
            var box = shape.Bounds;
            var isSmall = Math.Min(box.Width, box.Height) * map.Scale < SmallestHatchedMm;
            map.Add((isSmall ? solids : kinds)[(int)opening.Verdict], shape);
        }

        for (var verdict = 0; verdict < 3; verdict++)
        {
            using (var path = kinds[verdict].Detach())
            {
                pad.FillPath(path, paper);
                Verdicts(pad, path, (Verdict)verdict);
            }

            using (var path = solids[verdict].Detach())
            {
                SmallMarks(pad, path, (Verdict)verdict, paper);
            }

            kinds[verdict].Dispose();
            solids[verdict].Dispose();
        }
    }

    /// <summary>Too small to hatch: solid prints, hollow is marginal, solid and larger than life will not print.</summary>
    public static void SmallMarks(Pad pad, SKPath path, Verdict verdict, SKColor paper)
    {
        var colour = Colour(verdict);
        pad.FillPath(path, verdict == Verdict.Marginal ? paper : colour);
        pad.Outline(path, colour, verdict switch { Verdict.Prints => Weight.Hair, Verdict.Marginal => Weight.Thin, _ => Weight.Heavy });
    }

    private static SKColor Colour(Verdict verdict) => verdict switch
    {
        Verdict.Prints => Ink.Line,
        Verdict.Marginal => Ink.Marginal,
        _ => Ink.WillNotPrint,
    };
}
