namespace Stencilwright.Output.Tests;

/// <summary>Leaves the files of sample jobs in a folder to be looked at, where one is named.</summary>
public sealed class Pictures
{
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
