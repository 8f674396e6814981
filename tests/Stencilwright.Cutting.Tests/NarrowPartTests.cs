using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Buffer;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Cutting.Tests;

/// <summary>Parts narrower than the cut (0.15 mm unless said otherwise), cut as single lines along their middle.</summary>
public sealed class NarrowPartTests
{
    private const double Half = 0.075;

    // The middle of an L of width 0.1 runs from one blind end, half a kerf inside, round the corner to the other.
    [Fact]
    public void An_L_is_one_line_round_the_corner()
    {
        var plan = Make.Plan(Make.Polygon((0, 0), (2, 0), (2, 0.1), (0.1, 0.1), (0.1, 3), (0, 3)));
        var line = Assert.Single(plan.Film.Paths);
        Assert.Equal((CutKind.OpeningLine, false), (line.Kind, line.IsClosed));
        var ends = new[] { line.Start, line.End }.OrderBy(p => p.X).ToArray();
        Near(new(0.05, 3 - Half), ends[0], 0.002);
        Near(new(2 - Half, 0.05), ends[1], 0.002);
        AssertSwept(plan, [[(0.05, 3 - Half), (0.05, 0.05), (2 - Half, 0.05)]]);
        Assert.DoesNotContain(plan.Findings, f => f.Code is "CUT003" or "CUT005");
        Assert.Equal(["a0001"], Assert.Single(plan.Findings, f => f.Code == "CUT004").Apertures);
    }

    [Fact]
    public void A_U_is_one_line()
    {
        var plan = Make.Plan(Make.Polygon((0, 0), (2, 0), (2, 1), (1.9, 1), (1.9, 0.1), (0.1, 0.1), (0.1, 1.5), (0, 1.5)));
        Assert.Single(plan.Film.Paths);
        AssertSwept(plan, [[(0.05, 1.5 - Half), (0.05, 0.05), (1.95, 0.05), (1.95, 1 - Half)]]);
    }

    [Fact]
    public void A_T_is_a_line_and_another_that_ends_on_it()
    {
        var plan = Make.Plan(Make.Polygon((-1, 0), (1, 0), (1, 0.1), (0.05, 0.1), (0.05, 1), (-0.05, 1), (-0.05, 0.1), (-1, 0.1)));
        Assert.Equal(2, plan.PathsOf(CutKind.OpeningLine).Length);
        AssertSwept(plan, [[(-1 + Half, 0.05), (1 - Half, 0.05)], [(0, 0.05), (0, 1 - Half)]]);
        Assert.DoesNotContain(plan.Findings, f => f.Code == "CUT005");
    }

    [Fact]
    public void A_cross_is_two_lines()
    {
        var plan = Make.Plan(Make.Polygon(
            (-0.05, -1), (0.05, -1), (0.05, -0.05), (1, -0.05), (1, 0.05), (0.05, 0.05), (0.05, 1), (-0.05, 1), (-0.05, 0.05), (-1, 0.05), (-1, -0.05), (-0.05, -0.05)));
        Assert.Equal(2, plan.PathsOf(CutKind.OpeningLine).Length);
        AssertSwept(plan, [[(-1 + Half, 0), (1 - Half, 0)], [(0, -1 + Half), (0, 1 - Half)]]);
    }

    // What falls out of the ring is open too: the disc out to the sweep's outer edge.
    [Theory]
    [InlineData(1, 0.1)]
    [InlineData(5, 0.05)]
    [InlineData(0.3, 0.14)]
    public void A_ring_is_one_round_line_and_what_it_holds_falls_out(double radius, double width)
    {
        var ring = new Region([Contour.Circle(new(10, 10), radius + (width / 2)), Contour.Circle(new(10, 10), radius - (width / 2)).Reversed()]);
        var plan = Make.Plan(ring);
        var line = Assert.Single(plan.Film.Paths);
        Assert.Equal(CutKind.OpeningLine, line.Kind);
        Near(line.Start, line.End, 1e-9);
        Assert.Equal(2 * Math.PI * radius, line.LengthMm, 0.01 * radius);
        Assert.InRange(line.SegmentCount, 2, 12);
        Assert.Equal(Math.PI * (radius + Half) * (radius + Half), plan.Openings[0].AreaMm2, 0.02 * radius);
        Assert.Contains(plan.Findings, f => f.Code == "CUT006");
        Assert.DoesNotContain(plan.Findings, f => f.Code == "CUT005");
    }

    [Fact]
    public void A_square_ring_is_one_line_round()
    {
        var plan = Make.Plan(new Region([Contour.Rectangle(new(0, 0, 2, 3)), Contour.Rectangle(new(0.1, 0.1, 1.9, 2.9)).Reversed()]));
        var line = Assert.Single(plan.Film.Paths);
        Near(line.Start, line.End, 1e-9);
        Assert.Equal(2 * (1.9 + 2.9), line.LengthMm, 0.1);
        Assert.Equal((1.9 + 0.15) * (2.9 + 0.15) - ((4 - Math.PI) * Half * Half), plan.Openings[0].AreaMm2, 0.02);
    }

