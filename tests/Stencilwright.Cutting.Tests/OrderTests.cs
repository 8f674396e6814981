using CsCheck;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

public sealed class OrderTests
{
    // Textbook kinematics for v = 50 mm/s, a = 1000 mm/s²: L ≥ v²/a: L/v + v/a, else 2 √(L/a).
    [Theory]
    [InlineData(0.3, 0.034641)]
    [InlineData(1.0, 0.0632456)]
    [InlineData(2.5, 0.1)]
    [InlineData(5, 0.15)]
    [InlineData(10, 0.25)]
    [InlineData(0, 0)]
    public void A_run_takes_the_textbook_s_time(double length, double seconds) =>
        Assert.Equal(seconds, Motion.RestToRestS(length, 50, 1000), 6);

    [Fact]
    public void Corners_stop_and_round_paths_do_not()
    {
        var square = Path(true, new(0, 0), new(10, 0), new(10, 10), new(0, 10));
        Assert.Equal(4 * 0.25, Motion.PathS(square, new(50, 1000)), 9);
        var circle = Path(true, new(5, 0, 1), new(-5, 0, 1));
        Assert.Equal((10 * Math.PI / 50) + 0.05, Motion.PathS(circle, new(50, 1000)), 9);
    }

    [Fact]
    public void Every_opening_is_cut_exactly_once_whatever_the_effort() => Gen.Select(
        Gen.Double[1, 90].Array[2].Array[0, 60], Gen.Int[0, 3])
        .Check((at, which) =>
        {
            var effort = which switch { 0 => "quick", 1 => "normal", 2 => "17", _ => "0" };
            var shapes = at.Select(p => Make.Rectangle(p[0], p[1], p[0] + 1, p[1] + 0.5)).ToArray();
            var plan = Make.Plan(JobSettings.Default with { OrderEffort = effort }, shapes);
            Assert.Equal(plan.Openings.Select(o => o.Id), plan.Film.Paths.Select(p => p.Owner).Order(StringComparer.Ordinal));
            Assert.Equal(TravelOf(plan.Film), plan.Film.TravelLengthMm, 9);
        }, iter: 60);

    [Fact]
    public void More_effort_never_travels_much_further_and_beats_the_artwork_s_order()
    {
        var random = new Random(3);
        var shapes = Enumerable.Range(0, 400).Select(_ =>
        {
            var (x, y) = (random.NextDouble() * 90, random.NextDouble() * 90);
            return Make.Rectangle(x, y, x + 0.5, y + 0.5);
        }).ToArray();
        var quick = Make.Plan(JobSettings.Default with { OrderEffort = "0" }, shapes).Film.TravelLengthMm;
        var high = Make.Plan(JobSettings.Default with { OrderEffort = "high" }, shapes).Film.TravelLengthMm;

        // Long ways through n points evenly spread over an area A tend to 0.7124 √(n A) (Johnson and McGeoch 1996);
        // boundary effects add some 10 % at this size. Nearest neighbour takes about a quarter more.
        var bound = 0.7124 * Math.Sqrt(400 * 90.0 * 90.0);
        Assert.InRange(high, 0.9 * bound, 1.15 * bound);
        Assert.True(high < 0.95 * quick, $"{high} {quick}");
    }

    [Fact]
    public void A_row_of_openings_is_cut_from_one_end_to_the_other()
    {
        var shapes = new[] { 5, 2, 9, 0, 7, 3, 8, 1, 6, 4 }.Select(i => Make.Rectangle(1 + (i * 2), 1, 2 + (i * 2), 2)).ToArray();
        var xs = Make.Plan(shapes).Film.Paths.Select(p => p.Start.X).ToArray();
        Assert.Equal(xs.Order(), xs);
    }

    [Fact]
    public void The_same_input_gives_the_same_plan()
    {
        var random = new Random(5);
        var shapes = Enumerable.Range(0, 200).Select(_ =>
        {
            var (x, y) = (random.NextDouble() * 90, random.NextDouble() * 90);
            return Make.Rectangle(x, y, x + 0.5, y + 0.5);
        }).ToArray();
        var (a, b) = (Make.Plan(shapes), Make.Plan(shapes));
        Assert.Equal(a.Film.Paths.SelectMany(p => p.Vertices), b.Film.Paths.SelectMany(p => p.Vertices));
        Assert.Equal(a.Film.TimeS, b.Film.TimeS);
    }

    [Fact]
    public void An_opening_inside_another_s_island_is_cut_before_it()
    {
        var ring = new Region([Contour.Circle(new(10, 10), 5), Contour.Circle(new(10, 10), 3).Reversed()]);
        var plan = Make.Plan(ring, Make.Rectangle(9, 9, 11, 11), Make.Rectangle(1, 1, 2, 2));
        var owners = plan.Film.Paths.Select(p => p.Owner).ToArray();
        Assert.True(Array.IndexOf(owners, "a0002") < Array.IndexOf(owners, "a0001"));
        Assert.Equal(4, owners.Length);
    }

    [Fact]
    public void Scores_come_before_cuts()
    {
        var mark = new ScoreMark("title", "I", [new OpenPath([new(50, 50), new(50, 53)])]);
        var plan = CutPlanner.Plan(Make.Design(Make.Rectangle(1, 1, 2, 2)) with { Marks = [mark] }, JobSettings.Default, TestContext.Current.CancellationToken);
        Assert.Equal([CutKind.Score, CutKind.Opening], plan.Film.Paths.Select(p => p.Kind));
        Assert.Equal("title", plan.Film.Paths[0].Owner);
    }

