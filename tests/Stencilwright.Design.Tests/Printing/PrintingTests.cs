using System.Collections.Immutable;
using CsCheck;
using Stencilwright.Boards.Parts;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Design.Tests.Printing;

public sealed class PrintingTests
{
    private const double Film = 0.1016;
    private static readonly Paste _t4 = Pastes.Find("sac305-t4")!;
    private static readonly PrintConditions _usual = new(Film, _t4, ReleaseModel.Default, 0.1);

    private static OpeningForm Rectangle(double width, double length) => new(width * length, 2 * (width + length), Math.Min(width, length), Math.Max(width, length));

    private static OpeningForm Circle(double diameter) => new(Math.PI * diameter * diameter / 4, Math.PI * diameter, diameter, diameter);

    // IPC-7525A, table of example apertures (values of land, aperture and foil from memory; ratios are arithmetic on them
    // and agree with the printed ranges as far as those are remembered).
    [Theory]
    [InlineData(0.60, 1.95, 0.15, 0.25, 2.40, 4.00, 0.918, 1.529)]
    [InlineData(0.30, 1.45, 0.15, 0.175, 1.71, 2.00, 0.710, 0.829)]
    [InlineData(0.25, 1.20, 0.125, 0.15, 1.67, 2.00, 0.690, 0.828)]
    [InlineData(0.20, 1.20, 0.10, 0.125, 1.60, 2.00, 0.686, 0.857)]
    [InlineData(0.15, 0.95, 0.075, 0.10, 1.50, 2.00, 0.648, 0.864)]
    public void Leads_have_the_ratios_of_the_example_table(
        double width, double length, double thin, double thick, double aspectLow, double aspectHigh, double areaLow, double areaHigh)
    {
        var form = Rectangle(width, length);
        Assert.Equal(aspectLow, form.AspectRatio(thick), 0.01);
        Assert.Equal(aspectHigh, form.AspectRatio(thin), 0.01);
        Assert.Equal(areaLow, form.AreaRatio(thick), 0.001);
        Assert.Equal(areaHigh, form.AreaRatio(thin), 0.001);
    }

    // The same table's chips and arrays.
    [Theory]
    [InlineData(0.45, 0.60, 0.125, 0.15, 0.857, 1.029)]
    [InlineData(0.23, 0.35, 0.075, 0.10, 0.694, 0.925)]
    [InlineData(0.35, 0.35, 0.115, 0.135, 0.648, 0.761)]
    [InlineData(0.28, 0.28, 0.075, 0.10, 0.700, 0.933)]
    public void Chips_and_arrays_have_the_ratios_of_the_example_table(
        double width, double length, double thin, double thick, double areaLow, double areaHigh)
    {
        Assert.Equal(areaLow, Rectangle(width, length).AreaRatio(thick), 0.001);
        Assert.Equal(areaHigh, Rectangle(width, length).AreaRatio(thin), 0.001);
    }

    [Fact]
    public void A_ball_grid_circle_has_the_ratios_of_the_example_table()
    {
        Assert.Equal(0.9375, Circle(0.75).AreaRatio(0.20), 4);
        Assert.Equal(1.25, Circle(0.75).AreaRatio(0.15), 4);
    }

    // Plain arithmetic on IPC-7525, section 3.2: where W = 1.5 T and the area ratio is 0.66, L = 11 T.
    [Fact]
    public void Both_limits_meet_at_eleven_thicknesses()
    {
        var form = Rectangle(1.5 * Film, 11 * Film);
        Assert.Equal(1.1176, form.LengthMm, 6);
        Assert.Equal(0.66, form.AreaRatio(Film), 9);
        Assert.Equal(1.5, form.AspectRatio(Film), 9);
        Assert.Equal(0.625, Rectangle(1.5 * Film, 7.5 * Film).AreaRatio(Film), 9);
    }

