using System.Text;
using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>A page to draw on: millimetres, origin at the upper left corner, y down. Knows lines and words, not stencils.</summary>
internal sealed class Pad : IDisposable
{
    private const float PointsPerMm = 72 / 25.4f;
    private readonly SKPaint _paint = new() { IsAntialias = true };
    private readonly Dictionary<(float Size, bool Bold), SKFont> _fonts = [];

    public Pad(SKCanvas canvas)
    {
        Canvas = canvas;
    }

    public SKCanvas Canvas { get; }

    /// <summary>Sizes of type are told in points, as printers do.</summary>
    public static float Size(double points) => (float)points / PointsPerMm;

    public void Line(double x1, double y1, double x2, double y2, SKColor colour, float width = Weight.Thin, float[]? dash = null)
    {
        using var effect = Stroke(colour, width, dash);
        Canvas.DrawLine((float)x1, (float)y1, (float)x2, (float)y2, _paint);
        _paint.PathEffect = null;
    }

    public void Box(SKRect box, SKColor colour, float width = Weight.Thin, float[]? dash = null)
    {
        using var effect = Stroke(colour, width, dash);
        Canvas.DrawRect(box, _paint);
        _paint.PathEffect = null;
    }

    public void FillBox(SKRect box, SKColor colour)
    {
        Fill(colour);
        Canvas.DrawRect(box, _paint);
    }

    public void Outline(SKPath path, SKColor colour, float width = Weight.Thin, float[]? dash = null)
    {
        using var effect = Stroke(colour, width, dash);
        Canvas.DrawPath(path, _paint);
        _paint.PathEffect = null;
    }

    public void FillPath(SKPath path, SKColor colour)
    {
        Fill(colour);
        Canvas.DrawPath(path, _paint);
    }

    public void Dot(double x, double y, double radius, SKColor colour)
    {
        Fill(colour);
        Canvas.DrawCircle((float)x, (float)y, (float)radius, _paint);
    }

    /// <summary>Hatches the inside of a path with parallel lines; spacing belongs to the page, not to the shape.</summary>
    public void Hatch(SKPath path, SKColor colour, double spacing, bool rising = true, float width = Weight.Hair)
    {
        if (path.IsEmpty)
        {
            return;
        }

        var box = path.Bounds;
        Canvas.Save();
        Canvas.ClipPath(path, SKClipOperation.Intersect, antialias: true);
        using var lines = new SKPathBuilder();
        // Lines x ± y = n·spacing·√2, the same family for every shape, so that neighbours' hatches meet.
        var step = spacing * Math.Sqrt(2);
        var (from, to) = rising ? (box.Left + box.Top, box.Right + box.Bottom) : (box.Left - box.Bottom, box.Right - box.Top);
        for (var n = Math.Ceiling(from / step); n * step <= to; n++)
        {
            var c = n * step;
            var (y1, y2) = (box.Top, box.Bottom);
            lines.MoveTo((float)(rising ? c - y1 : c + y1), y1);
            lines.LineTo((float)(rising ? c - y2 : c + y2), y2);
        }

        using var path2 = lines.Detach();
        Outline(path2, colour, width);
        Canvas.Restore();
    }

    /// <summary>Writes one line of text and returns its width; what is wider than allowed ends with an ellipsis.</summary>
    public double Text(
        string text, double x, double y, double points, SKColor colour, SKTextAlign align = SKTextAlign.Left, bool bold = false, double widest = double.PositiveInfinity)
    {
        var font = Font(points, bold);
        var words = Fit(Clean(text), font, widest);
        Fill(colour);
        Canvas.DrawText(words, (float)x, (float)y, align, font, _paint);
        return font.MeasureText(words);
    }

