using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace Stencilwright.Web.Tests;

public sealed class SettingsPageTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Fact]
    public async Task A_setting_is_found_given_shown_alone_and_put_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser, ColorScheme.Dark);
        var id = await visit.OpenSampleAsync("blinky");
        await visit.GoAsync($"/jobs/{id}/settings");
        var page = visit.Page;
        await visit.CheckAsync();
        await page.GetByLabel("Find a setting").FillAsync("lead in");
        var field = page.GetByLabel("Lead-in", new() { Exact = true });
        await field.FillAsync("far");
        await page.Keyboard.PressAsync("Tab");
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("length");
        await field.FillAsync("12mil");
        await page.Keyboard.PressAsync("Tab");
        await Expect(field).ToHaveValueAsync("0.3048");
        await visit.GoAsync($"/jobs/{id}/settings?which=given");
        await Expect(page.Locator(".all-settings .one")).ToHaveCountAsync(1);
        await page.GetByRole(AriaRole.Button, new() { Name = "Lead-in back to 0 mm" }).ClickAsync();
        await Expect(page.GetByText("No setting is like that")).ToBeVisibleAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await Expect(page.GetByLabel("Lead-in", new() { Exact = true })).ToHaveValueAsync("0.3048");
        await visit.CheckAsync();
    }

    [Fact]
    public async Task A_finding_leads_to_the_field_that_it_names()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        var id = await visit.OpenSampleAsync("blinky");
        var page = visit.Page;
        await visit.GoAsync($"/jobs/{id}/frame");
        await visit.SettleAsync();
        var width = page.GetByLabel("Frame blank: width");
        await width.FillAsync("12");
        await page.Keyboard.PressAsync("Tab");
        var way = page.GetByRole(AriaRole.Link, new() { Name = "Change: Frame blank" }).First;
        await way.ClickAsync();
        await Expect(page.Locator("#set-frame_blank_mm")).ToBeFocusedAsync();
        await Expect(page.Locator("#set-frame_blank_mm")).ToBeInViewportAsync();
        await Expect(page.Locator("#set-frame_blank_mm")).ToHaveValueAsync("12");
        await visit.CheckAsync();
    }

    [Fact]
    public async Task Rules_and_pastes_of_the_shop_can_be_chosen_for_a_job()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser);
        var page = visit.Page;
        await visit.GoAsync("/shop/rules");
        await page.GetByRole(AriaRole.Button, new() { Name = "Add rules" }).ClickAsync();
        await Expect(page).ToHaveURLAsync(new System.Text.RegularExpressions.Regex("/shop/rules/new-rules"));
        await page.Locator("#rules-text").FillAsync("name = \"plain\"\n\n[[rule]]\nname = \"all-less\"\nsource = \"ours\"\n[rule.change]\ninset_mm = 0.05\n");
        await page.GetByRole(AriaRole.Button, new() { Name = "Save", Exact = true }).ClickAsync();
        await Expect(page.GetByText("Saved.")).ToBeVisibleAsync();
        await page.SetInputFilesAsync("#import-thing", new FilePayload { Name = "ours.aperture-rules.toml", MimeType = "application/toml", Buffer = "name = \"ours\"\n\n[[rule]]\nname = \"less\"\nsource = \"ours\"\n[rule.change]\ninset_mm = 0.04\n"u8.ToArray() });
        await Expect(page).ToHaveURLAsync(new System.Text.RegularExpressions.Regex("/shop/rules/new-rules-2"));
        await Expect(page.Locator("#rules-text")).ToHaveValueAsync(new System.Text.RegularExpressions.Regex("inset_mm = 0\\.04"));
        await visit.OpenSampleAsync("blinky");
        await page.GetByText("Aperture rules", new() { Exact = true }).ClickAsync();
        await page.GetByLabel("Rules in force").SelectOptionAsync(new SelectOptionValue { Label = "from the shop: New rules" });
        await Expect(page.Locator(".rule-name")).ToHaveTextAsync(["all-less"]);
        await visit.SettleAsync();
        await Expect(page.Locator("#row-a0001")).ToContainTextAsync("all-less");
        await visit.CheckAsync();
    }
}
