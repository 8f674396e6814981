using CsCheck;
using NetTopologySuite.Geometries;
using NetTopologySuite.Geometries.Utilities;
using NetTopologySuite.Operation.Buffer;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

/// <summary>What the beam leaves open beyond and short of what was wanted; the reference library is NetTopologySuite.</summary>
public sealed class BeamTests
{
    private const double Kerf = 0.15;

    // A star about a point, with pad-like sizes: some notches, some sharp tips.
    private static readonly Gen<(double X, double Y)[]> _shapes = Gen.Double[0.35, 1.2].Array[3, 9]
        .Select(radii => radii.Select((r, i) => (5 + (r * Math.Cos(2 * Math.PI * i / radii.Length)), 5 + (r * Math.Sin(2 * Math.PI * i / radii.Length)))).ToArray());

    [Fact]
    public void As_cut_areas_agree_with_another_program_s_for_round_and_elliptical_beams() => Gen.Select(_shapes, Gen.Double[0.08, 0.25], Gen.Double[0.6, 1.6])
        .Check((points, kerf, ratio) =>
        {
            var settings = JobSettings.Default with { KerfXMm = kerf, KerfYMm = kerf * ratio };
            var plan = Make.Plan(settings, Make.Polygon(points));
            if (plan.PathsOf(CutKind.OpeningLine).IsEmpty && plan.Findings.All(f => f.Code != "CUT005"))
            {
                Assert.Equal(1, plan.Openings[0].AreaMm2 / ReferenceOpening(points, kerf, ratio).Area, 1e-3);
            }
        }, iter: 80);

    [Fact]
    public void What_is_lost_and_what_is_open_too_much_agree_with_another_program() => _shapes.Check(points =>
    {
        // Thin tips are cut as lines here and there: then both are more than nothing.
        var plan = Make.Plan(Make.Polygon(points));
        var cut = plan.Openings[0];
        var (wanted, opened) = (Polygon(points), Flat(cut.Shape));
        Assert.Equal(wanted.Difference(opened).Area, cut.LostAreaMm2, 1e-4);
        Assert.Equal(opened.Difference(wanted).Area, cut.ExtraAreaMm2, 1e-4);
        Assert.Equal(wanted.Area - cut.LostAreaMm2 + cut.ExtraAreaMm2, cut.AreaMm2, 1e-9);
    }, iter: 60);

    [Fact]
    public void Balanced_for_area_a_random_shape_opens_as_much_as_was_wanted_within_a_thousandth() => Gen.Select(Gen.Double[0.4, 3], Gen.Double[0.4, 3], Gen.Double[0, 90], Gen.Double[0.6, 1.6])
        .Check((width, height, turn, ratio) =>
        {
            var wanted = Make.Rectangle(0, 0, width, height).Transform(Affine2.Translation(20, 20) * Affine2.RotationDegrees(turn));
            var cut = Make.Plan(JobSettings.Default with { CutBalance = "area", KerfYMm = Kerf * ratio }, wanted).Openings[0];
            Assert.Equal(1, cut.AreaMm2 / wanted.AreaMm2, 1e-3);
            Assert.Equal(cut.ExtraAreaMm2, cut.LostAreaMm2, 1e-3 * wanted.AreaMm2);
            Assert.True(cut.LostAreaMm2 > 0);
        }, iter: 60);

    // A right angle loses (1 - π/4) r², and its tip lies (√2 - 1) r from what opens (geometry).
    [Fact]
    public void The_loss_of_a_rectangle_is_that_of_four_corners()
    {
        var cut = Make.Plan(Make.Rectangle(10, 10, 12, 11)).Openings[0];
        const double R = Kerf / 2;
        Assert.Equal((4 - Math.PI) * R * R, cut.LostAreaMm2, 1e-12);
        Assert.Equal(0, cut.ExtraAreaMm2);
        Assert.Equal((Math.Sqrt(2) - 1) * R, cut.CornerGapMm!.Value, 1e-12);
    }

