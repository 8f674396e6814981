using System.Globalization;
using SkiaSharp;
using Stencilwright.Cutting;
using Stencilwright.Cutting.Heat;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>Heat maps of one side: the whole board, and the neighbourhood of its hottest web.</summary>
/// <param name="Board">Everything that is cut.</param>
/// <param name="Hottest">Index of the opening with the hottest web, -1 when no web is within the heat's reach.</param>
/// <param name="Detail">Round the hottest web; null when there is none.</param>
internal sealed record HeatViews(HeatMap Board, int Hottest, HeatMap? Detail);

/// <summary>How hot the film gets while it is cut, as a plate like the preview's.</summary>
internal static class HeatPlate
{
    // A cell is about as wide as a line is far from the next in a fine hatch.
    private const double CellOnPageMm = 0.5;
    private const double DetailCells = 110;
    private const double LeastDetailMm = 2.4;
    private const double DetailHeight = 38;

    private static SKRect ViewBox => new(
        (float)(PreviewPlate.Border + 17), (float)(PreviewPlate.Border + 9), (float)(PreviewPlate.ColumnLeft - 10), (float)(PreviewPlate.HeightMm - PreviewPlate.Border - 27));

    private static double Left => PreviewPlate.ColumnLeft + 5;

    private static double Right => PreviewPlate.WidthMm - PreviewPlate.Border - 5;

    /// <summary>Whether a picture is asked for and there is heat to show.</summary>
    public static bool IsWanted(Job job) => job.Settings.HeatMap && FilmConditions.Of(job.Settings).HeatW > 0;

    /// <summary>Works out the maps, which is nearly all the work.</summary>
    public static HeatViews Measure(Job job, JobSide side, CancellationToken cancellation)
    {
        var heat = FilmHeat.Of(side.Plan.Film, job.Settings);
        var kerf = Kerf(job);
        var (map, shown) = Place(job, side);
        var hottest = Hottest(side);
        HeatMap? detail = null;
        if (hottest >= 0)
        {
            var window = DetailWindow(side, hottest);
            detail = heat.Map(window, window.Width / DetailCells, kerf, cancellation);
        }

        return new(heat.Map(shown, CellOnPageMm / map.Scale, kerf, cancellation), hottest, detail);
    }

    /// <summary>Draws the plate.</summary>
    public static void Draw(Pad pad, Job job, JobSide side, HeatViews views)
    {
        pad.Canvas.Clear(Ink.Paper);
        var border = PreviewPlate.Border;
        pad.Box(new((float)border, (float)border, (float)(PreviewPlate.WidthMm - border), (float)(PreviewPlate.HeightMm - border)), Ink.Line, Weight.Border);
        pad.Line(PreviewPlate.ColumnLeft, border, PreviewPlate.ColumnLeft, PreviewPlate.HeightMm - border, Ink.Line, Weight.Normal);
        View(pad, job, side, views);
        pad.Text("Hottest moment of the film", Left, border + 9, 10, Ink.Line, bold: true);
        var y = pad.Paragraph("The highest temperature that each place reaches while the sheet is cut.", Left, border + 14.5, 8, Right - Left, Ink.Quiet);
        y = HeatScale.Draw(pad, side, new((float)Left, (float)(y + 1), (float)Right, (float)(y + 53)));
        y = Legend(pad, job, side, y + 5);
        Caption(pad, job, Detail(pad, job, side, views, y + 1.5));
        PreviewPlate.TitleBlock(pad, job, side);
    }

    private static (SheetMap Map, Bounds2 Shown) Place(Job job, JobSide side)
    {
        var window = SheetDrawing.Window(side, job.Outline);
        var map = SheetMap.Fit(window, ViewBox);
        return (map, window.Inflate(Math.Min(5, 4 / map.Scale)));
    }

    private static void View(Pad pad, Job job, JobSide side, HeatViews views)
    {
        var (map, shown) = Place(job, side);
        var box = map.Box(shown);
        Film(pad, map, box, side, views.Board, Kerf(job), views.Hottest);
        if (job.Outline is { } outline && side.Design.FilmEdge is null)
        {
            using var edge = map.Path(outline.Shape.Transform(side.Design.Placement.Map));
            pad.Outline(edge, Ink.Line, Weight.Normal, Dash.Hidden);
        }

        pad.Box(box, Ink.Line, Weight.Thin);
        Dimensions.ScaleBar(pad, PreviewPlate.Border + 17, PreviewPlate.HeightMm - PreviewPlate.Border - 9.5, map.Scale, 60);
        pad.Text(
            "Drawn as the film lies in the laser, " + LiesOn(job.Settings), PreviewPlate.ColumnLeft - 4, PreviewPlate.HeightMm - PreviewPlate.Border - 5, 7.5, Ink.Quiet, SKTextAlign.Right);
    }

    private static void Film(Pad pad, SheetMap map, SKRect clip, JobSide side, HeatMap heat, double kerfMm, int hottest)
    {
        pad.Canvas.Save();
        pad.Canvas.ClipRect(clip);
        var field = new HeatField(heat);
        field.Draw(pad, map);
        field.DrawLine(pad, map, FilmConditions.GlassC, Ink.Line, Weight.Hair);
        Edge(pad, map, side, kerfMm);
        using (var builder = new SKPathBuilder())
        {
            foreach (var opening in side.Plan.Openings)
            {
                map.Add(builder, opening.Shape);
            }

            using var openings = builder.Detach();
            pad.FillPath(openings, Ink.White);
            pad.Outline(openings, Ink.Quiet, Weight.Hair);
        }

        if (hottest >= 0)
        {
            Ring(pad, map.Box(side.Plan.Openings[hottest].Shape.Bounds));
        }

        pad.Canvas.Restore();
    }