    /// <summary>Writes a figure and, smaller, its unit; returns the width of both.</summary>
    public double Figure(string figure, string unit, double x, double y, double points, SKColor colour, SKTextAlign align = SKTextAlign.Left)
    {
        var gap = Size(points) * 0.18;
        var (wide, small) = (Measure(figure, points), unit.Length == 0 ? 0 : gap + Measure(unit, points * 0.78));
        var left = align switch { SKTextAlign.Center => x - ((wide + small) / 2), SKTextAlign.Right => x - wide - small, _ => x };
        Text(figure, left, y, points, colour);
        if (unit.Length > 0)
        {
            Text(unit, left + wide + gap, y, points * 0.78, Ink.Quiet);
        }

        return wide + small;
    }

    public double Measure(string text, double points, bool bold = false) => Font(points, bold).MeasureText(Clean(text));

    /// <summary>Breaks text into lines no wider than asked; a single word that is wider is cut.</summary>
    public List<string> Wrap(string text, double points, double width, bool bold = false)
    {
        var font = Font(points, bold);
        var lines = new List<string>();
        var line = "";
        foreach (var word in Clean(text).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var longer = line.Length == 0 ? word : line + " " + word;
            if (line.Length > 0 && font.MeasureText(longer) > width)
            {
                lines.Add(line);
                longer = word;
            }

            line = longer;
        }

        lines.Add(line);
        for (var i = 0; i < lines.Count; i++)
        {
            lines[i] = Fit(lines[i], font, width);
        }

        return lines;
    }

    /// <summary>Writes wrapped text from a first base line down; returns the base line after the last.</summary>
    public double Paragraph(string text, double x, double y, double points, double width, SKColor colour, bool bold = false, double leading = 1.35)
    {
        foreach (var line in Wrap(text, points, width, bold))
        {
            Text(line, x, y, points, colour, bold: bold);
            y += Size(points) * leading;
        }

        return y;
    }

    public void Dispose()
    {
        foreach (var font in _fonts.Values)
        {
            font.Dispose();
        }

        _paint.Dispose();
    }

    /// <summary>One line without control characters; halves of surrogate pairs become U+FFFD, which shows as a box.</summary>
    private static string Clean(string text)
    {
        var isClean = true;
        foreach (var c in text)
        {
            isClean &= !char.IsControl(c) && !char.IsSurrogate(c);
        }

        if (isClean)
        {
            return text;
        }

        var clean = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            clean.Append(Rune.IsControl(rune) ? " " : rune.ToString());
        }

        return clean.ToString();
    }

    private static string Fit(string text, SKFont font, double widest)
    {
        if (double.IsPositiveInfinity(widest) || font.MeasureText(text) <= widest)
        {
            return text;
        }

        // Bisect on the number of characters kept; never between the halves of a pair.
        var (fits, fails) = (0, text.Length);
        while (fails - fits > 1)
        {
            var middle = (fits + fails) / 2;
            (fits, fails) = font.MeasureText(text[..middle] + "…") <= widest ? (middle, fails) : (fits, middle);
        }

        if (fits > 0 && char.IsHighSurrogate(text[fits - 1]))
        {
            fits--;
        }

        return text[..fits].TrimEnd() + "…";
    }

    private SKFont Font(double points, bool bold)
    {
        var key = (Size(points), bold);
        if (!_fonts.TryGetValue(key, out var font))
        {
            font = new SKFont(bold ? Faces.Semibold : Faces.Regular, key.Item1)
            {
                Subpixel = true,
                Hinting = SKFontHinting.None,
                Edging = SKFontEdging.Antialias,
                LinearMetrics = true,
            };
            _fonts.Add(key, font);
        }

        return font;
    }

    private void Fill(SKColor colour)
    {
        _paint.Style = SKPaintStyle.Fill;
        _paint.Color = colour;
    }

    private SKPathEffect? Stroke(SKColor colour, float width, float[]? dash)
    {
        _paint.Style = SKPaintStyle.Stroke;
        _paint.Color = colour;
        _paint.StrokeWidth = width;
        _paint.StrokeCap = ReferenceEquals(dash, Dash.Dotted) ? SKStrokeCap.Round : SKStrokeCap.Butt;
        var effect = dash is null ? null : SKPathEffect.CreateDash(dash, 0);
        _paint.PathEffect = effect;
        return effect;
    }
}
