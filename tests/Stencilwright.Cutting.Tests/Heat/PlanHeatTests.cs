using System.Collections.Immutable;
using CsCheck;
using Stencilwright.Cutting.Heat;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests.Heat;

public sealed class PlanHeatTests
{
    private static readonly JobSettings _air = JobSettings.Default with { FilmLiesOn = "air" };
    private static readonly JobSettings _heedless = _air with { ReheatWeight = 0 };

    [Fact]
    public void A_narrower_web_gets_hotter() => Gen.Select(Gen.Double[0.1, 0.6], Gen.Double[0.01, 0.5])
        .Check((web, more) => Assert.True(Peak(_heedless, web) > Peak(_heedless, web + more)), iter: 30);

    [Fact]
    public void Rises_are_in_proportion_to_the_heat()
    {
        var one = Reading(JobSettings.Default, 0.2);
        var two = Reading(JobSettings.Default with { FilmHeatPercent = 10 }, 0.2);
        Assert.Equal(2 * one.PeakRiseK, two.PeakRiseK, 1e-9);
        Assert.Equal(2 * one.ResidualRiseK, two.ResidualRiseK, 1e-9);
        Assert.Equal(one.PeakRiseK, Reading(JobSettings.Default with { LaserPowerW = 80, FilmHeatPercent = 2.5 }, 0.2).PeakRiseK, 1e-9);
    }

    [Fact]
    public void What_takes_more_heat_leaves_the_film_cooler()
    {
        var peaks = new[] { "air", "bed", "wet_paper" }.Select(on => Peak(JobSettings.Default with { FilmLiesOn = on }, 0.2)).ToArray();
        Assert.Equal(peaks.OrderDescending(), peaks);
        Assert.Equal(Peak(JobSettings.Default with { FilmHeatLossWM2K = 20 }, 0.2), peaks[0], 1e-9);
    }

    [Fact]
    public void Where_the_sheet_lies_does_not_matter()
    {
        // The place from where the beam comes decides where along a side it starts: corners leave it no choice here.
        var settings = _air with { StartPoints = "nearest" };
        var far = Make.Plan(settings, Pair(0.2).Select(r => r.Transform(Affine2.Translation(40, 30))).ToArray());
        Assert.Equal(Peak(settings, 0.2), far.Openings[0].WebHeat!.Value.PeakRiseK, 1e-6);
    }

    [Fact]
    public void A_web_between_long_cuts_made_long_apart_peaks_as_the_law_says()
    {
        // Two slots of 12 mm: the second pass comes when the first is nearly cold under wet paper. The law for one pass, with loss:
        // q/(ρ c t) · exp(-y²/(4aτ) - τ/τ_loss)/√(4πaτ) at its best τ.
        var settings = JobSettings.Default with { AccelerationMmS2 = 1e6, OrderEffort = "0" };
        var plan = Make.Plan(settings, Make.Rectangle(5, 5, 25, 6), Make.Rectangle(5, 6.3, 25, 7.3));
        var film = FilmConditions.Of(settings);
        var side = (0.3 + 0.15) / 2;
        var law = Enumerable.Range(1, 4000).Max(i => film.BesideCutK(side, 10, i * 1e-4));
        var found = FilmHeat.Of(plan.Film, settings).At(new(15, 6.15));
        Assert.Equal(1, found.PeakRiseK / law, 0.03);
        Assert.True(found.ResidualRiseK < 0.05 * law);
    }

    [Theory]
    [InlineData("air", 5, "CUT020")]
    [InlineData("air", 2.5, "CUT021")]
    [InlineData("air", 1.2, "CUT022")]
    public void Hot_webs_are_told_with_what_to_do(string on, double percent, string code)
    {
        var settings = JobSettings.Default with { FilmLiesOn = on, FilmHeatPercent = percent };
        var finding = Assert.Single(Make.Plan(settings, Pair(0.2)).Findings, f => f.Code.StartsWith("CUT02", StringComparison.Ordinal) && f.Code != "CUT023");
        Assert.Equal(code, finding.Code);
        Assert.Equal(2, finding.Apertures.Length);
    }

    [Fact]
    public void Without_heat_nothing_is_said_or_read()
    {
        var plan = Make.Plan(JobSettings.Default with { FilmHeatPercent = 0 }, Pair(0.2));
        Assert.Null(plan.HottestWeb);
        Assert.All(plan.Openings, o => Assert.Null(o.WebHeat));
        Assert.DoesNotContain(plan.Findings, f => f.Code.StartsWith("CUT02", StringComparison.Ordinal));
    }

