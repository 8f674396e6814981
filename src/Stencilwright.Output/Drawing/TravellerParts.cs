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

            y = Math.Max(bottom, Side(pad, side, y, bottom)) + 6;
        }
    }

    private static double Side(Pad pad, JobSide side, double top, double bottom)
    {
        var middle = Left + 98;
        var y = side.Advice is { } advice ? Advice(pad, advice, Left, middle - 8, top) : top;
        var kinds = Kinds(pad, side, middle, Right, top);
        return Watch(pad, side, Math.Max(y, kinds) + 6, bottom);
    }

    private static double Kinds(Pad pad, JobSide side, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Parts", left, y);
        double[] columns = [right - 54, right - 40, right - 27, right];
        Heads(pad, y, ("count", columns[0]), ("watch", columns[1]), ("fail", columns[2]), ("paste, of wanted", columns[3]));
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

    private static double Watch(Pad pad, JobSide side, double y, double bottom)
    {
        y = TravellerLayout.Section(pad, "Watch", Left, y);
        var watched = side.Parts.Where(p => p.Verdict != Verdict.Prints)
            .OrderByDescending(p => p.Verdict).ThenBy(p => p.Part.Reference ?? "~", StringComparer.Ordinal).ToList();
        if (watched.Count == 0)
        {
            pad.Text("Every part is expected to print.", Left, y, 9, Ink.Line);
            return y;
        }

        // Parts alike in kind, verdict and remedy share a line.
        var groups = watched.GroupBy(p => (Kind: KindOf(p.Part), p.Verdict, p.Remedy?.Words)).Select(g => g.ToList()).ToList();
        for (var i = 0; i < groups.Count; i++)
        {
            var print = groups[i][0];
            var words = print.Remedy?.Words is { Length: > 0 } remedy ? char.ToUpperInvariant(remedy[0]) + remedy[1..] + "." : "";
            var names = pad.Wrap(NamesOf(groups[i]), 8.5, 46);
            var lines = Math.Min(3, Math.Max(names.Count, pad.Wrap(words, 8.5, Right - Left - 84).Count));
            if (y + (RowMm * lines) > bottom - RowMm && i < groups.Count - 1)
            {
                pad.Text(string.Create(CultureInfo.InvariantCulture, $"and {groups.Skip(i).Sum(g => g.Count)} more parts: see report.json."), Left, y, 8.5, Ink.Quiet);
                return y;
            }

            SheetDrawing.Sample(pad, new((float)Left + 1.2f, (float)y - 2.4f, (float)Left + 5.2f, (float)y + 0.2f), print.Verdict, Ink.White);
            for (var line = 0; line < Math.Min(3, names.Count); line++)
            {
                pad.Text(names[line], Left + 10, y + (line * 4), 8.5, Ink.Line, widest: 46);
            }

            pad.Text(OpeningRow.Word(print.Verdict), Left + 58, y, 8.5, Ink.Line);
            pad.Paragraph(words, Left + 84, y, 8.5, Right - Left - 84, Ink.Line);
            y += (RowMm * lines) + 0.6;
        }

        return y;
    }

    private static string KindOf(BoardPart part) => part.SizeImperial is { } size ? $"chip {size}"
        : part.PitchMm is { } pitch && part.Class is not (PartClass.Chip or PartClass.SmallTransistor) ? $"{PartWords.Plural(part.Class)} {PlainText.Of(pitch, 2)} mm"
        : PartWords.Plural(part.Class);

    private static string NamesOf(List<PartPrint> alike)
    {
        var first = alike[0].Part;
        var kind = KindOf(first);
        if (first.Reference is null)
        {
            var at = $"{PlainText.Fixed(first.Center.X, 1)}, {PlainText.Fixed(first.Center.Y, 1)}";
            return alike.Count == 1 ? $"{kind} at {at}" : $"{alike.Count} × {kind}, the first at {at}";
        }

        return $"{kind}: {string.Join(", ", alike.Select(p => p.Part.Reference ?? "unnamed"))}";
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
