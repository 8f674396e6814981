using CsCheck;
using NetTopologySuite.Algorithm;
using NetTopologySuite.Algorithm.Construct;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Buffer;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>The narrowest width, against planted answers and NetTopologySuite.</summary>
public sealed class NarrowestWidthTests
{
    private const double MicronMm = 1e-3;

    private static readonly Gen<Affine2> Placing = Gen.Select(Gen.Double[-50, 50], Gen.Double[-50, 50], Gen.Double[0, 360], Gen.Bool,
        (x, y, turn, mirrored) => Affine2.Translation(x, y) * Affine2.RotationDegrees(turn) * Affine2.Scale(mirrored ? -1 : 1, 1));

    public static TheoryData<string, double> Planted => new()
    {
        { "rectangle", 0.4 },
        { "rounded rectangle", 0.4 },
        { "obround", 0.4 },
        { "circle", 0.8 },
        { "home plate", 0.6 },
        { "dumbbell", 0.3 },
        { "annulus", 0.25 },
        { "shifted annulus", 0.15 },
        { "slot into a circle", 0.2 },
        { "elbow", 0.3 },
        { "right triangle", 2 },
        { "notched", 0.35 },
        { "rectangle with a hole", 0.2 },
        { "arc slot", 0.3 },
        { "chamfered rectangle", 0.5 },
        { "two islands", 0.1 },
        { "lens", 1 },
    };

    [Theory]
    [MemberData(nameof(Planted))]
    public void Known_shapes_have_their_known_width_wherever_they_lie(string name, double widthMm)
    {
        var shape = Shape(name);
        Assert.Equal(widthMm, RegionWidth.Narrowest(shape).DiameterMm, 1e-6);
        Placing.Check(map => Assert.Equal(widthMm, RegionWidth.Narrowest(shape.Transform(map)).DiameterMm, 1e-6), iter: 10);
    }

    [Fact]
    public void Nothing_has_no_width() => Assert.Equal(0, RegionWidth.Narrowest(Region.Empty).DiameterMm);

    [Fact]
    public void The_circle_lies_inside_and_touches_on_more_than_half_of_it() =>
        OffsetSamples.Any.Check(
            region =>
            {
                var circle = RegionWidth.Narrowest(region);
                Assert.True(circle.DiameterMm > 0);
                Assert.True(region.Contains(circle.Center));
                var depth = RegionDistance.ToBoundary(region, circle.Center).DistanceMm;
                Assert.Equal(circle.DiameterMm / 2, depth, 3e-4);

                // Nowhere nearby, in any direction, is there a deeper point by more than the square of the step allows.
                var step = Math.Min(1e-3, depth / 100);
                for (var k = 0; k < 24; k++)
                {
                    var p = circle.Center + (new Vector2(Math.Cos(k * Math.PI / 12), Math.Sin(k * Math.PI / 12)) * step);
                    var there = RegionDistance.ToBoundary(region, p).DistanceMm;
                    Assert.True(there <= depth + (step * step / depth) + 1e-6 || IsNeckAlong(region, circle, k, step));
                }
            },
            iter: 150);

    /// <summary>The peer: NetTopologySuite 2.6, MaximumInscribedCircle, on chords within 0.1 µm.</summary>
    [Fact]
    public void Convex_shapes_are_as_wide_as_their_largest_circle() =>
        Gen.OneOf(OffsetSamples.ConvexPolygons, RoundedConvex).Check(
            region =>
            {
                var peer = MaximumInscribedCircle.GetRadiusLine(ToPeer(region), 1e-4).Length * 2;
                Assert.Equal(peer, RegionWidth.Narrowest(region).DiameterMm, MicronMm);
            },
            iter: 80);

    /// <summary>The peer: NetTopologySuite 2.6, MinimumDiameter, equal to the width where a convex shape is its own image in a point.</summary>
    [Fact]
    public void Shapes_that_are_their_own_image_in_a_point_are_as_wide_as_their_narrowest_strip() =>
        Gen.Select(Gen.Double[0.2, 3], Gen.Double[0.2, 3], Gen.Double[0, 0.5], Placing, (w, h, r, map) =>
            Region.Of(BooleanSupport.Rounded(new(-w, -h, w, h), Math.Min(w, h) * Math.Max(r, 0.01))).Transform(map)).Check(
            region => Assert.Equal(new MinimumDiameter(ToPeer(region)).Length, RegionWidth.Narrowest(region).DiameterMm, MicronMm),
            iter: 60);

    /// <summary>The peer: NetTopologySuite 2.6, BufferOp, without its simplifying: islands less holes stay as many until half the width is taken off.</summary>
    [Fact]
    public void Islands_and_holes_stay_until_half_the_width_is_taken_off() =>
        Gen.OneOf(OffsetSamples.Stars, OffsetSamples.ArcShapes).Where(region => region.Contours.Length < 6).Check(
            region =>
            {
                var half = RegionWidth.Narrowest(region).DiameterMm / 2;
                var peer = ToPeer(region);
                if (half > 2 * MicronMm)
                {
                    Assert.Equal(Characteristic(peer), Characteristic(Eroded(peer, half - MicronMm)));
                }
            },
            iter: 80);

    /// <summary>The peer as above. Stars have no parallel sides, so that a width is always a neck or a whole body.</summary>
    [Fact]
    public void Beyond_half_the_width_an_island_splits_or_goes() =>
        OffsetSamples.Stars.Check(
            region =>
            {
                var half = RegionWidth.Narrowest(region).DiameterMm / 2;
                var peer = ToPeer(region);

                // What splits off in a neck may be gone again within a micrometre.
                Assert.Contains((double[])[1, 0.3, 0.1, 0.03, 0.01], by => Characteristic(peer) != Characteristic(Eroded(peer, half + (by * MicronMm))));
            },
            iter: 80);

