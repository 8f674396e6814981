using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>The exact shapes of apertures about their origin, in millimetres.</summary>
internal static class ApertureShapes
{
    /// <summary>Shape of a standard or macro aperture; empty for blocks and unusable ones.</summary>
    public static Region Of(GerberAperture aperture, double unitMm)
    {
        var p = aperture.Parameters;
        switch (aperture.Kind)
        {
            case GerberApertureKind.Circle:
                return WithHole(Disc(default, p[0] * unitMm / 2), p, 1, unitMm);
            case GerberApertureKind.Rectangle:
                return WithHole(Rectangle(p[0] * unitMm, p[1] * unitMm), p, 2, unitMm);
            case GerberApertureKind.Obround:
                return WithHole(Obround(p[0] * unitMm, p[1] * unitMm), p, 2, unitMm);
            case GerberApertureKind.Polygon:
                return WithHole(Polygon((int)p[1], default, p[0] * unitMm / 2, p.Length > 2 ? p[2] : 0), p, 3, unitMm);
            case GerberApertureKind.Macro:
                return OfMacro(aperture.Primitives, unitMm);
            default:
                return Region.Empty;
        }
    }

    /// <summary>The smaller side of a shape's box: the width that a pen of this shape is said to have.</summary>
    public static double SmallerSide(Region shape)
    {
        var box = shape.Bounds;
        return Math.Min(box.Width, box.Height);
    }

    private static Region Disc(Point2 center, double radius) => radius <= 0 ? Region.Empty : Region.Of(Contour.Circle(center, radius));

    private static Region Rectangle(double x, double y) =>
        x <= 0 || y <= 0 ? Region.Empty : Region.Of(Contour.Rectangle(new Bounds2(-x / 2, -y / 2, x / 2, y / 2)));

    private static Region Obround(double x, double y)
    {
        if (x <= 0 || y <= 0)
        {
            return Region.Empty;
        }

        var radius = Math.Min(x, y) / 2;
        if (x == y)
        {
            return Disc(default, radius);
        }

        var half = (Math.Max(x, y) / 2) - radius;
        return x > y
            ? Region.Of(Contour.Adopt([new(-half, -radius), new(half, -radius, 1), new(half, radius), new(-half, radius, 1)]))
            : Region.Of(Contour.Adopt([new(radius, -half), new(radius, half, 1), new(-radius, half), new(-radius, -half, 1)]));
    }

    private static Region Polygon(int corners, Point2 center, double radius, double rotationDeg)
    {
        if (radius <= 0)
        {
            return Region.Empty;
        }

        var vertices = new PathVertex[corners];
        for (var i = 0; i < corners; i++)
        {
            var (sin, cos) = Affine2.ExactSinCosDegrees(rotationDeg + (360.0 * i / corners));
            vertices[i] = new(center.X + (radius * cos), center.Y + (radius * sin));
        }

        return Region.Of(Contour.Adopt(vertices));
    }

    private static Region WithHole(Region outer, ImmutableArray<double> p, int at, double unitMm)
    {
        if (p.Length <= at || p[at] <= 0 || outer.IsEmpty)
        {
            return outer;
        }

        // Two numbers make the deprecated rectangular hole.
        var hole = p.Length > at + 1 ? Rectangle(p[at] * unitMm, p[at + 1] * unitMm) : Disc(default, p[at] * unitMm / 2);
        return hole.IsEmpty ? outer : Cut(outer, hole);
    }

    // Both are about the origin and star-shaped. When the hole's box corners lie inside, no boolean is needed.
    private static Region Cut(Region outer, Region hole)
    {
        var box = hole.Bounds;
        var fits = outer.Contains(new(box.MinX, box.MinY)) && outer.Contains(new(box.MaxX, box.MinY))
            && outer.Contains(new(box.MaxX, box.MaxY)) && outer.Contains(new(box.MinX, box.MaxY));
        return fits
            ? new Region([outer.Contours[0], hole.Contours[0].Reversed()])
            : RegionBoolean.Difference(outer, hole);
    }

