using System.Globalization;
using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>What the pages of the job sheet share: A4, margins, heading, rows of figures.</summary>
internal static class TravellerLayout
{
    public const double WidthMm = 210;
    public const double HeightMm = 297;
    public const double Left = 16;
    public const double Right = WidthMm - 14;
    public const double Bottom = HeightMm - 14;

    /// <summary>Title and line across the page; returns the height where the page begins.</summary>
    public static double Heading(Pad pad, Job job, int page)
    {
        var sides = job.Sides.Length == 0
            ? "no side"
            : string.Join(" and ", job.Sides.Select(s => JobFiles.Folder(s.Design.Side))) + (job.Sides.Length == 1 ? " side" : " sides");
        pad.Text("Job sheet", Left, 16, 9, Ink.Quiet);
        pad.Text(job.Title, Left, 24.5, page == 1 ? 20 : 14, Ink.Line, bold: true, widest: 130);
        pad.Text("Solder-paste stencil, " + sides, Right, 16, 9, Ink.Line, SKTextAlign.Right);
        pad.Text(job.Settings.Date, Right, 20.8, 9, Ink.Line, SKTextAlign.Right, widest: 45);
        pad.Line(Left, 28, Right, 28, Ink.Line, Weight.Heavy);
        pad.Text("Stencilwright " + job.Version, Left, HeightMm - 7, 7, Ink.Quiet, widest: 100);
        pad.Text(string.Create(CultureInfo.InvariantCulture, $"{page} of {3 + (HeatPlate.IsWanted(job) ? job.Sides.Length : 0)}"), Right, HeightMm - 7, 7, Ink.Quiet, SKTextAlign.Right);
        return 28;
    }

    /// <summary>A heading inside the page; returns the next base line.</summary>
    public static double Section(Pad pad, string name, double x, double y)
    {
        pad.Text(name, x, y, 11, Ink.Line, bold: true);
        return y + 6.2;
    }
}
