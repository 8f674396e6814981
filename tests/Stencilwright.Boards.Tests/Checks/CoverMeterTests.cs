using CsCheck;
using NetTopologySuite.Geometries;
using Stencilwright.Artwork;
using Stencilwright.Boards.Checks;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>Uncovered areas against NetTopologySuite (its overlay, polygons without arcs) and against whole booleans (with arcs).</summary>
public sealed class CoverMeterTests
{
    private static readonly NetTopologySuite.NtsGeometryServices _overlay = new(
        NetTopologySuite.Geometries.Implementation.CoordinateArraySequenceFactory.Instance,
        new PrecisionModel(), 0, GeometryOverlay.NG, new CoordinateEqualityComparer());

    // Stars about a middle: never convex but for few points, with as many as a pour has.
    private static readonly Gen<Point2[]> _stars = Gen.Select(
        Gen.Int[3, 90], Gen.Double[-1.5, 1.5], Gen.Double[-1.5, 1.5], Gen.Double[0.2, 2.5], Gen.Double[0.3, 1]).SelectMany(
        t => t.Item5 > 0.9 ? Gen.Const(1.0).Array[t.Item1].Select(r => Star(t.Item2, t.Item3, t.Item4, r))
            : Gen.Double[t.Item5, 1].Array[t.Item1].Select(r => Star(t.Item2, t.Item3, t.Item4, r)));

    private static readonly Gen<(Point2[] Opening, (Point2[] Shape, bool IsDark)[] Layer)> _paintings = Gen.Select(
        _stars, Gen.Select(_stars, Gen.Int[0, 3]).Select(t => (t.Item1, t.Item2 > 0)).Array[0, 8]);

    [Fact]
    public void Uncovered_area_is_that_of_an_independent_overlay() => _paintings.Check(
        (opening, layer) =>
        {
            var expected = Reference(opening, layer);
            var shape = RegionOf(opening);
            var sketch = new SketchLayer("layer.gbr");
            foreach (var (points, isDark) in layer)
            {
                sketch.Add(RegionOf(points), PaintKind.Area, isDark);
            }

            // An opening that one object holds may stick out by half a micrometre.
            Assert.Equal(expected, Uncovered(sketch.Painted(), shape), 0.0005 * shape.PerimeterMm);
        },
        iter: 250);

    [Fact]
    public void A_pour_cut_down_to_the_window_covers_what_the_whole_pour_does() => Gen.Select(_stars, Gen.Double[0.02, 0.6], Gen.Double[-2, 2], Gen.Double[-2, 2]).Check(
        (pour, radius, x, y) =>
        {
            // Arcs instead of chords: each edge bulges out or in a little.
            var vertices = pour.Select((p, i) => new PathVertex(p.X, p.Y, i % 3 == 0 ? 0.2 : i % 3 == 1 ? -0.15 : 0)).ToArray();
            var shape = RegionBoolean.Resolve([new Contour(vertices)], FillRule.NonZero);
            var opening = Region.Of(Contour.Circle(new(x, y), radius));
            var cover = new BlockedShape(shape).Cut(opening.Bounds, out var part);
            var left = cover switch
            {
                WindowCover.All => 0,
                WindowCover.None => opening.AreaMm2,
                _ => RegionBoolean.Difference(opening, part).AreaMm2,
            };
            Assert.Equal(RegionBoolean.Difference(opening, shape).AreaMm2, left, 1e-7);
        },
        iter: 400);

    [Fact]
    public void A_shape_said_to_be_held_sticks_out_nowhere() => Gen.Select(Convex(), Convex()).Check(
        (holder, held) =>
        {
            var outside = RegionBoolean.Difference(held, holder).AreaMm2;
            if (ConvexTest.Holds(holder, held, 0.0005))
            {
                Assert.InRange(outside, 0, 0.0005 * held.PerimeterMm);
            }
        },
        iter: 1000);