    // J-STD-005A main ranges, as given in SMT007, July 2019 (types 3 to 5); five balls: 225, 190 and 125 µm.
    [Theory]
    [InlineData("sac305-t3", 225)]
    [InlineData("sac305-t4", 190)]
    [InlineData("sac305-t5", 125)]
    [InlineData("sac305-t6", 75)]
    public void Five_balls_of_the_powder_are_what_the_trade_says(string paste, double widthUm)
    {
        var known = Pastes.Find(paste)!;
        Assert.Equal(widthUm, Printability.LeastBalls * known.LargestPowderUm);
        var conditions = _usual with { Paste = known, FilmThicknessMm = 0.02 };
        Assert.False(Doubts(Rectangle(widthUm / 1000, 2)).HasFlag(PrintDoubts.Powder));
        Assert.True(Doubts(Rectangle((widthUm - 1) / 1000, 2)).HasFlag(PrintDoubts.Powder));

        PrintDoubts Doubts(OpeningForm form) => Printability.Judge(form, null, conditions).Doubts;
    }

    // Eight balls across a round opening: common practice, no source. 8 × 38 µm = 304 µm.
    [Fact]
    public void A_round_opening_wants_eight_balls()
    {
        Assert.Equal(Verdict.Prints, Printability.Judge(Circle(0.3041), null, _usual).Verdict);
        Assert.Equal(PrintDoubts.Powder, Printability.Judge(Circle(0.3039), null, _usual).Doubts);
        Assert.Equal(Verdict.Marginal, Printability.Judge(Circle(0.3039), null, _usual).Verdict);
    }

    // rho = 1/(w/rho_metal + (1-w)/rho_flux), phi = w rho/rho_metal; alloy densities: SAC305 from a blog on bond lines,
    // Indium Corporation, the others from handbooks, from memory.
    [Theory]
    [InlineData(7.40, 0.885, 4.2627, 0.5098)]
    [InlineData(7.40, 0.89, 4.3427, 0.5223)]
    [InlineData(7.40, 0.90, 4.5122, 0.5488)]
    [InlineData(8.40, 0.885, 4.5381, 0.4781)]
    [InlineData(8.40, 0.90, 4.8276, 0.5172)]
    [InlineData(8.56, 0.89, 4.6735, 0.4859)]
    [InlineData(8.56, 0.90, 4.8747, 0.5125)]
    public void Density_and_metal_share_follow_the_formula(double alloy, double metal, double density, double share)
    {
        var paste = new Paste("x", alloy, metal, 38);
        Assert.Equal(density, paste.DensityGCm3, 4);
        Assert.Equal(share, paste.MetalVolumeFraction, 4);
    }

    // 0.30 mm circle, T = 0.1016, released 80 %, metal share 0.51: plain arithmetic.
    [Fact]
    public void Metal_after_reflow_is_that_of_the_worked_example()
    {
        var release = ReleaseModel.Default with { Slope = 1e-9, MiddleRatio = 0 };
        var paste = new Paste("x", 7.40, 0.885, 20);
        var print = Printability.Judge(Circle(0.30), null, new(Film, paste, release, 0.1));
        Assert.Equal(0.0071817, print.PasteVolumeMm3 / print.TransferEfficiency, 7);
        Assert.Equal(print.PasteVolumeMm3 * 0.5098, print.MetalVolumeMm3, 7);
        Assert.Equal(0.0057453, 0.8 * print.PasteVolumeMm3 / print.TransferEfficiency, 7);
        Assert.Equal(print.PasteVolumeMm3 * 4.2627e-3, print.PasteMassG, 7);
    }

    [Fact]
    public void A_web_too_thin_makes_an_opening_marginal()
    {
        Assert.Equal(Verdict.Prints, Printability.Judge(Rectangle(0.5, 0.6), 0.1, _usual).Verdict);
        var print = Printability.Judge(Rectangle(0.5, 0.6), 0.09, _usual);
        Assert.Equal((Verdict.Marginal, PrintDoubts.Web), (print.Verdict, print.Doubts));
    }

