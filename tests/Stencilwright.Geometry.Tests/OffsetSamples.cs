using CsCheck;
using NetTopologySuite.Geometries;

namespace Stencilwright.Geometry.Tests;

/// <summary>Random shapes for offset tests, and the same shapes for the reference library.</summary>
internal static class OffsetSamples
{
    private static readonly Gen<Point2> Place = Gen.Select(Gen.Double[-2, 2], Gen.Double[-2, 2], (x, y) => new Point2(x, y));

    /// <summary>Polygons seen whole from one inner point, with sharp and reflex corners.</summary>
    public static readonly Gen<Region> Stars = Gen.Double[0.3, 3].Array[3, 12].Select(
        radii => Region.Of(Contour.Polygon([.. radii.Select((r, i) => At(r, 2 * Math.PI * i / radii.Length))])));

    /// <summary>Convex polygons: points on an ellipse, turned.</summary>
    public static readonly Gen<Region> ConvexPolygons = Gen.Select(
        Gen.Double[0.05, 1].Array[3, 14], Gen.Double[0.2, 2], Gen.Double[0, 6.3],
        (steps, flat, turn) =>
        {
            var sum = 0.0;
            var all = steps.Sum();
            var points = steps.Select(s =>
            {
                sum += s;
                var a = 2 * Math.PI * sum / all;
                var p = new Point2(2 * Math.Cos(a), flat * Math.Sin(a));
                return Affine2.RotationDegrees(turn * 57).Apply(p);
            });
            return Region.Of(Contour.Polygon([.. points]));
        });

    private static readonly Gen<Region> Disc = Gen.Select(Place, Gen.Double[0.2, 1.2], (c, r) => Region.Of(Contour.Circle(c, r)));

    private static readonly Gen<Region> Box = Gen.Select(
        Place, Gen.Double[0.2, 2], Gen.Double[0.2, 2], Gen.Double[0, 90],
        (c, w, h, turn) => Region.Of(Contour.Rectangle(new(-w / 2, -h / 2, w / 2, h / 2)))
            .Transform(Affine2.Translation(c.X, c.Y) * Affine2.RotationDegrees(turn)));

    private static readonly Gen<Region> Obround = Gen.Select(Place, Place, Gen.Double[0.2, 0.8], (a, b, w) => Capsule(a, b, w));

    private static readonly Gen<Region> Piece = Gen.OneOf(Disc, Box, Obround);

    /// <summary>Pads with arcs, reflex corners, concave arcs, holes and islands: pieces united, others taken away.</summary>
    public static readonly Gen<Region> ArcShapes = Gen.Select(Piece.Array[1, 4], Piece.Array[0, 2])
        .Select((add, take) => RegionBoolean.Difference(RegionBoolean.Union(add), RegionBoolean.Union(take)))
        .Where(r => r.AreaMm2 > 0.01);

    /// <summary>Any of them.</summary>
    public static readonly Gen<Region> Any = Gen.OneOf(Stars, ConvexPolygons, ArcShapes, ArcShapes);

    /// <summary>A convex obround, built by hand.</summary>
    public static Region Capsule(Point2 a, Point2 b, double width)
    {
        var n = (b - a).Unit.Left * (width / 2);
        if (n == default)
        {
            return Region.Of(Contour.Circle(a, width / 2));
        }

        var (p, q, r, s) = (a - n, b - n, b + n, a + n);
        return Region.Of(new Contour([new(p.X, p.Y), new(q.X, q.Y, 1), new(r.X, r.Y), new(s.X, s.Y, 1)]));
    }

    /// <summary>The point for the reference library, which loses areas over coordinates and lengths of 1e-60: to the picometre.</summary>
    public static Coordinate ToCoordinate(Point2 p) => new(Math.Round(p.X, 9), Math.Round(p.Y, 9));

    /// <summary>The flattened region for the reference library; contours are taken by even-odd, as a valid region allows.</summary>
    public static NetTopologySuite.Geometries.Geometry ToReference(Region region, double chordErrorMm)
    {
        var factory = GeometryFactory.Default;
        NetTopologySuite.Geometries.Geometry result = factory.CreatePolygon();
        foreach (var island in RegionBoolean.Islands(region))
        {
            var rings = island.Contours.Select(c => factory.CreateLinearRing(
                [.. c.Flatten(chordErrorMm).Append(c.Vertices[0].Point).Select(ToCoordinate)])).ToArray();
            var polygon = factory.CreatePolygon(rings[0], rings[1..]);
            result = result.Union(polygon.IsValid ? polygon : polygon.Buffer(0));
        }

        return result;
    }

    /// <summary>The reference's buffer, without the simplification of its input that it makes by default (1 % of the distance).</summary>
    public static NetTopologySuite.Geometries.Geometry Buffered(NetTopologySuite.Geometries.Geometry geometry, double distanceMm, int quadrantSegments) =>
        NetTopologySuite.Operation.Buffer.BufferOp.Buffer(
            geometry, distanceMm, new NetTopologySuite.Operation.Buffer.BufferParameters(quadrantSegments) { SimplifyFactor = 1e-6 });

    /// <summary>Points spread along a region's boundary.</summary>
    public static IEnumerable<Point2> BoundaryPoints(Region region)
    {
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                yield return s.Start;
                yield return s.PointAt(0.31);
                yield return s.PointAt(0.5);
                yield return s.PointAt(0.83);
            }
        }
    }

    private static Point2 At(double r, double angle) => new(r * Math.Cos(angle), r * Math.Sin(angle));
}
