using System.Collections.Immutable;
using CsCheck;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests.Coupons;

public sealed class CouponTests
{
    private static readonly Coupon _large = Design(101.6, 101.6);
    private static readonly Coupon _small = Design(70, 68);

    public static TheoryData<string> Sizes => ["large", "small", "wide", "tight", "least"];

    [Theory]
    [MemberData(nameof(Sizes))]
    public void A_feature_s_path_is_as_large_as_told_and_lies_where_told(string size)
    {
        var coupon = Of(size);
        foreach (var feature in coupon.Features)
        {
            var box = PathsOf(coupon, feature).Aggregate(Bounds2.Empty, (b, p) => Bounds2.Union(b, p.AsRegion().Bounds));
            Assert.Equal(feature.Center.X, box.Center.X, 6);
            Assert.Equal(feature.Center.Y, box.Center.Y, 6);
            if (feature.RotationDeg == 0)
            {
                Assert.Equal(feature.WidthMm, box.Width, 6);
                Assert.Equal(feature.HeightMm, box.Height, 6);
            }
            else
            {
                var (a, b) = (feature.Ends[0], feature.Ends[1]);
                Assert.Equal(feature.WidthMm, Point2.Distance(a.Center, b.Center) + a.WidthMm, 6);
                Assert.Equal(feature.RotationDeg, Math.Atan2(b.Center.Y - a.Center.Y, b.Center.X - a.Center.X) * 180 / Math.PI, 6);
            }
        }
    }

    [Fact]
    public void A_feature_comes_out_larger_than_drawn_by_one_kerf_in_each_axis() =>
        Gen.Select(Gen.Double[0.05, 0.3], Gen.Double[0.05, 0.3], Gen.Int[0, _large.Features.Length - 1]).Check((kerfX, kerfY, i) =>
        {
            var feature = _large.Features[i];
            var cut = PathsOf(_large, feature)
                .Select(p => RegionOffset.Outset(p.AsRegion(), kerfX / 2, kerfY / 2).Bounds)
                .Aggregate(Bounds2.Empty, Bounds2.Union);
            if (feature.RotationDeg == 0)
            {
                // An ellipse is cut as arcs fitted within 0.1 µm.
                Assert.Equal(feature.WidthMm + kerfX, cut.Width, 3e-4);
                Assert.Equal(feature.HeightMm + kerfY, cut.Height, 3e-4);
            }
            else
            {
                Assert.Equal(feature.Ends[0].WidthMm + Math.Abs(feature.Ends[0].Center.X - feature.Ends[1].Center.X) + kerfX, cut.Width, 3e-4);
            }
        }, iter: 150);