    [Fact]
    public void More_area_ratio_releases_more_and_varies_less() =>
        Gen.Select(Gen.Double[0.05, 2], Gen.Double[0.05, 2]).Check((a, b) =>
        {
            var (low, high) = (Math.Min(a, b), Math.Max(a, b));
            var model = ReleaseModel.Default;
            Assert.True(model.Efficiency(low) <= model.Efficiency(high));
            Assert.True(model.Spread(low) / model.Efficiency(low) >= (model.Spread(high) / model.Efficiency(high)) - 1e-12);
            Assert.InRange(model.Efficiency(low), 0, 1);
        });

    [Fact]
    public void A_shop_s_own_prints_give_back_the_curve_they_came_from() =>
        Gen.Select(Gen.Double[0.3, 0.6], Gen.Double[3, 12], Gen.Int[0, 1000]).Check((middle, slope, seed) =>
        {
            var truth = new ReleaseModel { MiddleRatio = middle, Slope = slope };
            var exact = Enumerable.Range(0, 25).Select(i => 0.3 + (i * 0.04)).Select(a => (a, truth.Efficiency(a))).ToList();
            var found = ReleaseModel.Fit(exact)!;
            Assert.Equal(middle, found.MiddleRatio, 1e-6);
            Assert.Equal(slope, found.Slope, 1e-5);
            Assert.True(found.SpreadLarge < 1e-6);

            // With scatter of 10 % the half-way point comes back within a few hundredths.
            var random = new Random(seed);
            var noisy = exact.SelectMany(p => Enumerable.Range(0, 8).Select(_ => (p.a, p.Item2 * (1 + (0.1 * Normal(random)))))).ToList();
            Assert.Equal(middle, ReleaseModel.Fit(noisy)!.MiddleRatio, 0.04);
            Assert.Equal(0.1, ReleaseModel.Fit(noisy)!.SpreadLarge, 0.04);
        }, iter: 30);

    [Fact]
    public void Too_few_or_too_like_prints_fit_nothing()
    {
        Assert.Null(ReleaseModel.Fit([(0.5, 0.6), (0.6, 0.7), (0.7, 0.8), (0.8, 0.9)]));
        Assert.Null(ReleaseModel.Fit([.. Enumerable.Repeat((0.6, 0.7), 20)]));
    }

    [Fact]
    public void A_chip_that_is_wide_enough_prints_and_says_nothing()
    {
        var print = Assert.Single(Judge(Part(PartClass.Chip, 2), Rectangle(0.5, 0.6), Rectangle(0.5, 0.6)));
        Assert.Equal(Verdict.Prints, print.Verdict);
        Assert.Null(print.Remedy);
        Assert.Empty(print.Doubtful);
        Assert.Equal(2 * 0.3 * 0.1375, print.WantedVolumeMm3, 9);
    }

    [Theory]
    // Area ratio 0.65: a few µm more are enough.
    [InlineData(0.264, 0.264, "sac305-t5", RemedyKind.WiderOpenings)]
    // 0.16 × 0.5 is 4.2 balls of type 4 across, and 50 µm more do not make five of type 3.
    [InlineData(0.16, 0.9, "sac305-t4", RemedyKind.WiderOpenings)]
    [InlineData(0.12, 3, "sac305-t3", RemedyKind.ThinnerFilmAndFinerPowder)]
    [InlineData(0.10, 0.10, "sac305-t5", RemedyKind.SteelStencil)]
    public void The_cheapest_change_that_helps_is_named(double width, double length, string paste, RemedyKind expected)
    {
        var judge = new PartJudge(_usual with { Paste = Pastes.Find(paste)! }, [0.0762, 0.1016], Pastes.All.Where(p => p.Name.StartsWith("sac305", StringComparison.Ordinal)));
        var print = Assert.Single(judge.Judge([Part(PartClass.SmallOutline, 1)], [Subject(0, Rectangle(width, length))]));
        Assert.NotEqual(Verdict.Prints, print.Verdict);
        Assert.Equal(expected, print.Remedy!.Kind);
    }

