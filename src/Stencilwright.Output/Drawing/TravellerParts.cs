using System.Globalization;
using SkiaSharp;
using Stencilwright.Boards.Parts;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;

namespace Stencilwright.Output.Drawing;

/// <summary>Third page of the job sheet: parts by kind, parts to watch with what would help, and films and pastes compared.</summary>
internal static class TravellerParts
{
    private const double Left = TravellerLayout.Left;
    private const double Right = TravellerLayout.Right;
    private const double RowMm = 4.7;

    public static void Draw(Pad pad, Job job)
    {
        var y = TravellerLayout.Heading(pad, job, 3) + 8;
        var share = (TravellerLayout.Bottom - y) / Math.Max(1, job.Sides.Length);
        foreach (var side in job.Sides)
        {
            var bottom = y + share - 6;
            if (job.Sides.Length > 1)
            {
                var name = JobFiles.Folder(side.Design.Side);
                pad.Text($"{char.ToUpperInvariant(name[0])}{name[1..]} side", Left, y, 13, Ink.Line, bold: true);
                y += 8;
            }

            Side(pad, side, y, bottom);
            y = bottom + 6;
        }
    }

    private static void Side(Pad pad, JobSide side, double top, double bottom)
    {
        var middle = Left + 98;
        var y = side.Advice is { } advice ? Advice(pad, advice, Left, middle - 8, top) : top;
        var kinds = Kinds(pad, side, middle, Right, top);
        Watch(pad, side, Math.Max(y, kinds) + 6, bottom);
    }

    private static double Kinds(Pad pad, JobSide side, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Parts", left, y);
        double[] columns = [right - 52, right - 38, right - 22, right];
        Heads(pad, y, ("count", columns[0]), ("watch", columns[1]), ("fail", columns[2]), ("paste of wanted", columns[3]));
        y += 1.6;
        foreach (var kind in side.Parts.GroupBy(p => p.Part.Class).OrderBy(g => g.Key == PartClass.Unknown ? 99 : (int)g.Key))
        {
            y += RowMm;
            pad.Text(PartWords.Plural(kind.Key), left, y, 8.5, Ink.Line);
            Figure(pad, kind.Count(), columns[0], y);
            Figure(pad, kind.Count(p => p.Verdict == Verdict.Marginal), columns[1], y);
            Figure(pad, kind.Count(p => p.Verdict == Verdict.WillNotPrint), columns[2], y);
            var wanted = kind.Sum(p => p.WantedVolumeMm3);
            pad.Text(wanted > 0 ? Percent(kind.Sum(p => p.VolumeMm3) / wanted) : "–", columns[3], y, 8.5, Ink.Line, SKTextAlign.Right);
            Rule(pad, left, right, y);
        }

        return pad.Paragraph(
            "Wanted: the artwork's area times the foil that the trade takes for such a part (IPC-7525A, from memory); 50 to 150 % passes.",
            left, y + 5, 7.5, right - left, Ink.Quiet);
    }

    private static double Advice(Pad pad, FilmAdvice advice, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Film and paste", left, y);
        double[] columns = [right - 35, right - 18, right];
        Heads(pad, y, ("prints", columns[0]), ("marginal", columns[1]), ("fails", columns[2]));
        y += 1.6;
        var film = double.NaN;
        for (var i = 0; i < advice.Choices.Length; i++)
        {
            var choice = advice.Choices[i];
            y += RowMm;
            var isBest = i == advice.Best;
            if (isBest)
            {
                // Told by the bar and the heavy letters, not by colour.
                pad.FillBox(new((float)left - 2.6f, (float)y - 3.3f, (float)left - 1.4f, (float)y + 1.2f), Ink.Accent);
            }

            if (choice.FilmThicknessMm != film)
            {
                film = choice.FilmThicknessMm;
                pad.Text(PlainText.Of(film * 1000, 1) + " µm", left, y, 8.5, Ink.Line, bold: isBest);
            }

            pad.Text(choice.Paste.Name + (choice.IsCurrent ? ", in use" : ""), left + 19, y, 8.5, Ink.Line, bold: isBest, widest: columns[0] - left - 30);
            Figure(pad, choice.Prints, columns[0], y, isBest);
            Figure(pad, choice.Marginal, columns[1], y, isBest);
            Figure(pad, choice.WillNotPrint, columns[2], y, isBest);
            Rule(pad, left, right, y);
        }

        return pad.Paragraph(advice.Why, left, y + 5.5, 9, right - left, Ink.Line);
    }

    private static void Watch(Pad pad, JobSide side, double y, double bottom)
    {
        y = TravellerLayout.Section(pad, "Watch", Left, y);
        var watched = side.Parts.Where(p => p.Verdict != Verdict.Prints)
            .OrderByDescending(p => p.Verdict).ThenBy(p => p.Part.Reference ?? "~", StringComparer.Ordinal).ToList();
        if (watched.Count == 0)
        {
            pad.Text("Every part is expected to print.", Left, y, 9, Ink.Line);
            return;
        }

        for (var i = 0; i < watched.Count; i++)
        {
            var print = watched[i];
            var words = (print.Remedy?.Words ?? "") is { Length: > 0 } remedy ? char.ToUpperInvariant(remedy[0]) + remedy[1..] + "." : "";
            var height = RowMm * Math.Max(1, pad.Wrap(words, 8.5, Right - Left - 84).Count);
            if (y + height > bottom - RowMm)
            {
                pad.Text(string.Create(CultureInfo.InvariantCulture, $"and {watched.Count - i} more: see report.json, parts."), Left, y, 8.5, Ink.Quiet);
                return;
            }

            SheetDrawing.Sample(pad, new((float)Left + 1.2f, (float)y - 2.4f, (float)Left + 5.2f, (float)y + 0.2f), print.Verdict, Ink.White);
            pad.Text(NameOf(print.Part), Left + 10, y, 8.5, Ink.Line, widest: 46);
            pad.Text(OpeningRow.Word(print.Verdict), Left + 58, y, 8.5, Ink.Line);
            pad.Paragraph(words, Left + 84, y, 8.5, Right - Left - 84, Ink.Line);
            y += height + 0.6;
        }
    }

    private static string NameOf(BoardPart part)
    {
        var kind = part.SizeImperial is { } size ? $"chip {size}"
            : part.PitchMm is { } pitch ? $"{PartWords.Plural(part.Class)} {PlainText.Of(pitch, 2)} mm"
            : PartWords.Plural(part.Class);
        return part.Reference is { } name ? $"{name}, {kind}" : $"{kind} at {PlainText.Fixed(part.Center.X, 1)}, {PlainText.Fixed(part.Center.Y, 1)}";
    }

    private static void Heads(Pad pad, double y, params ReadOnlySpan<(string Name, double X)> heads)
    {
        foreach (var (name, x) in heads)
        {
            pad.Text(name, x, y, 8, Ink.Quiet, SKTextAlign.Right);
        }
    }

    private static void Figure(Pad pad, int value, double x, double y, bool bold = false) =>
        pad.Text(value.ToString(CultureInfo.InvariantCulture), x, y, 8.5, Ink.Line, SKTextAlign.Right, bold: bold);

    private static void Rule(Pad pad, double left, double right, double y) => pad.Line(left, y + 1.5, right, y + 1.5, Ink.Quiet.WithAlpha(70), Weight.Hair);

    private static string Percent(double share) => PlainText.Fixed(share * 100, 0) + " %";
}
