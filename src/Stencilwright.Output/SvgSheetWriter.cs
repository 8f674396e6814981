using System.Text;
using Stencilwright.Cutting;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output;

/// <summary>Pen colours of a written SVG, as <c>#RRGGBB</c>; a laser driver may tell operations apart by them.</summary>
/// <param name="Cut">Openings in the film.</param>
/// <param name="Score">Score marks.</param>
/// <param name="FrameCut">Pocket and edge of the frame.</param>
/// <param name="Blank">The blank's edge, for reference.</param>
/// <param name="LineMm">Width of every line that has none of its own.</param>
public sealed record SvgPens(string Cut, string Score, string FrameCut, string Blank, double LineMm)
{
    /// <summary>Width of the lines of openings; 0 takes <see cref="LineMm"/>.</summary>
    public double CutLineMm { get; init; }

    /// <summary>Width of the lines of score marks; 0 takes <see cref="LineMm"/>.</summary>
    public double ScoreLineMm { get; init; }

    /// <summary>Width of the lines of the frame's cuts; 0 takes <see cref="LineMm"/>.</summary>
    public double FrameLineMm { get; init; }

    /// <summary>The drawing's own colours on paper.</summary>
    public static SvgPens Default { get; } = Of(JobSettings.Default);

    /// <summary>The pens that settings ask for.</summary>
    public static SvgPens Of(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return new(settings.SvgCutPen, settings.SvgScorePen, settings.SvgFramePen, settings.SvgBlankPen, settings.SvgLineMm)
        {
            CutLineMm = settings.SvgCutLineMm,
            ScoreLineMm = settings.SvgScoreLineMm,
            FrameLineMm = settings.SvgFrameLineMm,
        };
    }
}

/// <summary>Writes the cut paths of a sheet as SVG: millimetres, y down, absolute M L A Z alone.</summary>
public static class SvgSheetWriter
{
    // A belly below this is a line: ten nanometres, far below what any laser can follow.
    private const double FlatSagittaMm = 1e-5;

    /// <summary>Writes a sheet.</summary>
    /// <param name="plan">The film or the frame.</param>
    /// <param name="title">Shown by viewers; any text.</param>
    /// <param name="pens">Colours; null takes the default.</param>
    /// <exception cref="ArgumentException">A coordinate is not finite.</exception>
    public static byte[] Write(SheetPlan plan, string title, SvgPens? pens = null)
    {
        ArgumentNullException.ThrowIfNull(plan);
        ArgumentNullException.ThrowIfNull(title);
        pens ??= SvgPens.Default;
        var (w, h) = (plan.Blank.WidthMm, plan.Blank.HeightMm);
        var text = new PlainText();
        text.Add("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"").Add(w)
            .Add("mm\" height=\"").Add(h).Add("mm\" viewBox=\"0 0 ").Add(w).Add(' ').Add(h)
            .Add("\" fill=\"none\" stroke-width=\"").Add(pens.LineMm).Add("\">\n<title>").Add(EscapeXml(title)).Add("</title>\n");

        Group(text, plan, "marks", pens.Score, pens.ScoreLineMm, CutKind.Score);
        if (plan.Name == "frame")
        {
            Group(text, plan, "pocket", pens.FrameCut, pens.FrameLineMm, CutKind.Pocket);
            Group(text, plan, "edge", pens.FrameCut, pens.FrameLineMm, CutKind.Edge);
        }
        else
        {
            Group(text, plan, "apertures", pens.Cut, pens.CutLineMm, CutKind.Opening, CutKind.OpeningLine);
            if (plan.Paths.Any(p => p.Kind == CutKind.Edge))
            {
                Group(text, plan, "edge", pens.Cut, pens.CutLineMm, CutKind.Edge);
            }
        }

        text.Add("<g id=\"blank\" stroke=\"").Add(EscapeXml(pens.Blank)).Add("\">\n<path d=\"M 0 0 L ").Add(w).Add(" 0 L ")
            .Add(w).Add(' ').Add(h).Add(" L 0 ").Add(h).Add(" Z\"/>\n</g>\n</svg>\n");
        return text.ToBytes();
    }

    /// <summary>Makes any text safe between XML tags and in quotes; characters XML 1.0 forbids become U+FFFD.</summary>
    internal static string EscapeXml(string text)
    {
        var safe = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            _ = rune.Value switch
            {
                '&' => safe.Append("&amp;"),
                '<' => safe.Append("&lt;"),
                '>' => safe.Append("&gt;"),
                '"' => safe.Append("&quot;"),
                '\'' => safe.Append("&#39;"),
                '\t' or '\n' or '\r' => safe.Append(' '),
                < 32 or 0xFFFE or 0xFFFF => safe.Append('\uFFFD'),
                _ => safe.Append(rune.ToString()),
            };
        }

        return safe.ToString();
    }

