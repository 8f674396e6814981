using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Exact shapes of the standard's primitives about their origin, in the unit of their dictionary.</summary>
internal static class IpcPrimitives
{
    private const int MostRings = 100;
    private const int MostSpokes = 64;

    /// <summary>Whether an element is a primitive with a shape of its own.</summary>
    public static bool IsPrimitive(string name) => name is "Circle" or "RectCenter" or "RectRound" or "RectCham" or "RectCorner" or "Oval" or "Diamond" or "Butterfly"
        or "Donut" or "Thermal" or "Hexagon" or "Octagon" or "Triangle" or "Ellipse" or "Moire";

    /// <summary>The shape; null when a size is missing, not a number, or not above zero.</summary>
    public static Region? Of(XmlItem item)
    {
        double N(string attribute) => item.Number(attribute);
        return item.Name switch
        {
            "Circle" => Sized(N("diameter")) ? Disc(N("diameter") / 2) : null,
            "RectCenter" => Sized(N("width"), N("height")) ? Rectangle(N("width"), N("height")) : null,
            "RectRound" => Corners(item, N("radius"), isRound: true),
            "RectCham" => Corners(item, N("chamfer"), isRound: false),
            "RectCorner" => RectCorner(item),
            "Oval" => Sized(N("width"), N("height")) ? Oval(N("width"), N("height")) : null,
            "Diamond" => Sized(N("width"), N("height")) ? Polygon([(-N("width") / 2, 0), (0, -N("height") / 2), (N("width") / 2, 0), (0, N("height") / 2)]) : null,
            "Triangle" => Sized(N("base"), N("height")) ? Polygon([(-N("base") / 2, -N("height") / 2), (N("base") / 2, -N("height") / 2), (0, N("height") / 2)]) : null,
            "Ellipse" => Sized(N("width"), N("height")) ? Disc(0.5).Transform(Affine2.Scale(N("width"), N("height"))) : null,
            "Hexagon" => Sized(N("length")) ? Regular(6, N("length") / 2, 0) : null,
            "Octagon" => Sized(N("length")) ? Regular(8, N("length") / 2, 22.5) : null,
            "Butterfly" => Butterfly(item),
            "Donut" => Donut(item),
            "Thermal" => Thermal(item),
            "Moire" => Moire(item),
            _ => null,
        };
    }

    /// <summary>Centre line and width, millimetres, of an oval that is longer than it is wide; null for any other shape.</summary>
    public static (Segment Center, double WidthMm)? SlotOf(XmlItem item, double unitMm)
    {
        var (width, height) = (item.Number("width") * unitMm, item.Number("height") * unitMm);
        if (item.Name != "Oval" || !Sized(width, height) || width == height)
        {
            return null;
        }

        var half = (Math.Max(width, height) - Math.Min(width, height)) / 2;
        var end = width > height ? new Point2(half, 0) : new Point2(0, half);
        return (new Segment(new Point2(-end.X, -end.Y), end, 0), Math.Min(width, height));
    }

    private static bool Sized(params ReadOnlySpan<double> sizes)
    {
        foreach (var size in sizes)
        {
            // False for what is not a number too.
            if (!(size > 0))
            {
                return false;
            }
        }

        return true;
    }

    private static Region Disc(double radius) => Region.Of(Contour.Circle(default, radius));

    private static Region Rectangle(double width, double height) => Region.Of(Contour.Rectangle(new Bounds2(-width / 2, -height / 2, width / 2, height / 2)));

    private static Region Polygon(ReadOnlySpan<(double X, double Y)> points)
    {
        var vertices = new PathVertex[points.Length];
        for (var i = 0; i < points.Length; i++)
        {
            vertices[i] = new PathVertex(points[i].X, points[i].Y);
        }

        return Region.Of(Contour.Adopt(vertices));
    }

    private static Region Regular(int corners, double radius, double firstDeg)
    {
        var vertices = new PathVertex[corners];
        for (var i = 0; i < corners; i++)
        {
            var (sin, cos) = Affine2.ExactSinCosDegrees(firstDeg + (360.0 * i / corners));
            vertices[i] = new PathVertex(radius * cos, radius * sin);
        }

        return Region.Of(Contour.Adopt(vertices));
    }

    private static Region Oval(double width, double height)
    {
        if (width == height)
        {
            return Disc(width / 2);
        }

        var radius = Math.Min(width, height) / 2;
        var half = (Math.Max(width, height) / 2) - radius;
        var lying = Region.Of(Contour.Adopt([new(-half, -radius), new(half, -radius, 1), new(half, radius), new(-half, radius, 1)]));
        return width > height ? lying : lying.Transform(Affine2.RotationDegrees(90));
    }

    private static Region? RectCorner(XmlItem item)
    {
        var (x1, y1, x2, y2) = (item.Number("lowerLeftX"), item.Number("lowerLeftY"), item.Number("upperRightX"), item.Number("upperRightY"));
        return x2 > x1 && y2 > y1 ? Region.Of(Contour.Rectangle(new Bounds2(x1, y1, x2, y2))) : null;
    }