    // The tip of a right angle lies inside an elliptical beam's corner by the least distance to the ellipse (searched here).
    [Fact]
    public void An_elliptical_beam_s_corner_gap_is_the_distance_to_its_ellipse()
    {
        var cut = Make.Plan(JobSettings.Default with { KerfXMm = 0.12, KerfYMm = 0.2 }, Make.Rectangle(10, 10, 12, 11)).Openings[0];
        var least = Enumerable.Range(0, 100_001).Min(i =>
        {
            var t = Math.PI / 2 * i / 100_000;
            return Math.Sqrt(Math.Pow(0.06 - (0.06 * Math.Cos(t)), 2) + Math.Pow(0.1 - (0.1 * Math.Sin(t)), 2));
        });
        Assert.Equal(least, cut.CornerGapMm!.Value, 3e-4);
        Assert.Equal((4 - Math.PI) * 0.06 * 0.1, cut.LostAreaMm2, 1e-4);
    }

    [Fact]
    public void A_slot_narrower_than_the_kerf_opens_too_much_and_an_island_too()
    {
        // Slot 2 × 0.1 mm; the sweep is a capsule of 1.85 mm: lost are its four corners, each the slot's part outside the half circle.
        var slot = Make.Plan(Make.Rectangle(10, 20, 12, 20.1)).Openings[0];
        Assert.Equal(slot.AreaMm2, 0.2 - slot.LostAreaMm2 + slot.ExtraAreaMm2, 1e-9);
        var outside = (1.85 * 0.05) + (2 * (Segment(0.075, 0.05) * 2 / 2));
        Assert.Equal(outside, slot.ExtraAreaMm2, 1e-6);
        var ring = Make.Plan(new Region([Contour.Circle(new(10, 10), 2), Contour.Circle(new(10, 10), 1).Reversed()])).Openings[0];
        Assert.Equal(Math.PI, ring.ExtraAreaMm2, 1e-6);
        Assert.Equal(0, ring.LostAreaMm2, 1e-6);

        // Area of a circle beyond a chord at a distance from its centre (textbook).
        static double Segment(double r, double distance) => (r * r * Math.Acos(distance / r)) - (distance * Math.Sqrt((r * r) - (distance * distance)));
    }

    // FACTS 5.2: closed form of the hull of two circles, and the hull of their points by another program.
    [Fact]
    public void A_tapered_capsule_has_the_area_of_its_closed_form_and_of_the_hull() => Gen.Select(
        Gen.Double[0.02, 0.5], Gen.Double[0.02, 0.5], Gen.Double[0, 2], Gen.Double[0, 2 * Math.PI])
        .Check((r1, r2, d, heading) =>
        {
            var capsule = BeamGrowth.Capsule(new(3, 4), r1, new(3 + (d * Math.Cos(heading)), 4 + (d * Math.Sin(heading))), r2);
            var expected = Math.PI * Math.Max(r1, r2) * Math.Max(r1, r2);
            if (d > Math.Abs(r1 - r2))
            {
                var alpha = Math.Acos((r1 - r2) / d);
                expected = (r1 * r1 * (Math.PI - alpha)) + (r2 * r2 * alpha) + ((r1 + r2) * d * Math.Sin(alpha));
            }

            Assert.Equal(expected, capsule.AreaMm2, 1e-9);
            var circles = new[] { (3.0, 4.0, r1), (3 + (d * Math.Cos(heading)), 4 + (d * Math.Sin(heading)), r2) };
            var hull = new GeometryFactory().CreateMultiPointFromCoords([.. circles.SelectMany(c => Enumerable.Range(0, 720)
                .Select(i => new Coordinate(c.Item1 + (c.Item3 * Math.Cos(i * Math.PI / 360)), c.Item2 + (c.Item3 * Math.Sin(i * Math.PI / 360)))))]).ConvexHull();
            Assert.Equal(1, capsule.AreaMm2 / hull.Area, 1e-3);
        }, iter: 200);

    // Textbook kinematics for v = 50 mm/s, a = 1000 mm/s²: from stop to stop over 0.3 mm the peak is √(a L) = 17.3 mm/s.
    [Fact]
    public void A_short_side_reaches_a_third_of_the_set_speed()
    {
        var path = new CutPath { Kind = CutKind.Opening, Owner = "", IsClosed = true, Vertices = [new(0, 0), new(0.3, 0), new(0.3, 0.3), new(0, 0.3)] };
        var limits = new MotionLimits(50, 1000);
        var run = new SpeedRun(Motion.ProfileOf(path, limits), 0, 1000);
        var peak = Enumerable.Range(0, 301).Max(i => run.SpeedAt(i * 0.001));
        Assert.Equal(17.3205, peak, 1e-4);
        Assert.Equal(0.346, peak / 50, 5e-4);
        Assert.Equal([0, 0.15, 0.15, 0.3], run.Breaks().Select(b => Math.Round(b, 12)));
    }

