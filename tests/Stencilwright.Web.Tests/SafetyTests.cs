using System.Net;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Xunit;

namespace Stencilwright.Web.Tests;

/// <summary>
/// What the service must not do. Sources: OWASP Top Ten 2021, A01 and A05, and the OWASP cheat sheets on cross-site request
/// forgery, DNS rebinding and content security policy (from memory).
/// </summary>
public sealed partial class SafetyTests(Browser browser, SharedWorkshop shared) : IClassFixture<SharedWorkshop>
{
    [Theory]
    [InlineData("/jobs/../../../etc/passwd")]
    [InlineData("/jobs/%2e%2e/%2e%2e/workshop.db")]
    [InlineData("/jobs/aaaaaaaaaa/files/..%2f..%2fworkshop.db")]
    [InlineData("/jobs/aaaaaaaaaa/picture.png")]
    [InlineData("/workshop.db")]
    [InlineData("/stencilwright.dll")]
    [InlineData("/appsettings.json")]
    [InlineData("/wwwroot/../stencilwright.dll")]
    public async Task No_file_of_the_machine_is_reached_through_an_address(string path)
    {
        var workshop = shared.Open;
        using var client = Client();
        using var answer = await client.GetAsync(new Uri(workshop.Address, path), TestContext.Current.CancellationToken);
        var body = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        Assert.True(answer.StatusCode == HttpStatusCode.NotFound || body.Contains("<!DOCTYPE html>", StringComparison.Ordinal), $"{answer.StatusCode}: {body[..Math.Min(80, body.Length)]}");
        Assert.DoesNotContain("SQLite format", body, StringComparison.Ordinal);
        Assert.DoesNotContain("root:", body, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Names_of_other_machines_and_origins_of_other_pages_are_refused()
    {
        var workshop = shared.Open;
        using var client = Client();
        using var foreignHost = new HttpRequestMessage(HttpMethod.Get, workshop.Address);
        foreignHost.Headers.Host = "workshop.example";
        Assert.Equal(HttpStatusCode.Forbidden, (await client.SendAsync(foreignHost, TestContext.Current.CancellationToken)).StatusCode);
        using var foreignOrigin = new HttpRequestMessage(HttpMethod.Post, new Uri(workshop.Address, "/_blazor/negotiate?negotiateVersion=1"));
        foreignOrigin.Headers.Add("Origin", "https://workshop.example");
        Assert.Equal(HttpStatusCode.Forbidden, (await client.SendAsync(foreignOrigin, TestContext.Current.CancellationToken)).StatusCode);
    }

    [Fact]
    public async Task Every_answer_carries_a_strict_policy()
    {
        var workshop = shared.Open;
        using var client = Client();
        foreach (var path in (string[])["/", "/drawing.js", "/no-such-page"])
        {
            using var answer = await client.GetAsync(new Uri(workshop.Address, path), TestContext.Current.CancellationToken);
            var policy = string.Join(' ', answer.Headers.GetValues("Content-Security-Policy"));
            Assert.Contains("default-src 'none'", policy, StringComparison.Ordinal);
            Assert.Contains("frame-ancestors 'none'", policy, StringComparison.Ordinal);
            Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
            Assert.Equal("nosniff", Assert.Single(answer.Headers.GetValues("X-Content-Type-Options")));
        }
    }

    [Fact]
    public async Task It_listens_on_the_loopback_address_alone_unless_told_otherwise()
    {
        var workshop = shared.Open;
        var listening = await File.ReadAllLinesAsync("/proc/net/tcp", TestContext.Current.CancellationToken);
        var port = workshop.Address.Port.ToString("X4", System.Globalization.CultureInfo.InvariantCulture);
        // State 0A is LISTEN; 0100007F is 127.0.0.1. Source: proc(5), Linux man-pages (from memory).
        var own = listening.Select(l => l.Split(' ', StringSplitOptions.RemoveEmptyEntries)).Where(f => f[3] == "0A" && f[1].EndsWith(":" + port, StringComparison.Ordinal));
        Assert.Equal("0100007F:" + port, Assert.Single(own)[1]);
    }

    [Fact]
    public async Task On_a_network_it_shows_nothing_without_the_password_that_only_the_person_at_the_terminal_can_set()
    {
        Assert.SkipWhen(Browser.Path is null, Browser.Absent);
        await using var workshop = await Workshop.OpenAsync(null, "--listen", "0.0.0.0");
        Assert.Contains("TLS", workshop.Said, StringComparison.Ordinal);
        var code = Code().Match(workshop.Said).Groups[1].Value;
        await using var visit = await Visit.ToAsync(workshop, browser);
        var page = visit.Page;
        await Assertions.Expect(page).ToHaveURLAsync(new Regex("/password$"));
        await visit.CheckAsync();

        await SetAsync("AAAAAAAA", "correct horse battery", "correct horse battery");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("not the code");
        await SetAsync(code, "short", "short");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("at least");
        await SetAsync(code, "correct horse battery", "correct horse battery");
        await Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Name = "Jobs" })).ToBeVisibleAsync();

