using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Cutting.Tests;

public sealed class PrintabilityTests
{
    private const double Film = 0.1016;
    private const double Mil = 0.0254;

    // Powder fine enough that the ratios alone decide.
    private static readonly Paste _fine = Pastes.Find("sac305-t5")!;

    private static PrintForecast Judge(Region opened, double filmThicknessMm) =>
        Printability.Judge(ShapeMeasure.FormOf(opened), null, new PrintConditions(filmThicknessMm, _fine, ReleaseModel.Default, 0.1));

    // IPC-7525 section 3.2: L·W/(2·T·(L+W)), D/(4T), W/T; the cases are plain arithmetic on it.
    [Theory]
    [InlineData(0.25, 1.50, 2.4606, 1.05456)]
    [InlineData(0.23, 1.20, 2.2638, 0.94984)]
    public void Rectangles_have_the_ratios_of_the_standard(double width, double length, double aspect, double area)
    {
        var print = Judge(Make.Rectangle(0, 0, length, width), Film);
        Assert.Equal(aspect, print.AspectRatio, 4);
        Assert.Equal(area, print.AreaRatio, 5);
    }

    [Theory]
    [InlineData(0.30, 0.73819)]
    [InlineData(0.25, 0.61516)]
    [InlineData(0.40, 0.98425)]
    [InlineData(0.268224, 0.66)]
    public void Circles_have_the_ratio_of_the_standard(double diameter, double area)
    {
        var print = Judge(Region.Of(Contour.Circle(new(3, 4), diameter / 2)), Film);
        Assert.Equal(area, print.AreaRatio, 5);
        Assert.Equal(diameter / Film, print.AspectRatio, 9);
    }

    // Rounded square: A = a² - (4-π)r², P = 4a - (8-2π)r.
    [Theory]
    [InlineData(0.25, 0.06, 0.65189)]
    [InlineData(0.35, 0.09, 0.91312)]
    public void Rounded_squares_have_the_ratio_of_the_formula(double side, double r, double area)
    {
        const double Quarter = 0.41421356237309503;
        var shape = Region.Of(new Contour(
        [
            new(r, 0), new(side - r, 0, Quarter), new(side, r), new(side, side - r, Quarter),
            new(side - r, side), new(r, side, Quarter), new(0, side - r), new(0, r, Quarter),
        ]));
        var print = Judge(shape, Film);
        Assert.Equal(area, print.AreaRatio, 5);
        Assert.Equal(side / Film, print.AspectRatio, 9);
    }

    // R. Lasky, column on odd-shaped apertures, hotwires.net: 40 × 24 mil and two isosceles triangles (16, 16, 12), foil
    // 5 mil: area 1138 mil², wall 840 mil², ratio 1.355.
    [Fact]
    public void An_odd_shape_has_the_ratio_of_the_published_example()
    {
        var h = Math.Sqrt((16 * 16) - (6 * 6));
        (double X, double Y)[] mils =
            [(0, 0), (40, 0), (40, 24), (34, 24), (28, 24 + h), (22, 24), (18, 24), (12, 24 + h), (6, 24), (0, 24)];
        var shape = Make.Polygon([.. mils.Select(p => (p.X * Mil, p.Y * Mil))]);
        Assert.Equal(1138, shape.AreaMm2 / (Mil * Mil), 0);
        Assert.Equal(168, shape.PerimeterMm / Mil, 6);
        Assert.Equal(1.355, Judge(shape, 5 * Mil).AreaRatio, 3);
    }

    [Fact]
    public void The_widest_circle_in_a_triangle_is_found_by_search()
    {
        // 3-4-5: inscribed radius 1.
        var print = Judge(Make.Polygon((0, 0), (4, 0), (0, 3)), 1);
        Assert.InRange(print.AspectRatio, 2 - 3e-4, 2 + 1e-9);
    }

    // Limits: IPC-7525 section 3.2 (aspect 1.5, area 0.66); 0.5 and L > 5 W from memory.
    [Theory]
    [InlineData(0.3, 0.3, Verdict.Prints)]
    [InlineData(0.25, 0.25, Verdict.Marginal)]
    [InlineData(0.19, 0.19, Verdict.WillNotPrint)]
    [InlineData(0.153, 0.9, Verdict.Prints)]
    [InlineData(0.150, 0.9, Verdict.Marginal)]
    [InlineData(0.153, 0.7, Verdict.Marginal)]
    public void Verdicts_follow_the_limits(double width, double length, Verdict expected) =>
        Assert.Equal(expected, Judge(Make.Rectangle(0, 0, length, width), Film).Verdict);

    // Our own construction: a logistic curve through (0.66, 0.80) and (0.50, 0.60).
    [Fact]
    public void Transfer_efficiency_goes_through_its_two_pins()
    {
        Assert.Equal(0.80, ReleaseModel.Default.Efficiency(0.66), 4);
        Assert.Equal(0.60, ReleaseModel.Default.Efficiency(0.50), 4);
        Assert.Equal(0, ReleaseModel.Default.Efficiency(0));
    }

    [Fact]
    public void Paste_volume_is_area_times_thickness_times_efficiency()
    {
        var print = Judge(Region.Of(Contour.Circle(new(0, 0), 0.15)), Film);
        Assert.Equal(0.0071817 * print.TransferEfficiency, print.PasteVolumeMm3, 7);
    }

    [Fact]
    public void Nothing_prints_nothing() => Assert.Equal(new PrintForecast { Verdict = Verdict.WillNotPrint, Doubts = PrintDoubts.Closed }, Judge(Region.Empty, Film));

    // Greely's formula, blog "Calculating Solder Paste Usage", Indium Corporation: SAC305, 87.75 % metal, flux 1.0: 4.14 g/cm³.
    [Fact]
    public void Paste_density_is_that_of_the_published_example()
    {
        Assert.Equal(4.14, Paste.DensityOf(7.37, 0.8775), 2);
        Assert.Equal(4.1480, Paste.DensityOf(7.40, 0.8775), 4);
    }

    // The same blog: opening 0.012 inch square in a foil of 0.004 inch: 3.91e-5 g.
    [Fact]
    public void Paste_mass_is_that_of_the_published_example() =>
        Assert.Equal(3.91e-5, 0.3048 * 0.3048 * 0.1016 * Paste.DensityOf(7.37, 0.8775) / 1000, 7);

    // Blog on bond lines, Indium Corporation: 10 % flux by mass is almost 50 % by volume (0.4512).
    [Fact]
    public void Metal_is_about_half_of_the_volume() => Assert.Equal(0.5488, Pastes.Find("sac305-t3")!.MetalVolumeFraction, 4);

    [Fact]
    public void Pastes_are_found_by_name_in_any_case()
    {
        Assert.Equal("sac305-t4", Pastes.Find("SAC305-T4")?.Name);
        Assert.Null(Pastes.Find("peanut"));
        Assert.Equal(Pastes.Names.Length, Pastes.Names.Distinct().Count());
        Assert.NotNull(Pastes.Find(JobSettings.Default.Paste));
    }
}
