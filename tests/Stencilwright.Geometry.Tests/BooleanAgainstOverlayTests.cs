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
}
