using CsCheck;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Geometry.Tests.BooleanSupport;

namespace Stencilwright.Geometry.Tests;

/// <summary>Areas against NetTopologySuite 2.6 (OverlayNG on arcs flattened to a chord error of 1e-6 mm).</summary>
public class BooleanAgainstOverlayTests
{
    [Fact]
    public void Union_difference_and_intersection_have_the_areas_of_the_independent_overlay() =>
        Gen.Select(GenShape, GenShape).Check(
            (p, q) =>
            {
                var (a, b) = (Region.Of(p), Region.Of(q));
                var (na, nb) = (ToNts(p), ToNts(q));
                var tolerance = (p.PerimeterMm + q.PerimeterMm) * ChordErrorMm * 1.1;
                Assert.Equal(na.Union(nb).Area, RegionBoolean.Union([a, b]).AreaMm2, tolerance);
                Assert.Equal(na.Difference(nb).Area, RegionBoolean.Difference(a, b).AreaMm2, tolerance);
                Assert.Equal(na.Intersection(nb).Area, RegionBoolean.Intersection(a, b).AreaMm2, tolerance);
            },
            iter: 300);

    [Fact]
    public void The_union_of_many_shapes_has_the_area_of_the_independent_overlay() =>
        GenShape.Array[3, 25].Check(
            contours =>
            {
                var union = RegionBoolean.Resolve(contours, FillRule.Positive);
                var parts = Array.ConvertAll(contours, ToNts);
                var expected = NetTopologySuite.Operation.Union.UnaryUnionOp.Union(parts).Area;
                var perimeter = 0.0;
                foreach (var contour in contours)
                    perimeter += contour.PerimeterMm;

                Assert.True(expected > 0);
                Assert.Equal(expected, union.AreaMm2, perimeter * ChordErrorMm * 1.1);
                AssertValid(union);
            },
            iter: 100);

    [Fact]
    public void Union_and_intersection_together_have_the_area_of_both_operands() =>
        Gen.Select(GenShape.Array[1, 6], GenShape.Array[1, 6]).Check(
            (p, q) =>
            {
                var a = RegionBoolean.Resolve(p, FillRule.Positive);
                var b = RegionBoolean.Resolve(q, FillRule.Positive);
                var both = RegionBoolean.Union([a, b]).AreaMm2 + RegionBoolean.Intersection(a, b).AreaMm2;
                Assert.Equal(a.AreaMm2 + b.AreaMm2, both, 1e-8);
                var difference = RegionBoolean.Difference(a, b).AreaMm2 + RegionBoolean.Intersection(a, b).AreaMm2;
                Assert.Equal(a.AreaMm2, difference, 1e-8);
            },
            iter: 1000);

    /// <summary>So many that winding numbers spread over thousands of meeting points, many strokes through one point among them.</summary>
    [Fact]
    public void The_union_of_hundreds_of_crossing_strokes_has_the_area_of_the_independent_overlay() =>
        Gen.Select(Gen.Select(Gen.Double[0, 12], Gen.Double[0, 12], Gen.Double[0, 3.2], Gen.Double[0.05, 0.3]).Array[150, 400], Gen.Int[0, 40]).Check(
            (strokes, spokes) =>
            {
                var parts = new Region[strokes.Length + spokes];
                for (var i = 0; i < strokes.Length; i++)
                {
                    var (x, y, turn, radius) = strokes[i];
                    var half = new Vector2(Math.Cos(turn), Math.Sin(turn)) * 1.5;
                    parts[i] = Region.Of(Capsule(new Point2(x, y) - half, new Point2(x, y) + half, radius));
                }

                // All from one round end: their sides leave its circle on tangents.
                for (var i = 0; i < spokes; i++)
                {
                    var (sin, cos) = Math.SinCos(2 * Math.PI * i / spokes);
                    parts[strokes.Length + i] = Region.Of(Capsule(new(6, 6), new(6 + (5 * cos), 6 + (5 * sin)), 0.1));
                }

                var union = RegionBoolean.Union(parts);
                var peers = Array.ConvertAll(parts, p => (NetTopologySuite.Geometries.Geometry)Factory.CreatePolygon(ToRing(p.Contours[0], 1e-5)));
                var expected = NetTopologySuite.Operation.Union.UnaryUnionOp.Union(peers).Area;
                Assert.Equal(expected, union.AreaMm2, parts.Sum(p => p.PerimeterMm) * 1e-5);
                AssertValid(union);
            },
            iter: 6);
}
