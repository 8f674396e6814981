namespace Stencilwright.Output.Tests;

/// <summary>Leaves the files of sample jobs in a folder to be looked at, where one is named.</summary>
public sealed class Pictures
{
    [Fact]
    public void Time_of_a_first_write_is_told()
    {
        Assert.SkipWhen(string.IsNullOrEmpty(Environment.GetEnvironmentVariable("STENCILWRIGHT_TIMES")), "STENCILWRIGHT_TIMES is not set.");
        var job = SampleJob.Make(withBottom: false, extra: 1000);
        for (var round = 0; round < 2; round++)
        {
            var lines = new List<string>();
            var whole = System.Diagnostics.Stopwatch.StartNew();
            var processor = Environment.CpuUsage.TotalTime;
            var side = job.Sides[0];
            foreach (var (name, write) in new (string, Func<byte[]>)[]
            {
                ("report.json", () => ReportJsonWriter.Write(job)),
                ("traveller.pdf", () => TravellerPdf.Write(job)),
                ("film.svg", () => SvgSheetWriter.Write(side.Plan.Film, job.Title)),
                ("film.dxf", () => DxfWriter.Write(side.Plan.Film, job.Title)),
                ("film.nc", () => GcodeWriter.Write(side.Plan.Film, job.Title, job.Settings)),
                ("template.pdf", () => TemplatePdf.Write(job, side)),
                ("preview.png", () => PreviewPng.Write(job, side)),
                ("apertures.csv", () => ApertureCsvWriter.Write(side)),
            })
            {
                var before = whole.Elapsed;
                var bytes = write();
                lines.Add($"{name} {(whole.Elapsed - before).TotalMilliseconds:0} ms {bytes.Length} bytes");
            }

            TestContext.Current.TestOutputHelper!.WriteLine($"{whole.ElapsedMilliseconds} ms, {(Environment.CpuUsage.TotalTime - processor).TotalMilliseconds:0} ms of processor: {string.Join("; ", lines)}");
        }
    }

    [Fact]
    public void Files_of_a_job_are_left_to_be_looked_at()
    {
        var folder = Environment.GetEnvironmentVariable("STENCILWRIGHT_PICTURES");
        Assert.SkipWhen(string.IsNullOrEmpty(folder), "STENCILWRIGHT_PICTURES names no folder.");
        foreach (var (name, job) in new (string, Job)[]
        {
            ("small", SampleJob.Make()),
            ("dense", SampleJob.Make("A board with a thousand openings and a title that is much longer than any block can hold", withBottom: false, extra: 1000)),
            ("odd", SampleJob.Make("<b>\"Ω\" 雨 🙂 العربية\nline two", withFrame: false)),
        })
        {
            foreach (var file in JobFiles.Write(job, TestContext.Current.CancellationToken))
            {
                var path = Path.Combine(folder!, name, file.Path);
                Directory.CreateDirectory(Path.GetDirectoryName(path)!);
                File.WriteAllBytes(path, file.Bytes);
                Assert.NotEmpty(file.Bytes);
            }
        }
    }
}
