using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>Writes the sheet that goes with a job: pictures, settings and figures; then steps, cautions, findings and room for notes; then parts, film and paste. A4.</summary>
public static class TravellerPdf
{
    /// <summary>Writes three pages, and one of heat for each side where the job asks for it.</summary>
    /// <exception cref="ArgumentException">A side's design and plan do not have the same openings.</exception>
    public static byte[] Write(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        return Write(job, HeatPlate.IsWanted(job) ? [.. job.Sides.Select(s => HeatPlate.Measure(job, s, CancellationToken.None))] : []);
    }

    /// <summary>The same with maps at hand; without any there are no pages of heat.</summary>
    internal static byte[] Write(Job job, HeatViews[] heat)
    {
        using var pdf = new PdfPages(job.Title + ", job sheet", job.Version);
        pdf.Add(TravellerLayout.WidthMm, TravellerLayout.HeightMm, pad => TravellerFigures.Draw(pad, job));
        pdf.Add(TravellerLayout.WidthMm, TravellerLayout.HeightMm, pad => TravellerSteps.Draw(pad, job));
        pdf.Add(TravellerLayout.WidthMm, TravellerLayout.HeightMm, pad => TravellerParts.Draw(pad, job));
        for (var i = 0; i < heat.Length; i++)
        {
            var (side, views) = (job.Sides[i], heat[i]);
            pdf.Add(PreviewPlate.WidthMm, PreviewPlate.HeightMm, pad => HeatPlate.Draw(pad, job, side, views));
        }

        return pdf.ToBytes();
    }
}