    [Fact]
    public void A_web_alone_is_mended_by_trimming()
    {
        var judge = new PartJudge(_usual, [], []);
        var print = Assert.Single(judge.Judge([Part(PartClass.SmallOutline, 1)], [Subject(0, Rectangle(0.5, 1), web: 0.06)]));
        Assert.Equal(RemedyKind.WiderWebs, print.Remedy!.Kind);
    }

    [Fact]
    public void Panes_of_a_thermal_pad_count_together()
    {
        var part = Part(PartClass.QuadNoLead, 4);
        var judge = new PartJudge(_usual, [], []);
        PrintSubject Pane(string id, double side) => Subject(0, Rectangle(side, side)) with { Id = id, Function = PadFunction.ThermalPad };
        Assert.Equal(Verdict.Prints, judge.Judge([part], [Pane("a", 1), Pane("b", 1), Pane("c", 0.1)])[0].Verdict);
        Assert.Equal(Verdict.WillNotPrint, judge.Judge([part], [Pane("a", 0.15), Pane("b", 0.15), Pane("c", 0.15)])[0].Verdict);
    }

    [Fact]
    public void Advice_counts_every_opening_for_every_film_and_paste()
    {
        var parts = new[] { Part(PartClass.Chip, 2) }.ToImmutableArray();
        PrintSubject[] subjects = [Subject(0, Rectangle(0.5, 0.6)), Subject(0, Rectangle(0.24, 0.24)), Subject(-1, Rectangle(0.12, 0.12))];
        var advice = FilmAdvice.Of(parts, subjects, _usual, [0.0762, 0.1016, 0.127], FilmAdvice.PastesOf("", "sac305-t4"));
        Assert.Equal(3 * FilmAdvice.PastesOf("", "sac305-t4").Length, advice.Choices.Length);
        Assert.All(advice.Choices, c => Assert.Equal(3, c.Prints + c.Marginal + c.WillNotPrint));
        Assert.Single(advice.Choices, c => c.IsCurrent);
        // 0.24/(4 × 0.0762) = 0.787: thin film makes the middle one print, with powder of which eight fit across 0.24 mm.
        var best = advice.Choices[advice.Best];
        Assert.Equal(0.0762, best.FilmThicknessMm);
        Assert.Equal(2, best.Prints);
        Assert.True(8 * best.Paste.LargestPowderUm <= 240);
        Assert.Contains("steel", advice.Why, StringComparison.Ordinal);
    }

    [Fact]
    public void Advice_keeps_what_is_on_the_bench_when_nothing_is_better()
    {
        var advice = FilmAdvice.Of([Part(PartClass.Chip, 1)], [Subject(0, Rectangle(1.5, 1.5))], _usual, [0.0762, 0.1016], [_t4]);
        Assert.True(advice.Choices[advice.Best].IsCurrent);
        Assert.StartsWith("Keep film of 101.6 µm", advice.Why, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("0.0762, 4mil", new[] { 0.0762, 0.1016 })]
    [InlineData("", new double[0])]
    [InlineData("0.1, thick", new double[0])]
    public void Films_are_read_from_a_list(string list, double[] films) => Assert.Equal(films, FilmAdvice.FilmsOf(list).Select(f => Math.Round(f, 9)));

    private static ImmutableArray<PartPrint> Judge(BoardPart part, params OpeningForm[] forms) =>
        new PartJudge(_usual, [0.0762], [_t4]).Judge([part], [.. forms.Select(f => Subject(0, f))]);

    private static PrintSubject Subject(int part, OpeningForm form, double? web = null) => new()
    {
        Id = "a0001", Part = part, Function = PadFunction.Terminal, Form = form, WebMm = web, WantedAreaMm2 = form.AreaMm2,
    };

    private static BoardPart Part(PartClass kind, int pads) => new()
    {
        Class = kind, Center = new Point2(0, 0), Confidence = 1, Why = "planted", Pads = [.. Enumerable.Range(0, pads).Select(i => new PartPad(i, PadFunction.Terminal, null))],
    };

    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