    private static Region OfMacro(ImmutableArray<MacroPrimitive> primitives, double unitMm)
    {
        var image = Region.Empty;
        var dark = new List<Region>();
        foreach (var primitive in primitives)
        {
            var shape = OfPrimitive(primitive, unitMm);
            if (shape.IsEmpty)
            {
                continue;
            }

            if (primitive.IsDark)
            {
                dark.Add(shape);
                continue;
            }

            image = Join(image, dark);
            dark.Clear();
            image = image.IsEmpty ? image : RegionBoolean.Difference(image, shape);
        }

        return Join(image, dark);
    }

    private static Region Join(Region image, List<Region> more)
    {
        if (more.Count == 0)
        {
            return image;
        }

        if (image.IsEmpty && more.Count == 1)
        {
            return more[0];
        }

        return RegionBoolean.Union([image, .. more]);
    }

    private static Region OfPrimitive(in MacroPrimitive primitive, double unitMm)
    {
        var v = primitive.Values;
        return primitive.Code switch
        {
            1 => Turned(Disc(At(v[1], v[2], unitMm), v[0] * unitMm / 2), v[3]),
            20 => Turned(VectorLine(v, unitMm), v[5]),
            21 => Turned(Rectangle(v[0] * unitMm, v[1] * unitMm).Transform(Move(v[2], v[3], unitMm)), v[4]),
            22 => Turned(Rectangle(v[0] * unitMm, v[1] * unitMm).Transform(Move(v[2] + (v[0] / 2), v[3] + (v[1] / 2), unitMm)), v[4]),
            4 => Turned(Outline(v, unitMm), v[^1]),
            5 => Turned(Polygon((int)v[0], At(v[1], v[2], unitMm), v[3] * unitMm / 2, 0), v[4]),
            6 => Turned(Moire(v, unitMm), v[8]),
            _ => Turned(Thermal(v, unitMm), v[5]),
        };
    }

    private static Point2 At(double x, double y, double unitMm) => new(x * unitMm, y * unitMm);

    private static Affine2 Move(double x, double y, double unitMm) => Affine2.Translation(x * unitMm, y * unitMm);

    private static Region Turned(Region shape, double degrees) =>
        degrees == 0 || shape.IsEmpty ? shape : shape.Transform(Affine2.RotationDegrees(degrees));

    private static Region VectorLine(ImmutableArray<double> v, double unitMm)
    {
        var (a, b) = (At(v[1], v[2], unitMm), At(v[3], v[4], unitMm));
        var side = (b - a).Unit.Left * (v[0] * unitMm / 2);
        return a == b || v[0] == 0 ? Region.Empty : Region.Of(Contour.Polygon([a - side, b - side, b + side, a + side]));
    }

    private static Region Outline(ImmutableArray<double> v, double unitMm)
    {
        var vertices = new PathVertex[(v.Length - 1) / 2];
        for (var i = 0; i < vertices.Length; i++)
        {
            vertices[i] = new(v[2 * i] * unitMm, v[(2 * i) + 1] * unitMm);
        }

        return ContourRepair.ToRegion(vertices);
    }

    private static Region Moire(ImmutableArray<double> v, double unitMm)
    {
        var center = At(v[0], v[1], unitMm);
        var parts = new List<Region>();
        var radius = v[2] * unitMm / 2;
        var (ring, gap) = (v[3] * unitMm, v[4] * unitMm);
        const int MostRings = 1000;
        for (var i = 0; i < Math.Min(v[5], MostRings) && radius > 0 && ring > 0; i++)
        {
            var inner = radius - ring;
            parts.Add(Ring(center, radius, inner));
            radius = inner - gap;
        }

        if (v[6] > 0 && v[7] > 0)
        {
            var toCenter = Affine2.Translation(center.X, center.Y);
            parts.Add(Rectangle(v[7] * unitMm, v[6] * unitMm).Transform(toCenter));
            parts.Add(Rectangle(v[6] * unitMm, v[7] * unitMm).Transform(toCenter));
        }

        return Join(Region.Empty, parts);
    }

