using System.Globalization;
using SkiaSharp;
using Stencilwright.Foundation;
using Stencilwright.Output.Machine;

namespace Stencilwright.Output.Drawing;

/// <summary>Second page of the job sheet: what to do, what to beware of, what was found, room to write.</summary>
internal static class TravellerSteps
{
    private const double Left = TravellerLayout.Left;
    private const double Right = TravellerLayout.Right;
    private const double NotesHeight = 36;
    private const int MostLines = 8;

    public static void Draw(Pad pad, Job job)
    {
        var top = TravellerLayout.Heading(pad, job, 2) + 8;
        var middle = Left + 112;
        var steps = Steps(pad, job, Left, middle - 8, top);
        var cautions = Cautions(pad, middle, Right, top);
        var notes = TravellerLayout.Bottom - NotesHeight;
        Findings(pad, job, Math.Max(steps, cautions) + 5, notes - 5);
        Notes(pad, notes);
    }

    private static double Steps(Pad pad, Job job, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Do", left, y);
        var number = 0;
        foreach (var step in StepsOf(job))
        {
            number++;
            pad.Text(number.ToString(CultureInfo.InvariantCulture), left + 4, y, 9, Ink.Accent, SKTextAlign.Right, bold: true);
            // An empty box to tick, in the margin of the step.
            pad.Box(new((float)right - 3f, (float)y - 2.7f, (float)right, (float)y + 0.3f), Ink.Line, Weight.Thin);
            y = pad.Paragraph(step, left + 7, y, 9, right - left - 14, Ink.Line) + 1.5;
        }

        return y;
    }

    private static List<string> StepsOf(Job job)
    {
        var s = job.Settings;
        var steps = new List<string>();
        foreach (var unfit in job.Sides.Where(side => side.Design.Findings.Any(f => f.Severity == Severity.Error)))
        {
            var why = unfit.Design.Findings.First(f => f.Severity == Severity.Error);
            steps.Add($"STOP: the {JobFiles.Folder(unfit.Design.Side)} side is not to be cut, and no cut files were written for it. {why.Message}");
        }

        if (steps.Count == job.Sides.Length && steps.Count > 0)
        {
            return steps;
        }

        var hasFrame = job.Sides.Any(side => side.Plan.Frame is not null);
        if (hasFrame)
        {
            steps.Add($"Cut the frame ({Formats("frame", job)}) from {PlainText.Of(s.FrameThicknessMm, 3)} mm board{Passes(s.FramePasses)}; {Lies("frame", s)}. Try the bare board in the pocket: it drops in and lies flat.");
            if (job.Sides.FirstOrDefault(side => side.Design.Frame is not null)?.Design.Frame is { } frame && Math.Abs(frame.StepMm) >= 0.02)
            {
                steps.Add($"The board will stand {PlainText.Of(Math.Abs(frame.StepMm) * 1000, 0)} µm {(frame.StepMm > 0 ? "above" : "below")} the frame: {(frame.StepMm > 0 ? "put paper under the frame" : "put paper under the board")} until a straight edge rocks on neither.");
            }
        }

        steps.Add("Wet two sheets of thin paper, lay the film between them on a flat plate and press out the bubbles: the water keeps film flat and cool.");
        steps.Add($"{DryRun(job)}Cut the film ({Formats("film", job)}; {Lies("film", s)}) through the upper paper at {PlainText.Of(s.FilmPowerPercent, 2)} % and {PlainText.Of(s.FilmSpeedMmS, 2)} mm/s{Passes(s.FilmPasses)}. {(s.CutFromBoardSide ? "The upper face is the one that will meet the board: turn the film over before use." : "The upper face stays up in use.")}");
        steps.Add("Rinse film and paper off under the tap; brush lightly so that every slug falls out. Hold it against the light and look at the hatched openings first. Dry it.");
        steps.Add(hasFrame
            ? "Lay the board in the frame and the film on the frame; line up the openings with the pads and read the mark that says which face is up."
            : "Fix the board between offcuts of its own thickness and lay the film on; line up the openings with the pads.");
        steps.Add("Tape the film down along two opposite edges, pulled flat, without bending the corners up.");
        steps.Add("Print: a bead of paste along one edge, squeegee at about 60°, one slow stroke, firm enough to leave the film clean.");
        steps.Add("Lift the film straight up from one taped edge. Look at the marginal openings with a lens; wipe the board and print again rather than mend.");
        return steps;
    }

    // The G-code runs every cut that often by itself; drawings hold each once.
    private static string Passes(int passes) =>
        passes == 1 ? "" : string.Create(CultureInfo.InvariantCulture, $", {passes} passes (the .nc file makes them; set them in the driver for .svg and .dxf)");

    // A sheet that does not fit the machine has no G-code.
    private static string Formats(string sheet, Job job) => HasCode(sheet, job) ? $"{sheet}.svg, {sheet}.dxf or {sheet}.nc" : $"{sheet}.svg or {sheet}.dxf";

    private static string DryRun(Job job) => HasCode("film", job) ? "film-outline.nc is a dry run round blank and cuts. " : "";

    private static bool HasCode(string sheet, Job job) =>
        job.Sides.All(side => (sheet == "film" ? side.Plan.Film : side.Plan.Frame) is not { } plan || MachineFindings.MayCut(plan, job.Settings));

