using CsCheck;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Artwork.Tests.GerberTesting;

namespace Stencilwright.Artwork.Tests;

/// <summary>
/// Deprecated and sloppy spellings give the same image as the clean one (Gerber Layer Format Specification, deprecated elements and
/// errors; facts list section 6.4).
/// </summary>
public sealed class GerberToleranceTests
{
    private const string Square = "%ADD10C,1*%%ADD11R,2X1*%D10*X0Y0D02*G01*X5000000Y0D01*X5000000Y3000000D01*D11*X9000000Y9000000D03*M02*";

    [Theory]
    [InlineData("G1 and D1", "%ADD10C,1*%%ADD11R,2X1*%D10*X0Y0D2*G1*X5000000Y0D1*Y3000000D1*D11*X9000000Y9000000D3*M2*")]
    [InlineData("more zeros and small letters", "%ADD0010C,1*%%ADD11R,2X1*%D0010*X0Y0D002*g001*X5000000Y0D001*Y3000000D001*D011*X9000000Y9000000D003*M02*")]
    [InlineData("G54 and modes in one word", "%ADD10C,1*%%ADD11R,2X1*%G54D10*X0Y0D02*G01X5000000Y0D01*Y3000000D01*G54D11*G55X9000000Y9000000D03*M00*")]
    [InlineData("modal D01", "%ADD10C,1*%%ADD11R,2X1*%D10*X0Y0D02*G01*X5000000D01*Y3000000*D11*X9000000Y9000000D03*M02*")]
    [InlineData("folded lines and empty blocks", "%ADD10C,1*%\r\r%ADD11R,2X1*%\r\n**D10*X0Y\n0D02*G01*X50\n00000D0\r\n1*Y3000000D01*D11*X9000000Y9000000D03*M02*")]
    [InlineData("several commands between per-cent signs", "%ADD10C,1*ADD11R,2X1*LPD*%D10*X0Y0D02*G01*X5000000D01*Y3000000D01*D11*X9000000Y9000000D03*M02*")]
    [InlineData("harmless headers", "%ADD10C,1*%%ADD11R,2X1*%%IR0*IPPOS*OFA0B0*MIA0B0*SFA1B1*%%ASAXBY*%%INx*%%LNy*%%SRX1Y1I0J0*%G71*G90*N10*D10*X0Y0D02*G01*X5000000D01*Y3000000D01*D11*X9000000Y9000000D03*M02*")]
    [InlineData("minus zero and plus", "%ADD10C,1*%%ADD11R,2X1*%D10*X-0Y-0D02*G01*X+5000000Y-0D01*Y3000000D01*D11*X9000000Y9000000D03*M02*")]
    public void Old_and_odd_spellings_draw_the_same(string what, string text)
    {
        Assert.NotEmpty(what);
        var read = Read(Metric + text);
        Assert.All(read.Diagnostics, d => Assert.Equal(Severity.Note, d.Severity));
        SameImage(CleanImage(Metric + Square), Image(read.Value!));
    }

    [Fact]
    public void Apertures_may_come_before_the_format_and_the_unit()
    {
        SameImage(CleanImage(Metric + Square), CleanImage("%ADD10C,1*%%ADD11R,2X1*%" + Metric + Square[(Square.IndexOf("D11R", StringComparison.Ordinal) + 10)..]));
    }

    [Theory]
    [InlineData("%FSLAX24Y24*%%ADD10C,.02*%D10*X10000Y0D03*M02*", "ART006", 25.4)]
    [InlineData("%FSLAX33Y33*%%ADD10C,.02*%D10*X10000Y0D03*M02*", "ART006", 10)]
    [InlineData("%FSLAX24Y24*%G70*%ADD10C,.02*%D10*X10000Y0D03*M02*", "ART008", 25.4)]
    [InlineData("%FSLAX24Y24*%%MOMM*%G70*%ADD10C,.02*%D10*X10000Y0D03*M02*", "ART007", 1)]
    [InlineData("%FSLAN2X24Y24D2*%%MOMM*%%ADD10C,.02*%D10*X10000Y0D03*M02*", "ART005", 1)]
    [InlineData("%FSLAX23Y24*%%MOMM*%%ADD10C,.02*%D10*X10000Y0D03*M02*", "ART005", 10)]
    [InlineData("%FSLAX24Y24*%%MOMM*%%ADD10C,.02*%D10*X1.5Y0D03*M02*", "ART005", 1.5)]
    public void Units_and_formats_that_are_missing_or_odd_are_assumed_aloud(string text, string code, double xMm)
    {
        var read = Read(text);
        Assert.Contains(code, Codes(read));
        Assert.Equal(xMm, Image(read.Value!).Objects[0].Shape.Bounds.Center.X, 9);
    }

