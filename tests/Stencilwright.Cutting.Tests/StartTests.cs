using CsCheck;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

/// <summary>Where the beam begins, how it comes there, how far it goes on, and how often.</summary>
public sealed class StartTests
{
    private static readonly Gen<PathVertex[]> _loops = Gen.Select(Gen.Double[0.3, 1], Gen.Double[-0.6, 0.9]).Array[2, 12]
        .Select(parts => parts.Select((p, i) => new PathVertex(
            5 + (p.Item1 * Math.Cos(2 * Math.PI * i / parts.Length)), 5 + (p.Item1 * Math.Sin(2 * Math.PI * i / parts.Length)), p.Item2)).ToArray());

    [Fact]
    public void Another_start_is_the_same_path() => _loops.Check(vertices =>
    {
        var path = Loop(vertices);
        Span<StartSite> sites = stackalloc StartSite[StartSites.Most];
        foreach (var rule in new[] { StartRule.Nearest, new StartRule(true, 0.15) })
        {
            var count = StartSites.Of(path, -1, rule, sites);
            Assert.InRange(count, 1, StartSites.Most);
            for (var k = 0; k < count; k++)
            {
                var turned = StartSites.StartAt(path, sites[k]);
                Assert.Equal(sites[k].At, turned.Start);
                Assert.Equal(path.LengthMm, turned.LengthMm, 1e-9);
                Assert.Equal(Measure.SignedArea(path.Vertices.AsSpan()), Measure.SignedArea(turned.Vertices.AsSpan()), 1e-9);
                Assert.All(path.Vertices, v => Assert.Contains(turned.Vertices, w => w.Point == v.Point));
                for (var i = 0; i < path.SegmentCount; i++)
                {
                    var middle = path.SegmentAt(i).Middle;
                    Assert.Equal(0, Enumerable.Range(0, turned.SegmentCount).Min(j => RegionDistance.ToSegment(turned.SegmentAt(j), middle).DistanceMm), 1e-9);
                }
            }
        }
    }, iter: 200);

    [Fact]
    public void A_cut_starts_on_a_long_side_and_no_nearer_to_its_corners_than_the_kerf_or_its_middle() => Gen.Select(
        Gen.Double[0.3, 3], Gen.Double[0.3, 3], Gen.Double[0, 90], Gen.Double[5, 60], Gen.Double[5, 60])
        .Check((width, height, turn, x, y) =>
        {
            var map = Affine2.Translation(x, y) * Affine2.RotationDegrees(turn);
            var path = Assert.Single(Make.Plan(Make.Rectangle(0, 0, width, height).Transform(map)).Film.Paths);
            var (side, other) = (path.SegmentAt(0), path.SegmentAt(path.SegmentCount - 1));
            Assert.Equal(1, Vector2.Dot(side.StartTangent, other.EndTangent), 1e-9);
            Assert.True(side.Length + other.Length >= (0.9 * (Math.Max(width, height) - 0.15)) - 1e-9);
            Assert.True(Math.Min(side.Length, other.Length) >= Math.Min(0.15, (side.Length + other.Length) / 2) - 1e-9);
        }, iter: 100);

    [Theory]
    [InlineData(0.1)]
    [InlineData(0.2)]
    [InlineData(0.3)]
    public void Round_corners_and_round_ends_are_corners_too(double radius)
    {
        // A pad of 1.2 × 0.6 mm; the largest radius makes it an obround.
        var pad = RegionOffset.Offset(RegionOffset.Offset(Make.Rectangle(10, 10, 11.2, 10.6), -radius + 1e-6), radius - 1e-6);
        var path = Assert.Single(Make.Plan(pad).Film.Paths);
        Assert.True(path.SegmentAt(0).IsLine && Math.Abs(path.SegmentAt(0).Chord.Y) < 1e-6, $"{path.SegmentAt(0)}");
        Assert.InRange(path.Start.X, 10 + radius, 11.2 - radius);
    }

