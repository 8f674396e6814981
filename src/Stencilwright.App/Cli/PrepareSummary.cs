using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Output;
using Stencilwright.Output.Drawing;
using Stencilwright.Workbench;

namespace Stencilwright.App.Cli;

/// <summary>Tells a person in a few lines what was made.</summary>
internal static class PrepareSummary
{
    public static void Write(PrepareResult result, string directory, TextWriter output)
    {
        var job = result.Job!;
        output.WriteLine(job.Outline is { } outline
            ? Invariant($"{Printable.Text(job.Title)}: board {outline.WidthMm:0.##} × {outline.HeightMm:0.##} mm")
            : $"{Printable.Text(job.Title)}: no outline found, so no frame");
        foreach (var side in job.Sides)
        {
            WriteSide(side, output);
        }

        var errors = result.Findings.Count(f => f.Severity == Severity.Error) + result.Diagnostics.Count(d => d.Severity == Severity.Error);
        var warnings = result.Findings.Count(f => f.Severity == Severity.Warning) + result.Diagnostics.Count(d => d.Severity == Severity.Warning);
        var notes = result.Findings.Count(f => f.Severity == Severity.Note);
        output.WriteLine($"Findings: {Counted.Of(errors, "error")}, {Counted.Of(warnings, "warning")}, {Counted.Of(notes, "note")}");
        output.WriteLine($"{Counted.Of(result.WrittenFiles.Length, "file")} in {Printable.Text(directory)}; begin with traveller.pdf, the sheet for the bench.");
    }

    private static void WriteSide(JobSide side, TextWriter output)
    {
        var openings = side.Plan.Openings;
        var prints = openings.Count(o => o.Verdict == Verdict.Prints);
        var marginal = openings.Count(o => o.Verdict == Verdict.Marginal);
        var not = openings.Length - prints - marginal;
        var name = side.Design.Side == BoardSide.Top ? "Top:   " : "Bottom:";
        output.WriteLine(
            $"{name} {Counted.Of(openings.Length, "opening")}: {prints} print, {marginal} marginal, {not} will not print; "
            + $"film {Durations.Of(side.Plan.Film.TimeS)}"
            + (side.Plan.Frame is { } frame ? $", frame {Durations.Of(frame.TimeS)}" : "")
            + Invariant($"; paste {side.PasteMassG:0.000} g"));
        var failing = side.Parts.Where(p => p.Verdict == Verdict.WillNotPrint).ToList();
        if (failing.Count > 0)
        {
            var kinds = failing.GroupBy(p => p.Part.SizeImperial is { } size ? "chip " + size : PartWords.Plural(p.Part.Class));
            output.WriteLine($"        {Counted.Of(failing.Count, "part")} will not print: {string.Join(", ", kinds.Select(k => Invariant($"{k.Count()} × {k.Key}")))}");
        }

        if (side.Advice is { } advice && !advice.Choices[advice.Best].IsCurrent)
        {
            output.WriteLine("        " + advice.Why);
        }
    }

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
