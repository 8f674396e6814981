using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text.Json;
using Microsoft.Playwright;

namespace Stencilwright.Benchmarks;

/// <summary>
/// How quickly the page of openings answers: starts the published program's service, uploads an invented board in a browser
/// without a graphics card, and times the first drawing, changes and panning; a fresh service each round.
/// </summary>
internal static class WorkshopBench
{
    // Keeps, frame by frame, when the drawing first stood and when a revision of the job was shown.
    private const string Watch = """
        (() => {
          const seen = window.seen = { opened: null, drawn: null, revisions: {} };
          const look = () => {
            const now = performance.now();
            if (seen.opened === null && location.pathname.endsWith('/openings')) seen.opened = now;
            const canvas = document.querySelector('canvas[data-board]');
            if (canvas?.drawing?.back && !canvas.drawing.job) {
              seen.drawn ??= now;
              const revision = canvas.dataset.revision;
              if (revision) seen.revisions[revision] ??= now;
            }
            requestAnimationFrame(look);
          };
          requestAnimationFrame(look);
        })()
        """;

    // Types into a setting and waits until the result of that change is drawn.
    private const string Change = """
        async ([id, text]) => {
          const canvas = document.querySelector('canvas[data-board]');
          const field = document.getElementById(id);
          const before = Number(canvas.dataset.revision);
          const began = performance.now();
          field.value = text;
          field.dispatchEvent(new Event('change', { bubbles: true }));
          for (;;) {
            await new Promise(done => requestAnimationFrame(done));
            if (Number(canvas.dataset.revision) > before && !canvas.drawing.job) return performance.now() - began;
            if (performance.now() - began > 30000) return -1;
          }
        }
        """;

    // Drags to and fro for some seconds; gives the frames' lengths, and the longest of the drawing's own work in a frame.
    private const string Frames = """
        async () => {
          const canvas = document.querySelector('canvas[data-board]'), drawing = canvas.drawing;
          const box = canvas.getBoundingClientRect();
          const at = (name, x, y) => canvas.dispatchEvent(new PointerEvent(name, { bubbles: true, pointerId: 1, button: 0, clientX: box.left + x, clientY: box.top + y, isPrimary: true }));
          canvas.setPointerCapture = () => { };
          drawing.slowest = 0;
          const frames = [];
          let last = performance.now();
          at('pointerdown', 400, 150);
          for (let i = 1; i <= 180; i++) {
            await new Promise(done => requestAnimationFrame(done));
            const now = performance.now();
            frames.push(now - last);
            last = now;
            at('pointermove', 400 + 150 * Math.sin(i / 15), 150 + 60 * Math.sin(i / 11));
            if (i % 60 === 0) drawing.zoom(i % 120 ? 1.6 : 1 / 1.6);
          }
          at('pointerup', 400, 150);
          return { frames, work: drawing.slowest };
        }
        """;