    [Fact]
    public void Inch_and_millimetre_give_the_same_image() =>
        Gen.Int[-50, 50].Array[2, 12].Check(
            numbers =>
            {
                var metric = Draw("%FSLAX46Y46*%%MOMM*%%ADD10C,2.54*%%ADD11O,5.08X2.54*%", numbers, n => $"{n * 2540000}");
                var inch = Draw("%FSLAX25Y25*%%MOIN*%%ADD10C,.1*%%ADD11O,.2X.1*%", numbers, n => $"{n * 10000}");
                SameImage(CleanImage(metric), CleanImage(inch));
            },
            iter: 40);

    [Fact]
    public void Trailing_zeros_may_be_left_out_and_steps_may_be_incremental() =>
        Gen.Int[-50, 50].Array[2, 12].Check(
            numbers =>
            {
                var clean = CleanImage(Draw("%FSLAX24Y24*%%MOMM*%%ADD10C,.254*%%ADD11O,.5X.3*%", numbers, n => $"{n * 10000}"));
                var trailing = Draw("%FSTAX24Y24*%%MOMM*%%ADD10C,.254*%%ADD11O,.5X.3*%", numbers, n => $"{(n < 0 ? "-" : "")}{Math.Abs(n):00}");
                SameImage(clean, Image(trailing));
                var last = new int[2];
                var axis = 0;
                var steps = Draw("%FSLIX24Y24*%%MOMM*%%ADD10C,.254*%%ADD11O,.5X.3*%", numbers, n =>
                {
                    var step = n - last[axis];
                    last[axis] = n;
                    axis = 1 - axis;
                    return $"{step * 10000}";
                });
                SameImage(clean, Image(steps));
            },
            iter: 40);

    [Fact]
    public void A_drawing_moved_is_the_same_drawing_elsewhere() =>
        Gen.Select(Gen.Int[-50, 50].Array[2, 12], Gen.Int[-90, 90], Gen.Int[-90, 90]).Check(
            (numbers, dx, dy) =>
            {
                const string Head = "%FSLAX34Y34*%%MOMM*%%ADD10C,2*%%ADD11O,3X2*%";
                var here = CleanImage(Draw(Head, numbers, n => $"{n * 10000}"));
                var axis = 0;
                var there = CleanImage(Draw(Head, numbers, n => $"{(n + (axis++ % 2 == 0 ? dx : dy)) * 10000}"));
                SameImage(here, there, dx: dx, dy: dy);
                SameImage(here, Image(Head + $"%OFA{dx}B{dy}*%" + Draw("", numbers, n => $"{n * 10000}")), dx: dx, dy: dy);
            },
            iter: 30);

    // Pairs of numbers: a path drawn with a round pen, an obround flashed at its first point.
    private static string Draw(string head, int[] numbers, Func<int, string> coordinate)
    {
        var text = head + "G01*D10*";
        for (var i = 0; i + 1 < numbers.Length; i += 2)
        {
            text += $"X{coordinate(numbers[i])}Y{coordinate(numbers[i + 1])}{(i == 0 ? "D02" : "D01")}*";
        }

        return text + "D11*D03*M02*";
    }

    [Fact]
    public void Coordinates_alone_repeat_a_flash_with_a_warning()
    {
        var read = Read(Metric + "%ADD10C,1*%D10*X0Y0D03*X5000000*X9000000*M02*");
        Assert.Equal(["ART012"], Codes(read));
        Assert.Equal(3, Image(read.Value!).Islands.Length);
    }

