using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>
/// Shapes as they come from files: tangents between lines and arcs are off by what was rounded. Moving a boundary by so little
/// moves what offsets make of it by as little: the area by no more than the perimeter times the move.
/// </summary>
public sealed class TangentNoiseTests
{
    private static readonly Gen<(Region Shape, double Radius)> Shapes = TangentNoiseSamples.Any;

    private static readonly Gen<double> Noise = Gen.Double[-12, -8].Select(e => Math.Pow(10, e));

    // A home plate of 1.35 by 1 mm as a rule shapes it, its vertices moved by 3e-11 mm or less: nothing of it was left.
    [Fact]
    public void A_home_plate_a_hair_off_its_tangents_is_inset()
    {
        var plate = TangentNoiseSamples.RoundedHomePlate(1.35, 1, 0.6, 0.05);
        for (var seed = 0u; seed < 400; seed += 2)
        {
            foreach (var d in (double[])[0.05, 0.06, 0.075])
            {
                var exact = RegionOffset.Offset(plate, -d).AreaMm2;
                Assert.Equal(exact, RegionOffset.Offset(TangentNoiseSamples.Moved(plate, 3e-11, seed + 1), -d).AreaMm2, 1e-6);
            }
        }
    }

    [Fact]
    public void Insets_by_a_disc_change_by_as_little_as_their_shape() =>
        Gen.Select(Shapes, Gen.Double[0, 1], Gen.Int[0, 3], Noise, Gen.UInt).Check(
            (shape, part, at, noise, seed) =>
            {
                var d = DistanceOf(shape, part, at);
                AssertSteady(shape.Shape, noise, seed, s => RegionOffset.Offset(s, -d), 0);
            },
            iter: 400);

    [Fact]
    public void Outsets_by_a_disc_change_by_as_little_as_their_shape() =>
        Gen.Select(Shapes, Gen.Double[0, 1], Gen.Int[0, 3], Noise, Gen.UInt).Check(
            (shape, part, at, noise, seed) =>
            {
                var d = DistanceOf(shape, part, at);
                AssertSteady(shape.Shape, noise, seed, s => RegionOffset.Offset(s, d), 0);
            },
            iter: 400);

    // All arcs near the tips vanish, and the ways by their centres leave slivers: a ray that began in one took all of the inset for nothing.
    [Fact]
    public void Ellipses_inset_beyond_the_radius_of_their_tips_change_by_as_little() =>
        Gen.Select(TangentNoiseSamples.Ellipses, Gen.Double[0, 1], Noise, Gen.UInt).Check(
            (ellipse, part, noise, seed) =>
            {
                var box = ellipse.Shape.Contours[0].Bounds;
                var (least, most) = (1.01 * ellipse.Radius, 0.99 * Math.Min(box.Width, box.Height) / 2);
                AssertSteady(ellipse.Shape, noise, seed, s => RegionOffset.Offset(s, -Math.Max(0.01, least + (part * (most - least)))), 0);
            },
            iter: 2000);

    // Half circles that begin a hair beside the top hold a piece shorter than the tolerances; what lay opposite to it seemed to lie on it.
    [Fact]
    public void Circles_that_begin_a_hair_beside_the_top_are_kept() =>
        Gen.Select(Gen.Double[1, 4], Gen.Double[1, 4], Gen.Double[0.1, 0.6], Noise, Gen.UInt).Check(
            (x, y, r, noise, seed) =>
            {
                var circle = TangentNoiseSamples.Moved(Region.Of(new Contour([new(x, y + r, 1), new(x, y - r, 1)])), noise, seed);
                var both = RegionBoolean.Resolve([Contour.Rectangle(new(-1, -1, 0, 0)), circle.Contours[0]], FillRule.Positive);
                Assert.Equal(1 + circle.AreaMm2, both.AreaMm2, 1e-6);
            },
            iter: 5000);

    // The curves fitted may differ by what fitting promises: 0.05 µm on either side.
    [Fact]
    public void Offsets_by_an_ellipse_change_by_as_little_as_their_shape() =>
        Gen.Select(Gen.Select(Shapes, Gen.Double[0, 1], Gen.Int[0, 3]), Gen.Double[0.3, 3], Noise, Gen.UInt, Gen.Bool).Check(
            (drawn, flat, noise, seed, isInset) =>
            {
                var (shape, part, at) = drawn;
                var d = DistanceOf(shape, part, at);
                var (x, y) = flat < 1 ? (d, d * flat) : (d / flat, d);
                AssertSteady(shape.Shape, noise, seed, s => isInset ? RegionOffset.Inset(s, x, y) : RegionOffset.Outset(s, x, y), 1e-4);
            },
            iter: 400);

    [Fact]
    public void Offsets_along_one_axis_change_by_as_little_as_their_shape() =>
        Gen.Select(Gen.Select(Shapes, Gen.Double[0, 1], Gen.Int[0, 3]), Gen.Bool, Noise, Gen.UInt, Gen.Bool).Check(
            (drawn, isAlongX, noise, seed, isInset) =>
            {
                var (shape, part, at) = drawn;
                var d = DistanceOf(shape, part, at);
                var (x, y) = isAlongX ? (d, 0.0) : (0.0, d);
                AssertSteady(shape.Shape, noise, seed, s => isInset ? RegionOffset.Inset(s, x, y) : RegionOffset.Outset(s, x, y), 0);
            },
            iter: 400);

    // Mostly anything up to nearly half the width; else just the radius of the arcs or a hair beside it, where they vanish.
    private static double DistanceOf((Region Shape, double Radius) shape, double part, int at)
    {
        var half = RegionWidth.Narrowest(shape.Shape).DiameterMm / 2;
        var d = at switch
        {
            0 => shape.Radius,
            1 => shape.Radius * (1 + (2e-9 * (part - 0.5))),
            _ => 0.01 + (part * ((half * 0.99) - 0.01)),
        };
        return Math.Clamp(d, 0.01, Math.Max(0.01, 0.99 * half));
    }

    // 0.1 nm is the tolerance of what vanishes and of what touches.
    private static void AssertSteady(Region shape, double noise, uint seed, Func<Region, Region> offset, double besidesMm)
    {
        var (a, b) = (offset(shape), offset(TangentNoiseSamples.Moved(shape, noise, seed)));
        var perimeter = shape.PerimeterMm + Math.Max(a.PerimeterMm, b.PerimeterMm);
        Assert.Equal(a.AreaMm2, b.AreaMm2, perimeter * ((4 * noise) + 1e-7 + besidesMm));
        foreach (var contour in b.Contours)
        {
            Assert.False(HasSpike(contour), "The boundary runs back along itself.");
        }
    }

    private static bool HasSpike(Contour contour)
    {
        for (var i = 0; i < contour.Count; i++)
        {
            var (before, after) = (contour.SegmentAt(i), contour.SegmentAt((i + 1) % contour.Count));
            if (before.IsLine && after.IsLine && before.Length > 1e-4 && after.Length > 1e-4 && Vector2.Dot(before.EndTangent, after.StartTangent) < -1 + 1e-12)
            {
                return true;
            }
        }

        return false;
    }
}