    private static string Lies(string sheet, JobSettings settings)
    {
        if (sheet == settings.PlacedSheet && settings.PlacedFromMm.Length > 0)
        {
            return "placed from two points for the .nc file";
        }

        var corner = MachineMap.CornerInWords(settings.MachineOrigin);
        var isAtOrigin = !Places.TryParse(settings.SheetAtMm, 1, out var at) || at[0] == new Geometry.Point2(0, 0);
        return !isAtOrigin ? $"{corner} of the blank at {PlainText.Of(at[0].X, 2)}, {PlainText.Of(at[0].Y, 2)} mm of the machine"
            : settings.MachineOrigin == "center" ? "blank in the middle of the work area" : $"blank against the {corner}";
    }

    private static double Cautions(Pad pad, double left, double right, double y)
    {
        y = TravellerLayout.Section(pad, "Beware", left, y);
        foreach (var (head, words) in (ReadOnlySpan<(string, string)>)
        [
            ("Beam", "A laser of class 4 blinds and burns: the enclosure stays shut and its interlocks stay on."),
            ("Fire", "Paper and chipboard burn: never leave a running cut, keep an extinguisher at hand."),
            ("Fumes", "Lead them out of the room: they irritate and some are poisonous."),
            ("Film", "Cut only what is known to be polyester. PVC and vinyl give off hydrogen chloride; unknown film is not cut."),
            ("Paste", "Gloves on, no food near, wash hands. Keep lead paste apart; waste goes where the rules send it."),
            ("Magnets", "Strong ones pinch fingers and disturb pacemakers."),
        ])
        {
            pad.Text(head, left, y, 9, Ink.Line, bold: true);
            y = pad.Paragraph(words, left + 17, y, 8.5, right - left - 17, Ink.Line) + 1.2;
        }

        return pad.Paragraph(
            "Local rules, the machine's manual and the paste's safety data sheet go before anything printed here.",
            left, y + 1, 8.5, right - left, Ink.Line, bold: true);
    }

    private static void Findings(Pad pad, Job job, double y, double bottom)
    {
        pad.Line(Left, y - 2, Right, y - 2, Ink.Line, Weight.Thin);
        y = TravellerLayout.Section(pad, "Found", Left, y + 4);
        var findings = Gather(job);

        if (findings.Count == 0)
        {
            pad.Text("Nothing to say.", Left, y, 9, Ink.Quiet);
            return;
        }

        // The gravest first; the order of equals stays.
        var ordered = findings.OrderByDescending(f => f.Finding.Severity).ToList();
        // Told whole, remedy and all, where there is room; else by as many of their first lines as leave room for all of them.
        var wrapped = ordered.ConvertAll(f => pad.Wrap(f.Finding.Message, 8.5, Right - Left - 42));
        var most = MostLines;
        while (most > 2 && y + wrapped.Sum(lines => Height(lines.Count, most)) > bottom)
        {
            most--;
        }

        for (var i = 0; i < ordered.Count; i++)
        {
            var (side, finding) = ordered[i];
            var lines = wrapped[i];
            var height = Height(lines.Count, most);
            var isLast = i == ordered.Count - 1;
            if (y + height > bottom - (isLast ? 0 : 4))
            {
                pad.Text(string.Create(CultureInfo.InvariantCulture, $"and {ordered.Count - i} more in report.json"), Left + 42, y, 8.5, Ink.Quiet);
                return;
            }

            var colour = finding.Severity switch { Severity.Error => Ink.WillNotPrint, Severity.Warning => Ink.Marginal, _ => Ink.Quiet };
            pad.Text(ReportJsonWriter.SeverityWord(finding.Severity), Left, y, 8.5, colour, bold: true);
            pad.Text(side, Left + 16, y, 8.5, Ink.Quiet);
            pad.Text(finding.Code, Left + 28, y, 8.5, Ink.Quiet, widest: 13);
            for (var line = 0; line < Math.Min(lines.Count, most); line++)
            {
                var words = line == most - 1 && lines.Count > most ? lines[line] + " …" : lines[line];
                pad.Text(words, Left + 42, y + (line * Pad.Size(8.5) * 1.3), 8.5, Ink.Line, widest: Right - Left - 42);
            }

            y += height;
        }
    }

    private static double Height(int lines, int most) => (Math.Min(lines, most) * Pad.Size(8.5) * 1.3) + 1.2;

    // What is said of both sides in the same words is said once.
    private static List<(string Side, Finding Finding)> Gather(Job job)
    {
        var places = new Dictionary<(string, string), int>();
        var findings = new List<(string Side, Finding Finding)>();
        foreach (var side in job.Sides)
        {
            var name = JobFiles.Folder(side.Design.Side);
            foreach (var finding in side.Findings)
            {
                if (places.TryGetValue((finding.Code, finding.Message), out var at) && findings[at].Side != name)
                {
                    findings[at] = ("both", findings[at].Finding);
                }
                else
                {
                    places[(finding.Code, finding.Message)] = findings.Count;
                    findings.Add((name, finding));
                }
            }
        }

        return findings;
    }

    private static void Notes(Pad pad, double y)
    {
        y = TravellerLayout.Section(pad, "Notes", Left, y);
        for (var i = 1; i <= 2; i++)
        {
            pad.Line(Left, y + (i * 7) - 4, Right, y + (i * 7) - 4, Ink.Quiet, Weight.Hair);
        }

        y += 24;
        var quarter = (Right - Left) / 4;
        foreach (var (i, what) in new[] { "cut by", "date", "film batch", "paste batch" }.Index())
        {
            var x = Left + (i * quarter);
            pad.Line(x, y, x + quarter - 5, y, Ink.Line, Weight.Thin);
            pad.Text(what, x, y + 3.4, 7, Ink.Quiet);
        }
    }
}