    [Fact]
    public void Attributes_in_comments_are_the_attributes()
    {
        var image = CleanImage(
            "G04 #@! TF.FileFunction,Paste,Top*\n" + Metric + "G04 #@! TA.AperFunction,SMDPad,CuDef*\n%ADD10C,1*%\nG04 #@! TD*\n%ADD11C,1*%\n"
            + "G04 #@! TO.P,U1,7,CLK*\nG04#@! TO.N,Net-(A)*\nD10*X0Y0D03*\nG04 #@! TD.P*\nD11*X5000000D03*\nG04 nothing #@! TD*\nG04 #@! TD*\nX9000000D03*M02*");
        Assert.Equal(["Paste", "Top"], image.FileAttributes[".FileFunction"]);
        Assert.Equal(("SMDPad,CuDef", "U1", "7", "Net-(A)"), Of(0));
        Assert.Equal((null, null, null, "Net-(A)"), Of(1));
        Assert.Equal((null, null, null, null), Of(2));

        (string?, string?, string?, string?) Of(int i)
        {
            var o = image.Objects[i];
            return (o.ApertureFunction, o.Component, o.Pin, o.Net);
        }
    }

    [Fact]
    public void Equal_ends_are_a_full_circle_in_G75_and_nothing_in_G74()
    {
        const string Head = Metric + "%ADD10C,0.2*%D10*X1000000Y0D02*";
        Near(Math.PI * ((1.1 * 1.1) - (0.9 * 0.9)), CleanImage(Head + "G75*G02*X1000000Y0I-1000000J0D01*M02*").PaintedAreaMm2);
        Near(Math.PI * 0.01, Image(Head + "G74*G02*X1000000Y0I1000000J0D01*M02*").PaintedAreaMm2);
    }

    [Theory]
    [InlineData("G03*X0Y1000000I1000000J0D01", 1)]
    [InlineData("G02*X0Y1000000I0J1000000D01", -1)]
    public void Single_quadrant_arcs_find_the_centre_that_turns_the_right_way(string arc, int turn)
    {
        var image = Image(Metric + "%ADD10C,0.2*%D10*G74*X1000000Y0D02*" + arc + "*M02*");
        var center = image.Objects[0].CenterLine!.Value;
        Assert.Equal(turn * Math.PI / 2, center.SweepRad, 9);
        Assert.Equal(1, center.Radius, 9);
    }