    // What the beam takes away where the film itself is cut out.
    private static void Edge(Pad pad, SheetMap map, JobSide side, double kerfMm)
    {
        using var builder = new SKPathBuilder();
        foreach (var path in side.Plan.Film.Paths)
        {
            if (path.Kind == CutKind.Edge)
            {
                map.Add(builder, path);
            }
        }

        using var edge = builder.Detach();
        pad.Outline(edge, Ink.White, (float)(kerfMm * map.Scale));
    }

    private static double Kerf(Job job) => Math.Max(job.Settings.KerfXMm, job.Settings.KerfYMm);

    // A second outline outside the first, as for whatever is picked out.
    private static void Ring(Pad pad, SKRect opening) => pad.Box(SKRect.Inflate(opening, 1.1f, 1.1f), Ink.Accent, Weight.Heavy);

    private static double Legend(Pad pad, Job job, JobSide side, double y)
    {
        pad.Line(Left, y - 1.2, Left + 9.4, y - 1.2, Ink.Line, Weight.Hair);
        pad.Text("gets as hot as 78 °C within", Left + 12, y, 8.5, Ink.Line);
        y += 5.5;
        pad.FillBox(new((float)Left + 1.2f, (float)y - 2.8f, (float)Left + 8.2f, (float)y + 0.2f), Ink.White);
        pad.Box(new((float)Left + 1.2f, (float)y - 2.8f, (float)Left + 8.2f, (float)y + 0.2f), Ink.Quiet, Weight.Hair);
        pad.Text("opening", Left + 12, y, 8.5, Ink.Line);
        y += 5.5;
        if (job.Outline is not null && side.Design.FilmEdge is null)
        {
            pad.Line(Left, y - 1.2, Left + 9.4, y - 1.2, Ink.Line, Weight.Normal, Dash.Hidden);
            pad.Text("board's edge, under the film", Left + 12, y, 8.5, Ink.Line);
            y += 5.5;
        }

        return y;
    }

    private static double Detail(Pad pad, Job job, JobSide side, HeatViews views, double y)
    {
        if (views.Detail is not { } detail)
        {
            pad.Text("No web is within the heat's reach.", Left, y, 8.5, Ink.Line);
            return y + 6;
        }

        var hottest = side.Plan.Openings[views.Hottest];
        pad.Box(new((float)Left + 1.2f, (float)y - 2.8f, (float)Left + 8.2f, (float)y + 0.2f), Ink.Accent, Weight.Heavy);
        pad.Text("beside it the hottest web,", Left + 12, y, 8.5, Ink.Line);
        pad.Figure(Whole(hottest.WebHeat!.Value.PeakC), "°C", Right, y, 8.5, Ink.Line, SKTextAlign.Right);
        var window = DetailWindow(side, views.Hottest);
        var map = SheetMap.Fit(window, new((float)Left, (float)(y + 3), (float)Right, (float)(y + 3 + DetailHeight)));
        var box = map.Box(window);
        Film(pad, map, box, side, detail, Kerf(job), hottest: -1);
        var scale = PlainText.Of(map.Scale, 0) + " : 1";
        pad.FillBox(new((float)(box.Right - 2.2 - pad.Measure(scale, 7.5)), box.Bottom - 4.4f, box.Right, box.Bottom), Ink.Paper);
        pad.Box(box, Ink.Accent, Weight.Heavy);
        pad.Text(scale, box.Right - 1.5, box.Bottom - 1.7, 7.5, Ink.Quiet, SKTextAlign.Right);
        return box.Bottom + 4.5;
    }

    private static void Caption(Pad pad, Job job, double y)
    {
        var heat = PlainText.Of(job.Settings.FilmHeatPercent, 2);
        pad.Paragraph(
            $"A model, not a measurement: good to a factor of two in the rise over {Whole(FilmConditions.RoomC)}\u00a0°C. It assumes that {heat}\u00a0% of the laser's power stays in the film, {LiesOn(job.Settings)}.",
            Left, y, 7.5, Right - Left, Ink.Quiet, leading: 1.25);
    }

    private static string LiesOn(JobSettings settings) => settings.FilmHeatLossWM2K > 0
        ? string.Create(CultureInfo.InvariantCulture, $"losing {PlainText.Of(settings.FilmHeatLossWM2K, 0)} W/(m² K)")
        : settings.FilmLiesOn switch { "air" => "in air", "bed" => "on the bed", _ => "on wet paper" };

    // The hottest web's opening and what lies round it, of the shape of the inset.
    private static Bounds2 DetailWindow(JobSide side, int hottest)
    {
        var box = side.Plan.Openings[hottest].Shape.Bounds;
        var height = Math.Max(LeastDetailMm, 2.2 * Math.Min(box.Width, box.Height));
        var width = height * (Right - Left) / DetailHeight;
        var at = box.Center;
        return new(at.X - (width / 2), at.Y - (height / 2), at.X + (width / 2), at.Y + (height / 2));
    }

    private static int Hottest(JobSide side)
    {
        var (hottest, most) = (-1, 0.0);
        for (var i = 0; i < side.Plan.Openings.Length; i++)
        {
            if (side.Plan.Openings[i].WebHeat is { } heat && heat.PeakRiseK > most)
            {
                (hottest, most) = (i, heat.PeakRiseK);
            }
        }

        return hottest;
    }

    private static string Whole(double celsius) => PlainText.Fixed(celsius, 0);
}