    [Fact]
    public void Kerf_scale_and_skew_of_the_settings_leave_a_coupon_as_it_is()
    {
        var settings = JobSettings.Default with { KerfXMm = 0.3, KerfYMm = 0.05, ScaleX = 1.01, ScaleY = 0.98, SkewMrad = 20 };
        var other = CouponDesigner.Design(settings, TestContext.Current.CancellationToken).Value!;
        Assert.Equal(_large.Features.Select(Place), other.Features.Select(Place));
        Assert.Equal(_large.Sheet.Paths.SelectMany(p => p.Vertices), other.Sheet.Paths.SelectMany(p => p.Vertices));

        static (string, Point2, double, double) Place(CouponFeature f) => (f.Id, f.Center, f.WidthMm, f.HeightMm);
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void No_turn_and_no_mirroring_brings_a_coupon_onto_itself(string size)
    {
        var coupon = Of(size);
        var shapes = coupon.Features.SelectMany(f => PathsOf(coupon, f)).Select(p => p.AsRegion()).ToList();
        var middle = new Point2(coupon.Sheet.Blank.WidthMm / 2, coupon.Sheet.Blank.HeightMm / 2);
        foreach (var mirror in (double[])[1, -1])
        {
            foreach (var turn in (double[])[0, 90, 180, 270])
            {
                if (mirror == 1 && turn == 0)
                {
                    continue;
                }

                var map = Affine2.Translation(middle.X, middle.Y) * Affine2.RotationDegrees(turn) * Affine2.Scale(mirror, 1) * Affine2.Translation(-middle.X, -middle.Y);
                // How many openings of a millimetre and more find no opening of their size within a millimetre: a scan cannot miss them.
                var moved = shapes.Where(s => s.AreaMm2 > 1).Count(s => !shapes.Exists(o =>
                    Point2.Distance(o.Bounds.Center, map.Apply(s.Bounds.Center)) < 1 && Math.Abs(o.AreaMm2 - s.AreaMm2) < 0.3 * s.AreaMm2));
                Assert.True(moved >= 5, $"mirror {mirror} turn {turn}: only {moved} openings tell");
            }
        }
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Openings_keep_apart_but_for_the_webs_of_ladders_and_marks_keep_clear_of_them(string size)
    {
        var coupon = Of(size);
        var boxes = coupon.Features.SelectMany(f => PathsOf(coupon, f).Select(p => (Feature: f, Box: p.AsRegion().Bounds))).ToList();
        var room = new Bounds2(0, 0, coupon.Sheet.Blank.WidthMm, coupon.Sheet.Blank.HeightMm).Inflate(-CouponDesigner.MarginMm + 1e-9);
        for (var i = 0; i < boxes.Count; i++)
        {
            Assert.True(room.Contains(boxes[i].Box), boxes[i].Feature.Id);
            for (var j = 0; j < i; j++)
            {
                var isLadder = boxes[i].Feature.Kind == boxes[j].Feature.Kind && boxes[i].Feature.Kind is FeatureKinds.LadderX or FeatureKinds.LadderY;
                Assert.False(boxes[i].Box.Inflate(isLadder ? 0.14 : 0.9).Overlaps(boxes[j].Box), $"{boxes[i].Feature.Id} {boxes[j].Feature.Id}");
            }
        }

        foreach (var mark in coupon.Sheet.Paths.Where(p => p.Kind == CutKind.Score))
        {
            var box = mark.Vertices.Aggregate(Bounds2.Empty, (b, v) => b.Include(v.Point));
            Assert.DoesNotContain(boxes, b => b.Box.Inflate(0.25).Overlaps(box));
        }
    }

    [Theory]
    [MemberData(nameof(Sizes))]
    public void Ladders_tell_the_film_drawn_between_their_rungs(string size)
    {
        var coupon = Of(size);
        foreach (var kind in (string[])[FeatureKinds.LadderX, FeatureKinds.LadderY])
        {
            var rungs = coupon.Features.Where(f => f.Kind == kind).ToList();
            Assert.Null(rungs[0].WebMm);
            for (var i = 1; i < rungs.Count; i++)
            {
                var gap = kind == FeatureKinds.LadderX
                    ? rungs[i].Center.X - rungs[i - 1].Center.X - rungs[i].WidthMm
                    : rungs[i - 1].Center.Y - rungs[i].Center.Y - rungs[i].HeightMm;
                Assert.Equal(gap, rungs[i].WebMm!.Value, 9);
            }

            Assert.Equal(rungs.Skip(1).Select(r => r.WebMm).OrderDescending(), rungs.Skip(1).Select(r => r.WebMm));
        }
    }

    [Fact]
    public void A_small_blank_gets_a_smaller_coupon_with_every_kind_of_feature()
    {
        Assert.True(_small.Features.Length < _large.Features.Length);
        Assert.Equal(_large.Features.Select(f => f.Kind).Distinct().Order(StringComparer.Ordinal), _small.Features.Select(f => f.Kind).Distinct().Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_blank_that_is_too_small_is_refused_with_by_how_much_and_the_size_named_is_enough()
    {
        var refused = CouponDesigner.Design(JobSettings.Default with { FilmBlankMm = new(40, 90) }, TestContext.Current.CancellationToken);
        var diagnostic = Assert.Single(refused.Diagnostics);
        Assert.Null(refused.Value);
        Assert.Equal("CUT040", diagnostic.Code);
        Assert.Contains("too small for the smallest coupon by 23.5 mm in width;", diagnostic.Message, StringComparison.Ordinal);
        Assert.Contains("film_blank_mm=64x67", diagnostic.Message, StringComparison.Ordinal);
        Assert.NotNull(Design(64, 67));
    }

    [Fact]
    public void Ids_are_unique_and_every_opening_is_cut_once()
    {
        foreach (var coupon in (Coupon[])[_large, _small])
        {
            Assert.Equal(coupon.Features.Length, coupon.Features.Select(f => f.Id).Distinct(StringComparer.OrdinalIgnoreCase).Count());
            Assert.Equal(
                coupon.Features.SelectMany(f => Enumerable.Repeat(f.Id, Math.Max(1, f.Ends.Length))).Order(StringComparer.Ordinal),
                coupon.Sheet.Paths.Where(p => p.Kind == CutKind.Opening).Select(p => p.Owner).Order(StringComparer.Ordinal));
        }
    }

    [Fact]
    public void A_matrix_has_every_power_with_every_speed_and_its_time_is_that_of_its_own_speeds()
    {
        var matrix = CouponDesigner.DesignMatrix(JobSettings.Default, TestContext.Current.CancellationToken).Value!;
        Assert.Equal(49, matrix.Features.Select(f => (f.PowerPercent, f.SpeedMmS)).Distinct().Count());
        Assert.Contains(matrix.Features, f => f is { PowerPercent: 9.2, SpeedMmS: 10 });
        var cuts = matrix.Sheet.Paths.Where(p => p.Kind == CutKind.Opening).ToList();
        foreach (var cut in cuts)
        {
            var cell = matrix.Features.Single(f => f.Id == cut.Owner);
            Assert.Equal((cell.PowerPercent, cell.SpeedMmS), (cut.PowerPercent, cut.SpeedMmS));
        }

        // To the right more power, upwards more speed.
        Assert.All(matrix.Features.Zip(matrix.Features.Skip(1)).Where(p => p.First.Center.Y == p.Second.Center.Y), p => Assert.True(p.Second.PowerPercent > p.First.PowerPercent));
        var slow = CouponDesigner.DesignMatrix(JobSettings.Default with { FilmSpeedMmS = 2 }, TestContext.Current.CancellationToken).Value!;
        Assert.True(slow.Sheet.TimeS > matrix.Sheet.TimeS + 100);
    }

    [Fact]
    public void A_matrix_asks_for_no_more_than_all_of_the_power()
    {
        var matrix = CouponDesigner.DesignMatrix(JobSettings.Default with { FilmPowerPercent = 90 }, TestContext.Current.CancellationToken).Value!;
        Assert.Equal(100, matrix.Features.Max(f => f.PowerPercent));
        Assert.Equal(matrix.Features.Length, matrix.Features.Select(f => (f.PowerPercent, f.SpeedMmS)).Distinct().Count());
    }

    private static Coupon Design(double width, double height) =>
        CouponDesigner.Design(JobSettings.Default with { FilmBlankMm = new(width, height) }).Value!;

    private static Coupon Of(string size) => size switch { "large" => _large, "small" => _small, "tight" => Design(96, 94), "least" => Design(64, 67), _ => Design(250, 110) };

    private static ImmutableArray<CutPath> PathsOf(Coupon coupon, CouponFeature feature) =>
        [.. coupon.Sheet.Paths.Where(p => p.Kind == CutKind.Opening && p.Owner == feature.Id)];
}
