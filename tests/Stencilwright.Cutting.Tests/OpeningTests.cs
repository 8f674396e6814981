using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Buffer;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Cutting.Tests;

public sealed class OpeningTests
{
    // Common practice, no source: half the cut, about 75 µm, is the inset of every aperture.
    [Fact]
    public void A_rectangle_is_inset_by_half_the_kerf_of_each_axis()
    {
        var settings = JobSettings.Default with { KerfXMm = 0.15, KerfYMm = 0.2 };
        var plan = Make.Plan(settings, Make.Rectangle(10, 20, 11, 20.5));
        var path = Assert.Single(plan.Film.Paths);
        Assert.Equal((CutKind.Opening, "a0001", true), (path.Kind, path.Owner, path.IsClosed));

        // Four corners, and the start on a long side.
        Assert.Equal(5, path.Vertices.Length);
        Assert.Equal(0, path.SegmentAt(0).Chord.Y, 12);
        var box = path.AsRegion().Bounds;
        Assert.Equal(0.85, box.Width, 9);
        Assert.Equal(0.3, box.Height, 9);
        Assert.Equal(0.85 * 0.3, path.AsRegion().AreaMm2, 9);
    }

    [Fact]
    public void What_opens_is_the_rectangle_with_corners_rounded_by_the_beam()
    {
        var plan = Make.Plan(Make.Rectangle(10, 20, 11, 20.5));
        Assert.Equal(0.5 - ((4 - Math.PI) * 0.075 * 0.075), plan.Openings[0].AreaMm2, 9);
        Assert.Empty(plan.Findings);
    }

    [Fact]
    public void A_circle_stays_two_half_circles()
    {
        var plan = Make.Plan(Region.Of(Contour.Circle(new Point2(10, 10), 0.3)));
        var path = Assert.Single(plan.Film.Paths);
        Assert.Equal(2, path.Vertices.Length);
        Assert.All(path.Vertices, v => Assert.Equal(1, v.Bulge, 9));
        Assert.Equal(0.225, path.SegmentAt(0).Radius, 9);
        Assert.Equal(Math.PI * 0.09, plan.Openings[0].AreaMm2, 9);
    }

    [Fact]
    public void A_slot_narrower_than_the_kerf_is_cut_as_a_line_along_its_middle_and_said_so()
    {
        var plan = Make.Plan(Make.Rectangle(10, 20, 12, 20.1));
        var line = Assert.Single(plan.Film.Paths);
        Assert.Equal((CutKind.OpeningLine, "a0001", false), (line.Kind, line.Owner, line.IsClosed));
        var (left, right) = line.Start.X < line.End.X ? (line.Start, line.End) : (line.End, line.Start);
        Assert.Equal(10.075, left.X, 9);
        Assert.Equal(11.925, right.X, 9);
        Assert.Equal(20.05, left.Y, 9);
        Assert.Equal(20.05, right.Y, 9);
        Assert.Equal((1.85 * 0.15) + (Math.PI * 0.075 * 0.075), plan.Openings[0].AreaMm2, 9);
        var finding = Assert.Single(plan.Findings, f => f.Code == "CUT004");
        Assert.Equal(["a0001"], finding.Apertures);
    }

    [Fact]
    public void A_neck_between_two_pads_is_cut_as_a_line_that_joins_them()
    {
        var dumbbell = Make.Polygon((0, 0), (1, 0), (1, 0.45), (2, 0.45), (2, 0), (3, 0), (3, 1), (2, 1), (2, 0.55), (1, 0.55), (1, 1), (0, 1));
        var plan = Make.Plan(dumbbell);
        Assert.Equal(2, plan.PathsOf(CutKind.Opening).Length);
        var line = Assert.Single(plan.PathsOf(CutKind.OpeningLine));
        Assert.Equal(0.5, line.Start.Y, 3);
        Assert.InRange(Math.Abs(line.End.X - line.Start.X), 0.9, 1.3);
        Assert.Single(RegionBoolean.Islands(plan.Openings[0].Shape));
        Assert.Contains(plan.Findings, f => f.Code == "CUT004");
    }