    [Fact]
    public void The_frame_s_pocket_is_cut_inside_its_edge_and_before_the_outer_edge()
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
        var plan = CutPlanner.Plan(Make.Design(Make.Rectangle(1, 1, 2, 2)) with { Frame = frame }, JobSettings.Default, TestContext.Current.CancellationToken);
        var paths = plan.Frame!.Paths;
        Assert.Equal([CutKind.Score, CutKind.Pocket, CutKind.Edge], paths.Select(p => p.Kind));
        Assert.Equal(50 - 0.15, paths[1].AsRegion().Bounds.Width, 9);
        Assert.Equal(98 + 0.15, paths[2].AsRegion().Bounds.Width, 9);
        Assert.Equal(1.524, plan.Frame.ThicknessMm);
    }

    [Fact]
    public void An_unknown_effort_is_taken_as_normal_and_said()
    {
        var plan = Make.Plan(JobSettings.Default with { OrderEffort = "maximal" }, Make.Rectangle(1, 1, 2, 2));
        Assert.Contains(plan.Findings, f => f.Code == "CUT010");
    }

    [Fact]
    public void Cancellation_stops_the_work()
    {
        using var source = new CancellationTokenSource();
        source.Cancel();
        Assert.Throws<OperationCanceledException>(
            () => CutPlanner.Plan(Make.Design(Make.Rectangle(1, 1, 2, 2)), JobSettings.Default, source.Token));
    }

    [Fact]
    public void A_search_told_enough_gives_a_whole_plan()
    {
        using var source = new CancellationTokenSource();
        source.Cancel();
        var shapes = Enumerable.Range(0, 40).Select(i => Make.Rectangle(1 + (i % 8), 1 + (i / 8), 1.5 + (i % 8), 1.5 + (i / 8))).ToArray();
        var plan = CutPlanner.Plan(Make.Design(shapes), JobSettings.Default, TestContext.Current.CancellationToken, enough: source.Token);
        Assert.Equal(40, plan.Film.Paths.Select(p => p.Owner).Distinct().Count());
        Assert.Equal(plan.Film.Paths.Select(p => p.Owner), Make.Plan(JobSettings.Default with { OrderEffort = "0" }, shapes).Film.Paths.Select(p => p.Owner));
    }

    [Fact]
    public void A_plan_is_never_slower_than_the_order_of_the_artwork() => Gen.Select(Gen.Double[1, 20].Array[2].Array[1, 40], Gen.Int[0, 60])
        .Check((at, steps) =>
        {
            // Circles may start anywhere; the order given, with the same choice of starts, is what effort must not fall behind.
            var settings = JobSettings.Default with { OrderEffort = steps.ToString(System.Globalization.CultureInfo.InvariantCulture), ReheatWeight = 0 };
            var units = at.Select((p, i) => new CutUnit([Path(true, new(p[0] + 0.2, p[1], 1), new(p[0] - 0.2, p[1], 1))], [], i)).ToList();
            var cost = TourCost.Time(settings.TravelSpeedMmS, settings.AccelerationMmS2);
            var found = PathOrder.Arrange(units, new(0, 0), null, cost, steps, StartRule.Nearest, TestContext.Current.CancellationToken);
            Assert.Equal(units.Count, found.Count);
            var (given, here) = (0.0, new Point2(0, 0));
            foreach (var unit in units)
            {
                given += Motion.RestToRestS(Point2.Distance(here, unit.Paths[0].Start), settings.TravelSpeedMmS, settings.AccelerationMmS2);
                here = unit.Paths[0].End;
            }

            var (sum, at1) = (0.0, new Point2(0, 0));
            foreach (var path in found)
            {
                sum += Motion.RestToRestS(Point2.Distance(at1, path.Start), settings.TravelSpeedMmS, settings.AccelerationMmS2);
                at1 = path.End;
            }

            Assert.True(sum <= given + 1e-9, $"{sum} {given}");
        }, iter: 100);

    [Fact]
    public void A_circle_stays_a_pair_of_arcs_wherever_it_starts()
    {
        var plan = Make.Plan(Region.Of(Contour.Circle(new(5, 5), 1)), Region.Of(Contour.Circle(new(9, 9), 1)));
        foreach (var path in plan.Film.Paths)
        {
            Assert.Equal(2, path.Vertices.Length);
            Assert.All(path.Vertices, v => Assert.Equal(1, Math.Abs(v.Bulge)));
            Assert.Equal(2 * (1 - 0.075), Point2.Distance(path.Vertices[0].Point, path.Vertices[1].Point), 9);
        }
    }

    private static double TravelOf(SheetPlan sheet)
    {
        var (sum, at) = (0.0, new Point2(0, 0));
        foreach (var path in sheet.Paths)
        {
            sum += Point2.Distance(at, path.Start);
            at = path.End;
        }

        return sum;
    }

    private static CutPath Path(bool isClosed, params PathVertex[] vertices) =>
        new() { Kind = CutKind.Opening, Owner = "", Vertices = [.. vertices], IsClosed = isClosed };
}
