using System.Globalization;
using SkiaSharp;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>The composition of the preview: border, large view, legend, figures, key view, title block. A4 landscape.</summary>
internal static class PreviewPlate
{
    public const double WidthMm = 297;
    public const double HeightMm = 210;
    public const double Border = 7;
    public const double ColumnWidth = 66;
    public const double ColumnLeft = WidthMm - Border - ColumnWidth;

    public static void Draw(Pad pad, Job job, JobSide side)
    {
        pad.Canvas.Clear(Ink.Paper);
        pad.Box(new((float)Border, (float)Border, (float)(WidthMm - Border), (float)(HeightMm - Border)), Ink.Line, Weight.Border);
        pad.Line(ColumnLeft, Border, ColumnLeft, HeightMm - Border, Ink.Line, Weight.Normal);
        var totals = SideTotals.Of(side);
        View(pad, job, side);
        var y = Legend(pad, hasBoard: job.Outline is not null && side.Design.FilmEdge is null, totals);
        y = Figures(pad, side, totals, y);
        y = RatioChart.Draw(pad, side, new((float)(ColumnLeft + 5), (float)y, (float)(WidthMm - Border - 5), (float)(y + 27)));
        var title = TitleBlock(pad, job, side);
        KeyView(pad, job, side, new((float)(ColumnLeft + 5), (float)(y + 4), (float)(WidthMm - Border - 5), (float)(title - 4)));
    }

    private static void View(Pad pad, Job job, JobSide side)
    {
        var window = SheetDrawing.Window(side, job.Outline);
        var notes = Callouts.Of(side);
        var noteWidth = notes.Count > 0 ? 42 : 8;
        var frame = new SKRect((float)Border, (float)Border, (float)ColumnLeft, (float)(HeightMm - Border));
        var inner = new SKRect(frame.Left + 17, frame.Top + 9, frame.Right - noteWidth, frame.Bottom - 27);
        var map = SheetMap.Fit(window, inner);
        // The film is shown a little beyond the board, so that one sees that it goes on.
        var shown = map.Box(window.Inflate(Math.Min(5, 4 / map.Scale)));
        SheetDrawing.Film(pad, map, shown, side, job.Outline, Ink.Paper);
        Callouts.Draw(pad, map, notes, shown, frame.Right - noteWidth + 9, frame.Right - 2, frame.Top + 8, frame.Bottom - 26);
        var board = map.Box(window);
        Dimensions.Along(pad, board.Left, board.Right, shown.Bottom + 7, shown.Bottom, window.Width);
        Dimensions.Up(pad, board.Top, board.Bottom, shown.Left - 5, shown.Left, window.Height);
        Dimensions.ScaleBar(pad, frame.Left + 17, frame.Bottom - 9.5, map.Scale, 60);
        var what = job.Settings.CutFromBoardSide ? "cut from the face that will meet the board" : "cut from the squeegee's face";
        pad.Text("Drawn as the film lies in the laser, " + what, frame.Right - 4, frame.Bottom - 5, 7.5, Ink.Quiet, SKTextAlign.Right);
    }

    private static double Legend(Pad pad, bool hasBoard, SideTotals totals)
    {
        var (x, y) = (ColumnLeft + 5, Border + 9.0);
        pad.Text("Openings", x, y, 10, Ink.Line, bold: true);
        y += 7;
        foreach (var (verdict, count) in (ReadOnlySpan<(Verdict, int)>)
            [(Verdict.Prints, totals.Prints), (Verdict.Marginal, totals.Marginal), (Verdict.WillNotPrint, totals.WillNotPrint)])
        {
            SheetDrawing.Sample(pad, new((float)x + 1.2f, (float)y - 2.8f, (float)x + 8.2f, (float)y + 0.4f), verdict, Ink.Paper);
            pad.Text(OpeningRow.Word(verdict), x + 12, y, 8.5, Ink.Line);
            pad.Text(count.ToString(CultureInfo.InvariantCulture), WidthMm - Border - 5, y, 8.5, Ink.Line, SKTextAlign.Right);
            y += 7;
        }

        if (hasBoard)
        {
            pad.Line(x, y - 1.2, x + 9.4, y - 1.2, Ink.Line, Weight.Normal, Dash.Hidden);
            pad.Text("board's edge, under the film", x + 12, y, 8.5, Ink.Line);
            y += 6;
        }

        pad.Line(x, y - 1.2, x + 9.4, y - 1.2, Ink.Score, Weight.Normal, Dash.Dotted);
        pad.Text("score mark", x + 12, y, 8.5, Ink.Line);
        return y + 9;
    }