    [Fact]
    public void What_is_smaller_than_the_kerf_both_ways_does_not_open_and_is_named()
    {
        var plan = Make.Plan(Make.Rectangle(10, 20, 10.1, 20.1), Make.Rectangle(12, 20, 13, 21));
        Assert.True(plan.Openings[0].Shape.IsEmpty);
        Assert.Equal(Verdict.WillNotPrint, plan.Openings[0].Verdict);
        Assert.Equal(["a0001"], Assert.Single(plan.Findings, f => f.Code == "CUT003").Apertures);
        Assert.All(plan.Film.Paths, p => Assert.Equal("a0002", p.Owner));
    }

    [Fact]
    public void An_island_inside_an_opening_is_cut_first_and_said_to_fall_out()
    {
        var ring = new Region([Contour.Circle(new(10, 10), 2), Contour.Circle(new(10, 10), 1).Reversed()]);
        var plan = Make.Plan(ring);
        Assert.Equal(2, plan.Film.Paths.Length);
        Assert.True(plan.Film.Paths[0].AsRegion().AreaMm2 < 0);
        Assert.True(plan.Film.Paths[1].AsRegion().AreaMm2 > 0);
        Assert.Contains(plan.Findings, f => f.Code == "CUT006");

        // Nothing holds the island: it is open as well.
        Assert.Equal(4 * Math.PI, plan.Openings[0].AreaMm2, 9);
        Assert.Single(plan.Openings[0].Shape.Contours);
    }

    // An independent implementation: NetTopologySuite's buffer, inwards and outwards again.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void As_cut_area_agrees_with_another_program_s_opening(int shape)
    {
        (double X, double Y)[] points = shape switch
        {
            0 => [(0, 0), (1.2, 0), (1.2, 0.6), (0, 0.6)],
            1 => [(0, 0), (2, 0), (2, 0.5), (0.5, 0.5), (0.5, 2), (0, 2)],
            2 => [(0, 0), (1, 0), (1.3, 0.4), (1, 0.8), (0, 0.8)],
            _ => [(0, 0), (0.6, 0), (0.6, 0.3), (0.9, 0.3), (0.9, 0), (1.5, 0), (1.5, 0.9), (0.75, 0.6), (0, 0.9)],
        };
        var plan = Make.Plan(Make.Polygon(points));
        var ring = points.Append(points[0]).Select(p => new Coordinate(p.X, p.Y)).ToArray();
        var style = new BufferParameters(64);
        var expected = new GeometryFactory().CreatePolygon(ring).Buffer(-0.075, style).Buffer(0.075, style).Area;
        Assert.InRange(plan.Openings[0].AreaMm2, expected * 0.999, expected * 1.001);
    }

    [Fact]
    public void Without_kerf_the_path_is_the_outline()
    {
        var plan = Make.Plan(JobSettings.Default with { KerfXMm = 0, KerfYMm = 0 }, Make.Rectangle(10, 20, 11, 20.5));
        Assert.Equal(0.5, plan.Openings[0].AreaMm2, 12);
        Assert.Equal(3, Assert.Single(plan.Film.Paths).LengthMm, 12);
    }

    [Fact]
    public void The_machine_s_scale_and_skew_undo_the_correction()
    {
        var settings = JobSettings.Default with { ScaleX = 1.002, ScaleY = 0.997, SkewMrad = 2 };
        var shape = Make.Rectangle(60, 70, 61, 70.5);
        var (plain, corrected) = (Make.Plan(shape), Make.Plan(settings, shape));
        var machine = new Affine2(1.002, 0.997 * Math.Tan(0.002), 0, 0, 0.997, 0);
        foreach (var v in corrected.Film.Paths[0].Vertices)
        {
            var p = machine.Apply(v.Point);
            Assert.Contains(plain.Film.Paths[0].Vertices, w => Point2.Distance(w.Point, p) < 1e-9);
        }

        Assert.Equal(plain.Openings[0].AreaMm2, corrected.Openings[0].AreaMm2);
    }

