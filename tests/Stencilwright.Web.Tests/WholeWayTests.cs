using System.Diagnostics;
using System.IO.Compression;
using Microsoft.Playwright;
using Stencilwright.Testing;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace Stencilwright.Web.Tests;

/// <summary>From the upload to the downloaded files, which are those that the command line writes.</summary>
public sealed class WholeWayTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Theory]
    [InlineData("twoside", true)]
    [InlineData("dense", false)]
    public async Task A_person_gets_from_artwork_to_the_files_that_the_command_line_writes(string sample, bool asZip)
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var stop = TestContext.Current.CancellationToken;
        var folder = Directory.CreateTempSubdirectory("way-");
        try
        {
            var artwork = Path.Combine(RealBoards.CheckoutRoot, "samples", sample);
            var zip = Path.Combine(folder.FullName, sample + ".zip");
            await ZipFile.CreateFromDirectoryAsync(artwork, zip, stop);
            await using var visit = await Visit.ToAsync(shared.Open, browser);
            var page = visit.Page;
            await page.SetInputFilesAsync("#upload-files", asZip ? [zip] : Directory.GetFiles(artwork).Order(StringComparer.Ordinal));
            await page.WaitForURLAsync("**/openings**");
            await visit.SettleAsync();
            await Expect(page.Locator(".job-title")).ToHaveTextAsync(sample);
            await EnterAsync("Film thickness", "0.127");
            await page.GetByRole(AriaRole.Link, new() { Name = "Artwork", Exact = true }).ClickAsync();
            await Expect(page.GetByLabel($"Role of {sample}-top-paste.gbr")).ToHaveValueAsync("paste-top");
            await page.GetByRole(AriaRole.Link, new() { Name = "Frame & film" }).ClickAsync();
            await EnterAsync("Gap round the board", "0.8");
            await page.GetByRole(AriaRole.Link, new() { Name = "Settings", Exact = true }).ClickAsync();
            await EnterAsync("Lead-in", "0.1");
            await page.GetByRole(AriaRole.Link, new() { Name = "Cut", Exact = true }).ClickAsync();
            await visit.SettleAsync();
            await page.GetByLabel("I have read this").CheckAsync();
            var download = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "Download all (zip)" }).ClickAsync());
            Assert.Equal(sample + ".zip", download.SuggestedFilename);

            var written = Path.Combine(folder.FullName, "written");
            var program = Path.Combine(RealBoards.CheckoutRoot, "artifacts", "bin", "Stencilwright.App", "release", "stencilwright.dll");
            using var command = Process.Start(new ProcessStartInfo("dotnet", [program, "prepare", artwork, "--out", written, "--quiet", "--set", "film_thickness_mm=0.127", "--set", "frame_clearance_mm=0.8", "--set", "lead_in_mm=0.1"]))!;
            await command.WaitForExitAsync(stop);
            await using var archive = await ZipFile.OpenReadAsync(await download.PathAsync(), stop);
            var names = Directory.GetFiles(written, "*", SearchOption.AllDirectories).Select(f => Path.GetRelativePath(written, f).Replace('\\', '/')).Order(StringComparer.Ordinal);
            Assert.Equal(names, archive.Entries.Select(e => e.FullName).Order(StringComparer.Ordinal));
            foreach (var entry in archive.Entries.Where(e => e.FullName.Contains('/', StringComparison.Ordinal)))
            {
                // Sheets, pictures and tables; report and job sheet name the package, which came another way.
                await using var content = await entry.OpenAsync(stop);
                using var bytes = new MemoryStream();
                await content.CopyToAsync(bytes, stop);
                var expected = await File.ReadAllBytesAsync(Path.Combine(written, entry.FullName), stop);
                Assert.True(bytes.ToArray().SequenceEqual(expected), entry.FullName);
            }

            Assert.Empty(visit.Wrong);

            async Task EnterAsync(string label, string text)
            {
                var field = page.GetByLabel(label, new() { Exact = true });
                await field.FillAsync(text);
                await field.PressAsync("Enter");
                await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Undo" })).ToHaveAttributeAsync("title", $"{label}: {text} mm");
            }
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }
}
