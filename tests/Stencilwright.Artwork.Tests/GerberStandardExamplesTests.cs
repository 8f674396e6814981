using Stencilwright.Geometry;
using Xunit;
using static Stencilwright.Artwork.Tests.GerberTesting;

namespace Stencilwright.Artwork.Tests;

/// <summary>
/// The worked examples of the Gerber Layer Format Specification (2021.02 to 2022.02), written anew to draw the geometry that the
/// named section describes, with the areas and counts that follow from it (as given in the published facts list).
/// </summary>
public sealed class GerberStandardExamplesTests
{
    [Fact]
    public void Two_square_boxes_of_section_2_13_1_have_the_stated_rings_and_bounds()
    {
        var image = CleanImage(
            """
            %FSLAX26Y26*%
            %MOMM*%
            %TF.Part,Other,example*%
            %LPD*%
            %ADD10C,0.010*%
            D10*
            X0Y0D02*
            G01*
            X5000000Y0D01*
            Y5000000D01*
            X0D01*
            Y0D01*
            X6000000D02*
            X11000000D01*
            Y5000000D01*
            X6000000D01*
            Y0D01*
            M02*
            """);
        Assert.Equal(2, image.Islands.Length);
        Assert.All(image.Islands, island => Near(0.1999785398, island.Shape.AreaMm2, 1e-9));
        Near(0.3999570796, image.PaintedAreaMm2);
        Assert.Equal(-0.005, image.Bounds.MinX, 9);
        Assert.Equal(11.005, image.Bounds.MaxX, 9);
        Assert.Equal(-0.005, image.Bounds.MinY, 9);
        Assert.Equal(5.005, image.Bounds.MaxY, 9);
    }

    [Fact]
    public void Polarities_and_apertures_of_section_2_13_2_cover_the_stated_area()
    {
        var read = Read(
            """
            %FSLAX26Y26*%
            %MOMM*%
            %AMRELIEF*7,0,0,0.800,0.550,0.125,45*%
            %ADD10C,0.1*%%ADD11C,0.6*%%ADD12R,0.6X0.6*%%ADD13R,0.4X1.00*%
            %ADD14R,1.00X0.4*%%ADD15O,0.4X01.00*%%ADD16P,1.00X3*%%ADD19RELIEF*%
            %LPD*%
            D10*
            X0Y2500000D02*
            G01*
            X0Y0D01*
            X2500000D01*
            X10000000Y10000000D02*
            X15000000D01*
            X20000000Y15000000D01*
            X25000000D02*
            Y10000000D01*
            D11*
            X10000000Y10000000D03*
            X20000000D03*
            X25000000D03*
            Y15000000D03*
            X20000000D03*
            D12*
            X10000000Y15000000D03*
            D13*
            X30000000D03*
            D14*
            Y12500000D03*
            D15*
            Y10000000D03*
            D10*
            X37500000D02*
            G75*
            G03*
            X37500000Y10000000I2500000J0D01*
            D16*
            X34000000D03*
            X35000000Y9000000D03*
            G36*
            X5000000Y20000000D02*
            G01*
            Y37500000D01*
            X37500000D01*
            Y20000000D01*
            X5000000D01*
            G37*
            %LPC*%
            G36*
            X10000000Y25000000D02*
            Y30000000D01*
            G02*
            X12500000Y32500000I2500000J0D01*
            G01*
            X30000000D01*
            G02*
            X30000000Y25000000I0J-3750000D01*
            G01*
            X10000000D01*
            G37*
            %LPD*%
            D10*
            X15000000Y28750000D02*
            X20000000D01*
            D11*
            X15000000D03*
            X20000000D03*
            D19*
            X28750000D03*
            M02*
            """);
        Assert.Empty(read.Diagnostics);
        Assert.Equal(8, read.Value!.Apertures.Length);
        var image = Image(read.Value);
        Assert.Equal(406.4645, image.PaintedAreaMm2, 4);
        Assert.Equal(568.75, image.Objects.Single(o => o.Kind == PaintKind.Area && o.IsDark).Shape.AreaMm2, 9);
        Assert.Equal(170.7480619, image.Objects.Single(o => !o.IsDark).Shape.AreaMm2, 7);
    }

    [Fact]
    public void Simple_contour_of_section_4_10_4_1_is_an_arrow_of_36()
    {
        Assert.Equal(36, Contours("2,3 7,3 7,1 11,5 7,9 7,7 2,7").PaintedAreaMm2, 9);
    }

