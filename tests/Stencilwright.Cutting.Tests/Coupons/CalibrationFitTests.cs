using System.Collections.Immutable;
using CsCheck;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests.Coupons;

public sealed class CalibrationFitTests
{
    private const int Seeds = 1000;
    private static readonly Coupon _coupon = CouponDesigner.Design(JobSettings.Default).Value!;

    // Standard tables of Student's t, two-sided 95 % and 99 % (from memory).
    [Theory]
    [InlineData(0.95, 1, 12.706)]
    [InlineData(0.95, 2, 4.303)]
    [InlineData(0.95, 5, 2.571)]
    [InlineData(0.95, 10, 2.228)]
    [InlineData(0.95, 30, 2.042)]
    [InlineData(0.95, 120, 1.980)]
    [InlineData(0.99, 5, 4.032)]
    [InlineData(0.99, 10, 3.169)]
    public void Student_s_t_is_that_of_the_tables(double within, int degrees, double expected) =>
        Assert.Equal(expected, StudentT.Quantile(within, degrees), 0.0006);

    [Fact]
    public void What_was_planted_is_found_exactly_when_the_hand_is_steady() => Gen.Select(
        Gen.Double[0.99, 1.01], Gen.Double[0.99, 1.01], Gen.Double[-20, 20], Gen.Double[0.05, 0.3], Gen.Double[0.05, 0.3])
        .Check((scaleX, scaleY, skew, kerfX, kerfY) =>
        {
            var machine = new PlantedMachine(scaleX, scaleY, skew, kerfX, kerfY);
            var c = Fit(machine.Read(_coupon, new Random(1), 0)).Value!;
            Assert.Equal(scaleX, c.ScaleX.Value, 9);
            Assert.Equal(scaleY, c.ScaleY.Value, 9);
            Assert.Equal(kerfX, c.KerfXMm.Value, 9);
            Assert.Equal(kerfY, c.KerfYMm.Value, 9);
            // Calipers find the widest extent, the model takes it along the line of centres: less than a microradian apart.
            Assert.Equal(skew, c.SkewMrad.Value, 0.001);
            Assert.Empty(c.Rejected);
            Assert.Equal(_coupon.Features.Length, c.FeaturesUsed);
        }, iter: 60);

