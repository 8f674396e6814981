using System.Globalization;
using SkiaSharp;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>First page of the job sheet: pictures by verdict, what to set, what to expect.</summary>
internal static class TravellerFigures
{
    private const double Left = TravellerLayout.Left;
    private const double Right = TravellerLayout.Right;
    private const double RowMm = 4.9;

    public static void Draw(Pad pad, Job job)
    {
        var y = TravellerLayout.Heading(pad, job, 1) + 5;
        y = Pictures(pad, job, y);
        y = Legend(pad, y + 4) + 8;
        var middle = Left + 84;
        var end = Math.Max(
            Settings(pad, job.Settings, Left, middle - 8, y), Expectations(pad, job, middle, Right, y));
        FramePicture(pad, job, end + 4);
    }

    private static double Pictures(Pad pad, Job job, double top)
    {
        var count = Math.Max(1, job.Sides.Length);
        var width = (Right - Left - ((count - 1) * 6)) / count;
        // As high as the tallest board needs at this width, dimensions and caption included.
        var height = 50.0;
        foreach (var side in job.Sides)
        {
            var window = SheetDrawing.Window(side, job.Outline);
            height = Math.Clamp(((width - 14) * window.Height / Math.Max(window.Width, 1e-6)) + 18, height, 112);
        }

        for (var i = 0; i < job.Sides.Length; i++)
        {
            var side = job.Sides[i];
            var left = Left + (i * (width + 6));
            var box = new SKRect((float)left + 10, (float)top + 2, (float)(left + width - 4), (float)(top + height - 15));
            var window = SheetDrawing.Window(side, job.Outline);
            var map = SheetMap.Fit(window, box);
            var shown = map.Box(window.Inflate(2.5 / map.Scale));
            SheetDrawing.Film(pad, map, shown, side, job.Outline, Ink.White);
            var board = map.Box(window);
            Dimensions.Along(pad, board.Left, board.Right, shown.Bottom + 5.5, shown.Bottom, window.Width);
            Dimensions.Up(pad, board.Top, board.Bottom, shown.Left - 3.5, shown.Left, window.Height);
            var name = JobFiles.Folder(side.Design.Side);
            var caption = $"{char.ToUpperInvariant(name[0])}{name[1..]} side, as the film lies in the laser";
            pad.Text(caption, left + (width / 2), top + height, 8, Ink.Quiet, SKTextAlign.Center, widest: width);
        }

        return top + height;
    }

    // Where the page has room left: the frame with the board in it, as the parts lie when the job is printed.
    private static void FramePicture(Pad pad, Job job, double top)
    {
        var side = job.Sides.FirstOrDefault(s => s.Design.Frame is not null);
        var room = TravellerLayout.Bottom - top;
        if (side?.Design.Frame is not { } frame || room < 42)
        {
            return;
        }

        var box = new SKRect((float)Left + 10, (float)top + 2, (float)Left + 100, (float)(top + Math.Min(room, 72) - 8));
        var map = SheetMap.Fit(new(0, 0, frame.Blank.WidthMm, frame.Blank.HeightMm), box);
        SheetDrawing.Frame(pad, map, frame);
        var sheet = map.Box(frame.Edge.Bounds);
        Dimensions.Along(pad, sheet.Left, sheet.Right, sheet.Bottom + 5, sheet.Bottom, frame.Edge.Bounds.Width, 1);
        Dimensions.Up(pad, sheet.Top, sheet.Bottom, sheet.Left - 3.5, sheet.Left, frame.Edge.Bounds.Height, 1);
        if (job.Outline is { } outline)
        {
            using var board = map.Path(outline.Shape.Transform(frame.Placement.Map));
            pad.Hatch(board, Ink.Board, 1.1);
            pad.Outline(board, Ink.Line, Weight.Normal);
        }

        var x = Left + 112;
        var y = TravellerLayout.Section(pad, "Frame", x, box.Top + 4);
        pad.Paragraph(
            $"{(job.Sides.Length > 1 ? "Top side. " : "")}The board lies in the pocket with {PlainText.Of(job.Settings.FrameClearanceMm, 2)} mm of air all round; pocket {PlainText.Fixed(frame.Pocket.Bounds.Width, 1)} × {PlainText.Fixed(frame.Pocket.Bounds.Height, 1)} mm, hand holds included. Board {PlainText.Of(job.Settings.BoardThicknessMm, 3)} mm, frame {PlainText.Of(job.Settings.FrameThicknessMm, 3)} mm thick: step {PlainText.Of(frame.StepMm * 1000, 0)} µm.",
            x, y, 8.5, Right - x, Ink.Line);
    }

