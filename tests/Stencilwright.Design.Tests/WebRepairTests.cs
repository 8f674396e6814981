using CsCheck;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Design.Tests;

public sealed class WebRepairTests
{
    private const double Least = 0.10;

    private static readonly Gen<Region> _pad = Gen.Select(Gen.Double[0.3, 1], Gen.Double[0.3, 1], Gen.Int[0, 2], Gen.Double[0, 180], (w, h, kind, turn) =>
        (kind == 0
            ? Region.Of(Contour.Circle(new(0, 0), w / 2))
            : kind == 1
                ? RegionOffset.Offset(Region.Of(Contour.Rectangle(new(-w / 2, -h / 2, w / 2, h / 2))), 0.05)
                : Region.Of(Contour.Rectangle(new(-w / 2, -h / 2, w / 2, h / 2)))).Transform(Affine2.RotationDegrees(turn)));

    [Fact]
    public void Trimmed_neighbours_stand_as_far_apart_as_asked_and_lose_alike() =>
        Gen.Select(_pad, _pad, Gen.Double[0.01, 0.09], Gen.Double[0, 360]).Check((a, b, gap, direction) =>
        {
            b = MovedTo(a, b, gap, direction);
            var findings = new List<Finding>();
            var after = WebRepair.Repair([Opening(a, 1), Opening(b, 2)], [new(0, 1)], ThinWebPolicy.Trim, Least, 0.05, findings);
            Assert.True(RegionDistance.Between(after[0].Design, after[1].Design).DistanceMm >= Least - 1e-9);
            Assert.Equal(a.AreaMm2, RegionBoolean.Union([a, after[0].Design]).AreaMm2, 1e-6);
            Assert.Equal(b.AreaMm2, RegionBoolean.Union([b, after[1].Design]).AreaMm2, 1e-6);
            Assert.Equal(["DSN020"], findings.Select(f => f.Code));
            Assert.Equal(["thin-web", "thin-web"], after.Select(o => o.Rule));
        }, iter: 200);

    // Two facing rectangles: each gives half of what is missing, exactly.
    [Fact]
    public void Facing_edges_give_half_each()
    {
        var (a, b) = (Box(0, 0, 0.4, 1), Box(0.44, 0, 0.84, 1));
        var after = WebRepair.Repair([Opening(a, 1), Opening(b, 2)], [new(0, 1)], ThinWebPolicy.Trim, Least, 0.8, []);
        Assert.Equal(0.37, after[0].Design.Bounds.MaxX, 1e-5);
        Assert.Equal(0.47, after[1].Design.Bounds.MinX, 1e-5);
        Assert.Equal(1, after[0].Design.Bounds.Height, 1e-9);
    }

    [Fact]
    public void An_opening_is_not_trimmed_below_its_floor()
    {
        var (a, b) = (Box(0, 0, 0.15, 1), Box(0.17, 0, 0.32, 1));
        var findings = new List<Finding>();
        var after = WebRepair.Repair([Opening(a, 1), Opening(b, 2)], [new(0, 1)], ThinWebPolicy.Trim, Least, 0.8, findings);
        Assert.Same(a, after[0].Design);
        Assert.Same(b, after[1].Design);
        Assert.Equal("DSN021", Assert.Single(findings).Code);
        Assert.Equal(["a0001", "a0002"], findings[0].Apertures);
    }

    [Fact]
    public void Merging_fills_the_web_and_nothing_else() =>
        Gen.Select(Gen.Double[0.3, 1], Gen.Double[0.3, 1], Gen.Double[0.01, 0.09]).Check((width, height, gap) =>
        {
            var (a, b) = (Box(0, 0, width, height), Box(width + gap, 0, (2 * width) + gap, height));
            var findings = new List<Finding>();
            var after = WebRepair.Repair([Opening(a, 1), Opening(b, 2)], [new(0, 1)], ThinWebPolicy.Merge, Least, 0.8, findings);
            var one = Assert.Single(after);
            Assert.Equal("a0001", one.Id);
            Assert.Single(one.Design.Contours);
            var filled = ((2 * width) + gap) * height;
            Assert.InRange(one.Design.AreaMm2, filled - (0.1 * gap * gap), filled + 1e-5);
            Assert.Equal(2 * width * height, one.Artwork.AreaMm2, 1e-9);
            Assert.Equal("DSN022", Assert.Single(findings).Code);
        }, iter: 50);

    [Fact]
    public void Chains_of_thin_webs_become_one_opening()
    {
        ImmutableArrayOf(out var openings, Box(0, 0, 0.4, 1), Box(0.45, 0, 0.85, 1), Box(5, 0, 6, 1), Box(0.9, 0, 1.3, 1));
        var after = WebRepair.Repair(openings, [new(0, 1), new(1, 3)], ThinWebPolicy.Merge, Least, 0.8, []);
        Assert.Equal(["a0001", "a0003"], after.Select(o => o.Id));
        Assert.InRange(after[0].Design.AreaMm2, 1.3 - (2 * 0.1 * 0.05 * 0.05), 1.3 + 1e-5);
    }

    [Fact]
    public void Leaving_changes_nothing()
    {
        ImmutableArrayOf(out var openings, Box(0, 0, 0.4, 1), Box(0.45, 0, 0.85, 1));
        Assert.Equal(openings, WebRepair.Repair(openings, [new(0, 1)], ThinWebPolicy.Leave, Least, 0.8, []));
    }

    private static void ImmutableArrayOf(out System.Collections.Immutable.ImmutableArray<DesignedOpening> openings, params Region[] shapes) =>
        openings = [.. shapes.Select((s, i) => Opening(s, i + 1))];

    private static Region Box(double x0, double y0, double x1, double y1) => Region.Of(Contour.Rectangle(new(x0, y0, x1, y1)));

    // Moves b away from a in a direction until the wanted gap is between them.
    private static Region MovedTo(Region a, Region b, double gap, double directionDeg)
    {
        var (sin, cos) = Math.SinCos(directionDeg * Math.PI / 180);
        var (low, high) = (0.0, 5.0);
        for (var i = 0; i < 60; i++)
        {
            var middle = (low + high) / 2;
            var moved = b.Transform(Affine2.Translation(cos * middle, sin * middle));
            var apart = !RegionBoolean.Intersection(a, moved).IsEmpty ? -1 : RegionDistance.Between(a, moved).DistanceMm;
            (low, high) = apart < gap ? (middle, high) : (low, middle);
        }

        return b.Transform(Affine2.Translation(cos * high, sin * high));
    }

    private static DesignedOpening Opening(Region shape, int number) => new()
    {
        Id = $"a{number:0000}", Artwork = shape, Design = shape, Place = SourcePlace.Whole("paste.gtp"),
    };
}