    [Fact]
    public void A_bow_stays_an_arc()
    {
        var bow = RegionOffset.Stroke(new OpenPath([new(0, 0, Math.Tan(Math.PI / 8)), new(2, 2)]), 0.1);
        var plan = Make.Plan(bow);
        var line = Assert.Single(plan.Film.Paths);
        Assert.InRange(line.SegmentCount, 1, 4);
        Assert.Contains(line.Vertices, v => Math.Abs(v.Bulge) > 0.1);
        for (var i = 0; i < line.SegmentCount; i++)
        {
            Assert.Equal(2, Point2.Distance(new(0, 2), line.SegmentAt(i).Middle), 0.003);
        }
    }

    [Fact]
    public void A_body_keeps_its_cut_and_its_bent_arm_is_a_line_from_it()
    {
        var shape = Make.Polygon((0, 0), (1, 0), (1, 0.45), (2, 0.45), (2, 1.5), (1.9, 1.5), (1.9, 0.55), (1, 0.55), (1, 1), (0, 1));
        var plan = Make.Plan(shape);
        Assert.Single(plan.PathsOf(CutKind.Opening));
        Assert.Single(plan.PathsOf(CutKind.OpeningLine));
        var body = new GeometryFactory().ToGeometry(new Envelope(Half, 1 - Half, Half, 1 - Half)).Buffer(Half, 32);
        var expected = body.Union(Sweep((0.97, 0.5), (1.95, 0.5), (1.95, 1.5 - Half))).Area;
        Assert.Equal(expected, plan.Openings[0].AreaMm2, 0.01);
        Assert.Single(RegionBoolean.Islands(plan.Openings[0].Shape));
        Assert.DoesNotContain(plan.Findings, f => f.Code == "CUT005");
    }

    [Fact]
    public void With_a_beam_of_unequal_width_the_line_is_the_same_and_what_it_opens_is_not()
    {
        var settings = JobSettings.Default with { KerfXMm = 0.12, KerfYMm = 0.2 };
        var plan = Make.Plan(settings, Make.Polygon((0, 0), (2, 0), (2, 0.1), (0.1, 0.1), (0.1, 2), (0, 2)));
        Assert.Single(plan.Film.Paths);
        // Boxes of the sweep along x and along y, which overlap in the corner; ends are half ellipses.
        var expected = (0.2 * (2 - 0.06 - 0.05)) + (0.12 * (2 - 0.1 - 0.05)) - (0.06 * 0.1) + (3 * Math.PI * 0.06 * 0.1 / 4);
        Assert.Equal(expected, plan.Openings[0].AreaMm2, 0.01);
    }

    // Turned and moved, the same part gives the same opening.
    [Fact]
    public void A_part_s_place_and_turn_do_not_matter()
    {
        var shape = Make.Polygon((0, 0), (2, 0), (2, 0.1), (0.1, 0.1), (0.1, 3), (0, 3));
        var plain = Make.Plan(shape).Openings[0].AreaMm2;
        foreach (var degrees in (double[])[10, 45, 77, 90, 200])
        {
            var turned = Make.Plan(shape.Transform(Affine2.RotationDegrees(degrees)).Transform(Affine2.Translation(50, 40)));
            Assert.Single(turned.Film.Paths);
            Assert.Equal(plain, turned.Openings[0].AreaMm2, 0.002);
        }
    }

    // Everything that is wanted opens, to a rounded corner's reach, and nothing beyond a kerf from it.
    [Fact]
    public void Random_crooked_slots_open_all_along()
    {
        var random = new Random(3);
        for (var sample = 0; sample < 20; sample++)
        {
            var (x, y, heading) = (20.0, 20.0, random.NextDouble() * 6);
            var points = new List<PathVertex>();
            for (var i = 0; i < 6; i++)
            {
                points.Add(new(x, y, random.Next(2) == 0 ? 0 : 0.4 * (random.NextDouble() - 0.5)));
                var step = 0.5 + random.NextDouble();
                (x, y, heading) = (x + (step * Math.Cos(heading)), y + (step * Math.Sin(heading)), heading + ((random.NextDouble() - 0.5) * 1.5));
            }

            var width = 0.04 + (random.NextDouble() * 0.1);
            var slot = RegionOffset.Stroke(new OpenPath(points.ToArray()), width);
            var plan = Make.Plan(slot);
            var open = plan.Openings[0].Shape;
            Assert.DoesNotContain(plan.Findings, f => f.Code is "CUT003" or "CUT005");
            Assert.InRange(RegionBoolean.Difference(slot, RegionOffset.Offset(open, 0.08)).AreaMm2, 0, 1e-9);
            Assert.InRange(RegionBoolean.Difference(open, RegionOffset.Offset(slot, Half - (width / 2) + 0.03)).AreaMm2, 0, 1e-3);
        }
    }

    private static void AssertSwept(CutPlan plan, (double X, double Y)[][] lines)
    {
        var expected = lines.Select(Sweep).Aggregate((a, b) => a.Union(b)).Area;
        Assert.Equal(expected, plan.Openings[0].AreaMm2, 0.005 * expected);
    }

    // An independent implementation: NetTopologySuite's buffer of the line.
    private static NetTopologySuite.Geometries.Geometry Sweep(params (double X, double Y)[] line) =>
        new GeometryFactory().CreateLineString([.. line.Select(p => new Coordinate(p.X, p.Y))]).Buffer(Half, new BufferParameters(64));

    private static void Near(Point2 expected, Point2 actual, double tolerance) =>
        Assert.True(Point2.Distance(expected, actual) <= tolerance, $"{actual} is not {expected}");
}
