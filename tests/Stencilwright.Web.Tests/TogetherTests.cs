using System.Net;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace Stencilwright.Web.Tests;

/// <summary>Two windows on one job, addresses that are not what they were, and the keyboard across pages.</summary>
public sealed class TogetherTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Fact]
    public async Task What_is_renamed_or_deleted_in_one_window_is_so_in_the_other()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var first = await Visit.ToAsync(shared.Open, browser);
        var id = await first.OpenSampleAsync("blinky");
        await using var second = await Visit.ToAsync(shared.Open, browser);
        var card = second.Page.Locator(".card").Filter(new() { Has = second.Page.Locator($"h2 a[href*='{id}']") });
        await second.Page.Locator($".card:has(h2 a[href*='{id}'])").GetByRole(AriaRole.Button, new() { Name = "Rename" }).ClickAsync();
        await Expect(second.Page.GetByLabel("Name of the job")).ToBeFocusedAsync();
        await second.Page.GetByLabel("Name of the job").FillAsync("lamp");
        await second.Page.Keyboard.PressAsync("Enter");
        await Expect(first.Page.Locator(".job-title")).ToHaveTextAsync("lamp");

        // A change in the first window must not bring the old name back.
        await first.Page.GetByLabel("Film thickness").FillAsync("0.125");
        await first.Page.Keyboard.PressAsync("Tab");
        await Expect(first.Page.GetByRole(AriaRole.Button, new() { Name = "Undo" })).ToHaveAttributeAsync("title", "Film thickness: 0.125 mm");
        await second.GoAsync("/");
        await Expect(card.GetByRole(AriaRole.Heading)).ToHaveTextAsync("lamp");

        await card.GetByRole(AriaRole.Button, new() { Name = "Delete" }).ClickAsync();
        await Expect(second.Page.GetByRole(AriaRole.Button, new() { Name = "Take it back" })).ToBeFocusedAsync();
        await Expect(first.Page.GetByText("deleted in another window")).ToBeVisibleAsync();
        await first.Page.GetByRole(AriaRole.Button, new() { Name = "Take it back" }).ClickAsync();
        await Expect(first.Page.GetByText("deleted in another window")).ToHaveCountAsync(0);
        await second.GoAsync("/");
        await Expect(card).ToHaveCountAsync(1);
    }

    [Fact]
    public async Task An_address_that_leads_nowhere_is_answered_by_a_page_and_a_job_without_its_page_by_its_openings()
    {
        using var client = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false });
        foreach (var path in (string[])["/nowhere", "/jobs/aaaaaaaaaa/nonsense", "/jobs/aaaaaaaaaa/files/none.svg"])
        {
            using var asked = new HttpRequestMessage(HttpMethod.Get, new Uri(shared.Open.Address, path));
            asked.Headers.Accept.ParseAdd("text/html");
            using var answer = await client.SendAsync(asked, TestContext.Current.CancellationToken);
            Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
            Assert.Contains("<html", await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        }

        using var job = await client.GetAsync(new Uri(shared.Open.Address, "/jobs/aaaaaaaaaa"), TestContext.Current.CancellationToken);
        Assert.Equal("/jobs/aaaaaaaaaa/openings", job.Headers.Location?.ToString());
    }

    [Fact]
    public async Task A_kept_address_stays_what_it_is_and_a_senseless_one_does_no_harm()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        var id = await visit.OpenSampleAsync("dense");
        await visit.GoAsync($"/jobs/{id}/openings?select=a0002&view=charts");
        await visit.SettleAsync();
        await Expect(visit.Page.Locator(".beside")).ToContainTextAsync("a0002");
        Assert.Contains("select=a0002", visit.Page.Url, StringComparison.Ordinal);
        await visit.GoAsync($"/jobs/{id}/cut?side=zz&sheet=yy&heat=q&t=1e999");
        await visit.SettleAsync();
        await Expect(visit.Page.Locator(".job-title")).ToHaveTextAsync("dense");
        Assert.Empty(visit.Wrong);
    }

    [Fact]
    public async Task The_keyboard_gets_past_the_head_to_the_tabs_and_stays_on_a_button_that_was_pressed()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        var page = visit.Page;
        await visit.OpenSampleAsync("blinky");
        var address = page.Url;
        await page.Locator(".skip").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#content")).ToBeFocusedAsync();
        Assert.Equal(address, page.Url);

        await page.GetByRole(AriaRole.Tab, new() { Name = "Table" }).FocusAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await Expect(page.Locator("#tab-charts")).ToBeFocusedAsync();
        await Expect(page.Locator("#tab-charts")).ToHaveAttributeAsync("aria-selected", "true");
        await page.Keyboard.PressAsync("End");
        await Expect(page.Locator("#tab-findings")).ToHaveAttributeAsync("aria-selected", "true");

        await page.GetByLabel("Film thickness").FillAsync("0.125");
        await page.Keyboard.PressAsync("Tab");
        var undo = page.GetByRole(AriaRole.Button, new() { Name = "Undo" });
        await Expect(undo).ToBeEnabledAsync();
        await undo.FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await Expect(undo).ToBeDisabledAsync();
        await Expect(undo).ToBeFocusedAsync();
    }
}