    [Theory]
    [InlineData("apart", 132, "0,0 10,0 10,10 0,10", "12,5 16,1 20,5 16,9")]
    [InlineData("overlapping", 100, "0,0 10,0 10,10 0,10", "1,5 5,1 9,5 5,9")]
    [InlineData("touching", 136, "0,0 10,0 10,10 0,10", "10,2 16,2 16,8 10,8")]
    [InlineData("overlapping and touching", 100, "0,0 10,0 10,10 0,10", "0,5 5,1 9,5 5,9")]
    public void Contours_of_one_region_add_up_as_section_4_10_4_says(string how, double areaMm2, string first, string second)
    {
        Assert.NotEmpty(how);
        Assert.Equal(areaMm2, Contours(first, second).PaintedAreaMm2, 9);
        Assert.Equal(areaMm2, Contours(second, first).PaintedAreaMm2, 9);
    }

    [Theory]
    [InlineData("two regions", 132, "0,0 10,0 10,10 0,10 0,5 -2,5 -6,9 -10,5 -6,1 -2,5 0,5")]
    [InlineData("region with hole", 68, "0,0 10,0 10,10 0,10 0,5 1,5 5,9 9,5 5,1 1,5 0,5")]
    public void Fully_coincident_segments_join_or_cut_without_width(string what, double areaMm2, string outline)
    {
        Assert.NotEmpty(what);
        Assert.Equal(areaMm2, Contours(outline).PaintedAreaMm2, 9);
    }

    [Fact]
    public void Polarity_makes_and_fills_holes_as_section_4_10_4_6_says()
    {
        var image = CleanImage(
            """
            %FSLAX25Y25*%%MOMM*%
            %ADD10C,100*%%ADD11C,50*%
            G01*
            G36*X2500000Y2500000D02*X17500000D01*Y17500000D01*X2500000D01*Y2500000D01*G37*
            %LPC*%D10*X10000000Y10000000D03*
            %LPD*%
            G36*X7500000Y7500000D02*X12500000D01*Y12500000D01*X7500000D01*Y7500000D01*G37*
            %LPC*%D11*X14000000Y10000000D03*
            M02*
            """);
        Assert.Equal(16275.729, image.PaintedAreaMm2, 3);
        Near(22500 - (2500 * Math.PI) + 2500 - 279.5595 - 590.7299, image.PaintedAreaMm2, 1e-8);
    }

    [Fact]
    public void Cut_in_of_section_4_10_4_7_makes_a_hole()
    {
        var image = CleanImage(
            """
            %FSLAX26Y26*%%MOMM*%G75*
            G36*
            X0Y0D02*
            G01*
            X10000000D01*
            Y8000000D01*
            X0D01*
            Y4000000D01*
            X2000000D01*
            G02*
            X2000000Y4000000I3000000J0D01*
            G01*
            X0D01*
            Y0D01*
            G37*
            M02*
            """);
        Assert.Equal(51.725666, image.PaintedAreaMm2, 6);
        Assert.Equal(2, Assert.Single(image.Islands).Shape.Contours.Length);
    }

    [Fact]
    public void A_hole_in_an_aperture_does_not_clear_what_lies_beneath()
    {
        var image = CleanImage(
            """
            %FSLAX26Y26*%%MOMM*%
            %ADD10C,10X5*%%ADD11C,1*%
            G01*
            D11*X-25000000Y-1000000D02*X25000000Y1000000D01*
            D10*X0Y0D03*
            M02*
            """);
        Assert.Equal(104.7134, image.PaintedAreaMm2, 4);
    }

    [Theory]
    [InlineData("%AMT*4,1,3,1,-1,1,1,2,1,1,-1,30*%%ADD10T*%", 1.0)]
    [InlineData("%AMT*21,1,6.8,1.2,3.4,0.6,30*%%ADD10T*%", 8.16)]
    [InlineData("%AMT*1,1,$1,$2,$3*1,0,$4,$2,$3*%%ADD10T,0.1X0X0X0.08*%", 0.00282743)]
    [InlineData("%AMT*1,1,$1,0,0*$3=$1x0.75*1,0,$3,0,0*%%ADD10T,0.02*%", 1.374447e-4)]
    [InlineData("%AMT*21,1,10,10,0,0,0*1,0,5,0,0*%%ADD10T*%", 80.365046)]
    [InlineData("%AMT*$4=$1-$3-$3*$5=$2-$3-$3*21,1,$1,$5,0,0,0*21,1,$4,$2,0,0,0*$6=$3X2*$7=$4/2*$8=$5/2*1,1,$6,$7,$8*1,1,$6,-$7,$8*1,1,$6,-$7,-$8*1,1,$6,$7,-$8*%%ADD10T,1X0.6X0.1*%", 0.591416)]
    [InlineData("%AMT*5,1,8,0,0,8,0*%%ADD10T*%", 45.254834)]
    [InlineData("%AMT*7,0,0,0.8,0.55,0.125,45*%%ADD10T*%", 0.2021956)]
    [InlineData("%ADD10P,1.00X3*%", 0.3247595)]
    [InlineData("%ADD10O,0.4X1.0*%", 0.3656637)]
    [InlineData("%ADD10C,10X5*%", 58.904862)]
    public void Apertures_have_the_areas_that_their_parameters_say(string definition, double areaMm2)
    {
        var image = CleanImage(Metric + definition + "D10*X0Y0D03*M02*");
        Near(areaMm2, image.PaintedAreaMm2, 2e-6);
    }

