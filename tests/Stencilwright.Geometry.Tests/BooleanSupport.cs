using CsCheck;
using NetTopologySuite.Geometries;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>Random shapes, and the same shapes for the independent NetTopologySuite (its OverlayNG), arcs finely flattened.</summary>
internal static class BooleanSupport
{
    public const double ChordErrorMm = 1e-6;

    public static readonly GeometryFactory Factory = new();

    public static readonly Gen<Contour> GenRectangle =
        Gen.Select(Gen.Int[0, 40], Gen.Int[0, 40], Gen.Int[1, 30], Gen.Int[1, 30], (x, y, w, h) =>
            Contour.Rectangle(new(x / 10.0, y / 10.0, (x + w) / 10.0, (y + h) / 10.0)));

    public static readonly Gen<Contour> GenCircle =
        Gen.Select(Gen.Int[0, 40], Gen.Int[0, 40], Gen.Int[1, 15], (x, y, r) => Contour.Circle(new(x / 10.0, y / 10.0), r / 10.0));

    public static readonly Gen<Contour> GenCapsule =
        Gen.Select(Gen.Int[0, 40], Gen.Int[0, 40], Gen.Int[0, 40], Gen.Int[0, 40], Gen.Int[1, 8], (x, y, u, v, r) =>
            Capsule(new(x / 10.0, y / 10.0), new(u / 10.0, v / 10.0), r / 10.0));

    public static readonly Gen<Contour> GenRounded =
        Gen.Select(Gen.Int[0, 40], Gen.Int[0, 40], Gen.Int[4, 30], Gen.Int[4, 30], Gen.Int[1, 2], (x, y, w, h, r) =>
            Rounded(new(x / 10.0, y / 10.0, (x + w) / 10.0, (y + h) / 10.0), r / 10.0));

    /// <summary>A star-shaped polygon of lines and arcs at free coordinates that does not cross itself.</summary>
    public static readonly Gen<Contour> GenBlob =
        Gen.Select(Gen.Double[0, 4], Gen.Double[0, 4], Gen.Select(Gen.Double[0.5, 1.6], Gen.Double[-0.3, 0.3]).Array[3, 9], (x, y, rays) =>
        {
            var vertices = new PathVertex[rays.Length];
            for (var i = 0; i < rays.Length; i++)
            {
                var (sin, cos) = Math.SinCos(2 * Math.PI * i / rays.Length);
                vertices[i] = new(x + (rays[i].Item1 * cos), y + (rays[i].Item1 * sin), i % 2 == 0 ? rays[i].Item2 : 0);
            }

            return Contour.Adopt(vertices);
        }).Where(contour => Factory.CreatePolygon(ToRing(contour)).IsValid);

    public static readonly Gen<Contour> GenShape = Gen.OneOf(GenRectangle, GenCircle, GenCapsule, GenRounded, GenBlob);

    public static Contour Capsule(Point2 a, Point2 b, double radius)
    {
        if (a == b)
            return Contour.Circle(a, radius);

        var side = (b - a).Unit.Left * radius;
        var (a0, b0, b1, a1) = (a - side, b - side, b + side, a + side);
        return Contour.Adopt([new(a0.X, a0.Y), new(b0.X, b0.Y, 1), new(b1.X, b1.Y), new(a1.X, a1.Y, 1)]);
    }

    public static Contour Rounded(Bounds2 box, double radius)
    {
        var quarter = Math.Tan(Math.PI / 8);
        return Contour.Adopt(
        [
            new(box.MinX + radius, box.MinY), new(box.MaxX - radius, box.MinY, quarter),
            new(box.MaxX, box.MinY + radius), new(box.MaxX, box.MaxY - radius, quarter),
            new(box.MaxX - radius, box.MaxY), new(box.MinX + radius, box.MaxY, quarter),
            new(box.MinX, box.MaxY - radius), new(box.MinX, box.MinY + radius, quarter),
        ]);
    }

    public static NetTopologySuite.Geometries.Geometry ToNts(Contour contour) => Factory.CreatePolygon(ToRing(contour)).Buffer(0);

    public static NetTopologySuite.Geometries.Geometry ToNts(Region region)
    {
        NetTopologySuite.Geometries.Geometry result = Factory.CreatePolygon();
        foreach (var contour in region.Contours)
        {
            var part = Factory.CreatePolygon(ToRing(contour));
            result = contour.SignedAreaMm2 > 0 ? result.SymmetricDifference(part) : result.Difference(part);
        }

        return result;
    }

    public static LinearRing ToRing(Contour contour, double chordErrorMm = ChordErrorMm)
    {
        var points = new List<Coordinate>();
        for (var i = 0; i < contour.Count; i++)
        {
            var segment = contour.SegmentAt(i);
            points.Add(new(segment.Start.X, segment.Start.Y));
            if (segment.IsLine)
                continue;

            // A part of 1/n of the arc has close to 1/n² of its sagitta.
            var sagitta = segment.Chord.Length * Math.Abs(segment.Bulge) / 2;
            var count = 1 + (int)Math.Ceiling(1.3 * Math.Sqrt(sagitta / chordErrorMm));
            for (var k = 1; k < count; k++)
            {
                var p = segment.PointAt((double)k / count);
                points.Add(new(p.X, p.Y));
            }
        }

        points.Add(points[0].Copy());
        return Factory.CreateLinearRing([.. points]);
    }

    public static Region Shift(Region region, Affine2 map) => region.Transform(map);

    /// <summary>Checks what every region promises: interior left of each contour, winding 0 or 1, holes inside outers.</summary>
    public static void AssertValid(Region region)
    {
        var again = RegionBoolean.Resolve(region.Contours.AsSpan(), FillRule.EvenOdd);
        Assert.Equal(again.AreaMm2, region.AreaMm2, 1e-7 * (1 + region.AreaMm2));
        var positive = RegionBoolean.Resolve(region.Contours.AsSpan(), FillRule.Positive);
        Assert.Equal(positive.AreaMm2, region.AreaMm2, 1e-7 * (1 + region.AreaMm2));
    }
}
