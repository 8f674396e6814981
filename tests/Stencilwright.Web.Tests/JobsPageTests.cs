using System.IO.Compression;
using Microsoft.Playwright;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Web.Tests;

public sealed class JobsPageTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    private static string SampleFolder(string name) => Path.Combine(RealBoards.CheckoutRoot, "samples", name);

    [Fact]
    public async Task A_new_workshop_says_what_to_do_and_a_package_becomes_a_job_with_a_picture_and_figures()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var workshop = await Workshop.OpenAsync();
        await using var visit = await Visit.ToAsync(workshop, browser);
        await Assertions.Expect(visit.Page.GetByText("No jobs yet.")).ToBeVisibleAsync();
        await Assertions.Expect(visit.Page.GetByRole(AriaRole.Button, new() { Name = "dense", Exact = true })).ToBeVisibleAsync();
        await visit.CheckAsync();
        var zip = Path.Combine(workshop.Folder, "twoside.zip");
        await ZipFile.CreateFromDirectoryAsync(SampleFolder("twoside"), zip, TestContext.Current.CancellationToken);
        await visit.Page.SetInputFilesAsync("#upload-files", zip);
        await visit.Page.WaitForURLAsync("**/openings**");
        await visit.SettleAsync();
        await visit.GoAsync("/");
        var card = visit.Page.Locator(".card");
        await Assertions.Expect(card).ToHaveCountAsync(1);
        await Assertions.Expect(card.GetByRole(AriaRole.Heading)).ToHaveTextAsync("twoside");
        await Assertions.Expect(card.Locator("img")).ToHaveJSPropertyAsync("naturalWidth", 320);
        await visit.CheckAsync();
    }

    [Fact]
    public async Task Loose_files_are_taken_and_named_by_what_they_have_in_common()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.Page.SetInputFilesAsync("#upload-files", Directory.GetFiles(SampleFolder("blinky")).Order(StringComparer.Ordinal));
        await visit.Page.WaitForURLAsync("**/openings**");
        await Assertions.Expect(visit.Page.Locator("h1 .job-title")).ToHaveTextAsync("blinky");
    }

    [Fact]
    public async Task A_job_is_renamed_duplicated_deleted_and_taken_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var workshop = await Workshop.OpenAsync();
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("blinky");
        await visit.GoAsync("/");
        var page = visit.Page;
        await page.GetByRole(AriaRole.Button, new() { Name = "Rename" }).ClickAsync();
        await page.GetByLabel("Name of the job").FillAsync("<b>Lamp & co</b>");
        await page.Keyboard.PressAsync("Enter");
        await Assertions.Expect(page.Locator(".card h2")).ToHaveTextAsync("<b>Lamp & co</b>");
        await page.GetByRole(AriaRole.Button, new() { Name = "Duplicate" }).ClickAsync();
        await Assertions.Expect(page.Locator(".card")).ToHaveCountAsync(2);
        await page.GetByRole(AriaRole.Button, new() { Name = "Delete" }).First.ClickAsync();
        await Assertions.Expect(page.Locator(".card")).ToHaveCountAsync(1);
        await page.GetByRole(AriaRole.Button, new() { Name = "Take it back" }).ClickAsync();
        await Assertions.Expect(page.Locator(".card")).ToHaveCountAsync(2);
        await visit.CheckAsync();
    }

    [Fact]
    public async Task A_file_that_is_no_artwork_ends_in_words_that_say_what_to_do_not_in_a_blank_page()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.Page.SetInputFilesAsync("#upload-files", new FilePayload { Name = "../../note.txt", MimeType = "text/plain", Buffer = "nothing of the kind"u8.ToArray() });
        await visit.Page.WaitForURLAsync("**/openings**");
        await Assertions.Expect(visit.Page.Locator(".notice.wrong").First).ToContainTextAsync("paste");
        await visit.CheckAsync();
    }

    [Fact]
    public async Task A_killed_workshop_has_everything_when_it_starts_again()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var workshop = await Workshop.OpenAsync();
        await using (var visit = await Visit.ToAsync(workshop, browser))
        {
            await visit.OpenSampleAsync("twoside");
            await visit.GoAsync("/");
            await visit.Page.GetByRole(AriaRole.Button, new() { Name = "Rename" }).ClickAsync();
            await visit.Page.GetByLabel("Name of the job").FillAsync("kept");
            await visit.Page.Keyboard.PressAsync("Enter");
            await Assertions.Expect(visit.Page.Locator(".card h2")).ToHaveTextAsync("kept");
            await workshop.KillAsync();
        }

        await workshop.StartAsync();
        await using var again = await Visit.ToAsync(workshop, browser);
        await Assertions.Expect(again.Page.Locator(".card h2")).ToHaveTextAsync("kept");
        await again.Page.Locator(".card h2 a").ClickAsync();
        await again.SettleAsync();
        await again.CheckAsync();
    }
}
