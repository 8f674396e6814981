using System.Collections.Immutable;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Output.Drawing;
using Stencilwright.Output.Machine;

namespace Stencilwright.Output;

/// <summary>A file to be written.</summary>
/// <param name="Path">Relative to the output folder, with forward slashes.</param>
/// <param name="Bytes">Its content; nobody changes it.</param>
public sealed record OutputFile(string Path, byte[] Bytes);

/// <summary>Writes every file of a job into memory; the same job gives the same bytes.</summary>
public static class JobFiles
{
    // What each operation cuts; sheets that have none of it get no file.
    private static readonly (string Name, CutKind Kind, CutKind Also)[] _operations =
    [
        ("score", CutKind.Score, CutKind.Score), ("cut", CutKind.Opening, CutKind.OpeningLine), ("pocket", CutKind.Pocket, CutKind.Pocket), ("edge", CutKind.Edge, CutKind.Edge),
    ];

    /// <summary>Names of all files that the folder of a side can hold.</summary>
    public static ImmutableArray<string> SideFileNames { get; } =
    [
        .. ((string[])["film", "film-score", "film-cut", "film-edge", "frame", "frame-score", "frame-pocket", "frame-edge"])
            .SelectMany(sheet => ((string[])[".svg", ".dxf", ".nc"]).Select(format => sheet + format)),
        "film-outline.nc", "frame-outline.nc", "template.pdf", "preview.png", "heat.png", "apertures.csv",
    ];

    /// <summary>Writes a job's files, <c>report.json</c> and <c>traveller.pdf</c> first, then each side's.</summary>
    /// <param name="job">The job. A sheet that does not fit the machine, or whose placement is wrong, gets no G-code.</param>
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
            var folder = Folder(side.Design.Side) + "/";
            Sheet(folder, side.Plan.Film);
            if (side.Plan.Frame is { } frame)
            {
                Sheet(folder, frame);
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

        void Sheet(string folder, SheetPlan plan)
        {
            var mayCut = MachineFindings.MayCut(plan, job.Settings);
            Formats(folder + plan.Name, plan, mayCut);
            if (mayCut)
            {
                Add($"{folder}{plan.Name}-outline.nc", () => GcodeWriter.WriteOutline(plan, job.Title, job.Settings));
            }

            foreach (var (name, kind, also) in job.Settings.FilesPerOperation ? _operations : [])
            {
                var part = plan with { Paths = [.. plan.Paths.Where(p => p.Kind == kind || p.Kind == also)] };
                if (!part.Paths.IsEmpty)
                {
                    Formats($"{folder}{plan.Name}-{name}", part, mayCut);
                }
            }
        }

        void Formats(string path, SheetPlan plan, bool mayCut)
        {
            Add(path + ".svg", () => SvgSheetWriter.Write(plan, job.Title, SvgPens.Of(job.Settings)));
            Add(path + ".dxf", () => DxfWriter.Write(plan, job.Title, job.Settings));
            if (mayCut)
            {
                Add(path + ".nc", () => GcodeWriter.Write(plan, job.Title, job.Settings));
            }
        }

        void Add(string path, Func<byte[]> write)
        {
            cancellation.ThrowIfCancellationRequested();
            files.Add(new(path, write()));
        }
    }

    /// <summary>The folder and word for a side.</summary>
    internal static string Folder(BoardSide side) => side == BoardSide.Top ? "top" : "bottom";
}
