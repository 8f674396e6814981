using System.Collections.Immutable;
using CsCheck;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Geometry.Tests.BooleanSupport;

namespace Stencilwright.Geometry.Tests;

/// <summary>Measures of lines and arcs against NetTopologySuite 2.6 on finely flattened copies, and against closed forms.</summary>
public class MeasureTests
{
    [Fact]
    public void Area_perimeter_centroid_and_box_are_those_of_the_flattened_shape() =>
        GenShape.Check(
            contour =>
            {
                var flat = Factory.CreatePolygon(ToRing(contour));
                Assert.True(contour.SignedAreaMm2 > 0);
                Assert.Equal(flat.Area, contour.SignedAreaMm2, contour.PerimeterMm * ChordErrorMm);
                Assert.Equal(flat.Length, contour.PerimeterMm, contour.PerimeterMm * 1e-4);
                var centroid = Region.Of(contour).Centroid;
                Assert.Equal(flat.Centroid.X, centroid.X, 1e-4);
                Assert.Equal(flat.Centroid.Y, centroid.Y, 1e-4);
                var (exact, box) = (contour.Bounds, flat.EnvelopeInternal);
                Assert.Equal(box.MinX, exact.MinX, 2 * ChordErrorMm);
                Assert.Equal(box.MaxX, exact.MaxX, 2 * ChordErrorMm);
                Assert.Equal(box.MinY, exact.MinY, 2 * ChordErrorMm);
                Assert.Equal(box.MaxY, exact.MaxY, 2 * ChordErrorMm);
            },
            iter: 200);

    [Fact]
    public void The_winding_number_agrees_with_the_flattened_shape_away_from_the_boundary() =>
        Gen.Select(GenShape, Gen.Double[-1, 6], Gen.Double[-1, 6]).Check(
            (contour, x, y) =>
            {
                var flat = Factory.CreatePolygon(ToRing(contour));
                var point = Factory.CreatePoint(new NetTopologySuite.Geometries.Coordinate(x, y));
                if (flat.ExteriorRing.Distance(point) < 1e-5)
                    return;

                Assert.Equal(flat.Contains(point) ? 1 : 0, contour.WindingNumber(new(x, y)));
                Assert.Equal(flat.Contains(point) ? -1 : 0, contour.Reversed().WindingNumber(new(x, y)));
            },
            iter: 300);

    [Fact]
    public void The_specification_s_long_arc_has_its_radius_and_length()
    {
        // Gerber Layer Format Specification, arc example: (3,-2) to (-3,-2), I-3 J4: r 5, sweep 286.26020 degrees, length 24.980915.
        var half = Segment.Arc(new(3, -2), new(0, 7), 286.26020 / 2 * Math.PI / 180);
        Assert.Equal(5, half.Radius, 1e-6);
        Assert.Equal(2, half.Center.Y, 1e-6);
        Assert.Equal(24.980915 / 2, half.Length, 1e-6);
    }

    [Fact]
    public void A_half_disc_has_the_centroid_of_the_closed_form()
    {
        // Half disc: 4 r / (3 π) above its diameter (from memory).
        var disc = Contour.Adopt([new(1, 0, 1), new(-1, 0)]);
        var centroid = Measure.Centroid(ImmutableArray.Create(disc));
        Assert.Equal(4 / (3 * Math.PI), centroid.Y, 1e-12);
        Assert.Equal(0, centroid.X, 1e-12);
        Assert.Equal(Math.PI / 2, disc.SignedAreaMm2, 1e-12);
        Assert.Equal(new Bounds2(-1, 0, 1, 1), disc.Bounds);
    }

    [Fact]
    public void Length_and_cap_area_pass_smoothly_through_the_change_of_formula()
    {
        var chord = 1.0;
        var below = new Segment(new(0, 0), new(chord, 0), 0.0009999999);
        var above = new Segment(new(0, 0), new(chord, 0), 0.0010000001);
        Assert.Equal(below.CapArea / below.Bulge, above.CapArea / above.Bulge, 1e-9);
        Assert.Equal(below.Length, above.Length, 1e-9);
    }
}