    [Theory]
    [InlineData(0.2)]
    [InlineData(0.5)]
    [InlineData(0)]
    public void A_pad_holds_its_own_copy_and_a_smaller_one(double corner)
    {
        var pad = Rounded(0, 0, 2, 1, corner);
        Assert.True(ConvexTest.Holds(pad, pad, 0.0005));
        Assert.True(ConvexTest.Holds(pad, Rounded(0, 0, 1.9, 0.9, corner * 0.9), 0.0005));
        Assert.False(ConvexTest.Holds(Rounded(0, 0, 1.9, 0.9, corner), pad, 0.0005));
    }

    [Fact]
    public void Joined_boxes_are_those_that_touch() => Gen.Select(Boxes(), Boxes()).Check(
        (asked, others) =>
        {
            var join = BoxJoin.Of(asked, others);
            for (var i = 0; i < asked.Length; i++)
            {
                var box = asked[i];
                Assert.Equal(Enumerable.Range(0, others.Length).Where(k => box.Overlaps(others[k])), join[i].ToArray());
            }
        },
        iter: 200);

    [Fact]
    public void Nothing_covers_nothing()
    {
        var opening = Region.Of(Contour.Circle(default, 1));
        Assert.Equal(Math.PI, Uncovered(new SketchLayer("empty.gbr").Painted(), opening), 12);
    }

    private static Gen<Region> Convex() => Gen.Select(Gen.Double[-0.3, 0.3], Gen.Double[-0.3, 0.3], Gen.Double[0.4, 2], Gen.Double[0.4, 2], Gen.Double[0, 1]).Select(
        t => Rounded(t.Item1, t.Item2, t.Item3, t.Item4, t.Item5 * Math.Min(t.Item3, t.Item4) / 2));

    private static Gen<Bounds2[]> Boxes() => Gen.Select(Gen.Double[-10, 10], Gen.Double[-10, 10], Gen.Double[0, 3], Gen.Double[0, 3])
        .Select(t => new Bounds2(t.Item1, t.Item2, t.Item1 + t.Item3, t.Item2 + t.Item4)).Array[0, 40];

    private static double Uncovered(PaintedLayer layer, Region opening) =>
        CoverMeter.UncoveredMm2(layer, BoxJoin.Of([opening.Bounds], layer.Boxes)[0], opening);

    private static Region RegionOf(Point2[] points) => Region.Of(Contour.Polygon(points));

    private static Point2[] Star(double x, double y, double size, double[] radii) => [.. radii.Select((r, i) =>
    {
        var (sin, cos) = Math.SinCos(2 * Math.PI * i / radii.Length);
        return new Point2(x + (size * r * cos), y + (size * r * sin));
    })];

    // A rectangle whose corners are quarter circles; none for a radius of 0.
    private static Region Rounded(double x, double y, double width, double height, double radius)
    {
        var (w, h) = (width / 2, height / 2);
        if (radius < 1e-9)
        {
            return Region.Of(Contour.Rectangle(new(x - w, y - h, x + w, y + h)));
        }

        var quarter = Math.Tan(Math.PI / 8);
        var r = Math.Min(radius, Math.Min(w, h));
        PathVertex[] all =
        [
            new(x + w, y - h + r), new(x + w, y + h - r, quarter), new(x + w - r, y + h), new(x - w + r, y + h, quarter),
            new(x - w, y + h - r), new(x - w, y - h + r, quarter), new(x - w + r, y - h), new(x + w - r, y - h, quarter),
        ];
        var distinct = all.Where((v, i) => Point2.Distance(v.Point, all[(i + 1) % all.Length].Point) > 1e-9).ToArray();
        return Region.Of(new Contour(distinct));
    }

    private static double Reference(Point2[] opening, (Point2[] Shape, bool IsDark)[] layer)
    {
        var factory = _overlay.CreateGeometryFactory();
        NetTopologySuite.Geometries.Geometry Polygon(Point2[] points) => factory.CreatePolygon([.. points.Append(points[0]).Select(p => new Coordinate(p.X, p.Y))]);
        NetTopologySuite.Geometries.Geometry image = factory.CreatePolygon();
        foreach (var (points, isDark) in layer)
        {
            // Where outlines only touch, the overlay may leave lines and points beside the areas.
            image = (isDark ? image.Union(Polygon(points)) : image.Difference(Polygon(points))).Buffer(0);
        }

        return Polygon(opening).Difference(image).Area;
    }
}
