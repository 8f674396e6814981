using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Xunit;
using static Microsoft.Playwright.Assertions;

namespace Stencilwright.Web.Tests;

public sealed class OpeningsPageTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    private static Regex Address(string part) => new(Regex.Escape(part));

    [Fact]
    public async Task A_row_that_is_chosen_is_chosen_in_the_drawing_and_the_address_brings_it_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("dense");
        var page = visit.Page;
        await page.Locator("#row-a0004").ClickAsync();
        await Expect(page).ToHaveURLAsync(Address("select=a0004"));
        await Expect(page.Locator(".selected h3")).ToContainTextAsync("a0004");
        Assert.Equal(["a0004"], await ChosenAsync(page));
        await page.ReloadAsync();
        await visit.SettleAsync();
        await Expect(page.Locator("#row-a0004")).ToHaveAttributeAsync("aria-selected", "true");
        Assert.Equal(["a0004"], await ChosenAsync(page));
        await visit.CheckAsync();
    }

    [Fact]
    public async Task The_table_follows_what_the_keyboard_chooses_in_the_drawing_and_the_other_way_round()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("dense");
        var page = visit.Page;
        await page.Locator("canvas[data-board]").FocusAsync();
        await page.Keyboard.PressAsync("p");
        // The last of 356 is far below what the table showed.
        await Expect(page.Locator(".rows tr[aria-selected=true]")).ToBeInViewportAsync();
        var last = Assert.Single(await ChosenAsync(page));
        await page.Locator(".rows").FocusAsync();
        await page.Keyboard.PressAsync("Home");
        await Expect(page.Locator("#row-a0001")).ToBeInViewportAsync();
        Assert.Equal(["a0001"], await ChosenAsync(page));
        await page.Keyboard.PressAsync("Shift+ArrowDown");
        await Expect(page).ToHaveURLAsync(Address("select=a0001"));
        await Expect(page.Locator(".rows tr[aria-selected=true]")).ToHaveCountAsync(2);
        Assert.NotEqual("a0001", last);
    }

    [Fact]
    public async Task Filters_narrow_the_table_and_all_that_is_left_can_be_chosen_at_once()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("dense");
        var page = visit.Page;
        await page.GetByRole(AriaRole.Searchbox).FillAsync("chip 0603");
        await Expect(page.Locator(".filters [role=status]")).ToHaveTextAsync("12 of 356");
        await page.GetByRole(AriaRole.Button, new() { Name = "Select", Exact = true }).ClickAsync();
        await Expect(page.Locator(".rows tr[aria-selected=true]")).ToHaveCountAsync(12);
        await page.GetByRole(AriaRole.Searchbox).FillAsync("nothing like that");
        await Expect(page.GetByText("Take a filter away")).ToBeVisibleAsync();
        await visit.CheckAsync();
    }

    [Fact]
    public async Task A_thicker_film_shows_what_changed_and_is_taken_back()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("dense");
        var page = visit.Page;
        await page.GetByLabel("Film thickness", new() { Exact = true }).FillAsync("thick");
        await page.Keyboard.PressAsync("Tab");
        await Expect(page.Locator("#set-film_thickness_mm-note")).ToContainTextAsync("length");
        await page.GetByLabel("Film thickness", new() { Exact = true }).FillAsync("10mil");
        await page.Keyboard.PressAsync("Tab");
        await Expect(page.Locator(".comparison")).ToContainTextAsync("Film thickness: 0.254 mm");
        await Expect(page.Locator(".comparison")).ToContainTextAsync("openings come out otherwise");
        await visit.SettleAsync();
        await visit.CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Undo" }).ClickAsync();
        await Expect(page.GetByLabel("Film thickness", new() { Exact = true })).ToHaveValueAsync("0.1016");
    }

    [Fact]
    public async Task An_opening_is_moved_left_out_and_given_back_to_the_rules()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("blinky");
        var page = visit.Page;
        await page.Locator("#row-a0003").ClickAsync();
        await page.GetByLabel("Move every edge by").FillAsync("far");
        await page.GetByRole(AriaRole.Button, new() { Name = "Move", Exact = true }).ClickAsync();
        await Expect(page.Locator("#move-wrong")).ToContainTextAsync("Take a length");
        await page.GetByLabel("Move every edge by").FillAsync("-0.05");
        await page.GetByRole(AriaRole.Button, new() { Name = "Move", Exact = true }).ClickAsync();
        await Expect(page.Locator(".selected")).ToContainTextAsync("every edge moved by −0.050 mm");
        await page.GetByRole(AriaRole.Button, new() { Name = "Leave out" }).ClickAsync();
        await Expect(page.Locator("#row-a0003")).ToHaveCountAsync(0);
        await page.GetByText("one opening is left out").ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Back to the rules" }).ClickAsync();
        await Expect(page.Locator("#row-a0003")).ToHaveCountAsync(1);
        await visit.SettleAsync();
        await visit.CheckAsync();
    }

    [Fact]
    public async Task Rules_are_changed_by_a_field_and_a_fault_in_their_text_names_its_line()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        await visit.OpenSampleAsync("dense");
        var page = visit.Page;
        await page.GetByText("Aperture rules", new() { Exact = true }).ClickAsync();
        await page.Locator(".rule-name", new() { HasTextString = "chip-0402" }).ClickAsync();
        var field = page.GetByLabel("Off the width").Locator("visible=true").First;
        await field.FillAsync("0.1");
        await page.Keyboard.PressAsync("Tab");
        await Expect(page.Locator(".comparison")).ToContainTextAsync("chip-0402: Off the width 0.1");
        await Expect(page.GetByLabel("Rules in force")).ToHaveValueAsync("Own");
        await page.GetByRole(AriaRole.Button, new() { Name = "Edit as text" }).ClickAsync();
        var text = page.Locator("#rule-toml");
        await Expect(text).ToHaveValueAsync(new Regex("reduce_width_mm = 0\\.1\n"));
        await text.FillAsync("name = \"mine\"\n[[rule]]\nname = \"a\"\nreduce = 5\n");
        await page.GetByRole(AriaRole.Button, new() { Name = "Use these rules" }).ClickAsync();
        await Expect(page.Locator(".rule-text [role=alert]")).ToContainTextAsync("line 4");
        await page.Locator(".rule-text [role=alert] button").First.ClickAsync();
        await Expect(text).ToBeFocusedAsync();
        Assert.Equal("reduce = 5", await text.EvaluateAsync<string>("t => t.value.slice(t.value.lastIndexOf('\\n', t.selectionStart - 1) + 1, t.selectionEnd)"));
        await visit.CheckAsync();
    }

    [Fact]
    public async Task Every_view_has_its_address_and_can_be_used_by_everybody()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        var workshop = shared.Open;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var id = await visit.OpenSampleAsync("twoside");
        var page = visit.Page;
        foreach (var (by, view, scheme) in ((string, string, ColorScheme)[])
            [("ratio", "charts", ColorScheme.Light), ("web", "findings", ColorScheme.Dark), ("change", "table", ColorScheme.Dark), ("volume", "charts", ColorScheme.Dark)])
        {
            await page.EmulateMediaAsync(new() { ColorScheme = scheme });
            await visit.GoAsync($"/jobs/{id}/openings?side=bottom&by={by}&view={view}");
            await visit.SettleAsync();
            await Expect(page.GetByLabel("Show by")).ToHaveValueAsync(by);
            await Expect(page.GetByRole(AriaRole.Button, new() { Name = "Bottom" })).ToHaveAttributeAsync("aria-pressed", "true");
            await Expect(page.GetByRole(AriaRole.Tab, new() { Selected = true })).ToHaveAttributeAsync("id", "tab-" + view);
            await visit.CheckAsync();
        }

        await page.GetByText("As a table").First.ClickAsync();
        await page.Locator("#chart-ratio-table button").First.ClickAsync();
        await page.WaitForFunctionAsync("() => document.querySelector('canvas[data-board]').drawing.selected.size > 0");
        Assert.NotEmpty(await ChosenAsync(page));
    }

    [Fact]
    public async Task A_finger_moves_the_drawing_two_magnify_it_and_a_tap_chooses()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var visit = await Visit.ToAsync(shared.Open, browser, width: 1024, height: 768, touch: true);
        await visit.OpenSampleAsync("dense");
        var page = visit.Page;
        var canvas = (await page.Locator("canvas[data-board]").BoundingBoxAsync())!;
        var (x, y) = (canvas.X + (canvas.Width / 2), canvas.Y + (canvas.Height / 2));
        var spot = await page.EvaluateAsync<float[]>("() => { const d = document.querySelector('canvas[data-board]').drawing, s = d.picked.shapes[5].box; return d.toScreen((s[0] + s[2]) / 2, (s[1] + s[3]) / 2); }");
        await page.Touchscreen.TapAsync(canvas.X + spot[0], canvas.Y + spot[1]);
        Assert.Equal(["a0006"], await ChosenAsync(page));
        var fingers = await visit.Context.NewCDPSessionAsync(page);
        Task TouchAsync(string type, params (float X, float Y)[] at) => fingers.SendAsync("Input.dispatchTouchEvent", new() { ["type"] = type, ["touchPoints"] = at.Select((p, id) => new { x = p.X, y = p.Y, id }).ToArray() });
        Task<double[]> ViewAsync() => page.EvaluateAsync<double[]>("() => { const v = document.querySelector('canvas[data-board]').drawing.view; return [v.x, v.y, v.scale]; }");
        var before = await ViewAsync();
        await TouchAsync("touchStart", (x, y));
        await TouchAsync("touchMove", (x + 25, y + 15));
        await TouchAsync("touchMove", (x + 50, y + 30));
        await TouchAsync("touchEnd");
        var moved = await ViewAsync();
        Assert.Equal([before[0] - (50 / before[2]), before[1] + (30 / before[2]), before[2]], moved, (a, b) => Math.Abs(a - b) < 0.01);
        await TouchAsync("touchStart", (x - 40, y), (x + 40, y));
        await TouchAsync("touchMove", (x - 60, y), (x + 60, y));
        await TouchAsync("touchMove", (x - 80, y), (x + 80, y));
        await TouchAsync("touchEnd");
        Assert.Equal(2 * before[2], (await ViewAsync())[2], 0.05 * before[2]);
    }

    private static async Task<string[]> ChosenAsync(IPage page) =>
        await page.EvaluateAsync<string[]>("() => new Promise(done => setTimeout(() => done([...document.querySelector('canvas[data-board]').drawing.selected]), 300))");
}