    [Fact]
    public void A_cut_does_not_start_beside_a_thin_web()
    {
        // Both long sides of the middle one face thin webs; its ends do not.
        var plan = Make.Plan(Make.Rectangle(10, 10, 10.3, 11.5), Make.Rectangle(10.4, 10, 10.7, 11.5), Make.Rectangle(10.8, 10, 11.1, 11.5));
        var middle = Assert.Single(plan.Film.Paths, p => p.Owner == "a0002");
        Assert.True(middle.Start.Y is < 10.08 or > 11.42, $"{middle.Start}");
        Assert.Equal(10.55, middle.Start.X, 1e-9);

        // The outer ones start on the side that faces away.
        Assert.Equal(10.075, Assert.Single(plan.Film.Paths, p => p.Owner == "a0001").Start.X, 1e-9);
        Assert.Equal(11.025, Assert.Single(plan.Film.Paths, p => p.Owner == "a0003").Start.X, 1e-9);
    }

    [Fact]
    public void Film_that_two_marks_would_thin_counts_as_thin()
    {
        // 0.25 mm between them: enough, and too little where two marks of 0.2 mm take half of theirs.
        var shapes = new[] { Make.Rectangle(10, 10, 10.6, 11.5), Make.Rectangle(10.85, 10, 11.45, 11.5), Make.Rectangle(11.7, 10, 12.3, 11.5) };
        var plan = Make.Plan(JobSettings.Default with { StartMarkMm = 0.2 }, shapes);
        var start = Assert.Single(plan.Film.Paths, p => p.Owner == "a0002").Start;
        Assert.True(start.Y is < 10.08 or > 11.42, $"{start}");
        Assert.DoesNotContain(plan.Findings, f => f.Code == "CUT001");
    }

    [Fact]
    public void Beside_a_short_neighbour_the_rest_of_a_long_side_will_do()
    {
        var plan = Make.Plan(Make.Rectangle(10, 10, 20, 10.4), Make.Rectangle(14.5, 10.5, 15.5, 11), Make.Rectangle(10, 9.5, 20, 9.9));
        var start = Assert.Single(plan.Film.Paths, p => p.Owner == "a0001").Start;
        Assert.Equal(10.325, start.Y, 1e-9);
        Assert.False(start.X is > 14 and < 16, $"{start}");
    }

    [Fact]
    public void Round_openings_start_away_from_thin_webs_too()
    {
        var plan = Make.Plan(Region.Of(Contour.Circle(new(10, 10), 0.5)), Region.Of(Contour.Circle(new(11.08, 10), 0.5)));
        Assert.All(plan.Film.Paths, p => Assert.True(Math.Abs(p.Start.X - 10.54) > 0.2, $"{p.Start}"));
    }

    [Fact]
    public void The_nearest_corner_is_taken_when_asked_and_the_way_is_no_longer()
    {
        var random = new Random(11);
        var shapes = Enumerable.Range(0, 60).Select(_ =>
        {
            var (x, y) = (random.NextDouble() * 90, random.NextDouble() * 90);
            return Make.Rectangle(x, y, x + 2, y + 1);
        }).ToArray();
        var nearest = Make.Plan(JobSettings.Default with { StartPoints = "nearest" }, shapes);
        Assert.All(nearest.Film.Paths, p => Assert.Equal(4, p.Vertices.Length));
        Assert.All(Make.Plan(shapes).Film.Paths, p => Assert.Equal(5, p.Vertices.Length));
    }

    [Fact]
    public void A_cut_goes_on_past_its_start_by_the_overlap_and_opens_no_more()
    {
        var shapes = new[] { Make.Rectangle(10, 10, 12, 11), Region.Of(Contour.Circle(new(20, 20), 0.5)) };
        var plain = Make.Plan(shapes);
        var plan = Make.Plan(JobSettings.Default with { StartOverlapMm = 0.3 }, shapes);
        foreach (var path in plan.Film.Paths)
        {
            var before = Assert.Single(plain.Film.Paths, p => p.Owner == path.Owner);
            Assert.False(path.IsClosed);
            Assert.Equal(before.Start, path.Start);
            Assert.Equal(before.LengthMm + 0.3, path.LengthMm, 1e-9);

            // The end lies on the path, 0.3 mm beyond the start.
            var first = before.SegmentAt(0);
            Assert.Equal(0, Point2.Distance(first.PointAt(0.3 / first.Length), path.End), 1e-9);
        }

        Assert.Equal(plain.Openings.Select(o => o.AreaMm2), plan.Openings.Select(o => o.AreaMm2));
        Assert.Equal(plain.Film.CutLengthMm + 0.6, plan.Film.CutLengthMm, 1e-9);
        Assert.True(plan.Film.TimeS > plain.Film.TimeS);
    }

