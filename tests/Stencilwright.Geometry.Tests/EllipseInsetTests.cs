using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>Insets of smooth convex pads by ellipses, in one pass where that is exact.</summary>
public sealed class EllipseInsetTests
{
    private static readonly Gen<Region> Smooth = Gen.Select(
        Gen.Double[0.3, 2], Gen.Double[0.3, 2], Gen.Double[0.02, 1], Gen.Double[0, 360], Gen.Int[0, 4],
        (w, h, r, turn, kind) =>
        {
            var shape = kind switch
            {
                0 => Region.Of(Contour.Circle(default, w / 2)),
                1 => OffsetSamples.Capsule(new(-w, 0), new(w, 0), h),
                _ => Region.Of(BooleanSupport.Rounded(new(-w / 2, -h / 2, w / 2, h / 2), Math.Min(w, h) * 0.499 * r)),
            };
            return shape.Transform(Affine2.RotationDegrees(kind % 2 == 0 ? turn : Math.Round(turn / 90) * 90));
        });

    /// <summary>The other way: stretched until the ellipse is a circle, inset, and squeezed back, with arcs fitted far closer.</summary>
    [Fact]
    public void They_are_what_remains_of_the_stretched_shape_inset_by_a_circle() =>
        Gen.Select(Smooth, Gen.Double[0.02, 0.14], Gen.Double[0.5, 1.9]).Check(
            (region, halfX, ratio) =>
            {
                var halfY = halfX * ratio;
                var map = Affine2.Scale(1, halfX / halfY);
                var expected = RegionOffset.Offset(region.Transform(map, 1e-7), -halfX).Transform(map.Inverse(), 1e-7);
                var inset = RegionOffset.Inset(region, halfX, halfY);
                Assert.Equal(expected.IsEmpty, inset.IsEmpty);
                Assert.Equal(expected.AreaMm2, inset.AreaMm2, 6e-5 * region.PerimeterMm);
                foreach (var contour in inset.Contours)
                {
                    for (var i = 0; i < contour.Count; i++)
                    {
                        foreach (var p in (ReadOnlySpan<Point2>)[contour.SegmentAt(i).Start, contour.SegmentAt(i).Middle])
                            Assert.True(RegionDistance.ToBoundary(expected, p).DistanceMm < 6e-5);
                    }
                }
            },
            iter: 200);

    /// <summary>Arcs rounder than the ellipse facing one way and flatter facing another: what is left of them ends where the rest cuts it off.</summary>
    [Fact]
    public void Where_arcs_are_partly_rounder_the_ellipse_fits_inside_and_touches() =>
        Gen.Select(Gen.Double[0.05, 0.15], Gen.Double[0.55, 1.8], Gen.Double[0, 1], Gen.Double[0, 360], Gen.Int[0, 2]).Check(
            (halfX, ratio, place, turn, kind) =>
            {
                var halfY = halfX * ratio;
                var (greater, lesser) = (Math.Max(halfX, halfY), Math.Min(halfX, halfY));
                var (least, most) = (lesser * lesser / greater, greater * greater / lesser);
                var radius = least + (place * (most - least));
                var region = kind == 0
                    ? Region.Of(Contour.Circle(default, Math.Max(radius, greater * 1.02)))
                    : Region.Of(BooleanSupport.Rounded(new(-0.9, -0.6, 0.9, 0.6), radius)).Transform(Affine2.RotationDegrees(kind == 1 ? turn : 0));
                var inset = RegionOffset.Inset(region, halfX, halfY);
                var contour = Assert.Single(inset.Contours);
                for (var i = 0; i < contour.Count; i++)
                {
                    foreach (var p in (ReadOnlySpan<Point2>)[contour.SegmentAt(i).Start, contour.SegmentAt(i).Middle])
                        Assert.InRange(Room(region, p, halfX, halfY), -6e-5, 6e-5);
                }
            },
            iter: 150);

    // How much further the ellipse about a point could reach before it leaves a convex region, where it has least room.
    private static double Room(Region region, Point2 p, double halfX, double halfY)
    {
        var least = double.PositiveInfinity;
        for (var k = 0; k < 4000; k++)
        {
            var (sin, cos) = Math.SinCos(2 * Math.PI * k / 4000);
            var at = new Point2(p.X + (halfX * cos), p.Y + (halfY * sin));
            var distance = RegionDistance.ToBoundary(region, at).DistanceMm;
            least = Math.Min(least, region.Contains(at) ? distance : -distance);
        }

        return least;
    }

    [Fact]
    public void Small_corners_vanish_and_leave_a_rectangle()
    {
        var inset = RegionOffset.Inset(Region.Of(BooleanSupport.Rounded(new(0, 0, 2, 1), 0.05)), 0.08, 0.075);
        Assert.Equal(4, Assert.Single(inset.Contours).Count);
        Assert.Equal((2 - 0.16) * (1 - 0.15), inset.AreaMm2, 1e-12);
    }

    [Fact]
    public void Large_corners_become_few_arcs()
    {
        var inset = RegionOffset.Inset(Region.Of(BooleanSupport.Rounded(new(0, 0, 2, 1), 0.2)), 0.075, 0.06);
        Assert.InRange(Assert.Single(inset.Contours).Count, 12, 36);
    }
}
