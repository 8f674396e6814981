using CsCheck;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

/// <summary>Equal openings are cut once and moved: they must come out as if each were cut where it lies.</summary>
public sealed class CutMemoryTests
{
    private static readonly Gen<Region> Shapes = Gen.Select(
        Gen.Double[0.3, 2], Gen.Double[0.3, 2], Gen.Double[0.02, 0.9], Gen.Double[0.2, 0.8], Gen.Int[0, 3], (w, h, r, p, kind) => kind switch
        {
            0 => RegionOffset.Offset(RegionOffset.Offset(Polygon([new(0, 0), new(w * p, 0), new(w, h / 2), new(w * p, h), new(0, h)]), -r * 0.1), r * 0.1),
            1 => RegionOffset.Offset(Polygon([new(0, 0), new(w, 0), new(w, h), new(0, h)]), r * 0.1),
            2 => Region.Of(new Contour([new(0, 0), new(w, 0, 1), new(w, h), new(0, h, 1)])),
            _ => RegionOffset.Offset(Polygon([new(0, 0), new(w, 0), new(w, h), new(w * p, h), new(w * p, h * p), new(0, h * p)]), r * 0.1),
        });

    [Fact]
    public void An_opening_is_cut_alike_wherever_it_lies() => Gen.Select(Shapes, Gen.Double[0.05, 0.2], Gen.OneOf(Gen.Const(1.0), Gen.Double[0.5, 1.5]), Gen.Bool).Check(
        (shape, kerf, flat, forArea) =>
        {
            var cutter = new OpeningCutter(kerf, kerf * flat);
            var memory = new CutMemory();
            foreach (var at in (Point2[])[new(0, 0), new(31.3, 47.1), new(96.0125, 12.7), new(5.08, 199.37)])
            {
                var placed = shape.Transform(Affine2.Translation(at.X, at.Y));
                var (there, here) = (memory.Of(placed, cutter, forArea).Cut, CutResult.Of(placed, cutter, forArea).Cut);
                // The fit to an ellipse is good to 0.05 µm; a line more or less would be 1e-3 mm² and more.
                var tolerance = placed.PerimeterMm * (flat == 1 ? 2e-7 : 1e-4);
                Assert.Equal(here.Opened.AreaMm2, there.Opened.AreaMm2, tolerance);
                Assert.Equal(here.Inset.AreaMm2, there.Inset.AreaMm2, tolerance);
                Assert.Equal(here.Lines.Length, there.Lines.Length);
                Assert.Equal(here.Opened.Bounds.MinX, there.Opened.Bounds.MinX, 1e-4);
                Assert.Equal(here.Opened.Bounds.MaxY, there.Opened.Bounds.MaxY, 1e-4);
            }

            // One shape, whatever the rounding at its places; a bulge or a coordinate on the edge of a step may make it two.
            Assert.InRange(memory.Count, 1, 2);
        },
        iter: 150);

    [Fact]
    public void A_shape_is_the_same_to_the_last_bit_whether_its_zeros_came_with_a_sign_or_not()
    {
        // Turning a sheet over makes negative zeros, and which of two equal shapes is cut first is a matter of threads.
        static IEnumerable<long> Bits(Region shape) => PlacedShape.Of(shape).Shape.Contours[0].Vertices.ToArray()
            .SelectMany(v => (double[])[v.X, v.Y, v.Bulge]).Select(BitConverter.DoubleToInt64Bits);
        var plain = Region.Of(new Contour([new(0, 0), new(1, 0, 0.5), new(1, 1), new(0, 1)]));
        var signed = Region.Of(new Contour([new(0, 0, -0.0), new(1, -1e-30, 0.5), new(1, 1, -0.0), new(-1e-30, 1)]));
        Assert.Equal(Bits(plain), Bits(signed));
    }

    [Fact]
    public void A_bend_of_more_than_half_a_circle_reaches_beyond_both_its_ends()
    {
        // Three quarters of a circle of radius 1 on a foot that is wider than the gap and narrower than the circle.
        var half = Math.Sqrt(0.5);
        var keyhole = Region.Of(new Contour([new(-0.8, -3), new(0.8, -3), new(half, -half, Math.Tan(3 * Math.PI / 8)), new(-half, -half)]));
        var (low, high) = ShapeMeasure.Extent(keyhole, new(1, 0));
        Assert.Equal(-1, low, 1e-9);
        Assert.Equal(1, high, 1e-9);
        Assert.Equal(1, ShapeMeasure.Extent(keyhole, new(0, 1)).High, 1e-9);
    }

    private static Region Polygon(ReadOnlySpan<Point2> points) => Region.Of(Contour.Polygon(points));
}