    [Fact]
    public void An_overlap_never_goes_round_twice()
    {
        var plan = Make.Plan(JobSettings.Default with { StartOverlapMm = 5 }, Make.Rectangle(10, 10, 10.5, 10.5));
        Assert.Equal(2 * 4 * 0.35, plan.Film.CutLengthMm, 1e-9);
    }

    [Fact]
    public void The_lead_lies_in_the_slug_or_is_left_out_and_said() => Gen.Select(_loops, Gen.Double[0.05, 1.5]).Check((vertices, lead) =>
    {
        var wanted = RegionBoolean.Resolve([new Contour(vertices)], FillRule.NonZero);
        if (wanted.IsEmpty)
        {
            return;
        }

        var settings = JobSettings.Default with { LeadInMm = lead };
        var (plain, plan) = (Make.Plan(wanted), Make.Plan(settings, wanted));
        Assert.Equal(plain.Openings[0].AreaMm2, plan.Openings[0].AreaMm2);
        var left = plan.Film.Paths.Count(p => p is { Kind: CutKind.Opening, IsClosed: true });
        Assert.Equal(left > 0, plan.Findings.Any(f => f.Code == "CUT012"));
        foreach (var path in plan.Film.Paths.Where(p => p is { Kind: CutKind.Opening, IsClosed: false }))
        {
            Assert.Equal(lead, path.SegmentAt(0).Length, 1e-9);
            Assert.Equal(0, Point2.Distance(path.Vertices[1].Point, path.End), 1e-12);

            // Everything that the beam covers on the way lies in what opens anyway.
            var swept = RegionOffset.Stroke(new OpenPath([path.Vertices[0], path.Vertices[1] with { Bulge = 0 }]), 0.15);
            Assert.Equal(0, RegionBoolean.Difference(swept, plan.Openings[0].Shape).AreaMm2, 1e-6);
        }
    }, iter: 60);

    [Fact]
    public void A_rectangle_with_room_gets_its_lead_square_to_the_side()
    {
        var path = Assert.Single(Make.Plan(JobSettings.Default with { LeadInMm = 0.3 }, Make.Rectangle(10, 10, 12, 11)).Film.Paths);
        Assert.Equal(0.3, Math.Abs(path.Start.Y - path.Vertices[1].Y), 1e-9);
        Assert.InRange(path.Start.Y, 10.075, 10.925);
        Assert.Equal(path.Start.X, path.Vertices[1].X, 1e-9);
    }

    [Theory]
    [InlineData(1, "1 opening has no room in the slug for the lead-in of 0.900 mm (lead_in_mm) and is begun on its outline;")]
    [InlineData(2, "2 openings have no room in the slug for the lead-in of 0.900 mm (lead_in_mm) and are begun on their outline;")]
    public void Sentences_agree_with_their_numbers(int count, string begins)
    {
        var shapes = Enumerable.Range(0, count).Select(i => Make.Rectangle(10 + (5 * i), 10, 11 + (5 * i), 11)).ToArray();
        var finding = Make.Plan(JobSettings.Default with { LeadInMm = 0.9 }, shapes).Findings.Single(f => f.Code == "CUT012");
        Assert.StartsWith(begins, finding.Message, StringComparison.Ordinal);
    }

