using System.IO.Compression;
using System.Net;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Xunit;

namespace Stencilwright.Web.Tests;

public sealed partial class FrameAndCutPageTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Fact]
    public async Task The_pages_stand_in_both_papers_without_fault_or_hindrance()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var id = await visit.OpenSampleAsync("twoside");
        foreach (var (place, shown) in ((string, string)[])[("frame", "Place on the sheets"), ("cut", "Download all (zip)")])
        {
            await visit.GoAsync($"/jobs/{id}/{place}");
            await visit.SettleAsync();
            await Assertions.Expect(visit.Page.GetByText(shown)).ToBeVisibleAsync();
            foreach (var scheme in (ColorScheme[])[ColorScheme.Light, ColorScheme.Dark])
            {
                await visit.Page.EmulateMediaAsync(new() { ColorScheme = scheme });
                await visit.CheckAsync();
            }
        }
    }

    [Fact]
    public async Task A_figure_that_is_entered_is_checked_shown_and_taken_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        var id = await visit.OpenSampleAsync("blinky");
        await visit.GoAsync($"/jobs/{id}/frame");
        await visit.SettleAsync();
        var gap = page.GetByLabel("Gap round the board", new() { Exact = true });
        await gap.FillAsync("-3");
        await gap.PressAsync("Enter");
        await Assertions.Expect(page.Locator(".setting-field .wrong")).ToContainTextAsync("Gap round the board");
        await Assertions.Expect(gap).ToHaveValueAsync("-3");
        await gap.FillAsync("0.5");
        await gap.PressAsync("Enter");
        await Assertions.Expect(page.Locator(".setting-field .wrong")).ToHaveCountAsync(0);
        await Assertions.Expect(page.Locator(".step-section svg")).ToContainTextAsync("0.5 mm");
        await page.GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await Assertions.Expect(gap).ToHaveValueAsync("1");
        await page.GetByLabel("Lengths in").SelectOptionAsync("mil");
        await Assertions.Expect(page.GetByLabel("Film blank: width")).ToHaveValueAsync("4000");
        await page.GetByLabel("Film blank: width").FillAsync("5000");
        await page.GetByLabel("Film blank: width").PressAsync("Enter");
        await page.GetByLabel("Lengths in").SelectOptionAsync("mm");
        await Assertions.Expect(page.GetByLabel("Film blank: width")).ToHaveValueAsync("127");
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task A_board_and_the_edge_of_a_blank_are_moved_by_hand()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        var id = await visit.OpenSampleAsync("twoside");
        await visit.GoAsync($"/jobs/{id}/frame?sheet=film");
        await visit.SettleAsync();

        // From the middle of the board, 10 mm to the right and 5 mm up.
        await DragAsync(page, 50.8, 50.8, 60.8, 55.8);
        var place = page.GetByRole(AriaRole.Group, new() { Name = "Board on the film" });
        await Assertions.Expect(place.GetByLabel("right")).ToHaveValueAsync("10");
        await Assertions.Expect(place.GetByLabel("up")).ToHaveValueAsync("5");
        await visit.SettleAsync();
        await DragAsync(page, 101.6, 20, 121.6, 20);
        await Assertions.Expect(page.GetByLabel("Film blank: width")).ToHaveValueAsync("121.5");
        await visit.SettleAsync();
        await place.GetByRole(AriaRole.Button, new() { Name = "Put back" }).ClickAsync();
        await Assertions.Expect(place.GetByLabel("right")).ToHaveValueAsync("0");
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task A_board_of_another_job_is_laid_into_the_same_frame_and_taken_out()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        var page = visit.Page;
        var other = await visit.OpenSampleAsync("dense");
        var id = await visit.OpenSampleAsync("blinky");
        await visit.GoAsync($"/jobs/{id}/frame");
        await visit.SettleAsync();
        await page.GetByLabel("One more board").SelectOptionAsync(other);
        await Assertions.Expect(page.GetByText("beside it:")).ToBeVisibleAsync();
        await visit.SettleAsync();
        await visit.CheckAsync();
        await visit.GoAsync($"/jobs/{id}/openings");
        await visit.SettleAsync();
        await Assertions.Expect(page.Locator(".filters [role=status]")).ToHaveTextAsync("389 of 389");
        await visit.GoAsync($"/jobs/{id}/frame");
        await page.GetByRole(AriaRole.Button, new() { Name = "Take out dense" }).ClickAsync();
        await Assertions.Expect(page.GetByText("beside it:")).ToHaveCountAsync(0);
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task The_address_says_what_is_shown()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        var id = await visit.OpenSampleAsync("twoside");
        await visit.GoAsync($"/jobs/{id}/cut");
        await visit.SettleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "bottom", Exact = true }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "frame", Exact = true }).ClickAsync();
        await Assertions.Expect(page).ToHaveURLAsync(SideAndSheet());
        await page.GetByLabel("Time since the start").FocusAsync();
        await page.Keyboard.PressAsync("Home");
        await page.Keyboard.PressAsync("Tab");
        await Assertions.Expect(page).ToHaveURLAsync(AtStart());
        await visit.GoAsync($"/jobs/{id}/cut?side=bottom&sheet=frame&t=12.5");
        await visit.SettleAsync();
        await Assertions.Expect(page.Locator(".clock")).ToContainTextAsync("0:13 / ");
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "frame", Exact = true })).ToHaveAttributeAsync("aria-pressed", "true");
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task The_cut_is_played_stepped_and_stopped_from_the_keyboard()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        var id = await visit.OpenSampleAsync("blinky");
        await visit.GoAsync($"/jobs/{id}/cut?t=0");
        await visit.SettleAsync();
        await Assertions.Expect(page.Locator(".clock")).ToContainTextAsync("0:00 / ");
        await page.Locator("canvas[data-board]").FocusAsync();
        await page.Keyboard.PressAsync(".");
        await Assertions.Expect(page.Locator(".now")).ToContainTextAsync("path 1 /");
        await page.Keyboard.PressAsync(".");
        await Assertions.Expect(page.Locator(".now")).ToContainTextAsync("path 2 /");
        await page.Keyboard.PressAsync(",");
        await Assertions.Expect(page.Locator(".now")).ToContainTextAsync("path 1 /");
        await page.GetByLabel("Times as fast").SelectOptionAsync("300");
        await page.Locator("canvas[data-board]").FocusAsync();
        await page.Keyboard.PressAsync("Space");
        await Assertions.Expect(page.Locator(".now")).ToContainTextAsync("done");
        await Assertions.Expect(page.Locator(".play")).ToHaveTextAsync("Play");
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task Heat_is_told_in_figures_too()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var id = await visit.OpenSampleAsync("blinky");
        await visit.GoAsync($"/jobs/{id}/cut?heat=peak");
        await Assertions.Expect(visit.Page.Locator(".heat-legend")).ToContainTextAsync("mm² of film get softer", new() { Timeout = 30_000 });
        await visit.CheckAsync();
        await visit.Page.Locator("label", new() { HasText = "Heat" }).Locator("select").SelectOptionAsync("none");
        await Assertions.Expect(visit.Page.Locator(".heat-legend")).ToHaveClassAsync(new Regex("unseen"));
        await Assertions.Expect(visit.Page.Locator(".job-title")).ToHaveTextAsync("blinky");
    }

    [Fact]
    public async Task Files_that_drive_a_laser_are_given_out_once_the_cautions_are_acknowledged_and_the_server_holds_to_it()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        var id = await visit.OpenSampleAsync("twoside");
        using var client = new HttpClient { BaseAddress = workshop.Address };
        foreach (var (path, wanted) in ((string, HttpStatusCode)[])
            [
                ("files/top/film.nc", HttpStatusCode.Forbidden), ("files/bottom/frame.svg", HttpStatusCode.Forbidden), ("files/top/film.dxf", HttpStatusCode.Forbidden),
                ("all.zip", HttpStatusCode.Forbidden), ("files/report.json", HttpStatusCode.OK), ("view/top/template.pdf", HttpStatusCode.OK), ("files/top/none.nc", HttpStatusCode.NotFound),
            ])
        {
            using var answer = await client.GetAsync(new Uri($"/jobs/{id}/{path}", UriKind.Relative), TestContext.Current.CancellationToken);
            Assert.Equal((path, wanted), (path, answer.StatusCode));
        }

        await visit.GoAsync($"/jobs/{id}/cut");
        await visit.SettleAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Download all (zip)" })).ToBeDisabledAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Link, new() { Name = "film.nc" })).ToHaveCountAsync(0);
        await page.GetByLabel("I have read this").CheckAsync();
        var zip = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "Download all (zip)" }).ClickAsync());
        await using (var archive = await ZipFile.OpenReadAsync(await zip.PathAsync(), TestContext.Current.CancellationToken))
        {
            Assert.Contains(archive.Entries, e => e.FullName == "bottom/frame.nc");
        }

        var file = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "film.nc" }).First.ClickAsync());
        Assert.Equal("top-film.nc", file.SuggestedFilename);

        // Another material wants them read anew, here and at the server.
        await page.GetByLabel("Kind of film").SelectOptionAsync("polyester-127");
        await Assertions.Expect(page.GetByLabel("I have read this")).Not.ToBeCheckedAsync();
        using var again = await client.GetAsync(new Uri($"/jobs/{id}/all.zip", UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.Forbidden, again.StatusCode);
        Assert.Contains("cautions", await again.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task A_side_that_does_not_fit_has_no_files_and_says_what_to_do()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        var id = await visit.OpenSampleAsync("dense");
        await visit.GoAsync($"/jobs/{id}/frame");
        await visit.SettleAsync();
        await page.GetByLabel("Film blank: width").FillAsync("30");
        await page.GetByLabel("Film blank: width").PressAsync("Enter");
        await Assertions.Expect(page.Locator(".notice.wrong").First).ToContainTextAsync("Change: Film blank");
        await visit.GoAsync($"/jobs/{id}/cut");
        await visit.SettleAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Alert).First).ToContainTextAsync("must not reach a laser");
        await Assertions.Expect(page.GetByText("film.nc")).ToHaveCountAsync(0);
        await visit.CheckAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Change the blanks" }).ClickAsync();
        await Assertions.Expect(page.GetByLabel("Film blank: width")).ToHaveValueAsync("30");
    }

    [GeneratedRegex("side=bottom&sheet=frame|sheet=frame&side=bottom")]
    private static partial Regex SideAndSheet();

    [GeneratedRegex("t=0(&|$)")]
    private static partial Regex AtStart();

    // Drags between places of the sheet, in its millimetres.
    private static async Task DragAsync(IPage page, double fromX, double fromY, double toX, double toY)
    {
        async Task<float[]> PlaceAsync(double x, double y) => await page.EvaluateAsync<float[]>(
            "([x, y]) => { const c = document.querySelector('canvas[data-board]'), r = c.getBoundingClientRect(), p = c.drawing.toScreen(x, y); return [r.left + p[0], r.top + p[1]]; }", new[] { x, y });
        var (from, to) = (await PlaceAsync(fromX, fromY), await PlaceAsync(toX, toY));
        await page.Mouse.MoveAsync(from[0], from[1]);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync((from[0] + to[0]) / 2, (from[1] + to[1]) / 2, new() { Steps = 4 });
        await page.Mouse.MoveAsync(to[0], to[1], new() { Steps = 4 });
        await page.Mouse.UpAsync();
    }
}
