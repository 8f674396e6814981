using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using SkiaSharp;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

/// <summary>Draws the pictures of docs/aperture-rules.md into a folder, where one is named.</summary>
public sealed class Pictures
{
    private static readonly SKColor _paper = new(0xFB, 0xF8, 0xF1);
    private static readonly SKColor _ink = new(0x22, 0x30, 0x3C);
    private static readonly SKColor _quiet = new(0x5B, 0x68, 0x73);
    private static readonly SKColor _film = new(0x7F, 0xA6, 0xB8, 89);

    private sealed record Panel(string Title, Sketch Sketch, RuleSet Rules, int Told, Bounds2 View, string? Note = null);

    [Fact]
    public void Pictures_of_the_rules_are_left_to_be_looked_at()
    {
        var folder = Environment.GetEnvironmentVariable("STENCILWRIGHT_PICTURES");
        Assert.SkipWhen(string.IsNullOrEmpty(folder), "STENCILWRIGHT_PICTURES names no folder.");
        Directory.CreateDirectory(folder!);
        foreach (var (name, panels) in new[] { ("aperture-rules-default.png", Defaults()), ("aperture-rules-shapes.png", Shapes()) })
        {
            var bytes = Draw(panels);
            File.WriteAllBytes(Path.Combine(folder!, name), bytes);
            Assert.InRange(bytes.Length, 1000, 400_000);
        }
    }

    private static List<Panel> Defaults()
    {
        var panels = new List<Panel>();
        var chip = new Sketch();
        var pad = chip.Chip(0.9, 1.0, 1.7, default, 0, "0603", 0.1).First;
        panels.Add(new("Chip 0603", chip, RuleSet.Default, pad, View(1.1)));

        var small = new Sketch();
        pad = small.Chip(0.5, 0.65, 1.0, default, 0, "0402").First;
        panels.Add(new("Chip 0402", small, RuleSet.Default, pad, View(0.7)));

        var leads = new Sketch();
        var row = Enumerable.Range(0, 7).Select(i => leads.Box(1.25, 0.3, new((i - 3) * 0.5, 0), 90)).ToList();
        leads.Part(PartClass.QuadFlat, new(0, -6), PadFunction.Terminal, row, 0.5);
        panels.Add(new("Leads of 0.5 mm pitch", leads, RuleSet.Default, row[3], View(1.3)));

        var quad = new Sketch();
        Demo.Quad(quad, default, 0.5, 6, 0.8, 0.28, 1.95, PartClass.QuadNoLead, 2.7);
        quad.Holes = [.. Enumerable.Range(0, 4).Select(i => new HoleCircle(new((i % 2 * 1.1) - 0.55, (i / 2 * 1.1) - 0.55), 0.3))];
        panels.Add(new("No-lead part, thermal pad with four holes", quad, RuleSet.Default, 24, View(2.5)));

        var paned = new Sketch();
        var panes = Enumerable.Range(0, 4).Select(i => paned.Box(1.1, 1.1, new((i % 2 * 1.5) - 0.75, (i / 2 * 1.5) - 0.75))).ToList();
        paned.Part(PartClass.QuadNoLead, default, PadFunction.ThermalPad, panes);
        panels.Add(new("Thermal pad that the artwork splits", paned, RuleSet.Default, 0, View(1.8)));

        var grid = new Sketch();
        Demo.Grid(grid, default, 0.5, 4, 0.3);
        panels.Add(new("Grid array of 0.5 mm pitch", grid, RuleSet.Default, 5, View(1.0)));
        return panels;
    }

    private static List<Panel> Shapes()
    {
        var panels = new List<Panel>();
        foreach (var (title, change) in new[]
        {
            ("Home-plate", "reshape = \"home-plate\"\ntaper_depth_percent = 33.333\ntaper_flat_percent = 33.333"),
            ("Inverted home-plate", "reshape = \"inverted-home-plate\"\ntaper_depth_percent = 33.333\ntaper_flat_percent = 33.333"),
            ("Bow-tie", "reshape = \"bow-tie\"\ntaper_depth_percent = 30\ntaper_flat_percent = 60"),
        })
        {
            var sketch = new Sketch();
            var pad = sketch.Chip(1.2, 1.0, 2.0, default, 0, "0805").First;
            panels.Add(new(title, sketch, Sketch.Rule(change + "\ncorner_radius_mm = 0.05"), pad, View(1.3)));
        }

        foreach (var (title, change, holes) in new[]
        {
            ("Panes, even", "pane_coverage_percent = 60\npane_web_mm = 0.25", false),
            ("Panes, flush with the edge", "pane_coverage_percent = 60\npane_web_mm = 0.25\npane_edges = \"flush\"", false),
            ("Panes between holes", "pane_coverage_percent = 60\npane_web_mm = 0.25\npane_via_clearance_mm = 0.1", true),
        })
        {
            var sketch = new Sketch();
            var pad = sketch.Box(4, 3, default);
            sketch.Holes = holes ? [new(new(-1.4, 0.9), 0.4), new(new(-0.3, -0.2), 0.4), new(new(1.2, 0.4), 0.4), new(new(0.9, -1.1), 0.4)] : [];
            panels.Add(new(title, sketch, Sketch.Rule(change + "\ncorner_radius_mm = 0.075"), pad, View(1.9)));
        }

        return panels;
    }

