using System.Diagnostics;
using System.Globalization;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using Stencilwright.Testing;
using Xunit;

[assembly: AssemblyFixture(typeof(Stencilwright.Web.Tests.Browser))]

namespace Stencilwright.Web.Tests;

/// <summary>The browser that all tests share: Debian's chromium, without a graphics card.</summary>
public sealed class Browser : IAsyncLifetime
{
    /// <summary>What a skipped test says.</summary>
    public const string Absent = "No chromium is on this machine (test.sh installs it where it may; CHROMIUM names another).";

    private IPlaywright? _playwright;

    /// <summary>Null where there is none.</summary>
    public static string? Path { get; } = ((string?[])[Environment.GetEnvironmentVariable("CHROMIUM"), "/usr/bin/chromium"]).FirstOrDefault(File.Exists);

    public IBrowser Engine { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        if (Path is null)
        {
            return;
        }

        // A busy machine is no fault of the pages.
        Assertions.SetDefaultExpectTimeout(20_000);
        _playwright = await Playwright.CreateAsync();
        Engine = await _playwright.Chromium.LaunchAsync(new()
        {
            ExecutablePath = Path,
            Args = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        });
    }

    public async ValueTask DisposeAsync()
    {
        if (Engine is not null)
        {
            await Engine.DisposeAsync();
        }

        _playwright?.Dispose();
    }
}

/// <summary>The program's own service in a process of its own, with a data folder of its own.</summary>
public sealed class Workshop : IAsyncDisposable
{
    private readonly bool _ownsFolder;
    private Process? _process;

    private Workshop(string folder, bool ownsFolder) => (Folder, _ownsFolder) = (folder, ownsFolder);

    public string Folder { get; }

    public Uri Address { get; private set; } = null!;

    /// <summary>What it has said so far on its standard output.</summary>
    public string Said { get; private set; } = "";

    public long MemoryBytes
    {
        get
        {
            _process!.Refresh();
            return _process.WorkingSet64;
        }
    }

    /// <summary>Starts it.</summary>
    /// <param name="folder">Data of a former run; null for a new folder.</param>
    /// <param name="more">More words of the command line.</param>
    public static async Task<Workshop> OpenAsync(string? folder = null, params string[] more)
    {
        var workshop = new Workshop(folder ?? Directory.CreateTempSubdirectory("workshop-").FullName, folder is null);
        await workshop.StartAsync(more);
        return workshop;
    }

    /// <summary>Ends it as a power cut would.</summary>
    public async Task KillAsync()
    {
        _process!.Kill(entireProcessTree: true);
        await _process.WaitForExitAsync();
    }

    /// <summary>Starts it again over the same data.</summary>
    public async Task StartAsync(params string[] more)
    {
        var program = Path.Combine(RealBoards.CheckoutRoot, "artifacts", "bin", "Stencilwright.App", "release", "stencilwright.dll");
        var start = new ProcessStartInfo("dotnet") { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var word in (string[])[program, "serve", "--port", "0", "--data", Folder, .. more])
        {
            start.ArgumentList.Add(word);
        }

        _process = Process.Start(start)!;
        var errors = _process.StandardError.ReadToEndAsync();
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(60));
        while (await _process.StandardOutput.ReadLineAsync(patience.Token) is { } line)
        {
            Said += line + "\n";
            if (line.Contains("http://", StringComparison.Ordinal))
            {
                Address = new Uri(line[line.IndexOf("http://", StringComparison.Ordinal)..].Split(' ')[0]);
            }

            if (line.Contains("Ctrl+C", StringComparison.Ordinal))
            {
                _ = DrainAsync(_process.StandardOutput);
                return;
            }
        }

        throw new InvalidOperationException("The workshop did not open: " + await errors);
    }

    public async ValueTask DisposeAsync()
    {
        if (_process is { HasExited: false })
        {
            await KillAsync();
        }

        _process?.Dispose();
        if (_ownsFolder)
        {
            Directory.Delete(Folder, recursive: true);
        }
    }

    private async Task DrainAsync(StreamReader output)
    {
        while (await output.ReadLineAsync() is { } line)
        {
            Said += line + "\n";
        }
    }
}