    [Fact]
    public void Macro_shapes_turn_about_the_macros_origin()
    {
        var triangle = CleanImage(Metric + "%AMT*4,1,3,1,-1,1,1,2,1,1,-1,30*%%ADD10T*%D10*X0Y0D03*M02*").Objects[0].Shape;
        AssertCorners(triangle, (1.366025, -0.366025), (0.366025, 1.366025), (1.232051, 1.866025));
        var rectangle = CleanImage(Metric + "%AMT*21,1,6.8,1.2,3.4,0.6,30*%%ADD10T*%D10*X0Y0D03*M02*").Objects[0].Shape;
        AssertCorners(rectangle, (0, 0), (5.888973, 3.4), (5.288973, 4.439230), (-0.6, 1.039230));
    }

    [Fact]
    public void The_arc_about_0_2_has_the_stated_radius_sweep_and_length()
    {
        var image = CleanImage(Metric + "%ADD10C,0.1*%D10*G75*X3000000Y-2000000D02*G03*X-3000000Y-2000000I-3000000J4000000D01*M02*");
        Assert.Equal(24.980915, image.Objects.Sum(o => o.CenterLine!.Value.Length), 6);
        Assert.Equal(286.26020, image.Objects.Sum(o => o.CenterLine!.Value.SweepRad) * 180 / Math.PI, 5);
        foreach (var stroke in image.Objects)
        {
            Assert.Equal(0, Point2.Distance(new(0, 2), stroke.CenterLine!.Value.Center), 9);
            Assert.Equal(5, stroke.CenterLine!.Value.Radius, 9);
        }
    }

    [Fact]
    public void Nested_blocks_of_section_4_11_make_440_objects()
    {
        var blocks = Metric + "%ADD10C,0.1*%%ADD11R,0.2X0.1*%"
            + "%ABD100*%D10*X0Y0D03*X500000D03*G01*X500000Y500000D01*%AB*%"
            + "%ABD101*%D100*X0Y0D03*X1000000D03*Y1000000D03*%LR90*%X0D03*%LR0*%%AB*%"
            + "%ABD102*%D101*X0Y0D03*X4000000D03*X8000000D03*Y4000000D03*X4000000D03*X0D03*D11*X2000000Y6000000D03*%AB*%"
            + "D11*X-5000000Y0D03*X-6000000D03*D102*X0Y0D03*%LMX*%X20000000D03*%LMN*%Y20000000D03*%LS0.5*%X0D03*%LS1*%X40000000D03*%LPC*%X60000000D03*M02*";
        var read = Read(blocks);
        Assert.Empty(read.Diagnostics);
        Assert.Equal(440, read.Value!.ObjectCount);
        Assert.Equal([3, 12, 73], read.Value.Apertures.Where(a => a.Block is not null).Select(a => a.Block!.ObjectCount));
        var image = Image(read.Value);
        Assert.Equal(440, image.Objects.Length);
        Assert.Equal(73, image.Objects.Count(o => !o.IsDark));
    }

    [Fact]
    public void Three_by_two_repetitions_of_two_flashes_are_twelve()
    {
        var read = Read(Metric + "%ADD10C,0.1*%%SRX3Y2I5.0J4.0*%D10*X0Y0D03*X1000000D03*%SR*%M02*");
        Assert.Empty(read.Diagnostics);
        Assert.Equal(12, read.Value!.ObjectCount);
        var image = Image(read.Value);
        Assert.Equal(12, image.Islands.Length);
        Assert.Equal(11.05, image.Bounds.MaxX, 9);
        Assert.Equal(4.05, image.Bounds.MaxY, 9);

        // Section on SR: copies go in y first, then in x.
        Assert.Equal(4, image.Objects[2].Shape.Bounds.Center.Y, 9);
        Assert.Equal(5, image.Objects[4].Shape.Bounds.Center.X, 9);
    }