    [Fact]
    public void An_order_that_minds_heat_leaves_webs_cooler_when_the_beam_comes_back()
    {
        var row = Enumerable.Range(0, 24).Select(i => Make.Rectangle(5 + (0.5 * i), 5, 5.28 + (0.5 * i), 5.8)).ToArray();
        var (minding, heedless) = (Make.Plan(_air, row), Make.Plan(_air with { ReheatWeight = 0 }, row));
        Assert.True(Mean(minding, h => h.ResidualRiseK) < 0.95 * Mean(heedless, h => h.ResidualRiseK));
        Assert.True(Mean(minding, h => h.PeakRiseK) < 0.85 * Mean(heedless, h => h.PeakRiseK));

        static double Mean(CutPlan plan, Func<HeatReading, double> figure) => plan.Openings.Average(o => figure(o.WebHeat!.Value));
    }

    [Fact]
    public void The_map_shows_what_points_read()
    {
        var plan = Make.Plan(_air, Pair(0.3));
        var heat = FilmHeat.Of(plan.Film, _air);
        var map = heat.Map(new Bounds2(4, 4, 8, 7), 0.1, 0.15, TestContext.Current.CancellationToken);
        Assert.Equal((40, 30), (map.Columns, map.Rows));
        Assert.Contains(map.PeakRiseK, float.IsNaN);
        for (var i = 0; i < map.PeakRiseK.Length; i += 37)
        {
            var reading = heat.At(new(4.05 + (0.1 * (i % 40)), 4.05 + (0.1 * (i / 40))));
            Assert.True(float.IsNaN(map.PeakRiseK[i]) || Math.Abs(map.PeakRiseK[i] - reading.PeakRiseK) < 1e-3);
        }
    }

    [Fact]
    public void A_path_s_own_power_and_speed_count_as_the_sheet_s_would()
    {
        var plan = Make.Plan(_air, Pair(0.3)).Film;
        var own = plan with { Paths = [.. plan.Paths.Select(p => p.Kind == CutKind.Score ? p : p with { PowerPercent = 6, SpeedMmS = 14 })] };
        var settings = _air with { FilmPowerPercent = 6, FilmSpeedMmS = 14 };
        var whole = plan with { CutPowerPercent = 6, CutSpeedMmS = 14 };
        foreach (var at in new Point2[] { new(6.15, 5.5), new(6.1, 5.9), new(4.8, 5.2) })
        {
            var (expected, found) = (FilmHeat.Of(whole, settings).At(at), FilmHeat.Of(own, _air).At(at));
            Assert.Equal(expected.PeakRiseK, found.PeakRiseK, 1e-9);
            Assert.Equal(expected.PeakS, found.PeakS, 1e-9);
            Assert.Equal(expected.ResidualRiseK, found.ResidualRiseK, 1e-9);
            Assert.NotEqual(FilmHeat.Of(plan, _air).At(at).PeakRiseK, found.PeakRiseK, 1e-3);
        }
    }

    [Fact]
    public void The_order_minds_a_path_s_own_power_and_speed()
    {
        // More heat a millimetre takes longer to cool, whether it comes from more power or less speed.
        var webs = ImmutableArray.Create(new ClosePair(0, 1, 0.1, default, default));
        double Cost(double? power, double? speed)
        {
            var units = new List<CutUnit>();
            for (var i = 0; i < 2; i++)
            {
                units.Add(new CutUnit([Slug(i, power, speed)], [], i));
            }

            return Assert.Single(Reheat.Pairs(units, webs, TourCost.Time(1e9, 1e12), JobSettings.Default)).Cost;
        }

        static CutPath Slug(double x, double? power, double? speed) => new()
        {
            Kind = CutKind.Opening, Owner = "a", IsClosed = true, PowerPercent = power, SpeedMmS = speed,
            Vertices = [new(x, 0), new(x + 0.3, 0), new(x + 0.3, 0.01)],
        };

        Assert.Equal(Cost(null, null), Cost(9.2, 10), 1e-12);
        Assert.True(Cost(18.4, null) > Cost(null, null));
        // Twice the power at twice the speed leaves as much: what differs is the time that cutting itself gives the web to cool, a quarter of each.
        double Seconds(double speed) => Motion.PathS(Slug(0, null, null), MotionLimits.Of(JobSettings.Default, speed));
        Assert.Equal((Seconds(10) - Seconds(20)) / 2, Cost(18.4, 20) - Cost(null, null), 1e-9);
        Assert.True(Cost(7, null) < Cost(null, null));
    }

    [Fact]
    public void Scale_and_skew_of_the_machine_move_the_readings_along()
    {
        var settings = _air with { ScaleX = 1.01, ScaleY = 0.99, SkewMrad = 5 };
        var far = Make.Plan(settings, Pair(0.3).Select(r => r.Transform(Affine2.Translation(80, 80))).ToArray());
        Assert.Equal(1, far.Openings[0].WebHeat!.Value.PeakRiseK / Peak(_air, 0.3), 0.05);
    }

    private static Region[] Pair(double web) => [Make.Rectangle(5, 5, 6, 6), Make.Rectangle(6 + web, 5, 7 + web, 6)];

    private static HeatReading Reading(JobSettings settings, double web) => Make.Plan(settings, Pair(web)).Openings[0].WebHeat!.Value;

    private static double Peak(JobSettings settings, double web) => Reading(settings, web).PeakRiseK;
}