    [Fact]
    public void The_web_is_the_exact_distance_to_the_nearest_neighbour()
    {
        var plan = Make.Plan(
            Make.Rectangle(10, 10, 11, 11),
            Make.Rectangle(11.08, 10, 12, 11),
            Region.Of(Contour.Circle(new(10.5, 12), 0.5)),
            Make.Rectangle(40, 40, 41, 41));
        Assert.Equal(0.08, plan.Openings[0].WebMm!.Value, 9);
        Assert.Equal(0.08, plan.Openings[1].WebMm!.Value, 9);
        Assert.Equal(0.5, plan.Openings[2].WebMm!.Value, 9);
        Assert.Null(plan.Openings[3].WebMm);
        var finding = Assert.Single(plan.Findings, f => f.Code == "CUT001");
        Assert.Equal(["a0001", "a0002"], finding.Apertures);
        Assert.Contains("0.080 mm", finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_narrow_web_is_found_in_its_middle_and_not_between_the_middles_of_its_openings()
    {
        // A long opening and a short one near its far end.
        var plan = Make.Plan(Make.Rectangle(10, 10, 30, 11), Make.Rectangle(28, 11.06, 29, 12));
        var finding = Assert.Single(plan.Findings, f => f.Code == "CUT001");
        Assert.InRange(finding.XMm!.Value, 28, 29);
        Assert.Equal(11.03, finding.YMm!.Value, 6);
    }

    [Fact]
    public void Webs_agree_with_a_search_of_all_pairs()
    {
        var random = new Random(7);
        var shapes = Enumerable.Range(0, 300).Select(i =>
        {
            var (x, y) = (random.NextDouble() * 60, random.NextDouble() * 60);
            return i % 3 == 0
                ? Region.Of(Contour.Circle(new(x, y), 0.2 + (random.NextDouble() * 0.5)))
                : Make.Rectangle(x, y, x + 0.3 + random.NextDouble(), y + 0.3 + (random.NextDouble() * 4));
        }).ToArray();
        var plan = Make.Plan(shapes);
        for (var i = 0; i < shapes.Length; i++)
        {
            var expected = Enumerable.Range(0, shapes.Length).Where(j => j != i)
                .Min(j => RegionDistance.Between(plan.Openings[i].Shape, plan.Openings[j].Shape).DistanceMm);
            Assert.Equal(expected, plan.Openings[i].WebMm ?? expected, 9);
            Assert.Equal(expected >= 5, plan.Openings[i].WebMm is null);
        }
    }

    // A square of side a loses (4 - π)h² to corners of the beam's radius h; moved outwards by d it opens (a + 2d)² - (4 - π)h².
    [Theory]
    [InlineData(0.3)]
    [InlineData(0.6)]
    [InlineData(2.0)]
    public void Balanced_for_area_a_square_opens_as_much_as_was_wanted(double side)
    {
        const double H = 0.075;
        var plan = Make.Plan(JobSettings.Default with { CutBalance = "area" }, Make.Rectangle(0, 0, side, side));
        Assert.Equal(side * side, plan.Openings[0].AreaMm2, 1e-6 * side * side);
        var outwards = (Math.Sqrt((side * side) + ((4 - Math.PI) * H * H)) - side) / 2;
        Assert.Equal(side + (2 * outwards), plan.Openings[0].Shape.Bounds.Width, 1e-6);
        Assert.Equal(side, Make.Plan(Make.Rectangle(0, 0, side, side)).Openings[0].Shape.Bounds.Width, 1e-9);
    }

    [Fact]
    public void Balanced_for_area_a_circle_stays_as_it_is()
    {
        var circle = Region.Of(Contour.Circle(new(1, 1), 0.2));
        Assert.Equal(0.4, Make.Plan(JobSettings.Default with { CutBalance = "area" }, circle).Openings[0].Shape.Bounds.Width, 1e-9);
    }

    [Fact]
    public void A_slot_narrower_than_the_kerf_is_not_balanced()
    {
        var slot = Make.Rectangle(0, 0, 0.1, 1);
        var (edge, area) = (Make.Plan(slot), Make.Plan(JobSettings.Default with { CutBalance = "area" }, slot));
        Assert.Equal(edge.Openings[0].AreaMm2, area.Openings[0].AreaMm2);
    }
}