    private static Gen<Region> RoundedConvex => OffsetSamples.ConvexPolygons
        .Select(Gen.Double[0.02, 0.4], (region, r) => RegionOffset.Offset(region, r));

    // In a neck the depth grows along its axis by the curvature of its sides, which may be sharp.
    private static bool IsNeckAlong(Region region, InscribedCircle circle, int direction, double step)
    {
        var at = new Vector2(Math.Cos(direction * Math.PI / 12), Math.Sin(direction * Math.PI / 12));
        var (ahead, behind) = (circle.Center + (at * step), circle.Center - (at * step));
        var (a, b) = (RegionDistance.ToBoundary(region, ahead).DistanceMm, RegionDistance.ToBoundary(region, behind).DistanceMm);
        return a + b - circle.DiameterMm <= 2 * step * step / circle.DiameterMm * 4 + 1e-6;
    }

    private static int Characteristic(NetTopologySuite.Geometries.Geometry shape)
    {
        var sum = 0;
        for (var i = 0; i < shape.NumGeometries; i++)
        {
            if (shape.GetGeometryN(i) is Polygon { IsEmpty: false } polygon)
                sum += 1 - polygon.NumInteriorRings;
        }

        return sum;
    }

    // Close to where all vanishes the peer can leave a piece turned inside out; it lies less deep than what was taken off.
    private static MultiPolygon Eroded(NetTopologySuite.Geometries.Geometry shape, double by)
    {
        var eroded = BufferOp.Buffer(shape, -by, new BufferParameters(256) { SimplifyFactor = 1e-6 });
        var left = Enumerable.Range(0, eroded.NumGeometries).Select(eroded.GetGeometryN).OfType<Polygon>()
            .Where(p => !p.IsEmpty && shape.Boundary.Distance(p.InteriorPoint) > by - (MicronMm / 4));
        return BooleanSupport.Factory.CreateMultiPolygon([.. left]);
    }

    private static NetTopologySuite.Geometries.Geometry ToPeer(Region region)
    {
        var holes = new List<LinearRing>();
        var polygons = new List<Polygon>();
        foreach (var island in RegionBoolean.Islands(region))
        {
            holes.Clear();
            foreach (var contour in island.Contours.Skip(1))
                holes.Add(BooleanSupport.ToRing(contour, 1e-4));

            polygons.Add(BooleanSupport.Factory.CreatePolygon(BooleanSupport.ToRing(island.Contours[0], 1e-4), [.. holes]));
        }

        return polygons.Count == 1 ? polygons[0] : BooleanSupport.Factory.CreateMultiPolygon([.. polygons]);
    }

    private static Region Shape(string name) => name switch
    {
        "rectangle" => Box(1, 0.4),
        "rounded rectangle" => Region.Of(BooleanSupport.Rounded(new(-0.5, -0.2, 0.5, 0.2), 0.1)),
        "obround" => OffsetSamples.Capsule(new(-0.3, 0), new(0.3, 0), 0.4),
        "circle" => Region.Of(Contour.Circle(default, 0.4)),
        "home plate" => Polygon((0, 0), (1, 0), (1.3, 0.3), (1, 0.6), (0, 0.6)),
        "dumbbell" => RegionBoolean.Union([Disc(-1, 0, 0.5), Disc(1, 0, 0.6), OffsetSamples.Capsule(new(-1, 0), new(1, 0), 0.3)]),
        "annulus" => RegionBoolean.Difference(Disc(0, 0, 0.75), Disc(0, 0, 0.5)),
        "shifted annulus" => RegionBoolean.Difference(Disc(0, 0, 0.75), Disc(0.1, 0, 0.5)),
        "slot into a circle" => RegionBoolean.Union([Disc(0, 0, 0.5), Box(2, 0.2)]),
        "elbow" => Polygon((0, 0), (2, 0), (2, 0.3), (0.5, 0.3), (0.5, 2), (0, 2)),
        "right triangle" => Polygon((0, 0), (4, 0), (0, 3)),
        "notched" => Polygon((0, 0), (2, 0), (2, 0.5), (1.1, 0.5), (1, 0.35), (0.9, 0.5), (0, 0.5)),
        "rectangle with a hole" => RegionBoolean.Difference(Box(2, 1), Disc(0, 0.05, 0.25)),
        "arc slot" => RegionBoolean.Intersection(
            RegionBoolean.Difference(Disc(0, 0, 1.3), Disc(0, 0, 1)), Polygon((0, 0), (2, 0.1), (2, 2), (-2, 1.5))),
        "chamfered rectangle" => Polygon((0.1, 0), (1.5, 0), (1.5, 0.4), (1.4, 0.5), (0, 0.5), (0, 0.1)),
        "two islands" => RegionBoolean.Union([Box(1, 0.4), Box(1, 0.1).Transform(Affine2.Translation(0, 2))]),
        _ => RegionBoolean.Intersection(Disc(0, 0, 1), Disc(1, 0, 1)),
    };

    private static Region Disc(double x, double y, double radius) => Region.Of(Contour.Circle(new(x, y), radius));

    private static Region Box(double width, double height) => Region.Of(Contour.Rectangle(new(-width / 2, -height / 2, width / 2, height / 2)));

    private static Region Polygon(params (double X, double Y)[] points) =>
        Region.Of(Contour.Polygon([.. points.Select(p => new Point2(p.X, p.Y))]));
}
