using Microsoft.Playwright;
using Xunit;

namespace Stencilwright.Web.Tests;

public sealed class ShopPageTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Theory]
    [InlineData("lasers")]
    [InlineData("films")]
    [InlineData("frames")]
    [InlineData("boards")]
    [InlineData("pastes")]
    [InlineData("rules")]
    public async Task Every_kind_has_a_page_that_everybody_can_use(string kind)
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser, kind == "films" ? ColorScheme.Dark : ColorScheme.Light);
        await visit.GoAsync("/shop/" + kind);
        await visit.CheckAsync();
    }

    [Fact]
    public async Task A_shipped_film_is_kept_as_ones_own_exported_deleted_and_taken_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.GoAsync("/shop/films/polyester-102");
        var page = visit.Page;
        await page.GetByLabel("Cost of a film blank").FillAsync("wide");
        await page.GetByLabel("Note").FocusAsync();
        await Assertions.Expect(page.Locator(".setting-row .wrong")).ToContainTextAsync("Cost of a film blank takes a number");
        await page.GetByLabel("Cost of a film blank").FillAsync("0.35");
        await page.GetByLabel("Title").FillAsync("Film from the <shelf>");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save as yours" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status).GetByText("Saved.")).ToBeVisibleAsync();
        var kept = Path.Combine(shared.Open.Folder, "shop", "films", "polyester-102.toml");
        Assert.Contains("film_blank_cost = 0.35", await File.ReadAllTextAsync(kept, TestContext.Current.CancellationToken), StringComparison.Ordinal);

        var download = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "Export TOML" }).ClickAsync());
        Assert.Equal(await File.ReadAllTextAsync(kept, TestContext.Current.CancellationToken), await File.ReadAllTextAsync(await download.PathAsync(), TestContext.Current.CancellationToken));
        await page.GetByRole(AriaRole.Button, new() { Name = "Back to the program's own" }).ClickAsync();
        await Assertions.Expect(page.GetByText("polyester-102 was deleted.")).ToBeVisibleAsync();
        Assert.False(File.Exists(kept));
        await page.GetByRole(AriaRole.Button, new() { Name = "Take it back" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Film from the <shelf>" })).ToBeVisibleAsync();
        Assert.True(File.Exists(kept));
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task Rules_of_ones_own_are_checked_kept_and_used_by_a_job_that_names_them()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.GoAsync("/shop/rules");
        var page = visit.Page;
        await page.GetByRole(AriaRole.Button, new() { Name = "Add rules" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Name = "New rules" })).ToBeVisibleAsync();
        var text = page.GetByLabel("Aperture rules", new() { Exact = true });
        await text.FillAsync("this is no rule");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Alert).Filter(new() { HasText = "Line 1" }).First).ToBeVisibleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Begin with the program's own rules" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Save" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status).GetByText("Saved.")).ToBeVisibleAsync();
        Assert.True(File.Exists(Path.Combine(shared.Open.Folder, "shop", "rules", "new-rules.aperture-rules")));
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task An_import_that_names_a_file_of_the_machine_does_not_keep_that_name()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.GoAsync("/shop/pastes");
        var toml = "kind = \"paste\"\nname = \"mine\"\nrelease_measurements = \"/etc/passwd\"\nrelease_slope = 5\n";
        await visit.Page.SetInputFilesAsync("#import-thing", new FilePayload { Name = "mine.toml", MimeType = "application/toml", Buffer = System.Text.Encoding.UTF8.GetBytes(toml) });
        await visit.Page.WaitForURLAsync("**/shop/pastes/mine");
        var kept = await File.ReadAllTextAsync(Path.Combine(shared.Open.Folder, "shop", "pastes", "mine.toml"), TestContext.Current.CancellationToken);
        Assert.Contains("release_slope = 5", kept, StringComparison.Ordinal);
        Assert.DoesNotContain("passwd", kept, StringComparison.Ordinal);

        await visit.Page.SetInputFilesAsync("#import-thing", new FilePayload { Name = "bad.toml", MimeType = "application/toml", Buffer = "kind = \"spoon\"\n"u8.ToArray() });
        await Assertions.Expect(visit.Page.GetByRole(AriaRole.Alert)).ToContainTextAsync("there is no kind spoon");
    }
}