    private static double Legend(Pad pad, double y)
    {
        var x = Left;
        foreach (var verdict in (ReadOnlySpan<Verdict>)[Verdict.Prints, Verdict.Marginal, Verdict.WillNotPrint])
        {
            SheetDrawing.Sample(pad, new((float)x + 1.2f, (float)y - 1.6f, (float)x + 7.2f, (float)y + 1.2f), verdict, Ink.White);
            x += 10.5 + pad.Text(OpeningRow.Word(verdict), x + 10.5, y + 0.9, 8, Ink.Line) + 9;
        }

        pad.Line(x, y, x + 9, y, Ink.Line, Weight.Normal, Dash.Hidden);
        x += 11 + pad.Text("board's edge", x + 11, y + 0.9, 8, Ink.Line) + 9;
        pad.Line(x, y, x + 9, y, Ink.Score, Weight.Normal, Dash.Dotted);
        pad.Text("score mark", x + 11, y + 0.9, 8, Ink.Line);
        return y + 4;
    }

    private static double Settings(Pad pad, JobSettings s, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Set", left, y);
        var frameAt = right;
        var filmAt = right - 26;
        pad.Text("film", filmAt, y, 8, Ink.Quiet, SKTextAlign.Right);
        pad.Text("frame", frameAt, y, 8, Ink.Quiet, SKTextAlign.Right);
        y += 1.6;
        Row(pad, "Thickness", Number(s.FilmThicknessMm, 4), Number(s.FrameThicknessMm, 3), "mm");
        Row(pad, "Power", Number(s.FilmPowerPercent, 1), Number(s.FramePowerPercent, 1), "%");
        Row(pad, "Speed", Number(s.FilmSpeedMmS, 1), Number(s.FrameSpeedMmS, 1), "mm/s");
        Row(pad, "Score, power", Number(s.ScorePowerPercent, 1), Number(s.ScorePowerPercent, 1), "%");
        Row(pad, "Score, speed", Number(s.ScoreSpeedMmS, 1), Number(s.ScoreSpeedMmS, 1), "mm/s");
        if (s.FilmPasses > 1 || s.FramePasses > 1 || s.ScorePasses > 1)
        {
            Row(pad, "Passes, cut · score", $"{Count(s.FilmPasses)} · {Count(s.ScorePasses)}", $"{Count(s.FramePasses)} · {Count(s.ScorePasses)}", "");
        }

        Row(pad, "Kerf, x", Number(s.KerfXMm, 3), Number(s.FrameKerfMm, 3), "mm");
        Row(pad, "Kerf, y", Number(s.KerfYMm, 3), Number(s.FrameKerfMm, 3), "mm");
        Row(pad, "Blank, x", Number(s.FilmBlankMm.WidthMm, 1), Number(s.FrameBlankMm.WidthMm, 1), "mm");
        Row(pad, "Blank, y", Number(s.FilmBlankMm.HeightMm, 1), Number(s.FrameBlankMm.HeightMm, 1), "mm");
        Row(pad, "Scale x · y", PlainText.Fixed(s.ScaleX, 4) + " · " + PlainText.Fixed(s.ScaleY, 4), "", "");
        Row(pad, "Skew", Number(s.SkewMrad, 2), "", "mrad");
        Row(pad, "Paste", s.Paste, "", "");
        return pad.Paragraph(
            "Power is percent of the machine's own scale. Paths are already moved for the kerf: switch the driver's own compensation off.",
            left, y + 5, 7.5, right - left, Ink.Quiet);

        void Row(Pad p, string name, string film, string frame, string unit)
        {
            y += RowMm;
            p.Text(name, left, y, 8.5, Ink.Line);
            if (frame.Length == 0)
            {
                p.Text(film, filmAt, y, 8.5, Ink.Line, SKTextAlign.Right, widest: 40);
            }
            else
            {
                p.Text(film, filmAt, y, 8.5, Ink.Line, SKTextAlign.Right);
                p.Text(frame, frameAt, y, 8.5, Ink.Line, SKTextAlign.Right);
            }

            p.Text(unit, filmAt + 2, y, 7, Ink.Quiet);
            p.Line(left, y + 1.5, right, y + 1.5, Ink.Quiet.WithAlpha(70), Weight.Hair);
        }
    }