    [Fact]
    public void With_an_unsteady_hand_truth_lies_within_three_errors_and_the_intervals_hold_what_they_promise()
    {
        var machine = PlantedMachine.Usual;
        var truth = (double[])[machine.KerfXMm, machine.KerfYMm, machine.ScaleX, machine.ScaleY, machine.SkewMrad];
        var (near, inside) = (new int[truth.Length], new int[truth.Length]);
        Parallel.For(0, Seeds, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var c = Fit(machine.Read(_coupon, new Random(seed), 0.012)).Value!;
            var found = (Estimate[])[c.KerfXMm, c.KerfYMm, c.ScaleX, c.ScaleY, c.SkewMrad];
            for (var i = 0; i < truth.Length; i++)
            {
                if (Math.Abs(found[i].Value - truth[i]) <= 3 * found[i].StandardError)
                {
                    Interlocked.Increment(ref near[i]);
                }

                if (found[i].Low <= truth[i] && truth[i] <= found[i].High)
                {
                    Interlocked.Increment(ref inside[i]);
                }
            }
        });
        Assert.All(near, n => Assert.InRange(n, 0.99 * Seeds, Seeds));
        Assert.All(inside, n => Assert.InRange(n, 0.93 * Seeds, 0.97 * Seeds));
    }

    [Fact]
    public void A_few_squares_and_two_rulers_are_enough_and_the_intervals_still_hold()
    {
        var machine = PlantedMachine.Usual;
        var (inside, all) = (0, 0);
        for (var seed = 0; seed < Seeds; seed++)
        {
            var few = machine.Read(_coupon, new Random(seed), 0.012).Where(r => r.Id is "S1" or "S2" or "S3" or "S4" or "S5" or "S6" or "A1" or "A2" or "B1" or "B2" or "D1" or "D2");
            var c = Fit([.. few]).Value!;
            foreach (var (estimate, truth) in ((Estimate, double)[])[(c.KerfXMm, machine.KerfXMm), (c.KerfYMm, machine.KerfYMm), (c.ScaleX, machine.ScaleX), (c.ScaleY, machine.ScaleY), (c.SkewMrad, machine.SkewMrad)])
            {
                inside += estimate.Low <= truth && truth <= estimate.High ? 1 : 0;
                all++;
            }
        }

        Assert.InRange((double)inside / all, 0.93, 0.97);
    }

    [Fact]
    public void Without_outliers_the_fit_is_that_of_ordinary_least_squares()
    {
        var readings = PlantedMachine.Usual.Read(_coupon, new Random(12), 0.01);
        var c = Fit(readings).Value!;
        Assert.Empty(c.Rejected);
        var axis = readings.Select(r => (Feature: _coupon.Features.Single(f => f.Id == r.Id), Reading: r)).Where(p => p.Feature.RotationDeg == 0).ToList();
        // Textbook: slope = Sxy / Sxx, intercept from the means, s² = SSE / (n - 2).
        var (x, y) = (axis.Select(p => p.Feature.WidthMm).ToList(), axis.Select(p => p.Reading.WidthMm!.Value).ToList());
        var (mx, my, n) = (x.Average(), y.Average(), x.Count);
        var sxx = x.Sum(v => (v - mx) * (v - mx));
        var slope = x.Zip(y).Sum(p => (p.First - mx) * (p.Second - my)) / sxx;
        var intercept = my - (slope * mx);
        var s = Math.Sqrt(x.Zip(y).Sum(p => Math.Pow(p.Second - intercept - (slope * p.First), 2)) / (n - 2));
        Assert.Equal(slope, c.ScaleX.Value, 10);
        Assert.Equal(intercept, c.KerfXMm.Value, 10);
        Assert.Equal(s / Math.Sqrt(sxx), c.ScaleX.StandardError!.Value, 10);
        Assert.Equal(s * Math.Sqrt((1.0 / n) + (mx * mx / sxx)), c.KerfXMm.StandardError!.Value, 10);
    }

    [Fact]
    public void Readings_gone_wrong_are_named_and_hardly_move_the_result()
    {
        var (missed, falsely) = (0, 0);
        var machine = PlantedMachine.Usual;
        for (var seed = 0; seed < 200; seed++)
        {
            var random = new Random(seed);
            var readings = machine.Read(_coupon, random, 0.01).ToArray();
            var wrong = new HashSet<string>(StringComparer.Ordinal);
            while (wrong.Count < 8)
            {
                var at = random.Next(readings.Length);
                if (readings[at].Id[0] == 'D' || !wrong.Add(readings[at].Id))
                {
                    continue;
                }

                // A digit mistaken, a neighbour measured, a burr: tenths of a millimetre to millimetres, either way, in either axis.
                var by = (random.Next(2) == 0 ? 1 : -1) * (0.1 + (2 * random.NextDouble()));
                var r = readings[at];
                readings[at] = random.Next(2) == 0 ? r with { WidthMm = Math.Max(r.WidthMm!.Value + by, 0.01) } : r with { HeightMm = Math.Max(r.HeightMm!.Value + by, 0.01) };
                if (Math.Abs(readings[at].WidthMm!.Value - r.WidthMm!.Value) + Math.Abs(readings[at].HeightMm!.Value - r.HeightMm!.Value) < 0.06)
                {
                    readings[at] = r;
                    wrong.Remove(r.Id);
                }
            }

            var outcome = Fit([.. readings]);
            var c = outcome.Value!;
            var named = c.Rejected.Select(r => r.Id).ToHashSet(StringComparer.Ordinal);
            missed += wrong.Count(id => !named.Contains(id));
            falsely += named.Count(id => !wrong.Contains(id));
            Assert.Equal(named.Count, outcome.Diagnostics.Count(d => d.Code == "CUT044"));
            Assert.InRange(c.KerfXMm.Value, machine.KerfXMm - 0.01, machine.KerfXMm + 0.01);
            Assert.InRange(c.KerfYMm.Value, machine.KerfYMm - 0.01, machine.KerfYMm + 0.01);
            Assert.InRange(c.ScaleX.Value, machine.ScaleX - 0.0008, machine.ScaleX + 0.0008);
            Assert.InRange(c.ScaleY.Value, machine.ScaleY - 0.0008, machine.ScaleY + 0.0008);
        }

        // 1600 planted; good ones are 12 200, of which 3.5 standard deviations of two readings leave out one in a thousand.
        Assert.InRange(missed, 0, 3);
        Assert.InRange(falsely, 0, 60);
    }

    [Theory]
    [InlineData("D1", 0.5)]
    [InlineData("D2", -0.4)]
    [InlineData("D3", 0.3)]
    [InlineData("D4", -0.6)]
    public void A_diagonal_read_wrongly_is_named_and_the_others_tell_the_skew(string id, double off)
    {
        var readings = PlantedMachine.Usual.Read(_coupon, new Random(5), 0.01).Select(r => r.Id == id ? r with { WidthMm = r.WidthMm + off } : r);
        var c = Fit([.. readings]).Value!;
        Assert.Contains(c.Rejected, r => r.Id == id && r.Why.Contains("off what the other diagonals let expect", StringComparison.Ordinal));
        Assert.Equal(2, c.Rejected.Length);
        Assert.InRange(PlantedMachine.Usual.SkewMrad, c.SkewMrad.Low!.Value - 0.1, c.SkewMrad.High!.Value + 0.1);
    }

    [Theory]
    [InlineData("A1", 0.2)]
    [InlineData("A2", -0.3)]
    [InlineData("A3", 1)]
    [InlineData("B1", -0.15)]
    [InlineData("B2", 0.4)]
    [InlineData("B3", -2)]
    public void A_ruler_read_wrongly_is_named_although_few_others_know_the_scale(string id, double off)
    {
        for (var seed = 0; seed < 20; seed++)
        {
            var readings = PlantedMachine.Usual.Read(_coupon, new Random(seed), 0.01).Select(r => r.Id != id ? r
                : id[0] == 'A' ? r with { WidthMm = r.WidthMm + off } : r with { HeightMm = r.HeightMm + off });
            var c = Fit([.. readings]).Value!;
            Assert.Contains(c.Rejected, r => r.Id == id);
            var (scale, truth) = id[0] == 'A' ? (c.ScaleX, PlantedMachine.Usual.ScaleX) : (c.ScaleY, PlantedMachine.Usual.ScaleY);
            Assert.InRange(scale.Value, truth - 0.0005, truth + 0.0005);
        }
    }

    [Fact]
    public void Slugs_measured_with_calipers_tell_the_kerf_as_holes_do()
    {
        var machine = PlantedMachine.Usual;
        var slugs = machine.Read(_coupon, new Random(2), 0)
            .Where(r => r.Id[0] is 'S' or 'C' or 'A' or 'B')
            .Select(r => r.Id[0] is 'S' or 'C' ? r with { IsSlug = true, WidthMm = r.WidthMm - (2 * machine.KerfXMm), HeightMm = r.HeightMm - (2 * machine.KerfYMm) } : r)
            .Where(r => r.WidthMm > 0);
        var c = Fit([.. slugs]).Value!;
        Assert.Equal(machine.KerfXMm, c.KerfXMm.Value, 9);
        Assert.Equal(machine.KerfYMm, c.KerfYMm.Value, 9);
        Assert.Equal(machine.ScaleX, c.ScaleX.Value, 9);
    }

    [Fact]
    public void Repeated_readings_count_once_as_their_mean()
    {
        var readings = PlantedMachine.Usual.Read(_coupon, new Random(3), 0.01);
        var once = Fit(readings).Value!;
        ImmutableArray<CouponReading> twice =
        [
            .. readings.Select(r => r with { WidthMm = r.WidthMm + 0.02, HeightMm = r.HeightMm - 0.01 }),
            .. readings.Select(r => r with { WidthMm = r.WidthMm - 0.02, HeightMm = r.HeightMm + 0.01 }),
        ];
        var mean = Fit(twice).Value!;
        Assert.Equal(once.KerfXMm.Value, mean.KerfXMm.Value, 12);
        Assert.Equal(once.KerfXMm.StandardError!.Value, mean.KerfXMm.StandardError!.Value, 12);
    }

    [Fact]
    public void Without_rulers_the_scale_is_taken_as_1_and_said_and_the_kerf_is_still_found()
    {
        var few = PlantedMachine.Usual.Read(_coupon, new Random(4), 0.012).Where(r => r.Id is "S5" or "S6" or "S7" or "S8" or "C4" or "C5" or "C6");
        var outcome = Fit([.. few]);
        var c = outcome.Value!;
        Assert.Equal([1.0, 1.0, 0.0], [c.ScaleX.Value, c.ScaleY.Value, c.SkewMrad.Value]);
        Assert.False(c.ScaleX.IsMeasured || c.ScaleY.IsMeasured || c.SkewMrad.IsMeasured);
        Assert.InRange(c.KerfXMm.Value, 0.145, 0.18);
        Assert.Equal(2, outcome.Diagnostics.Count(d => d.Code == "CUT042"));
        Assert.Single(outcome.Diagnostics, d => d.Code == "CUT043");
    }

    [Fact]
    public void Too_few_readings_are_refused_and_it_is_said_what_is_missing()
    {
        var outcome = Fit([.. PlantedMachine.Usual.Read(_coupon, new Random(4), 0).Where(r => r.Id is "S1" or "S2")]);
        Assert.Null(outcome.Value);
        Assert.Equal(["CUT041", "CUT041"], outcome.Diagnostics.Select(d => d.Code));
        Assert.Contains("only 2 widths were read, and at least 3 are needed", outcome.Diagnostics[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Readings_in_inches_are_refused_as_nonsense()
    {
        var inches = PlantedMachine.Usual.Read(_coupon, new Random(4), 0).Select(r => r with { WidthMm = r.WidthMm / 25.4, HeightMm = r.HeightMm / 25.4 });
        var outcome = Fit([.. inches]);
        Assert.Null(outcome.Value);
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "CUT048", Severity: Severity.Error } && d.Message.Contains("scale_x", StringComparison.Ordinal));
    }

    [Fact]
    public void The_smallest_web_is_the_narrowest_that_stood_with_every_wider_one()
    {
        var machine = PlantedMachine.Usual;
        // As cut: P of 0.36, 0.31 … less the kerf along x. P7 (0.27) torn, although P8 is said to stand. All of Q stand.
        var readings = machine.Read(_coupon, new Random(1), 0).Select(r => r.Id == "P7" ? r with { WidthMm = 0 } : r);
        var c = Fit([.. readings]).Value!;
        Assert.Equal((machine.ScaleX * 0.31) - machine.KerfXMm, c.NarrowestWebMm!.Value, 6);
        Assert.Contains(c.Rejected, r => r.Id == "P7" && r.Why.Contains("tore", StringComparison.Ordinal));
    }

    [Fact]
    public void A_web_no_wider_than_the_kerf_cannot_have_stood()
    {
        var machine = PlantedMachine.Usual;
        var outcome = Fit(machine.Read(_coupon, new Random(1), 0));
        // The last rung of P is drawn 0.15 apart, less than the kerf of 0.162 along x; the one before it 0.18. The last of Q, 0.15
        // less 0.131, is the wider of the two directions by a hair.
        Assert.True((machine.ScaleX * 0.18) - machine.KerfXMm is > 0.018 and < 0.0186);
        Assert.Equal((machine.ScaleY * 0.15) - machine.KerfYMm, outcome.Value!.NarrowestWebMm!.Value, 6);
        Assert.Contains(outcome.Diagnostics, d => d.Code == "CUT046");
    }

    [Fact]
    public void The_smallest_opening_is_the_narrowest_that_opened_with_every_wider_one()
    {
        var machine = PlantedMachine.Usual;
        var readings = machine.Read(_coupon, new Random(1), 0).Where(r => r.Id[0] is 'S' or 'A' or 'B').Select(r => r.Id is "S8" ? r with { WidthMm = 0 } : r);
        var outcome = Fit([.. readings]);
        // S7 is drawn 0.5 square; S9 of 0.2 opened, S8 of 0.3 did not.
        Assert.Equal((machine.ScaleY * 0.5) + machine.KerfYMm, outcome.Value!.NarrowestOpeningMm!.Value, 6);
        Assert.Null(outcome.Value.NarrowestWebMm);
        Assert.Contains(outcome.Diagnostics, d => d.Code == "CUT049" && d.Message.Contains("S8", StringComparison.Ordinal));
        Assert.Contains(outcome.Diagnostics, d => d.Code == "CUT045");
    }

    /// <summary>The loop closed: an opening planned with what was fitted comes out of the same machine as it was wanted.</summary>
    [Fact]
    public void What_is_cut_with_the_calibration_comes_out_as_wanted()
    {
        var machine = new PlantedMachine(1.004, 0.995, 6, 0.17, 0.12);
        var c = Fit(machine.Read(_coupon, new Random(9), 0.002)).Value!;
        var settings = JobSettings.Default with
        {
            KerfXMm = c.KerfXMm.Value,
            KerfYMm = c.KerfYMm.Value,
            ScaleX = c.ScaleX.Value,
            ScaleY = c.ScaleY.Value,
            SkewMrad = c.SkewMrad.Value,
        };
        var wanted = Make.Rectangle(80, 82, 81.5, 82.4);
        var path = Assert.Single(Make.Plan(settings, wanted).PathsOf(CutKind.Opening));
        var (box, cut) = (wanted.Bounds, machine.Cut(path).Bounds);
        foreach (var (expected, found) in ((double, double)[])[(box.MinX, cut.MinX), (box.MaxX, cut.MaxX), (box.MinY, cut.MinY), (box.MaxY, cut.MaxY)])
        {
            // Kerf within 0.5 µm and 80 mm of scale and skew within 0.02 ‰ and mrad each.
            Assert.Equal(expected, found, 0.01);
        }

        var plain = machine.Cut(Make.Plan(wanted).PathsOf(CutKind.Opening)[0]).Bounds;
        Assert.True(Math.Abs(plain.MinX - box.MinX) > 0.3 && Math.Abs(plain.MinY - box.MinY) > 0.3);
    }

    [Fact]
    public void Nothing_that_can_be_read_makes_the_fit_throw()
    {
        var size = Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 10], Gen.Double[0, 1000], Gen.Const(1.0));
        string[] words = [FeatureKinds.Square, FeatureKinds.DiagonalA, FeatureKinds.DiagonalB, FeatureKinds.LadderX, FeatureKinds.RulerY, "unheard-of"];
        var kinds = Gen.Int[0, words.Length - 1].Select(i => words[i]);
        Gen.Select(kinds, size, size, Gen.Double[-180, 180], size, size, Gen.Int[0, 5]).Array[0, 14].Check(all =>
        {
            var features = all.Select((f, i) => new CouponFeature
            {
                Id = $"F{i}",
                Kind = f.Item1,
                Center = default,
                WidthMm = f.Item2,
                HeightMm = f.Item3,
                RotationDeg = f.Item4,
                WebMm = f.Item1 == FeatureKinds.LadderX ? f.Item2 : null,
            });
            var readings = all.Select((f, i) => new CouponReading
            {
                Id = $"F{i}",
                WidthMm = f.Item7 == 0 ? null : f.Item5,
                HeightMm = f.Item7 == 1 ? null : f.Item6,
                IsOpen = f.Item7 == 2,
                IsSlug = f.Item7 == 3,
            });
            var outcome = CalibrationFit.Fit([.. features], [.. readings], "measured.csv");
            Assert.True(outcome.Value is not null || outcome.Failed);
            if (outcome.Value is { } c)
            {
                Assert.All((double[])[c.KerfXMm.Value, c.KerfYMm.Value, c.ScaleX.Value, c.ScaleY.Value, c.SkewMrad.Value, c.ResidualRmsMm], v => Assert.True(double.IsFinite(v)));
            }
        }, iter: 3000);
    }

    [Fact]
    public void The_order_of_the_readings_does_not_matter()
    {
        var readings = PlantedMachine.Usual.Read(_coupon, new Random(6), 0.01);
        var (a, b) = (Fit(readings).Value!, Fit([.. readings.Reverse()]).Value!);
        Assert.Equal(a.KerfXMm.Value, b.KerfXMm.Value, 12);
        Assert.Equal(a.SkewMrad.Value, b.SkewMrad.Value, 9);
        Assert.Equal(a.Rejected, b.Rejected);
    }

    private static Outcome<Calibration> Fit(ImmutableArray<CouponReading> readings) =>
        CalibrationFit.Fit(_coupon.Features, readings, "measured.csv");
}
