using CsCheck;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

public sealed class MotionTests
{
    [Theory]
    [InlineData(0.01)]
    [InlineData(0.05)]
    public void A_rounded_corner_is_taken_at_the_speed_of_the_circle_that_fits_it(double deviation)
    {
        // The circle that touches both legs of a right angle and passes its corner at δ has the radius δ s/(1 - s), s = sin 45°
        // (geometry); v² = a R. Then textbook kinematics along each leg.
        var path = Path(false, new(0, 0), new(10, 0), new(10, 10));
        var s = Math.Sqrt(0.5);
        var v = Math.Sqrt(1000 * deviation * s / (1 - s));
        var ramps = ((50.0 * 50) + (50 * 50) - (v * v)) / 2000;
        var leg = (50 / 1000.0) + ((50 - v) / 1000) + ((10 - ramps) / 50);
        Assert.Equal(2 * leg, Motion.PathS(path, new(50, 1000, deviation)), 9);
    }

    [Fact]
    public void A_bend_is_taken_no_faster_than_its_acceleration_allows()
    {
        // v = √(a R) = 10 mm/s for a radius of 0.1 mm at 1000 mm/s².
        var circle = Path(true, new(0.1, 0, 1), new(-0.1, 0, 1));
        Assert.Equal((2 * Math.PI * 0.1 / 10) + (10 / 1000.0), Motion.PathS(circle, new(50, 1000)), 9);
    }

    [Fact]
    public void Splitting_a_line_changes_no_time()
    {
        var whole = Path(false, new(0, 0), new(3, 0), new(3, 4));
        var split = Path(false, new(0, 0), new(0.4, 0), new(1.7, 0), new(3, 0), new(3, 0.1), new(3, 4));
        Assert.Equal(Motion.PathS(whole, new(50, 1000)), Motion.PathS(split, new(50, 1000)), 9);
        Assert.Equal(Motion.PathS(whole, new(50, 1000, 0.02)), Motion.PathS(split, new(50, 1000, 0.02)), 9);
    }

    [Fact]
    public void More_freedom_never_takes_longer_and_no_way_is_faster_than_full_speed() => Gen.Select(
        Gen.Select(Gen.Double[0, 20], Gen.Double[0, 20], Gen.Double[-1, 1]).Array[2, 80], Gen.Double[0, 0.1], Gen.Double[0, 0.1], Gen.Double[5, 200], Gen.Bool)
        .Check((at, one, two, speed, isClosed) =>
        {
            var path = Path(isClosed, [.. at.Select(v => new PathVertex(v.Item1, v.Item2, v.Item3))]);
            var (stop, less, more) = (Time(0), Time(Math.Min(one, two)), Time(Math.Max(one, two)));
            Assert.True(more <= less + 1e-9 && less <= stop + 1e-9, $"{more} {less} {stop}");
            Assert.True(more >= Motion.RestToRestS(path.LengthMm, speed, 1000) - 1e-9);
            Assert.True(Motion.PathS(path, new(speed, 2000, one)) <= Time(one) + 1e-9);

            double Time(double deviation) => Motion.PathS(path, new(speed, 1000, deviation));
        }, iter: 300);

    [Fact]
    public void The_setting_decides_about_corners()
    {
        var shape = Make.Rectangle(1, 1, 5, 3);
        var stop = Make.Plan(JobSettings.Default, shape).Film.TimeS;
        Assert.Equal(stop, Make.Plan(JobSettings.Default with { CornerDeviationMm = 0.05 }, shape).Film.TimeS);
        Assert.True(Make.Plan(JobSettings.Default with { CornerSlowing = "round" }, shape).Film.TimeS < stop);
    }

    private static CutPath Path(bool isClosed, params PathVertex[] vertices) =>
        new() { Kind = CutKind.Opening, Owner = "", Vertices = [.. vertices], IsClosed = isClosed };
}