    // Where the element names no corner, all are meant.
    private static Region? Corners(XmlItem item, double cut, bool isRound)
    {
        var (w, h) = (item.Number("width") / 2, item.Number("height") / 2);
        if (!Sized(w, h) || !(cut >= 0))
        {
            return null;
        }

        cut = Math.Min(cut, Math.Min(w, h));
        string[] names = ["lowerLeft", "lowerRight", "upperRight", "upperLeft"];
        var all = !Array.Exists(names, n => item.Text(n) is not null);
        var bulge = isRound ? Math.Tan(Math.PI / 8) : 0;
        var vertices = new List<PathVertex>(8);
        Vector2[] corners = [new(-w, -h), new(w, -h), new(w, h), new(-w, h)];
        for (var i = 0; i < 4; i++)
        {
            var corner = corners[i];
            if (cut == 0 || !(all || item.IsTrue(names[i])))
            {
                Append(vertices, corner, 0);
                continue;
            }

            var (from, to) = ((corners[(i + 3) % 4] - corner).Unit, (corners[(i + 1) % 4] - corner).Unit);
            Append(vertices, corner + (from * cut), bulge);
            Append(vertices, corner + (to * cut), 0);
        }

        if (vertices[^1].Point == vertices[0].Point)
        {
            vertices.RemoveAt(vertices.Count - 1);
        }

        return Region.Of(Contour.Adopt([.. vertices]));
    }

    // Corners that leave no straight side between them meet in one point.
    private static void Append(List<PathVertex> vertices, Vector2 at, double bulge)
    {
        if (vertices.Count > 0 && vertices[^1].X == at.X && vertices[^1].Y == at.Y)
        {
            vertices[^1] = new PathVertex(at.X, at.Y, bulge);
        }
        else
        {
            vertices.Add(new PathVertex(at.X, at.Y, bulge));
        }
    }

    // Two opposite quarters: lower left and upper right.
    private static Region? Butterfly(XmlItem item)
    {
        var isSquare = item.Text("shape") == "SQUARE";
        var half = item.Number(isSquare ? "side" : "diameter") / 2;
        if (!Sized(half))
        {
            return null;
        }

        var bulge = Math.Tan(Math.PI / 8);
        var quarter = isSquare
            ? Contour.Rectangle(new Bounds2(0, 0, half, half))
            : Contour.Adopt([new(0, 0), new(half, 0, bulge), new(0, half)]);
        return new Region([quarter, quarter.Transform(Affine2.RotationDegrees(180))]);
    }

    private static Region? Shape(string? shape, double size) => shape switch
    {
        "SQUARE" => Rectangle(size, size),
        "HEXAGON" => Regular(6, size / 2, 0),
        "OCTAGON" => Regular(8, size / 2, 22.5),
        _ => Disc(size / 2),
    };

    private static Region? Donut(XmlItem item)
    {
        var (outer, inner) = (item.Number("outerDiameter"), item.Number("innerDiameter"));
        if (!Sized(outer) || !(inner >= 0 && inner < outer))
        {
            return null;
        }

        var outside = Shape(item.Text("shape"), outer)!;
        return inner == 0 ? outside : new Region([outside.Contours[0], Shape(item.Text("shape"), inner)!.Contours[0].Reversed()]);
    }

    private static Region? Thermal(XmlItem item)
    {
        if (Donut(item) is not { } ring)
        {
            return null;
        }

        var (gap, count, first) = (item.Number("gap"), item.Number("spokeCount"), item.Number("spokeStartAngle"));
        if (!(gap > 0) || !(count >= 1))
        {
            return ring;
        }

        // The gaps lie where the spokes of a connected plane would be.
        var reach = item.Number("outerDiameter") * 2;
        var spokes = new Region[(int)Math.Min(count, MostSpokes)];
        for (var i = 0; i < spokes.Length; i++)
        {
            var spoke = Region.Of(Contour.Rectangle(new Bounds2(0, -gap / 2, reach, gap / 2)));
            spokes[i] = spoke.Transform(Affine2.RotationDegrees((double.IsNaN(first) ? 45 : first) + (360.0 * i / spokes.Length)));
        }

        return RegionBoolean.Difference(ring, RegionBoolean.Union(spokes));
    }

    private static Region? Moire(XmlItem item)
    {
        var (outer, ring, gap, count) = (item.Number("diameter"), item.Number("ringWidth"), item.Number("ringGap"), item.Number("ringNumber"));
        if (!Sized(outer, ring) || !(gap >= 0))
        {
            return null;
        }

        var parts = ImmutableArray.CreateBuilder<Region>();
        var radius = outer / 2;
        for (var i = 0; i < (count >= 1 ? Math.Min(count, MostRings) : 1) && radius > 0; i++)
        {
            var inner = radius - ring;
            parts.Add(inner > 0 ? new Region([Contour.Circle(default, radius), Contour.Circle(default, inner).Reversed()]) : Disc(radius));
            radius = inner - gap;
        }

        var (width, length, angle) = (item.Number("lineWidth"), item.Number("lineLength"), item.Number("lineAngle"));
        if (Sized(width, length))
        {
            var turn = Affine2.RotationDegrees(double.IsNaN(angle) ? 0 : angle);
            parts.Add(Rectangle(length, width).Transform(turn));
            parts.Add(Rectangle(width, length).Transform(turn));
        }

        return RegionBoolean.Union(parts.ToImmutable().AsSpan());
    }
}