    [Fact]
    public void The_drill_file_of_section_6_6_1_2_has_29_holes()
    {
        var text = Metric + "%TF.FileFunction,Plated,1,8,PTH*%";
        var x = 0;
        foreach (var (number, diameter, count) in new[] { (10, "0.14", 8), (11, "0.24", 8), (12, "0.43", 2), (13, "0.22", 11) })
        {
            text += $"%TA.AperFunction,ComponentDrill*%%ADD{number}C,{diameter}*%%TD*%D{number}*";
            for (var i = 0; i < count; i++)
            {
                text += $"X{x += 1_000_000}Y0D03*";
            }
        }

        var image = CleanImage(text + "M02*");
        Assert.Equal(29, image.Islands.Length);
        Assert.Equal([8, 8, 2, 11], image.Objects.GroupBy(o => Math.Round(o.Shape.Bounds.Width, 6)).Select(g => g.Count()));
        Assert.All(image.Objects, o => Assert.Equal("ComponentDrill", o.ApertureFunction));
    }

    [Fact]
    public void The_component_of_section_6_9_1_3_keeps_its_name_pins_and_courtyard()
    {
        var image = CleanImage(
            """
            %TF.FileFunction,Component,L1,Top*%
            %FSLAX46Y46*%
            %MOMM*%
            %TA.AperFunction,ComponentMain*%
            %ADD10C,0.300*%
            %TA.AperFunction,ComponentOutline,Courtyard*%
            %ADD11C,0.100*%
            %TA.AperFunction,ComponentPin*%
            %ADD12P,0.360X4X0.0*%
            %ADD13C,0*%
            %TD*%
            %TO.C,R7*%
            %TO.CRot,-90*%
            D10*
            X218250000Y-73000000D03*
            D11*
            X217250000Y-74690000D02*
            G01*
            X219250000D01*
            Y-71310000D01*
            X217250000D01*
            Y-74690000D01*
            %TO.P,R7,1*%
            D12*
            X218250000Y-72045000D03*
            %TO.P,R7,2*%
            D13*
            X218250000Y-73955000D03*
            %TD*%
            M02*
            """);
        Assert.All(image.Objects, o => Assert.Equal("R7", o.Component));
        Assert.Equal(new Point2(218.25, -73), Rounded(image.Objects[0].Shape.Centroid));
        Assert.Equal("ComponentMain", image.Objects[0].ApertureFunction);
        Assert.Null(image.Objects[0].Pin);
        var courtyard = image.Objects.Where(o => o.ApertureFunction == "ComponentOutline,Courtyard").ToList();
        Assert.Equal(6.76, Contour.Polygon([.. courtyard.Select(o => o.CenterLine!.Value.Start)]).SignedAreaMm2, 9);
        Assert.Equal("1", image.Objects[^2].Pin);
        Assert.Equal(new Point2(218.25, -72.045), Rounded(image.Objects[^2].Shape.Centroid));
        Assert.Equal("2", image.Objects[^1].Pin);
        Assert.True(image.Objects[^1].Shape.IsEmpty);
    }

    private static Point2 Rounded(Point2 p) => new(Math.Round(p.X, 6), Math.Round(p.Y, 6));

    private static void AssertCorners(Region region, params (double X, double Y)[] corners)
    {
        var vertices = region.Contours[0].Vertices.ToArray();
        Assert.Equal(corners.Length, vertices.Length);
        foreach (var (x, y) in corners)
        {
            Assert.Contains(vertices, v => Point2.Distance(v.Point, new(x, y)) < 2e-6);
        }
    }

    /// <summary>One region statement with these contours, each a list of corners in millimetres.</summary>
    private static LayerImage Contours(params string[] outlines)
    {
        var text = "%FSLAX24Y24*%%MOMM*%G36*G01*";
        foreach (var outline in outlines)
        {
            var corners = outline.Split(' ').Select(c => c.Split(',')).Select(c => $"X{int.Parse(c[0], null) * 10000}Y{int.Parse(c[1], null) * 10000}").ToList();
            text += corners[0] + "D02*" + string.Concat(corners.Skip(1).Append(corners[0]).Select(c => c + "D01*"));
        }

        return CleanImage(text + "G37*M02*");
    }
}