    private static double Figures(Pad pad, JobSide side, SideTotals totals, double y)
    {
        var film = side.Plan.Film;
        foreach (var (name, figure, unit) in (ReadOnlySpan<(string, string, string)>)
        [
            ("open area, as cut", PlainText.Fixed(totals.AsCutAreaMm2, 1), "mm²"),
            ("narrowest web", PlainText.Fixed(totals.NarrowestWebMm ?? double.NaN, 3), "mm"),
            ("cut length", PlainText.Fixed(film.CutLengthMm, 0), "mm"),
            ("time to cut, predicted", Durations.Of(film.TimeS), ""),
            ("paste, predicted", PlainText.Fixed(totals.PasteVolumeMm3, 1), "mm³"),
        ])
        {
            pad.Text(name, ColumnLeft + 5, y, 8.5, Ink.Quiet);
            pad.Figure(figure, figure == "–" ? "" : unit, WidthMm - Border - 5, y, 8.5, Ink.Line, SKTextAlign.Right);
            y += 5;
        }

        return y + 3;
    }

    private static void KeyView(Pad pad, Job job, JobSide side, SKRect box)
    {
        var blank = side.Design.FilmBlank;
        if (box.Height < 22)
        {
            return;
        }

        pad.Text("Place on the blank", box.Left, box.Top + 2.5, 8.5, Ink.Quiet);
        var inner = new SKRect(box.Left + 8, box.Top + 6, box.Right - 6, box.Bottom - 7);
        var map = SheetMap.Fit(new Bounds2(0, 0, blank.WidthMm, blank.HeightMm), inner);
        var sheet = map.Box(new(0, 0, blank.WidthMm, blank.HeightMm));
        pad.FillBox(sheet, Ink.Film);
        pad.Box(sheet, Ink.Line, Weight.Normal);
        if (side.Design.FilmEdge is { } small)
        {
            using var film = map.Path(small);
            pad.Hatch(film, Ink.Board, 1.2);
            pad.Outline(film, Ink.Line, Weight.Normal);
        }
        else if (job.Outline is { } outline)
        {
            using var board = map.Path(outline.Shape.Transform(side.Design.Placement.Map));
            pad.FillPath(board, Ink.Paper);
            pad.Hatch(board, Ink.Board, 1.2);
            pad.Outline(board, Ink.Line, Weight.Normal, Dash.Hidden);
        }

        SheetDrawing.Marks(pad, map, side.Design.Marks);
        Dimensions.Along(pad, sheet.Left, sheet.Right, sheet.Bottom + 5, sheet.Bottom, blank.WidthMm, 1);
        Dimensions.Up(pad, sheet.Top, sheet.Bottom, sheet.Left - 3, sheet.Left, blank.HeightMm, 1);
    }

    public static double TitleBlock(Pad pad, Job job, JobSide side)
    {
        var (left, right, bottom) = (ColumnLeft, WidthMm - Border, HeightMm - Border);
        var top = bottom - 35;
        pad.Line(left, top, right, top, Ink.Line, Weight.Heavy);
        pad.Text(job.Title, left + 3, top + 8.5, 14, Ink.Line, bold: true, widest: right - left - 6);
        pad.Text("Solder-paste stencil, " + JobFiles.Folder(side.Design.Side) + " side", left + 3, top + 14.5, 9, Ink.Line);
        pad.Line(left, top + 18, right, top + 18, Ink.Line, Weight.Thin);
        var third = (right - left) / 3;
        Cell(pad, left, top + 18, "film", PlainText.Of(job.Settings.FilmThicknessMm, 4), "mm");
        Cell(pad, left + third, top + 18, "kerf x · y, mm", PlainText.Of(job.Settings.KerfXMm, 3) + " · " + PlainText.Of(job.Settings.KerfYMm, 3), "");
        Cell(pad, left + (2 * third), top + 18, "openings", side.Plan.Openings.Length.ToString(CultureInfo.InvariantCulture), "");
        pad.Line(left + third, top + 18, left + third, top + 28, Ink.Line, Weight.Thin);
        pad.Line(left + (2 * third), top + 18, left + (2 * third), top + 28, Ink.Line, Weight.Thin);
        pad.Line(left, top + 28, right, top + 28, Ink.Line, Weight.Thin);
        pad.Text("Stencilwright " + job.Version, left + 3, bottom - 2.4, 7.5, Ink.Quiet, widest: 38);
        pad.Text(job.Settings.Date, right - 3, bottom - 2.4, 7.5, Ink.Quiet, SKTextAlign.Right, widest: 22);
        return top;
    }

    private static void Cell(Pad pad, double x, double y, string name, string figure, string unit)
    {
        pad.Text(name, x + 3, y + 3.8, 6.5, Ink.Quiet);
        pad.Figure(figure, unit, x + 3, y + 8.3, 9, Ink.Line);
    }
}
