using Stencilwright.Cutting.Heat;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Cutting.Tests.Heat;

public sealed class HeatTests
{
    // A steel-like plate for textbook numbers: k 40 W/(m K), a 1e-5 m²/s.
    private static readonly Matter _plate = new(40, 8000, 500);

    // Values of K0 computed apart from the program (arbitrary precision).
    [Theory]
    [InlineData(0.1, 2.427069)]
    [InlineData(0.5, 0.9244191)]
    [InlineData(1, 0.4210244)]
    [InlineData(2, 0.1138939)]
    [InlineData(5, 0.003691098)]
    public void Bessel_s_function_has_its_tabulated_values(double x, double value) =>
        Assert.Equal(1, Special.ScaledK0(x) * Math.Exp(-x) / value, 6);

    [Theory]
    [InlineData(1e-3)]
    [InlineData(0.7)]
    [InlineData(1.999999)]
    [InlineData(2.000001)]
    [InlineData(3.5)]
    [InlineData(40)]
    [InlineData(1357)]
    public void Bessel_s_function_agrees_with_its_integral(double x)
    {
        // K0(x) e^x = ∫ exp(-x (cosh t - 1)) dt over t ≥ 0 (Abramowitz and Stegun 9.6.24); the trapezoid rule converges exponentially.
        var (sum, h) = (0.5, 0.002);
        for (var t = h; t < 20; t += h)
        {
            sum += Math.Exp(-x * (Math.Cosh(t) - 1));
        }

        Assert.Equal(1, Special.ScaledK0(x) / (sum * h), 10);
    }

    [Fact]
    public void The_error_function_agrees_with_its_series()
    {
        for (var x = -2.5; x <= 2.5; x += 0.05)
        {
            var (term, sum) = (x, x);
            for (var k = 1; k < 60; k++)
            {
                term *= -x * x / k;
                sum += term / ((2 * k) + 1);
            }

            Assert.Equal(2 / Math.Sqrt(Math.PI) * sum, Special.Erf(x, Math.Exp(-x * x)), 2e-7);
        }
    }

    // Rosenthal's solutions, computed apart from the program; formulas from memory (standard).
    [Fact]
    public void A_source_on_a_thick_plate_has_the_textbook_s_temperatures()
    {
        Assert.Equal(1, MovingSource.ThickRiseK(_plate, 3000, 5, 0, 5) / 683.98, 5);
        Assert.Equal(1, MovingSource.ThickRiseK(_plate, 3000, 5, -5, 0) / 2387.32, 5);
    }

    [Theory]
    [InlineData(0, 5, 82.691)]
    [InlineData(-10, 5, 381.687)]
    [InlineData(-10, 0, 726.552)]
    [InlineData(2, 0, 205.424)]
    public void A_source_in_a_thin_plate_has_the_textbook_s_temperatures(double xi, double side, double rise) =>
        Assert.Equal(1, MovingSource.ThinRiseK(_plate, 3, 1000, 10, xi, side) / rise, 5);

    [Theory]
    [InlineData(0, 0.02, 24.095)]
    [InlineData(-1, 0.1, 204.458)]
    [InlineData(-5, 0.1, 270.724)]
    [InlineData(-5, 0, 355.201)]
    public void A_source_in_film_has_the_computed_temperatures_even_far_behind(double xi, double side, double rise) =>
        Assert.Equal(1, MovingSource.ThinRiseK(Matter.PolyesterFilm, 0.1016, 1, 50, xi, side) / rise, 4);

    [Theory]
    [InlineData(0.02, 1461.93, 0.00217)]
    [InlineData(0.05, 584.77, 0.01358)]
    [InlineData(0.1, 292.39, 0.0543)]
    [InlineData(0.2, 146.19, 0.217)]
    public void The_peak_beside_a_fast_source_follows_the_law(double side, double rise, double seconds)
    {
        Assert.Equal(rise, MovingSource.ThinPeakK(Matter.PolyesterFilm, 0.1016, 1, 50, side), 0.01);
        Assert.Equal(1, MovingSource.ThinPeakTimeS(Matter.PolyesterFilm, side, double.PositiveInfinity) / seconds, 2);
    }

    [Fact]
    public void The_peak_on_a_thick_body_is_that_of_its_law() =>
        Assert.Equal(0.234199 * 3000 / (5 * _plate.HeatPerMm3K * 4), MovingSource.ThickPeakK(_plate, 3000, 5, 2), 0.02);