    // The way is the integral of dt = ds/v over each run.
    [Fact]
    public void The_speed_along_a_path_takes_the_time_of_the_path() => Gen.Select(
        Gen.Select(Gen.Double[0, 20], Gen.Double[0, 20], Gen.Double[-1, 1]).Array[3, 12], Gen.Double[0.001, 0.1], Gen.Double[5, 200])
        .Check((at, deviation, speed) =>
        {
            var path = new CutPath { Kind = CutKind.Opening, Owner = "", IsClosed = true, Vertices = [.. at.Select(v => new PathVertex(v.Item1, v.Item2, v.Item3))] };
            var limits = new MotionLimits(speed, 1000, deviation);
            var profile = Motion.ProfileOf(path, limits);
            var sum = 0.0;
            for (var i = 0; i < path.SegmentCount; i++)
            {
                var run = new SpeedRun(profile, i, 1000);
                var places = run.Breaks();
                for (var k = 1; k < places.Length; k++)
                {
                    // Speed rises or falls evenly in time between the places: the mean speed is that of the ends.
                    sum += places[k] > places[k - 1] ? (places[k] - places[k - 1]) * 2 / (run.SpeedAt(places[k - 1]) + run.SpeedAt(places[k])) : 0;
                }
            }

            Assert.Equal(Motion.PathS(path, limits), sum, 1e-6);
        }, iter: 100);

    private static readonly JobSettings _fast = JobSettings.Default with { FilmSpeedMmS = 50, KerfEnergyExponent = 0.5 };

    [Fact]
    public void Where_the_machine_is_slow_the_cut_is_wider_by_the_law()
    {
        // 10 mm slot cut as one line. At its ends v counts as √(a · kerf) = 12.25 mm/s: the cut is (50/12.25)ⁿ kerfs wide there, and
        // one kerf wide in the middle.
        const double N = 0.4;
        var plan = Make.Plan(_fast with { KerfEnergyExponent = N }, Make.Rectangle(10, 20, 20, 20.1));
        var shape = Flat(plan.Openings[0].Shape);
        var end = Kerf * Math.Pow(50 / Math.Sqrt(1000 * Kerf), N);
        Assert.Equal(end, plan.Openings[0].Shape.Bounds.Height, 3e-3);
        Assert.Equal(Kerf, shape.Intersection(Strip(15)).Area / 0.01, 1e-6);

        // 0.5 mm from where it starts and stops v = √(2 a s) = 31.6 mm/s.
        Assert.Equal(Kerf * Math.Pow(50 / 31.6228, N), shape.Intersection(Strip(10.575)).Area / 0.01, 3e-3);

        static Polygon Strip(double x) => Polygon([(x - 0.005, 19), (x + 0.005, 19), (x + 0.005, 21), (x - 0.005, 21)]);
    }

    [Fact]
    public void An_opening_grows_with_the_exponent_and_not_at_all_where_power_follows_speed()
    {
        var shape = Make.Rectangle(10, 10, 13, 12);
        var plain = Make.Plan(_fast with { KerfEnergyExponent = 0 }, shape).Openings[0];
        var before = plain.AreaMm2;
        foreach (var exponent in new[] { 0.1, 0.3, 0.6, 1 })
        {
            var grown = Make.Plan(_fast with { KerfEnergyExponent = exponent }, shape).Openings[0];
            Assert.True(grown.AreaMm2 > before, $"{exponent}");
            Assert.Empty(RegionBoolean.Difference(plain.Shape, grown.Shape).Contours);
            Assert.Equal(grown.AreaMm2, shape.AreaMm2 - grown.LostAreaMm2 + grown.ExtraAreaMm2, 1e-9);
            before = grown.AreaMm2;
        }

        // Nothing is believed beyond two kerfs.
        Assert.True(Make.Plan(_fast with { FilmSpeedMmS = 200, KerfEnergyExponent = 1 }, Make.Rectangle(10, 20, 20, 20.1)).Openings[0].Shape.Bounds.Height < (2 * Kerf) + 1e-9);
        Assert.Equal(plain.AreaMm2, Make.Plan(_fast with { KerfEnergyExponent = 1, PowerFollowsSpeed = true }, shape).Openings[0].AreaMm2);

        // At 10 mm/s the ramps are shorter than half the beam: nothing to see.
        Assert.Equal(plain.AreaMm2, Make.Plan(JobSettings.Default with { KerfEnergyExponent = 1 }, shape).Openings[0].AreaMm2);
    }