    // Each of n chords over a circle turns by 360°/n and is run from rest to rest.
    [Fact]
    public void Short_lines_take_the_time_of_their_corners()
    {
        var settings = JobSettings.Default with { GcodeArcs = false, GcodeChordErrorMm = 0.002, TravelSpeedMmS = 1e4, AccelerationMmS2 = 1000 };
        var shape = Region.Of(Contour.Circle(new(0, 0), 1.075));
        var (arcs, lines) = (Make.Plan(settings with { GcodeArcs = true }, shape).Film, Make.Plan(settings, shape).Film);
        var half = (int)Math.Ceiling(Math.PI / (2 * Math.Acos(1 - 0.002)));
        var chord = 2 * Math.Sin(Math.PI / (2 * half));
        var circle = (2 * Math.PI / 10) + (10.0 / 1000);
        Assert.Equal(2 * half * ((chord / 10) + (10.0 / 1000)) - circle, lines.TimeS - arcs.TimeS, 1e-6);
        Assert.Equal(arcs.Paths.Select(p => p.Vertices.Length), lines.Paths.Select(p => p.Vertices.Length));
    }

    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    public void Every_cut_is_run_as_often_as_asked_before_the_next(int passes)
    {
        var shapes = new[] { Make.Rectangle(10, 10, 12, 11), Make.Rectangle(20, 20, 22, 20.1), new Region([Contour.Circle(new(40, 40), 2), Contour.Circle(new(40, 40), 1).Reversed()]) };
        var (once, plan) = (Make.Plan(shapes), Make.Plan(JobSettings.Default with { FilmPasses = passes }, shapes));
        Assert.Equal(once.Film.Paths.SelectMany(p => Enumerable.Repeat(p.LengthMm, passes)), plan.Film.Paths.Select(p => p.LengthMm), (a, b) => Math.Abs(a - b) < 1e-12);
        Assert.Equal(passes * once.Film.CutLengthMm, plan.Film.CutLengthMm, 1e-9);
        Assert.True(plan.Film.TimeS >= (passes * (once.Film.TimeS - 5)) - 1e-9 && plan.Film.TimeS >= once.Film.TimeS);

        Assert.Equal(once.Film.Paths.SelectMany(_ => Enumerable.Range(0, passes).Select(pass => pass > 0)), plan.Film.Paths.Select(p => p.IsRepeat));

        // A line is run to and fro: no way back with the beam off.
        var lines = plan.PathsOf(CutKind.OpeningLine);
        for (var i = 1; i < lines.Length; i++)
        {
            Assert.Equal(lines[i - 1].End, lines[i].Start);
        }
    }

    [Fact]
    public void The_frame_and_its_marks_have_passes_of_their_own()
    {
        var frame = new FrameDesign
        {
            Blank = new BlankSize(100, 80),
            Placement = default,
            Pocket = Make.Rectangle(20, 20, 70, 50),
            Edge = Make.Rectangle(1, 1, 99, 79),
            StepMm = 0.076,
            Marks = [new ScoreMark("side", "TOP", [new OpenPath([new(5, 5), new(8, 5)])])],
        };
        var settings = JobSettings.Default with { FramePasses = 2, ScorePasses = 3 };
        var plan = CutPlanner.Plan(Make.Design(Make.Rectangle(1, 1, 2, 2)) with { Frame = frame }, settings, TestContext.Current.CancellationToken);
        Assert.Equal(
            [CutKind.Score, CutKind.Score, CutKind.Score, CutKind.Pocket, CutKind.Pocket, CutKind.Edge, CutKind.Edge],
            plan.Frame!.Paths.Select(p => p.Kind));
        Assert.Single(plan.Film.Paths);

        // The pocket's corners are sharp and the edge's are small bends: both start on a straight side, well away from them.
        Assert.All(plan.Frame.Paths.Where(p => p.IsClosed), p =>
        {
            Assert.True(p.SegmentAt(0).IsLine && p.SegmentAt(p.SegmentCount - 1).IsLine);
            Assert.True(Math.Min(p.SegmentAt(0).Length, p.SegmentAt(p.SegmentCount - 1).Length) > 5);
        });
    }

    private static CutPath Loop(PathVertex[] vertices) => new() { Kind = CutKind.Opening, Owner = "", Vertices = [.. vertices], IsClosed = true };
}