/// <summary>One workshop for the tests of a class that do not mind one another.</summary>
public sealed class SharedWorkshop : IAsyncLifetime
{
    public Workshop Open { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Open = await Workshop.OpenAsync();

    public async ValueTask DisposeAsync() => await Open.DisposeAsync();
}

/// <summary>A page of a browser with what went wrong in it.</summary>
public sealed class Visit : IAsyncDisposable
{
    private readonly List<string> _wrong = [];

    private Visit(IBrowserContext context, IPage page, Uri address) => (Context, Page, Address) = (context, page, address);

    public IBrowserContext Context { get; }

    public IPage Page { get; }

    public Uri Address { get; }

    /// <summary>Errors on the console (a broken content policy is one) and failed requests.</summary>
    public IReadOnlyList<string> Wrong => _wrong;

    public static async Task<Visit> ToAsync(Workshop workshop, Browser browser, ColorScheme scheme = ColorScheme.Light, int width = 1280, int height = 720, bool touch = false)
    {
        ArgumentNullException.ThrowIfNull(workshop);
        ArgumentNullException.ThrowIfNull(browser);
        var context = await browser.Engine.NewContextAsync(new()
        {
            ViewportSize = new() { Width = width, Height = height },
            ColorScheme = scheme,
            AcceptDownloads = true,
            HasTouch = touch,
        });
        var visit = new Visit(context, await context.NewPageAsync(), workshop.Address);
        visit.Page.Console += (_, message) =>
        {
            if (message.Type == "error")
            {
                visit._wrong.Add(message.Text);
            }
        };
        visit.Page.PageError += (_, error) => visit._wrong.Add(error);
        await visit.GoAsync("/");
        return visit;
    }

    /// <summary>Goes to an address of the workshop and waits for its heading.</summary>
    public async Task GoAsync(string path)
    {
        await Page.GotoAsync(new Uri(Address, path).AbsoluteUri);
        // Drawn and connected; the page of the password needs no connection.
        await Page.WaitForSelectorAsync("html[data-live] h1, .gate h1");
    }

    /// <summary>Makes a job of a sample and waits until its openings are drawn and nothing is being worked out. Gives its id.</summary>
    public async Task<string> OpenSampleAsync(string name)
    {
        var opened = new System.Text.RegularExpressions.Regex("/openings");
        for (var tries = 0; tries < 3; tries++)
        {
            if (tries > 0 || new Uri(Page.Url).AbsolutePath != "/")
            {
                await GoAsync("/");
            }

            await Page.GetByRole(AriaRole.Button, new() { Name = name, Exact = true }).ClickAsync();
            try
            {
                await Assertions.Expect(Page).ToHaveURLAsync(opened, new() { Timeout = 20_000 });
                break;
            }
            catch (PlaywrightException) when (tries < 2)
            {
                // A busy machine can lose a click to a page that is being connected again.
            }
        }

        await SettleAsync();
        return new Uri(Page.Url).Segments[2].TrimEnd('/');
    }

    /// <summary>Waits until the drawing stands and no work goes on.</summary>
    public async Task SettleAsync()
    {
        await Page.WaitForSelectorAsync("canvas[data-ready]");
        await Assertions.Expect(Page.Locator(".work progress")).ToHaveCountAsync(0, new() { Timeout = 30_000 });
    }

    /// <summary>Fails when the accessibility engine finds something against WCAG 2.2 level AA, or the console told of an error.</summary>
    public async Task CheckAsync()
    {
        // Between two pages there is no title for a moment.
        await Assertions.Expect(Page).ToHaveTitleAsync(new System.Text.RegularExpressions.Regex(".+"));
        var found = await Page.RunAxe(new Deque.AxeCore.Commons.AxeRunOptions
        {
            RunOnly = new Deque.AxeCore.Commons.RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] },
        });
        Assert.Empty(found.Violations.Select(v => string.Create(
            CultureInfo.InvariantCulture, $"{v.Id}: {v.Help}: {string.Join(" | ", v.Nodes.Take(3).Select(n => n.Html))}")));
        Assert.Empty(Wrong);
    }

    public async ValueTask DisposeAsync() => await Context.DisposeAsync();
}