    private static double Expectations(Pad pad, Job job, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Expect", left, y);
        var totals = job.Sides.Select(SideTotals.Of).ToArray();
        for (var i = 0; i < totals.Length; i++)
        {
            pad.Text(JobFiles.Folder(job.Sides[i].Design.Side), Column(i), y, 8, Ink.Quiet, SKTextAlign.Right);
        }

        y += 1.6;
        Row("Openings", i => Count(job.Sides[i].Plan.Openings.Length), "");
        Row("  prints", i => Count(totals[i].Prints), "");
        Row("  marginal", i => Count(totals[i].Marginal), "");
        Row("  will not print", i => Count(totals[i].WillNotPrint), "");
        Row("Smallest area ratio", i => PlainText.Fixed(totals[i].SmallestAreaRatio ?? double.NaN, 2), "");
        Row("Narrowest web", i => PlainText.Fixed(totals[i].NarrowestWebMm ?? double.NaN, 3), "mm");
        Row("Open area, as cut", i => PlainText.Fixed(totals[i].AsCutAreaMm2, 1), "mm²");
        Row("Film, length of cuts", i => PlainText.Fixed(job.Sides[i].Plan.Film.CutLengthMm, 0), "mm");
        Row("Film, time*", i => Durations.Of(job.Sides[i].Plan.Film.TimeS), "");
        Row("Frame, time*", i => job.Sides[i].Plan.Frame is { } frame ? Durations.Of(frame.TimeS) : "–", "");
        Row("Paste, volume*", i => PlainText.Fixed(totals[i].PasteVolumeMm3, 1), "mm³");
        Row("Paste, mass*", i => PlainText.Fixed(job.Sides[i].PasteMassG, 2), "g");
        Row("Film and frame, cost", i => PlainText.Fixed(IsCostKnown(job.Settings, job.Sides[i]) ? job.Sides[i].MaterialCost : double.NaN, 2), "");
        return pad.Paragraph(
            "* Predicted from the settings, not measured: times hold for this acceleration and travel speed; a hand print may leave a third more paste or less. 1 mm³ is 1 µl.",
            left, y + 5, 7.5, right - left, Ink.Quiet);

        double Column(int i) => right - 9 - ((totals.Length - 1 - i) * 26);

        void Row(string name, Func<int, string> figure, string unit)
        {
            y += RowMm;
            pad.Text(name, left, y, 8.5, Ink.Line);
            for (var i = 0; i < totals.Length; i++)
            {
                pad.Text(figure(i), Column(i), y, 8.5, Ink.Line, SKTextAlign.Right);
            }

            pad.Text(unit, right, y, 7, Ink.Quiet, SKTextAlign.Right);
            pad.Line(left, y + 1.5, right, y + 1.5, Ink.Quiet.WithAlpha(70), Weight.Hair);
        }
    }

    // A cost of 0 says that nobody told it; half a sum would mislead.
    private static bool IsCostKnown(JobSettings settings, JobSide side) =>
        settings.FilmBlankCost > 0 && (side.Plan.Frame is null || settings.FrameBlankCost > 0);

    private static string Number(double value, int decimals) => PlainText.Fixed(value, decimals);

    private static string Count(int value) => value.ToString(CultureInfo.InvariantCulture);
}
