using Microsoft.Playwright;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Web.Tests;

public sealed class ArtworkPageTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Fact]
    public async Task Giving_a_file_another_role_changes_everything_and_can_be_taken_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        var id = await visit.OpenSampleAsync("twoside");
        await visit.GoAsync($"/jobs/{id}/artwork");
        var page = visit.Page;
        var role = page.GetByLabel("Role of twoside-top-paste.gbr");
        await Assertions.Expect(role).ToHaveValueAsync("paste-top");
        await visit.CheckAsync();

        // Without its top paste the board has one side; with no paste at all the page says what to do.
        await role.SelectOptionAsync("ignore");
        await Assertions.Expect(page.GetByText("You said so.")).ToBeVisibleAsync();
        await page.GetByLabel("Role of twoside-bottom-paste.gbr").SelectOptionAsync("ignore");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert).Filter(new() { HasText = "give the file that holds it the role paste" })).ToBeVisibleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await Assertions.Expect(role).ToHaveValueAsync("paste-top");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToHaveCountAsync(0);
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task A_finding_shows_its_place_and_the_line_that_caused_it_and_can_be_linked_to()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.Page.SetInputFilesAsync("#upload-files", Directory.GetFiles(Path.Combine(RealBoards.Folder!, "mixed-pads")).Order(StringComparer.Ordinal));
        await visit.Page.WaitForURLAsync("**/openings**");
        await visit.SettleAsync();
        await visit.GoAsync(new Uri(visit.Page.Url).AbsolutePath.Replace("openings", "artwork", StringComparison.Ordinal));
        var finding = visit.Page.GetByRole(AriaRole.Button, new() { Name = "lies over vias" });
        await finding.ClickAsync();
        var line = visit.Page.Locator(".findings li.picked code");
        // Seen in the file: a flash or a draw of the paste layer.
        await Assertions.Expect(line).ToContainTextAsync("X");
        Assert.Contains("finding=", visit.Page.Url, StringComparison.Ordinal);
        await visit.Page.ReloadAsync();
        await Assertions.Expect(visit.Page.Locator(".findings li.picked")).ToContainTextAsync("lies over vias");
        await visit.CheckAsync();
    }

    [Fact]
    public async Task Layers_are_shown_and_hidden_by_the_keyboard()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser, ColorScheme.Dark);
        var id = await visit.OpenSampleAsync("dense");
        await visit.GoAsync($"/jobs/{id}/artwork");
        var copper = visit.Page.GetByRole(AriaRole.Checkbox, new() { Name = "dense-top-copper.gbr" });
        await Assertions.Expect(copper).Not.ToBeCheckedAsync();
        await copper.FocusAsync();
        await visit.Page.Keyboard.PressAsync("Space");
        await Assertions.Expect(copper).ToBeCheckedAsync();
        await visit.CheckAsync();
    }
}