        await using var other = await Visit.ToAsync(workshop, browser);
        await Assertions.Expect(other.Page).ToHaveURLAsync(new Regex("/password$"));
        await other.Page.GetByLabel("Password").FillAsync("correct horse");
        await other.Page.GetByRole(AriaRole.Button).ClickAsync();
        await Assertions.Expect(other.Page.GetByRole(AriaRole.Alert)).ToContainTextAsync("not the password");
        Assert.DoesNotContain("correct horse", System.Text.Encoding.Latin1.GetString(await ReadSharedAsync(Path.Combine(workshop.Folder, "workshop.db-wal"))), StringComparison.Ordinal);

        async Task SetAsync(string first, string password, string again)
        {
            await page.GetByLabel("Code from the terminal").FillAsync(first);
            await page.GetByLabel("Password", new() { Exact = true }).FillAsync(password);
            await page.GetByLabel("The same once more").FillAsync(again);
            await page.GetByRole(AriaRole.Button).ClickAsync();
        }
    }

    [Fact]
    public async Task Without_the_password_no_socket_no_file_and_no_form_is_served()
    {
        await using var workshop = await Workshop.OpenAsync(null, "--listen", "0.0.0.0");
        using var client = Client();
        foreach (var (method, path) in ((HttpMethod, string)[])[(HttpMethod.Post, "/_blazor/negotiate?negotiateVersion=1"), (HttpMethod.Get, "/_blazor"), (HttpMethod.Post, "/leave")])
        {
            using var answer = await client.SendAsync(new HttpRequestMessage(method, new Uri(workshop.Address, path)), TestContext.Current.CancellationToken);
            Assert.Equal(HttpStatusCode.Unauthorized, answer.StatusCode);
        }

        using var redirected = await client.GetAsync(new Uri(workshop.Address, "/jobs/aaaaaaaaaa/all.zip"), TestContext.Current.CancellationToken);
        Assert.Equal("/password", redirected.Headers.Location?.ToString());
        using var asked = await client.SendAsync(new HttpRequestMessage(HttpMethod.Head, new Uri(workshop.Address, "/jobs/aaaaaaaaaa/all.zip")), TestContext.Current.CancellationToken);
        Assert.Equal("/password", asked.Headers.Location?.ToString());
        // A form without its antiforgery token is refused.
        using var form = new FormUrlEncodedContent([new("password", "correct horse battery"), new("again", "correct horse battery")]);
        using var forged = await client.PostAsync(new Uri(workshop.Address, "/password"), form, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.BadRequest, forged.StatusCode);
    }

    private static HttpClient Client() => new(new HttpClientHandler { AllowAutoRedirect = false });

    private static async Task<byte[]> ReadSharedAsync(string path)
    {
        await using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        var bytes = new MemoryStream();
        await file.CopyToAsync(bytes);
        return bytes.ToArray();
    }

    [GeneratedRegex("the code ([A-Z0-9]{8})")]
    private static partial Regex Code();
}