    [Theory]
    [InlineData(0, 0.02)]
    [InlineData(-1, 0.1)]
    [InlineData(-5, 0.1)]
    [InlineData(-5, 0)]
    [InlineData(-0.3, 0.05)]
    [InlineData(0.01, 0.03)]
    public void Pieces_in_time_add_up_to_the_moving_source(double xi, double side)
    {
        // The beam has come 60 mm, which is for ever as far as these points go.
        var wanted = MovingSource.ThinRiseK(Matter.PolyesterFilm, 0.1016, 1, 50, xi, side);
        var heat = Line(60, 50, fineness: 0.02);
        Assert.Equal(1, heat.RiseK(new(60 + xi, side), 60 / 50.0) / wanted, 2e-3);
    }

    [Theory]
    [InlineData(-0.3, 0.05)]
    [InlineData(-1, 0.1)]
    [InlineData(-5, 0.1)]
    [InlineData(-5, 0)]
    [InlineData(-2, 0.4)]
    public void As_coarse_as_it_is_used_for_whole_sheets_it_is_within_2_percent(double xi, double side)
    {
        var wanted = MovingSource.ThinRiseK(Matter.PolyesterFilm, 0.1016, 1, 50, xi, side);
        Assert.Equal(1, Line(60, 50, FilmHeat.Fineness).RiseK(new(60 + xi, side), 60 / 50.0) / wanted, 0.02);
    }

    [Theory]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.2)]
    public void The_peak_found_beside_a_fast_cut_is_that_of_the_law(double side)
    {
        // At 500 mm/s heat does not run along: the law holds well.
        var heat = Line(60, 500, FilmHeat.Fineness);
        var found = heat.At(new(30, side));
        Assert.Equal(1, found.PeakRiseK / MovingSource.ThinPeakK(Matter.PolyesterFilm, 0.1016, 1, 500, side), 0.01);
        Assert.Equal(1, (found.PeakS - 0.06) / MovingSource.ThinPeakTimeS(Matter.PolyesterFilm, side, double.PositiveInfinity), 0.1);
    }

    [Fact]
    public void No_heat_is_lost_without_loss()
    {
        var heat = new FilmHeat(Square(), Film(0), Affine2.Identity);
        foreach (var age in (double[])[0.05, 0.5, 3])
        {
            var time = 4 * 0.5 / 10 + age;
            Assert.Equal(1, Integral(heat, time) / (1 * 0.2), 0.01);
        }
    }

    [Fact]
    public void Loss_takes_heat_at_its_rate()
    {
        var film = Film(1500);
        var heat = new FilmHeat(Square(), film, Affine2.Identity, fineness: 0.1, reachMm: 4);
        var (early, late) = (Integral(heat, 0.3), Integral(heat, 0.5));
        Assert.Equal(Math.Exp(-0.2 / film.LossTimeS), late / early, 0.01);
    }

    private static double Integral(FilmHeat heat, double time)
    {
        var (sum, h) = (0.0, 0.04);
        for (var x = -3.0; x < 3.5; x += h)
        {
            for (var y = -3.0; y < 3.5; y += h)
            {
                sum += heat.RiseK(new(x, y), time);
            }
        }

        return sum * h * h * heat.Conditions.SheetHeatPerMm2K;
    }

    private static FilmConditions Film(double loss) =>
        new() { Matter = Matter.PolyesterFilm, ThicknessMm = 0.1016, HeatW = 1, LossWM2K = loss };

    private static HeatPiece[] Square()
    {
        Point2[] corners = [new(0, 0), new(0.5, 0), new(0.5, 0.5), new(0, 0.5), new(0, 0)];
        return [.. Enumerable.Range(0, 4).Select(i => new HeatPiece(corners[i], corners[i + 1], i * 0.05, (i + 1) * 0.05, 1, 0))];
    }

    private static FilmHeat Line(double length, double speed, double fineness)
    {
        var pieces = Enumerable.Range(0, (int)length)
            .Select(i => new HeatPiece(new(i, 0), new(i + 1, 0), i / speed, (i + 1) / speed, 1, 0));
        return new FilmHeat([.. pieces], Film(0), Affine2.Identity, fineness, reachMm: length);
    }
}