    public static async Task PrintAsync(int openings, int rounds, string program)
    {
        var chromium = ((string?[])[Environment.GetEnvironmentVariable("CHROMIUM"), "/usr/bin/chromium"]).FirstOrDefault(File.Exists);
        if (chromium is null)
        {
            Console.WriteLine("Not measured: no chromium is on this machine (CHROMIUM names another place).");
            return;
        }

        if (!File.Exists(program))
        {
            Console.WriteLine($"Not measured: {program} is missing; ./stencilwright --version builds the published program.");
            return;
        }

        var board = Directory.CreateTempSubdirectory("bench-board-").FullName;
        BoardMaker.Write(board, openings);
        var files = Directory.GetFiles(board).Where(f => !f.EndsWith(".toml", StringComparison.Ordinal)).Order(StringComparer.Ordinal).ToArray();
        using var playwright = await Playwright.CreateAsync();
        await using var browser = await playwright.Chromium.LaunchAsync(new() { ExecutablePath = chromium, Args = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"] });
        for (var round = 0; round < rounds; round++)
        {
            await RoundAsync(browser, program, files);
        }

        Directory.Delete(board, recursive: true);
    }

    private static async Task RoundAsync(IBrowser browser, string program, string[] files)
    {
        var data = Directory.CreateTempSubdirectory("bench-data-").FullName;
        var start = new ProcessStartInfo("dotnet") { RedirectStandardOutput = true };
        foreach (var word in (string[])[program, "serve", "--port", "0", "--data", data])
        {
            start.ArgumentList.Add(word);
        }

        using var service = Process.Start(start)!;
        try
        {
            Uri? address = null;
            while (address is null && await service.StandardOutput.ReadLineAsync() is { } line)
            {
                var at = line.IndexOf("http://", StringComparison.Ordinal);
                address = at >= 0 ? new Uri(line[at..].Split(' ')[0]) : null;
            }

            var context = await browser.NewContextAsync(new() { ViewportSize = new() { Width = 1280, Height = 720 } });
            var page = await context.NewPageAsync();
            await page.AddInitScriptAsync(Watch);
            await page.GotoAsync(address!.AbsoluteUri);
            await page.WaitForSelectorAsync("h1");
            // A person looks at the page before choosing files.
            await Task.Delay(3000);
            var load = Load();
            var before = Cpu(service);
            await page.SetInputFilesAsync("#upload-files", files);
            await page.WaitForFunctionAsync("() => window.seen.drawn !== null", null, new() { Timeout = 120_000, PollingInterval = 20 });
            var spent = Cpu(service) - before;
            var first = await page.EvaluateAsync<double>("() => window.seen.drawn - window.seen.opened");
            await page.WaitForSelectorAsync(".work progress", new() { State = WaitForSelectorState.Detached, Timeout = 120_000 });
            await Task.Delay(500);
            var changes = new List<(double Ms, double ServiceMs)>();
            foreach (var (id, text) in ((string, string)[])[("set-film_thickness_mm", "0.11"), ("set-film_thickness_mm", "0.12"), ("rule-source", "None"), ("rule-source", "Default"), ("set-kerf_x_mm", "0.17"), ("set-kerf_x_mm", "0.16")])
            {
                var until = Cpu(service);
                var ms = await page.EvaluateAsync<double>(Change, new[] { id, text });
                changes.Add((ms, (Cpu(service) - until).TotalMilliseconds));
                await page.WaitForSelectorAsync(".work progress", new() { State = WaitForSelectorState.Detached, Timeout = 120_000 });
                await Task.Delay(500);
            }

            var panned = await page.EvaluateAsync<JsonElement>(Frames);
            var frames = panned.GetProperty("frames").EnumerateArray().Select(f => f.GetDouble()).Order().ToList();
            service.Refresh();
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"load {load}: first drawing {first:0} ms ({spent.TotalMilliseconds:0} ms of processor time of the service from upload on), changes {string.Join(", ", changes.Select(c => string.Create(CultureInfo.InvariantCulture, $"{c.Ms:0} ({c.ServiceMs:0})")))} ms, frames while panning: longest {frames[^1]:0} ms, 95 of 100 under {frames[frames.Count * 95 / 100]:0} ms, own work at most {panned.GetProperty("work").GetDouble():0} ms; service {service.WorkingSet64 / 1048576} MB, at most {service.PeakWorkingSet64 / 1048576} MB"));
            await context.CloseAsync();
        }
        finally
        {
            service.Kill();
            await service.WaitForExitAsync();
            Directory.Delete(data, recursive: true);
        }
    }

    private static TimeSpan Cpu(Process process)
    {
        process.Refresh();
        return process.TotalProcessorTime;
    }

    private static string Load() => RuntimeInformation.IsOSPlatform(OSPlatform.Linux) ? File.ReadAllText("/proc/loadavg").Split(' ')[0] : "unknown";
}
