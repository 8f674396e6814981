using SkiaSharp;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>Writes the paper template: film and frame at true size, with a scale that shows whether the printer kept it.</summary>
public static class TemplatePdf
{
    /// <summary>Length of the check scales in x and y, millimetres.</summary>
    public const double CheckMm = 100;

    private const double Left = 24;
    private const double Right = 10;
    private const double Top = 30;
    private const double Bottom = 26;

    // ISO 216, portrait.
    private static readonly (double W, double H)[] _papers = [(210, 297), (297, 420), (420, 594), (594, 841), (841, 1189)];

    /// <summary>Writes one page for the film and one for the frame, where there is one.</summary>
    public static byte[] Write(Job job, JobSide side)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(side);
        using var pdf = new PdfPages(job.Title + ", template", job.Version);
        Page(pdf, job, side, side.Design.FilmBlank, "film", (pad, map, box) =>
            SheetDrawing.Template(pad, map, box, side, job.Outline));
        if (side.Design.Frame is { } frame)
        {
            Page(pdf, job, side, frame.Blank, "support frame", (pad, map, box) =>
            {
                pad.Box(box, Ink.Quiet, Weight.Hair);
                SheetDrawing.Frame(pad, map, frame);
                if (job.Outline is { } outline)
                {
                    using var board = map.Path(outline.Shape.Transform(frame.Placement.Map));
                    pad.Outline(board, Ink.Line, Weight.Thin, Dash.Hidden);
                }

                SheetDrawing.Marks(pad, map, frame.Marks);
                SheetDrawing.Holding(pad, map, frame);
            });
        }

        return pdf.ToBytes();
    }

    private static void Page(PdfPages pdf, Job job, JobSide side, BlankSize blank, string what, Action<Pad, SheetMap, SKRect> draw)
    {
        var (width, height) = Paper(
            Math.Max(blank.WidthMm, CheckMm) + Left + Right, Math.Max(blank.HeightMm, CheckMm) + Top + Bottom);
        pdf.Add(width, height, pad =>
        {
            var map = new SheetMap(1, Left, Top + Math.Max(blank.HeightMm, CheckMm));
            var box = map.Box(new(0, 0, blank.WidthMm, blank.HeightMm));
            pad.Text(job.Title, Left, 13, 14, Ink.Line, bold: true, widest: width - Left - Right);
            pad.Text(
                $"Template of the {what}, {JobFiles.Folder(side.Design.Side)} side, {PlainText.Of(blank.WidthMm, 2)} × {PlainText.Of(blank.HeightMm, 2)} mm, as it lies in the laser",
                Left, 19, 9, Ink.Line, widest: width - Left - Right);
            pad.Text(
                "Print at 100 %, without fitting to the page, and measure both scales before use.", Left, 24, 9, Ink.Line, widest: width - Left - Right);
            draw(pad, map, box);
            CheckAcross(pad, Left, map.Y0 + 10);
            pad.Canvas.Save();
            pad.Canvas.RotateDegrees(-90);
            CheckAcross(pad, -map.Y0, Left - 9);
            pad.Canvas.Restore();
        });
    }

    // The scale is one line of exactly its length; ticks stand on it every 10 mm, small ones every millimetre of the first 10.
    private static void CheckAcross(Pad pad, double x, double y)
    {
        pad.Line(x, y, x + CheckMm, y, Ink.Line, Weight.Thin);
        for (var i = 0; i <= CheckMm; i++)
        {
            if (i < 10 || i % 10 == 0)
            {
                pad.Line(x + i, y, x + i, y - (i % 10 == 0 ? 2.5 : i == 5 ? 1.8 : 1.2), Ink.Line, Weight.Thin);
            }
        }

        foreach (var at in (ReadOnlySpan<int>)[0, 50, 100])
        {
            pad.Figure(PlainText.Of(at, 0), at == 100 ? "mm" : "", x + at, y + 3.2, 7, Ink.Line, at == 100 ? SKTextAlign.Right : at == 0 ? SKTextAlign.Left : SKTextAlign.Center);
        }
    }

    private static (double Width, double Height) Paper(double width, double height)
    {
        foreach (var (w, h) in _papers)
        {
            if (width <= w && height <= h)
            {
                return (w, h);
            }

            if (width <= h && height <= w)
            {
                return (h, w);
            }
        }

        return (width, height);
    }
}
