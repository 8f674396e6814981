using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>A file to be written.</summary>
/// <param name="Path">Relative to the output folder, with forward slashes.</param>
/// <param name="Bytes">Its content; nobody changes it.</param>
public sealed record OutputFile(string Path, byte[] Bytes);

/// <summary>Writes every file of a job into memory; the same job gives the same bytes.</summary>
public static class JobFiles
{
    /// <summary>Writes a job's files, <c>report.json</c> and <c>traveller.pdf</c> first, then each side's.</summary>
    /// <param name="job">The job.</param>
    /// <param name="cancellation">Looked at between files.</param>
    /// <exception cref="ArgumentException">The job contradicts itself, or a coordinate is not finite.</exception>
    /// <exception cref="OperationCanceledException">Asked to stop.</exception>
    public static ImmutableArray<OutputFile> Write(Job job, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(job);
        var files = ImmutableArray.CreateBuilder<OutputFile>();
        var heat = HeatPlate.IsWanted(job) ? job.Sides.Select(s => HeatPlate.Measure(job, s, cancellation)).ToArray() : [];
        Add("report.json", () => ReportJsonWriter.Write(job));
        Add("traveller.pdf", () => TravellerPdf.Write(job, heat));
        for (var i = 0; i < job.Sides.Length; i++)
        {
            var side = job.Sides[i];
            var (folder, film, frame) = (Folder(side.Design.Side) + "/", side.Plan.Film, side.Plan.Frame);
            Add(folder + "film.svg", () => SvgSheetWriter.Write(film, job.Title, SvgPens.Of(job.Settings)));
            Add(folder + "film.dxf", () => DxfWriter.Write(film, job.Title));
            Add(folder + "film.nc", () => GcodeWriter.Write(film, job.Title, job.Settings));
            if (frame is not null)
            {
                Add(folder + "frame.svg", () => SvgSheetWriter.Write(frame, job.Title, SvgPens.Of(job.Settings)));
                Add(folder + "frame.dxf", () => DxfWriter.Write(frame, job.Title));
                Add(folder + "frame.nc", () => GcodeWriter.Write(frame, job.Title, job.Settings));
            }

            Add(folder + "template.pdf", () => TemplatePdf.Write(job, side));
            Add(folder + "preview.png", () => PreviewPng.Write(job, side));
            if (i < heat.Length)
            {
                var views = heat[i];
                Add(folder + "heat.png", () => PlatePng.Write(pad => HeatPlate.Draw(pad, job, side, views)));
            }

            Add(folder + "apertures.csv", () => ApertureCsvWriter.Write(side));
        }

        return files.ToImmutable();

        void Add(string path, Func<byte[]> write)
        {
            cancellation.ThrowIfCancellationRequested();
            files.Add(new(path, write()));
        }
    }

    /// <summary>The folder and word for a side.</summary>
    internal static string Folder(BoardSide side) => side == BoardSide.Top ? "top" : "bottom";
}
