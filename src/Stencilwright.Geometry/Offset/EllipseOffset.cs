using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>Offsets by an axis-parallel ellipse with unequal half widths.</summary>
internal static class EllipseOffset
{
    /// <summary>Erosion by the ellipse.</summary>
    public static Region Inset(Region region, double halfXMm, double halfYMm) => Offset(region, halfXMm, halfYMm, -1);

    /// <summary>Dilation by the ellipse.</summary>
    public static Region Outset(Region region, double halfXMm, double halfYMm) => Offset(region, halfXMm, halfYMm, 1);

    // Fitted twice, so half of the 0.05 µm promised each time.
    private const double FitMm = 2.5e-5;

    private static Region Offset(Region region, double halfXMm, double halfYMm, int sign)
    {
        if (region.IsEmpty)
        {
            return region;
        }

        if (sign < 0 && InsetConvexPolygons(region.Contours, halfXMm, halfYMm) is { } inner)
        {
            return inner;
        }

        if (halfXMm == 0 || halfYMm == 0)
        {
            return SweptOffset.Of(region, halfXMm, halfYMm, sign);
        }

        if (sign < 0 && region.Contours.Length == 1 && ContourCleaner.Clean(region.Contours[0].Vertices) is { IsEmpty: false } v
            && ConvexEllipseInset.Try(v, halfXMm, halfYMm, 2 * FitMm) is { } smooth)
        {
            return Region.Of(smooth);
        }

        // Stretch the narrower axis until the ellipse is a circle: no error grows on the way back.
        var there = halfXMm > halfYMm ? Affine2.Scale(1, halfXMm / halfYMm) : Affine2.Scale(halfYMm / halfXMm, 1);
        var half = Math.Max(halfXMm, halfYMm);
        var stretched = region.Transform(there, FitMm);
        return RegionOffset.Offset(stretched, sign * half).Transform(there.Inverse(), FitMm);
    }

    // A line moves by the ellipse's support in the direction of its normal, and a convex inset has corners only.
    private static Region? InsetConvexPolygons(ImmutableArray<Contour> contours, double halfXMm, double halfYMm)
    {
        var inner = ImmutableArray.CreateBuilder<Contour>(contours.Length);
        foreach (var contour in contours)
        {
            var v = ContourCleaner.Clean(contour.Vertices);
            if (v.IsEmpty)
            {
                continue;
            }

            foreach (ref readonly var vertex in v)
            {
                if (vertex.Bulge != 0)
                {
                    return null;
                }
            }

            if (!ConvexOutset.IsConvex(v, 0))
            {
                return null;
            }

            if (IsUprightRectangle(v))
            {
                var box = contour.Bounds;
                box = new(box.MinX + halfXMm, box.MinY + halfYMm, box.MaxX - halfXMm, box.MaxY - halfYMm);
                if (box.MaxX - box.MinX > ConvexInset.VanishedMm && box.MaxY - box.MinY > ConvexInset.VanishedMm)
                {
                    inner.Add(Contour.Rectangle(box));
                }
            }
            else if (Moved(v, halfXMm, halfYMm) is { } moved)
            {
                inner.Add(moved);
            }
        }

        return inner.Count == 0 ? Region.Empty : new Region(inner.ToImmutable());
    }

    // Most pads are these, and nothing need be rounded on the way.
    private static bool IsUprightRectangle(ReadOnlySpan<PathVertex> v) =>
        v.Length == 4
        && ((v[0].X == v[1].X && v[1].Y == v[2].Y && v[2].X == v[3].X && v[3].Y == v[0].Y)
            || (v[0].Y == v[1].Y && v[1].X == v[2].X && v[2].Y == v[3].Y && v[3].X == v[0].X));

    private static Contour? Moved(ReadOnlySpan<PathVertex> v, double halfXMm, double halfYMm)
    {
        var sides = new List<ConvexLines.Side>(v.Length);
        for (var i = 0; i < v.Length; i++)
        {
            Corner.Tangents(v[i], v[i + 1 == v.Length ? 0 : i + 1], out var direction, out _);
            var (x, y) = (halfXMm * direction.Y, halfYMm * direction.X);
            var support = Math.Sqrt((x * x) + (y * y));
            sides.Add(new(Corner.Right(v[i].Point, direction, -support), direction));
        }

        return ConvexLines.Intersect(sides);
    }
}
