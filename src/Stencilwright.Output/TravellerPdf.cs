using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>Writes the sheet that goes with a job: pictures, settings and figures; then steps, cautions, findings and room for notes; then parts, film and paste. A4.</summary>
public static class TravellerPdf
{
    /// <summary>Writes three pages.</summary>
    /// <exception cref="ArgumentException">A side's design and plan do not have the same openings.</exception>
    public static byte[] Write(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        using var pdf = new PdfPages(job.Title + ", job sheet", job.Version);
        pdf.Add(TravellerLayout.WidthMm, TravellerLayout.HeightMm, pad => TravellerFigures.Draw(pad, job));
        pdf.Add(TravellerLayout.WidthMm, TravellerLayout.HeightMm, pad => TravellerSteps.Draw(pad, job));
        pdf.Add(TravellerLayout.WidthMm, TravellerLayout.HeightMm, pad => TravellerParts.Draw(pad, job));
        return pdf.ToBytes();
    }
}
