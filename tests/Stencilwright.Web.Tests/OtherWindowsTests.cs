using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace Stencilwright.Web.Tests;

/// <summary>What is done in one window is seen in the others: locking, and changes of the lists.</summary>
public sealed partial class OtherWindowsTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Fact]
    public async Task Locking_one_window_locks_every_other_that_the_password_opened()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var workshop = await Workshop.OpenAsync(null, "--listen", "0.0.0.0");
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.Page.GetByLabel("Code from the terminal").FillAsync(Code().Match(workshop.Said).Groups[1].Value);
        await visit.Page.GetByLabel("Password", new() { Exact = true }).FillAsync("correct horse battery");
        await visit.Page.GetByLabel("The same once more").FillAsync("correct horse battery");
        await visit.Page.GetByRole(AriaRole.Button).ClickAsync();
        await Expect(visit.Page.GetByRole(AriaRole.Heading, new() { Name = "Jobs" })).ToBeVisibleAsync();
        var other = await visit.Context.NewPageAsync();
        await other.GotoAsync(new Uri(workshop.Address, "/shop").AbsoluteUri);
        await other.WaitForSelectorAsync("html[data-live] h1");

        await visit.Page.GetByRole(AriaRole.Button, new() { Name = "Lock" }).ClickAsync();
        await Expect(visit.Page).ToHaveURLAsync(new Regex("/password$"));
        await Expect(other).ToHaveURLAsync(new Regex("/password$"));
    }

    [Fact]
    public async Task Lists_of_jobs_and_of_the_shop_follow_what_another_window_does()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var first = await Visit.ToAsync(shared.Open, browser);
        await using var second = await Visit.ToAsync(shared.Open, browser);
        var id = await first.OpenSampleAsync("blinky");
        var seen = second.Page.Locator($".card:has(h2 a[href*='{id}'])");
        await Expect(seen.Locator("dd").Nth(1)).ToHaveTextAsync("33");
        await first.GoAsync("/");
        await first.Page.Locator($".card:has(h2 a[href*='{id}'])").GetByRole(AriaRole.Button, new() { Name = "Delete" }).ClickAsync();
        await Expect(seen).ToHaveCountAsync(0);
        await first.Page.GetByRole(AriaRole.Button, new() { Name = "Take it back" }).ClickAsync();
        await Expect(seen).ToHaveCountAsync(1);

        await first.GoAsync("/shop/pastes");
        await first.Page.GetByRole(AriaRole.Button, new() { Name = "Add a paste" }).ClickAsync();
        await Expect(first.Page).ToHaveURLAsync(new Regex("/shop/pastes/new-paste$"));
        await second.GoAsync("/shop/pastes/new-paste");
        await first.Page.GetByLabel("Title", new() { Exact = true }).FillAsync("grey");
        await first.Page.Keyboard.PressAsync("Enter");
        await Expect(second.Page.Locator(".thing h2")).ToHaveTextAsync("grey");
        // What is being entered is not taken away.
        await second.Page.GetByLabel("Title", new() { Exact = true }).FillAsync("black");
        await second.Page.Keyboard.PressAsync("Tab");
        await first.Page.GetByRole(AriaRole.Button, new() { Name = "Delete" }).ClickAsync();
        await Expect(second.Page.GetByText("deleted in another window")).ToBeVisibleAsync();
        await Expect(second.Page.GetByLabel("Title", new() { Exact = true })).ToHaveValueAsync("black");
        Assert.Empty(second.Wrong);
    }

    // More than one message holds broke the connection, and what was entered was lost without a word.
    [Fact]
    public async Task A_text_without_end_is_refused_in_words_and_the_page_goes_on()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        await visit.OpenSampleAsync("blinky");
        var field = visit.Page.GetByLabel("Film thickness");
        foreach (var text in (string[])[new('7', 3_000_000), "\ud800<script>alert(1)</script>\u202e"])
        {
            await field.EvaluateAsync("(e, text) => { e.value = text; e.dispatchEvent(new Event('change', { bubbles: true })); }", text);
            await Expect(visit.Page.GetByRole(AriaRole.Alert).Filter(new() { HasText = "Film thickness takes" })).ToBeVisibleAsync();
        }

        await field.FillAsync("0.125");
        await visit.Page.Keyboard.PressAsync("Tab");
        await Expect(visit.Page.GetByRole(AriaRole.Button, new() { Name = "Undo" })).ToHaveAttributeAsync("title", "Film thickness: 0.125 mm");
        Assert.Empty(visit.Wrong);
    }

    [GeneratedRegex("the code ([A-Z0-9]{8})")]
    private static partial Regex Code();
}
