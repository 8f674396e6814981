using System.IO.Compression;
using System.Text;
using Stencilwright.Output;
using Stencilwright.Workbench.Shop;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>Pictures and files of jobs, and descriptions of the shop, for download. Names are looked up in the job's own list: none is ever a path.</summary>
internal static class JobEndpoints
{
    private static readonly string[] _reads = [HttpMethods.Get, HttpMethods.Head];

    public static void Map(WebApplication app)
    {
        app.MapMethods("/shop-files/{kind}/{name}.toml", _reads, (string kind, string name, ShopCatalogue shop) => ShopFile(shop, kind, name));
        app.MapMethods("/shop-files/rules/{name}.aperture-rules.toml", _reads, (string name, ShopCatalogue shop) => ShopRulesFile(shop, name));
        app.MapMethods("/jobs/{id}", _reads, (string id) => Results.Redirect("/jobs/" + Uri.EscapeDataString(id) + "/openings"));
        app.MapMethods("/jobs/{id}/picture.png", _reads, (string id, JobStore store) =>
            store.Picture(id) is { } picture ? Results.Bytes(picture, "image/png") : Results.NotFound());
        app.MapMethods("/jobs/{id}/files/{**name}", _reads, (string id, string name, OpenJobs jobs, Words words, CancellationToken gone) => WithAsync(jobs, words, id, (job, result) =>
            result.OutputFiles().FirstOrDefault(f => f.Path == name) is { } file
                ? CutRelease.IsForMachine(file.Path) && !CutRelease.IsGiven(job) ? Refused(words) : Results.Bytes(file.Bytes, TypeOf(file.Path), Path.GetFileName(file.Path).Equals(file.Path, StringComparison.Ordinal) ? file.Path : file.Path.Replace('/', '-'))
                : Results.NotFound(), gone));
        app.MapMethods("/jobs/{id}/view/{**name}", _reads, (string id, string name, OpenJobs jobs, Words words, CancellationToken gone) => WithAsync(jobs, words, id, (_, result) =>
            result.OutputFiles().FirstOrDefault(f => f.Path == name && f.Path.EndsWith(".pdf", StringComparison.Ordinal)) is { } file
                ? Results.Bytes(file.Bytes, "application/pdf")
                : Results.NotFound(), gone));
        app.MapMethods("/jobs/{id}/all.zip", _reads, (string id, OpenJobs jobs, Words words, CancellationToken gone) => WithAsync(jobs, words, id, (job, result) =>
            result.Job is null ? Results.NotFound() : !CutRelease.IsGiven(job) ? Refused(words) : Results.Bytes(Zip(result.OutputFiles()), "application/zip", SafeName(result.State.Title) + ".zip"), gone));
    }

    private static IResult ShopFile(ShopCatalogue shop, string kind, string name)
    {
        if (ShopKinds.Parse(kind) is not { } known || shop.Find(known, name).Value is not { } entry)
        {
            return Results.NotFound();
        }

        return Results.Bytes(Encoding.UTF8.GetBytes(ShopCatalogue.ToToml(entry.Item)), "application/toml", entry.Item.Name + ".toml");
    }

    private static IResult ShopRulesFile(ShopCatalogue shop, string name) =>
        shop.Find(ShopKind.Rules, name).Value is { } entry && ShopRules.TextOf(shop, entry.Item) is { } toml
            ? Results.Bytes(Encoding.UTF8.GetBytes(toml), "application/toml", entry.Item.Name + ".aperture-rules.toml")
            : Results.NotFound();

    private static async Task<IResult> WithAsync(OpenJobs jobs, Words words, string id, Func<OpenJob, JobResult, IResult> answer, CancellationToken gone)
    {
        if (jobs.Enter(id) is not { } job)
        {
            return Results.NotFound();
        }

        try
        {
            // Files of settings that hold no longer look like those that were asked for, and would be cut.
            return await job.SettledAsync(gone) is { } result && (result.Job is null || result.IsAllOf(job.State))
                ? answer(job, result)
                : Results.Text(words["cut.stale"], "text/plain; charset=utf-8", statusCode: StatusCodes.Status409Conflict);
        }
        finally
        {
            jobs.Leave(job);
        }
    }

    // What a laser is driven by is given out only to somebody who has read the cautions for its material.
    private static IResult Refused(Words words) => Results.Text(words["cut.refused"], "text/plain; charset=utf-8", statusCode: StatusCodes.Status403Forbidden);

    private static byte[] Zip(IEnumerable<OutputFile> files)
    {
        var packed = new MemoryStream();
        using (var zip = new ZipArchive(packed, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var file in files)
            {
                var entry = zip.CreateEntry(file.Path, CompressionLevel.Optimal);
                // The same job gives the same bytes: no clock.
                entry.LastWriteTime = new DateTimeOffset(1980, 1, 1, 0, 0, 0, TimeSpan.Zero);
                using var to = entry.Open();
                to.Write(file.Bytes);
            }
        }

        return packed.ToArray();
    }

    private static string SafeName(string title) => new([.. title.Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or ' ' ? c : '-')]);

    private static string TypeOf(string path) => Path.GetExtension(path) switch
    {
        ".svg" => "image/svg+xml",
        ".png" => "image/png",
        ".pdf" => "application/pdf",
        ".json" => "application/json",
        ".csv" => "text/csv; charset=utf-8",
        _ => "application/octet-stream",
    };
}
