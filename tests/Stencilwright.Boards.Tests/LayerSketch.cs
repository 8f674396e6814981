using Stencilwright.Artwork;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Tests;

/// <summary>A layer drawn by hand: every object lies at the file offset of its own number.</summary>
internal sealed class LayerSketch
{
    private readonly List<PaintedObject> _objects = [];

    public int Count => _objects.Count;

    public LayerSketch Stroke(Segment line, double penMm = 0.1, string? function = null)
    {
        _objects.Add(new PaintedObject
        {
            Kind = PaintKind.Stroke,
            Shape = Pen(line, penMm),
            CenterLine = line,
            PenWidthMm = penMm,
            ApertureFunction = function,
            SourceOffset = _objects.Count,
        });
        return this;
    }

    public LayerSketch Line(double x0, double y0, double x1, double y1, double penMm = 0.1, string? function = null) =>
        Stroke(new Segment(new(x0, y0), new(x1, y1), 0), penMm, function);

    public LayerSketch Loop(Contour contour, double penMm = 0.1, string? function = null)
    {
        for (var i = 0; i < contour.Count; i++)
        {
            Stroke(contour.SegmentAt(i), penMm, function);
        }

        return this;
    }

    public LayerSketch Box(double x0, double y0, double x1, double y1, double penMm = 0.1, string? function = null) =>
        Loop(Contour.Rectangle(new(x0, y0, x1, y1)), penMm, function);

    public LayerSketch Flash(double x, double y, double width = 0.5, double height = 0.5, string? component = null, string? pin = null) =>
        Shape(PaintKind.Flash, Contour.Rectangle(new(x - (width / 2), y - (height / 2), x + (width / 2), y + (height / 2))), component, pin);

    public LayerSketch Area(Contour contour) => Shape(PaintKind.Area, contour, null, null);

    /// <summary>Pads in a grid well inside a box.</summary>
    public LayerSketch Pads(double x0, double y0, double x1, double y1)
    {
        for (var i = 1; i < 6; i++)
        {
            for (var j = 1; j < 6; j++)
            {
                Flash(x0 + ((x1 - x0) * i / 6), y0 + ((y1 - y0) * j / 6));
            }
        }

        return this;
    }

    public LayerImage Image(string name = "drawn.gbr") => new()
    {
        Source = new SourceText(name, new byte[_objects.Count + 1]),
        Format = ArtworkFormat.Gerber,
        Unit = ArtworkUnit.Millimetre,
        Objects = [.. _objects],
        Islands = [.. RegionBoolean.UnionIslands([.. _objects.Select(o => o.Shape)]).Select(i => new ImageIsland(i.Shape, i.Members))],
    };

    private LayerSketch Shape(PaintKind kind, Contour contour, string? component, string? pin)
    {
        _objects.Add(new PaintedObject
        {
            Kind = kind,
            Shape = Region.Of(contour),
            Component = component,
            Pin = pin,
            SourceOffset = _objects.Count,
        });
        return this;
    }

    // What a round pen covers along a line, or along an arc wider than the pen.
    private static Region Pen(Segment line, double penMm)
    {
        var r = penMm / 2;
        if (r <= 0)
        {
            return Region.Empty;
        }

        if (line.Chord.Length < 1e-9)
        {
            return Region.Of(Contour.Circle(line.Start, r));
        }

        var (a, b) = (line.StartTangent.Left * r, line.EndTangent.Left * r);
        var path = new Contour([
            new(line.Start.X - a.X, line.Start.Y - a.Y, line.Bulge),
            new(line.End.X - b.X, line.End.Y - b.Y, 1),
            new(line.End.X + b.X, line.End.Y + b.Y, -line.Bulge),
            new(line.Start.X + a.X, line.Start.Y + a.Y, 1)]);
        return RegionBoolean.Resolve([path], FillRule.NonZero);
    }
}
