using System.Globalization;
using SkiaSharp;
using Stencilwright.Foundation;

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
        Settings(pad, job.Settings, Left, middle - 8, y);
        Expectations(pad, job, middle, Right, y);
    }

    private static double Pictures(Pad pad, Job job, double top)
    {
        const double Height = 112;
        var count = Math.Max(1, job.Sides.Length);
        var width = (Right - Left - ((count - 1) * 6)) / count;
        for (var i = 0; i < job.Sides.Length; i++)
        {
            var side = job.Sides[i];
            var left = Left + (i * (width + 6));
            var box = new SKRect((float)left + 10, (float)top + 2, (float)(left + width - 4), (float)(top + Height - 12));
            var window = SheetDrawing.Window(side, job.Outline);
            var map = SheetMap.Fit(window, box);
            var shown = map.Box(window.Inflate(2.5 / map.Scale));
            SheetDrawing.Film(pad, map, shown, side, job.Outline, Ink.White);
            var board = map.Box(window);
            Dimensions.Along(pad, board.Left, board.Right, shown.Bottom + 5.5, shown.Bottom, window.Width);
            Dimensions.Up(pad, board.Top, board.Bottom, shown.Left - 3.5, shown.Left, window.Height);
            var name = JobFiles.Folder(side.Design.Side);
            var caption = $"{char.ToUpperInvariant(name[0])}{name[1..]} side, as the film lies in the laser";
            pad.Text(caption, left + (width / 2), top + Height, 8, Ink.Quiet, SKTextAlign.Center, widest: width);
        }

        return top + Height;
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

    private static void Settings(Pad pad, JobSettings s, double left, double right, double y)
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
        Row(pad, "Kerf, x", Number(s.KerfXMm, 3), Number(s.FrameKerfMm, 3), "mm");
        Row(pad, "Kerf, y", Number(s.KerfYMm, 3), Number(s.FrameKerfMm, 3), "mm");
        Row(pad, "Blank, x", Number(s.FilmBlankMm.WidthMm, 1), Number(s.FrameBlankMm.WidthMm, 1), "mm");
        Row(pad, "Blank, y", Number(s.FilmBlankMm.HeightMm, 1), Number(s.FrameBlankMm.HeightMm, 1), "mm");
        Row(pad, "Scale x · y", PlainText.Fixed(s.ScaleX, 4) + " · " + PlainText.Fixed(s.ScaleY, 4), "", "");
        Row(pad, "Skew", Number(s.SkewMrad, 2), "", "mrad");
        Row(pad, "Paste", s.Paste, "", "");
        y = pad.Paragraph(
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

    private static void Expectations(Pad pad, Job job, double left, double right, double y)
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
        Row("Film and frame, cost", i => PlainText.Fixed(job.Sides[i].MaterialCost, 2), "");
        pad.Paragraph(
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

    private static string Number(double value, int decimals) => PlainText.Fixed(value, decimals);

    private static string Count(int value) => value.ToString(CultureInfo.InvariantCulture);
}