    private static Region Ring(Point2 center, double outer, double inner) => inner <= 0
        ? Disc(center, outer)
        : new Region([Contour.Circle(center, outer), Contour.Circle(center, inner).Reversed()]);

    private static Region Thermal(ImmutableArray<double> v, double unitMm)
    {
        var (outer, inner, gap) = (v[2] * unitMm / 2, v[3] * unitMm / 2, v[4] * unitMm / 2);
        if (gap <= 0)
        {
            return Ring(At(v[0], v[1], unitMm), outer, inner);
        }

        if (gap * Math.Sqrt(2) >= outer)
        {
            return Region.Empty;
        }

        // One quarter, counter-clockwise: out along the lower gap edge, outer arc, back, and the inner arc or the corner.
        var far = Math.Sqrt((outer * outer) - (gap * gap));
        var outerSweep = Math.Atan2(far, gap) - Math.Atan2(gap, far);
        var outerBulge = Math.Tan(outerSweep / 4);
        PathVertex[] quarter;
        if (gap * Math.Sqrt(2) >= inner)
        {
            quarter = [new(gap, gap), new(far, gap, outerBulge), new(gap, far)];
        }
        else
        {
            var near = Math.Sqrt((inner * inner) - (gap * gap));
            var innerSweep = Math.Atan2(near, gap) - Math.Atan2(gap, near);
            quarter = [new(near, gap), new(far, gap, outerBulge), new(gap, far), new(gap, near, -Math.Tan(innerSweep / 4))];
        }

        var contours = ImmutableArray.CreateBuilder<Contour>(4);
        for (var i = 0; i < 4; i++)
        {
            contours.Add(new Contour(quarter).Transform(Move(v[0], v[1], unitMm) * Affine2.RotationDegrees(90 * i)));
        }

        return new Region(contours.MoveToImmutable());
    }
}

/// <summary>Makes valid regions of outlines as files write them.</summary>
internal static class ContourRepair
{
    /// <summary>
    /// What an outline encloses: wherever it winds round at all. A cut-in runs back over itself and round its hole the other way, so
    /// the hole has winding number 0; a self-overlapping outline stays whole.
    /// </summary>
    public static Region ToRegion(ReadOnlySpan<PathVertex> outline)
    {
        var vertices = WithoutRepeats(outline);
        if (vertices.Length < 2)
        {
            return Region.Empty;
        }

        var contour = Contour.Adopt(vertices);
        if (IsConvexPolygon(vertices))
        {
            return Region.Of(contour.SignedAreaMm2 > 0 ? contour : contour.Reversed());
        }

        return RegionBoolean.Resolve([contour], FillRule.NonZero);
    }

    private static PathVertex[] WithoutRepeats(ReadOnlySpan<PathVertex> outline)
    {
        var kept = new PathVertex[outline.Length];
        var n = 0;
        foreach (var vertex in outline)
        {
            if (n > 0 && kept[n - 1].Point == vertex.Point)
            {
                kept[n - 1] = vertex;
            }
            else
            {
                kept[n++] = vertex;
            }
        }

        while (n > 1 && kept[n - 1].Point == kept[0].Point)
        {
            n--;
        }

        return kept[..n];
    }

    // Convex and once round: all turns the same way, and x changes its direction only twice.
    private static bool IsConvexPolygon(PathVertex[] v)
    {
        if (v.Length < 3)
        {
            return false;
        }

        var (turn, changes, lastSign) = (0, 0, 0);
        for (var i = 0; i < v.Length; i++)
        {
            if (v[i].Bulge != 0)
            {
                return false;
            }

            var (b, c) = (v[(i + 1) % v.Length], v[(i + 2) % v.Length]);
            var sign = Math.Sign(Vector2.Cross(b.Point - v[i].Point, c.Point - b.Point));
            if (sign == 0 || (turn != 0 && sign != turn))
            {
                return false;
            }

            turn = sign;
            var direction = Math.Sign(b.X - v[i].X);
            if (direction != 0)
            {
                changes += lastSign != 0 && direction != lastSign ? 1 : 0;
                lastSign = direction;
            }
        }

        return changes <= 2;
    }
}