    // Three by two panels, each about the origin.
    private static byte[] Draw(List<Panel> panels)
    {
        const int Wide = 400, High = 340, Columns = 3, Legend = 44;
        var rows = (panels.Count + Columns - 1) / Columns;
        using var bitmap = new SKBitmap(new SKImageInfo(Wide * Columns, (High * rows) + Legend, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using var canvas = new SKCanvas(bitmap);
        using var face = SKTypeface.FromFile(Path.Combine(RealBoards.CheckoutRoot, "src", "Stencilwright.Output", "Fonts", "OpenSans-Regular.ttf"));
        using var bold = SKTypeface.FromFile(Path.Combine(RealBoards.CheckoutRoot, "src", "Stencilwright.Output", "Fonts", "OpenSans-Semibold.ttf"));
        using var text = new SKFont(face, 12);
        using var title = new SKFont(bold, 14);
        canvas.Clear(_paper);
        for (var i = 0; i < panels.Count; i++)
        {
            canvas.Save();
            canvas.Translate(i % Columns * Wide, i / Columns * High);
            DrawPanel(canvas, panels[i], Wide, High, text, title);
            canvas.Restore();
        }

        DrawLegend(canvas, text, 24, (High * rows) + 20);
        canvas.Flush();
        using var pixels = bitmap.PeekPixels();
        using var data = pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 9))!;
        return data.ToArray();
    }

    private static void DrawPanel(SKCanvas canvas, Panel panel, int wide, int high, SKFont text, SKFont title)
    {
        var layer = panel.Sketch.Shape(panel.Rules);
        var paste = panel.Sketch.Context().Paste;
        var told = layer.Openings[panel.Told];
        using var ink = new SKPaint { Color = _ink, IsAntialias = true };
        using var quiet = new SKPaint { Color = _quiet, IsAntialias = true };
        canvas.DrawText(panel.Title, 24, 30, SKTextAlign.Left, title, ink);
        var words = told.Rule == "it" ? told.Change : $"{told.Rule}: {told.Change}";
        var y = high - 46f;
        foreach (var line in Wrapped(words, text, wide - 48))
        {
            canvas.DrawText(line, 24, y, SKTextAlign.Left, text, quiet);
            y += 16;
        }

        var room = new SKRect(24, 42, wide - 24, high - 66);
        var scale = Math.Min(room.Width / (float)panel.View.Width, room.Height / (float)panel.View.Height);
        canvas.Save();
        canvas.ClipRect(room);
        using var film = new SKPaint { Color = _film };
        canvas.DrawRect(room, film);
        canvas.Translate(room.MidX, room.MidY);
        canvas.Scale(scale, -scale);
        foreach (var part in layer.Openings.SelectMany(o => o.Parts))
        {
            using var path = PathOf(part.Design);
            using var fill = new SKPaint { Color = _paper, IsAntialias = true };
            using var line = new SKPaint { Color = _ink, IsAntialias = true, IsStroke = true, StrokeWidth = 1.4f / scale };
            canvas.DrawPath(path, fill);
            canvas.DrawPath(path, line);
        }

        foreach (var opening in paste.Openings)
        {
            using var path = PathOf(opening.Shape);
            using var dots = Dotted(scale);
            canvas.DrawPath(path, dots);
        }

        foreach (var hole in panel.Sketch.Holes)
        {
            DrawHole(canvas, (float)hole.Center.X, (float)hole.Center.Y, (float)hole.DiameterMm / 2, scale);
        }

        canvas.Restore();
    }

    private static SKPaint Dotted(float scale) => new()
    {
        Color = _ink,
        IsAntialias = true,
        IsStroke = true,
        StrokeWidth = 1f / scale,
        PathEffect = SKPathEffect.CreateDash([1.5f / scale, 3f / scale], 0),
    };

    private static void DrawHole(SKCanvas canvas, float x, float y, float radius, float scale)
    {
        using var line = new SKPaint { Color = _quiet, IsAntialias = true, IsStroke = true, StrokeWidth = 1.2f / scale };
        canvas.DrawCircle(x, y, radius, line);
        canvas.DrawLine(x - radius, y, x + radius, y, line);
        canvas.DrawLine(x, y - radius, x, y + radius, line);
    }

    private static void DrawLegend(SKCanvas canvas, SKFont text, float x, float y)
    {
        using var ink = new SKPaint { Color = _ink, IsAntialias = true };
        using var line = new SKPaint { Color = _ink, IsAntialias = true, IsStroke = true, StrokeWidth = 1.4f };
        using var dots = Dotted(1);
        canvas.DrawLine(x, y, x + 36, y, dots);
        canvas.DrawText("artwork", x + 44, y + 4, SKTextAlign.Left, text, ink);
        canvas.DrawLine(x + 120, y, x + 156, y, line);
        canvas.DrawText("opening after the rules", x + 164, y + 4, SKTextAlign.Left, text, ink);
        DrawHole(canvas, x + 330, y, 8, 1);
        canvas.DrawText("hole in the board", x + 346, y + 4, SKTextAlign.Left, text, ink);
    }

    private static SKPath PathOf(Region region)
    {
        using var builder = new SKPathBuilder();
        foreach (var contour in region.Contours)
        {
            var points = contour.Flatten(0.001);
            builder.MoveTo((float)points[0].X, (float)points[0].Y);
            foreach (var p in points.AsSpan(1))
            {
                builder.LineTo((float)p.X, (float)p.Y);
            }

            builder.Close();
        }

        return builder.Detach();
    }

    private static List<string> Wrapped(string words, SKFont font, float width)
    {
        var lines = new List<string> { "" };
        foreach (var word in words.Split(' '))
        {
            var longer = lines[^1].Length == 0 ? word : lines[^1] + " " + word;
            if (font.MeasureText(longer) <= width)
            {
                lines[^1] = longer;
            }
            else
            {
                lines.Add(word);
            }
        }

        return lines;
    }

    private static Bounds2 View(double half) => new(-half * 1.3, -half, half * 1.3, half);
}
