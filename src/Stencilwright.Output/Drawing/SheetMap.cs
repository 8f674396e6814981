using System.Collections.Immutable;
using SkiaSharp;
using Stencilwright.Cutting;
using Stencilwright.Geometry;

namespace Stencilwright.Output.Drawing;

/// <summary>Where a sheet lies on the page: sheet millimetres, y up, to page millimetres, y down.</summary>
/// <param name="Scale">Page millimetres in one of the sheet.</param>
/// <param name="X0">Page x of the sheet's origin.</param>
/// <param name="Y0">Page y of the sheet's origin.</param>
internal readonly record struct SheetMap(double Scale, double X0, double Y0)
{
    /// <summary>Shows a window of the sheet as large as it goes in a box of the page, in its middle.</summary>
    public static SheetMap Fit(Bounds2 window, SKRect box)
    {
        var scale = Math.Min(box.Width / Math.Max(window.Width, 1e-6), box.Height / Math.Max(window.Height, 1e-6));
        return new(scale, box.MidX - (window.Center.X * scale), box.MidY + (window.Center.Y * scale));
    }

    public double X(double sheetX) => X0 + (sheetX * Scale);

    public double Y(double sheetY) => Y0 - (sheetY * Scale);

    public SKRect Box(Bounds2 b) => new((float)X(b.MinX), (float)Y(b.MaxY), (float)X(b.MaxX), (float)Y(b.MinY));

    /// <summary>A region as one path; holes stay holes.</summary>
    public SKPath Path(Region region)
    {
        using var builder = new SKPathBuilder();
        Add(builder, region);
        return builder.Detach();
    }

    public void Add(SKPathBuilder builder, Region region)
    {
        foreach (var contour in region.Contours)
        {
            Add(builder, contour.Vertices, isClosed: true);
        }
    }

    public SKPath Path(ImmutableArray<OpenPath> strokes)
    {
        using var builder = new SKPathBuilder();
        foreach (var stroke in strokes)
        {
            Add(builder, stroke.Vertices, isClosed: false);
        }

        return builder.Detach();
    }

    public void Add(SKPathBuilder builder, CutPath path) => Add(builder, path.Vertices.AsSpan(), path.IsClosed);

    private void Add(SKPathBuilder builder, ReadOnlySpan<PathVertex> vertices, bool isClosed)
    {
        builder.MoveTo((float)X(vertices[0].X), (float)Y(vertices[0].Y));
        var count = isClosed ? vertices.Length : vertices.Length - 1;
        for (var i = 0; i < count; i++)
        {
            var to = vertices[i + 1 == vertices.Length ? 0 : i + 1];
            var (x, y) = ((float)X(to.X), (float)Y(to.Y));
            var segment = new Segment(vertices[i].Point, to.Point, vertices[i].Bulge);
            // A belly that is thinner than a hundredth of a hairline is a line.
            if (Math.Abs(segment.Bulge) * segment.Chord.Length * Scale < 0.002)
            {
                builder.LineTo(x, y);
            }
            else
            {
                var r = (float)(segment.Radius * Scale);
                builder.ArcTo(r, r, 0, SKPathArcSize.Small, segment.Bulge > 0 ? SKPathDirection.CounterClockwise : SKPathDirection.Clockwise, x, y);
            }
        }

        if (isClosed)
        {
            builder.Close();
        }
    }
}