    private static void Group(PlainText text, SheetPlan plan, string id, string stroke, double lineMm, CutKind kind, CutKind? also = null)
    {
        text.Add("<g id=\"").Add(id).Add("\" stroke=\"").Add(EscapeXml(stroke));
        if (lineMm > 0)
        {
            text.Add("\" stroke-width=\"").Add(lineMm);
        }

        if (PassesOf(plan, kind, also) is var passes and > 1)
        {
            text.Add("\" data-passes=\"").Add(passes, 0);
        }

        text.Add("\">\n");
        var (cells, cell) = (plan.Paths.Count(p => p is { PowerPercent: not null, IsRepeat: false }), 0);
        var seen = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var path in plan.Paths)
        {
            if (path.IsRepeat || (path.Kind != kind && path.Kind != also))
            {
                continue;
            }

            if (path.PowerPercent is { } power)
            {
                // A colour of its own: drivers that know no power or speed in a drawing tell operations apart by colour.
                text.Add("<g data-power-percent=\"").Add(power, 3).Add("\" data-speed-mm-s=\"").Add(path.SpeedMmS ?? plan.CutSpeedMmS, 3)
                    .Add("\" stroke=\"").Add(CellColour(cell++, cells)).Add("\">\n");
            }

            text.Add("<path");
            if (kind == CutKind.Opening && path.Owner.Length > 0)
            {
                // The first cut of an opening has its id, further ones say which they are: ids stay unique.
                var number = seen[path.Owner] = seen.GetValueOrDefault(path.Owner) + 1;
                text.Add(" id=\"").Add(EscapeXml(path.Owner));
                if (number > 1)
                {
                    text.Add('-').Add(number, 0);
                }

                text.Add('"');
            }

            text.Add(" d=\"");
            PathData(text, path, plan.Blank.HeightMm);
            text.Add(path.PowerPercent is null ? "\"/>\n" : "\"/>\n</g>\n");
        }

        text.Add("</g>\n");
    }

    // A drawing holds each path once: its driver is told how often, and would else cut passes times passes.
    private static int PassesOf(SheetPlan plan, CutKind kind, CutKind? also)
    {
        var (runs, paths) = (0, 0);
        foreach (var path in plan.Paths)
        {
            if (path.Kind == kind || path.Kind == also)
            {
                runs++;
                paths += path.IsRepeat ? 0 : 1;
            }
        }

        return paths == 0 ? 1 : runs / paths;
    }

    // Steps round the colour circle, dark enough to be seen on white; no two of up to 360 are alike.
    private static string CellColour(int index, int count)
    {
        var hue = 6.0 * index / count;
        Span<double> light = stackalloc double[3];
        for (var i = 0; i < 3; i++)
        {
            // The usual trapezes of red, green and blue over the circle, each shifted by a third of it.
            var at = (hue + 6 - (2 * i)) % 6;
            light[i] = Math.Clamp(Math.Abs(at - 3) - 1, 0, 1);
        }

        return string.Create(System.Globalization.CultureInfo.InvariantCulture,
            $"#{(int)(light[0] * 176):X2}{(int)(light[1] * 176):X2}{(int)(light[2] * 176):X2}");
    }

    private static void PathData(PlainText text, CutPath path, double heightMm)
    {
        Point(text.Add("M "), path.Start, heightMm);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var segment = path.SegmentAt(i);
            var closes = path.IsClosed && i == path.SegmentCount - 1;
            if (Math.Abs(segment.Bulge) * segment.Chord.Length / 2 < FlatSagittaMm)
            {
                if (!closes)
                {
                    Point(text.Add(" L "), segment.End, heightMm);
                }
            }
            else
            {
                // Counter-clockwise with y up is SVG's negative-angle direction once y points down: sweep flag 0.
                text.Add(" A ").Add(segment.Radius).Add(' ').Add(segment.Radius).Add(" 0 ")
                    .Add(Math.Abs(segment.Bulge) > 1 ? '1' : '0').Add(' ').Add(segment.Bulge > 0 ? '0' : '1').Add(' ');
                Point(text, segment.End, heightMm);
            }
        }

        if (path.SegmentCount == 0)
        {
            Point(text.Add(" L "), path.End, heightMm);
        }

        if (path.IsClosed)
        {
            text.Add(" Z");
        }
    }

    private static void Point(PlainText text, Point2 p, double heightMm) => text.Add(p.X).Add(' ').Add(heightMm - p.Y);
}