    [Fact]
    public void Arcs_whose_radii_differ_keep_their_ends_and_warn()
    {
        var read = Read(Metric + "%ADD10C,0.2*%D10*G75*X1000000Y0D02*G03*X-1100000Y0I-1000000J0D01*M02*");
        var composed = GerberImage.Compose(read.Value!, ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.Equal(["ART019"], Codes(composed));
        var strokes = composed.Value!.Objects;
        Assert.Equal(1, strokes[0].CenterLine!.Value.Start.X, 12);
        Assert.Equal(-1.1, strokes[^1].CenterLine!.Value.End.X, 12);
        Assert.Equal(1.05, strokes[0].CenterLine!.Value.End.Y, 9);
        Assert.Single(composed.Value.Islands);
    }

    [Theory]
    [InlineData("D11*X0Y0D02*G01*X4000000Y0D01", (4 + 2) * 1)]
    [InlineData("D11*X0Y0D02*G01*X0Y4000000D01", 2 * (4 + 1))]
    [InlineData("D11*X0Y0D02*G01*X-3000000Y4000000D01", (2 * 1) + (3 * 1) + (4 * 2))]
    [InlineData("%LR90*%D11*X0Y0D02*G01*X0Y4000000D01", (4 + 2) * 1)]
    [InlineData("%LS2*%D11*X0Y0D02*G01*X4000000Y0D01", (4 + 4) * 2)]
    [InlineData("D11*X0Y0D02*X0Y0D01", 2)]
    public void A_rectangular_pen_sweeps_the_hull_of_its_two_ends(string draw, double areaMm2) =>
        Near(areaMm2, CleanImage(Metric + "%ADD11R,2X1*%" + draw + "*M02*").PaintedAreaMm2);

    [Theory]
    [InlineData("%MIA1*%", -3, 2, 2)]
    [InlineData("%SFA2B1*%", 6, 2, 2)]
    [InlineData("%IR90*%", -2, 3, 1)]
    [InlineData("%ASAYBX*%", 2, 3, 1)]
    [InlineData("%OFA1B5*%", 4, 7, 2)]
    [InlineData("%IR90*OFA1*SFA2*MIA1*%", -2, -5, 1)]
    public void Image_commands_act_in_their_fixed_order(string commands, double x, double y, double widthMm)
    {
        var read = Read(Metric + commands + "%ADD11R,2X1*%D11*X3000000Y2000000D03*M02*");
        Assert.Contains("ART027", Codes(read));
        var box = Image(read.Value!).Bounds;
        Assert.Equal((x, y, widthMm), (Math.Round(box.Center.X, 9), Math.Round(box.Center.Y, 9), Math.Round(box.Width, 9)));
    }

    [Theory]
    [InlineData("%LMX*%", -1)]
    [InlineData("%LMY*%", 1)]
    [InlineData("%LMXY*%", -1)]
    [InlineData("%LMX*%%LR180*%", 1)]
    public void Mirroring_comes_before_turning(string commands, int side)
    {
        var image = CleanImage(Metric + "%AMM*1,1,1,3,0*%%ADD10M*%D10*" + commands + "X0Y0D03*M02*");
        Assert.Equal(3 * side, image.Bounds.Center.X, 9);
    }

    [Theory]
    [InlineData("G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*G37*", "ART021")]
    [InlineData("X0Y0D02*G36*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*G37*", "ART021")]
    [InlineData("G36*X0Y0D02*G01*X1000000D01*Y1000000D01*D03*X0D01*Y0D01*G37*", "ART022")]
    [InlineData("G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*", "ART023")]
    [InlineData("%ZZ1*%G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*G37*", "ART009")]
    [InlineData("%IPNEG*%G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*G37*", "ART026")]
    [InlineData("%SRX1Y0*%G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*G37*", "ART029")]
    [InlineData("%LPQ*%G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*G37*", "ART030")]
    [InlineData("G36*X0Y0D02*G01*X1000000D01*Y1000000D01*X0D01*Y0D01*G37*M02*X5Y5D02*", "ART003")]
    public void Regions_that_are_not_quite_right_are_mended_aloud(string text, string code)
    {
        var read = Read(Metric + text + "M02*");
        Assert.Equal([code], Codes(read));
        Near(1, Image(read.Value!).PaintedAreaMm2);
    }

    [Theory]
    [InlineData("%SRX2Y1I5J0*%D10*X0Y0D03*%SRX3Y1I5J0*%X0Y5000000D03*M02*", 5)]
    [InlineData("%ABD20*%%SRX2Y2I3J3*%D10*X0Y0D03*%SR*%%AB*%D20*X0Y0D03*X20000000D03*M02*", 8)]
    [InlineData("%SRX2Y2I30J30*%D10*X0Y0D03*X5000000D03*%SRX1Y1I0J0*%X90000000D03*M02*", 9)]
    public void Repetition_nests_closes_and_ends_as_practice_has_it(string text, int islands)
    {
        var read = Read(Metric + "%ADD10C,1*%" + text);
        Assert.Equal(islands, read.Value!.ObjectCount);
        Assert.Equal(islands, Image(read.Value).Islands.Length);
    }

    [Fact]
    public void A_lone_flash_keeps_its_exact_shape_and_identity()
    {
        var image = CleanImage(Metric + "%ADD10O,2X1*%%ADD11C,1*%D10*X0Y0D03*D11*X9000000D03*X9500000D03*M02*");
        Assert.Equal([0], image.Islands[0].Objects);
        Assert.Equal(image.Objects[0].Shape.Contours[0].Vertices.ToArray(), image.Islands[0].Shape.Contours[0].Vertices.ToArray());
        Assert.Equal([1, 2], image.Islands[1].Objects);
    }

    [Theory]
    [InlineData("2,1,0.5,0,0,2,0,0", 1.0)]
    [InlineData("22,1,2,0.5,-1,-1,0", 1.0)]
    [InlineData("6,0,0,4,0.5,0.25,2,0,0,0", Math.PI * (((2 * 2) - (1.5 * 1.5)) + ((1.25 * 1.25) - (0.75 * 0.75))))]
    public void Deprecated_macro_primitives_keep_their_old_meaning(string primitive, double areaMm2)
    {
        var read = Read(Metric + $"%AMM*{primitive}*%%ADD10M*%D10*X0Y0D03*M02*");
        Assert.Equal(["ART008"], Codes(read).Distinct());
        Near(areaMm2, Image(read.Value!).PaintedAreaMm2);
    }

    [Fact]
    public void A_deprecated_rectangular_hole_is_cut_out()
    {
        var read = Read(Metric + "%ADD10C,4X2X1*%%ADD11R,1X1X3*%D10*X0Y0D03*D11*X9000000D03*M02*");
        Near((4 * Math.PI) - 2, Image(read.Value!).PaintedAreaMm2);
    }
}