    // The union of circles along the path, closer and closer, by another program.
    [Theory]
    [InlineData(0.15)]
    [InlineData(0.2)]
    public void A_grown_opening_is_what_many_beams_along_its_path_cover(double kerfY)
    {
        var settings = _fast with { KerfYMm = kerfY, CornerSlowing = "round" };
        var plan = Make.Plan(settings, new Region([new Contour([new(10, 10), new(12, 10, 0.5), new(12, 11.5), new(10.4, 11.2)])]));
        var path = Assert.Single(plan.Film.Paths);
        var profile = Motion.ProfileOf(path, MotionLimits.Of(settings, 50));
        var slowest = Math.Sqrt(1000 * Math.Max(Kerf, kerfY));
        var beams = new List<NetTopologySuite.Geometries.Geometry> { Flat(path.AsRegion()) };
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var (run, segment) = (new SpeedRun(profile, i, 1000), path.SegmentAt(i));
            for (var s = 0.0; s <= run.LengthMm; s += 0.006)
            {
                var kerfs = Math.Clamp(Math.Sqrt(50 / Math.Max(slowest, run.SpeedAt(s))), 1, 2);
                var p = segment.PointAt(s / run.LengthMm);
                beams.Add(Polygon([.. Enumerable.Range(0, 90).Select(k =>
                    (p.X + (kerfs * Kerf / 2 * Math.Cos(k * Math.PI / 45)), p.Y + (kerfs * kerfY / 2 * Math.Sin(k * Math.PI / 45))))]));
            }
        }

        var expected = NetTopologySuite.Operation.Union.UnaryUnionOp.Union(beams).Area;
        Assert.Equal(1, plan.Openings[0].AreaMm2 / expected, 1e-3);
    }

    // Half the mark's ellipse lies outside a straight side where the cut starts; it adds what is beyond the kerf.
    [Theory]
    [InlineData(0.15, 0.1)]
    [InlineData(0.2, 0.1)]
    [InlineData(0.15, 0.02)]
    public void The_start_leaves_a_mark_of_its_size(double kerfY, double mark)
    {
        var settings = JobSettings.Default with { StartMarkMm = mark, KerfYMm = kerfY };
        var shape = Make.Rectangle(10, 10, 13, 11);
        var (plain, marked) = (Make.Plan(settings with { StartMarkMm = 0 }, shape), Make.Plan(settings, shape));
        var at = Assert.Single(marked.Film.Paths).Start;
        Assert.Contains(marked.Film.Paths[0].Vertices.Select(v => v.Point), p => p == at);
        var ellipse = new GeometryFactory().CreatePoint(new Coordinate(0, 0)).Buffer(1, 90);
        ellipse = new AffineTransformation((Kerf + mark) / 2, 0, at.X, 0, (kerfY + mark) / 2, at.Y).Transform(ellipse);
        var expected = Flat(plain.Openings[0].Shape).Union(ellipse).Area;
        Assert.True(marked.Openings[0].AreaMm2 > plain.Openings[0].AreaMm2);
        Assert.Equal(expected - plain.Openings[0].AreaMm2, marked.Openings[0].AreaMm2 - plain.Openings[0].AreaMm2, 2e-5);
        Assert.Equal(marked.Openings[0].ExtraAreaMm2, marked.Openings[0].AreaMm2 - plain.Openings[0].AreaMm2, 1e-6);
    }

    // The mean of the areas of all sections between the faces, each grown by exact offset.
    [Theory]
    [InlineData(0.01)]
    [InlineData(0.05)]
    public void A_tapered_opening_holds_the_mean_of_its_sections(double taper)
    {
        var settings = JobSettings.Default with { TaperMm = taper };
        var shape = Make.Polygon((10, 10), (11, 10), (11.3, 10.4), (11, 10.8), (10, 10.8));
        var (plain, tapered) = (Make.Plan(shape).Openings[0], Make.Plan(settings, shape).Openings[0]);
        Assert.Equal((plain.AreaMm2, plain.AreaRatio, plain.TransferEfficiency), (tapered.AreaMm2, tapered.AreaRatio, tapered.TransferEfficiency));
        Assert.Equal(RegionOffset.Offset(plain.Shape, taper / 2).AreaMm2, tapered.EntryAreaMm2, 1e-9);
        Assert.Equal(plain.AreaMm2, plain.EntryAreaMm2);
        var mean = Enumerable.Range(0, 1000).Average(i => RegionOffset.Offset(plain.Shape, taper / 2 * (i + 0.5) / 1000).AreaMm2);
        Assert.Equal(mean / plain.AreaMm2, tapered.PasteVolumeMm3 / plain.PasteVolumeMm3, 1e-6);
        Assert.True(tapered.WallAreaMm2 > plain.WallAreaMm2);
    }

    // Source: lateral surface of a frustum of a cone, π (r₁ + r₂) √(h² + (r₂ - r₁)²), and its volume π h/3 (r₁² + r₁ r₂ + r₂²) (textbook).
    [Fact]
    public void A_round_tapered_opening_is_a_frustum_of_a_cone()
    {
        var settings = JobSettings.Default with { TaperMm = 0.04 };
        var cut = Make.Plan(settings, Region.Of(Contour.Circle(new(10, 10), 0.3))).Openings[0];
        var h = settings.FilmThicknessMm;
        Assert.Equal(Math.PI * 0.62 * Math.Sqrt((h * h) + (0.02 * 0.02)), cut.WallAreaMm2, 1e-9);
        Assert.Equal(Math.PI * h / 3 * (0.09 + (0.3 * 0.32) + (0.32 * 0.32)) * cut.TransferEfficiency, cut.PasteVolumeMm3, 1e-9);
    }

    [Fact]
    public void A_wide_side_towards_the_squeegee_is_said()
    {
        var shape = Make.Rectangle(10, 10, 12, 11);
        Assert.DoesNotContain(Make.Plan(shape).Findings, f => f.Code == "CUT013");
        Assert.Contains(Make.Plan(JobSettings.Default with { TaperMm = 0.02 }, shape).Findings, f => f.Code == "CUT013");
        Assert.DoesNotContain(Make.Plan(JobSettings.Default with { TaperMm = 0.02, CutFromBoardSide = true }, shape).Findings, f => f.Code == "CUT013");
    }

    private static NetTopologySuite.Geometries.Geometry ReferenceOpening((double X, double Y)[] points, double kerf, double ratio)
    {
        // Where the beam is round, and stretched back.
        var style = new BufferParameters(64);
        var round = new AffineTransformation(1, 0, 0, 0, 1 / ratio, 0).Transform(Polygon(points));
        return new AffineTransformation(1, 0, 0, 0, ratio, 0).Transform(round.Buffer(-kerf / 2, style).Buffer(kerf / 2, style));
    }

    private static Polygon Polygon((double X, double Y)[] points) =>
        new GeometryFactory().CreatePolygon([.. points.Append(points[0]).Select(p => new Coordinate(p.X, p.Y))]);

    // Arcs as 64 chords each.
    private static NetTopologySuite.Geometries.Geometry Flat(Region region)
    {
        NetTopologySuite.Geometries.Geometry all = new GeometryFactory().CreatePolygon();
        foreach (var contour in region.Contours.OrderByDescending(c => c.SignedAreaMm2))
        {
            var points = new List<(double, double)>();
            for (var i = 0; i < contour.Count; i++)
            {
                var segment = contour.SegmentAt(i);
                for (var k = 0; k < (segment.IsLine ? 1 : 64); k++)
                {
                    var p = segment.PointAt(k / 64.0);
                    points.Add((p.X, p.Y));
                }
            }

            all = contour.SignedAreaMm2 > 0 ? all.Union(Polygon([.. points])) : all.Difference(Polygon([.. points]));
        }

        return all;
    }
}
