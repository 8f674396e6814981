using Stencilwright.Artwork.Drill;
using Xunit;
using static Stencilwright.Artwork.Tests.Drill.Drills;

namespace Stencilwright.Artwork.Tests.Drill;

/// <summary>
/// The dialects that drill data is written in, each by a small file. Rows of the format itself are from memory of IPC-NC-349 and of
/// XNC unless a comment names another source.
/// </summary>
public sealed class DrillDialectTests
{
    // Places in micrometres. LZ: leading zeros kept; TZ: trailing zeros kept; classic inch 2.4, metric 3.3 (from memory).
    [Theory]
    [InlineData("METRIC,TZ,000.000", "X1500Y-250", "1500,-250")]
    [InlineData("METRIC,LZ,000.000", "X0015Y-00025", "1500,-250")]
    [InlineData("METRIC,LZ,000.000", "X001500Y-000250", "1500,-250")]
    [InlineData("METRIC,TZ,000.00", "X150Y-25", "1500,-250")]
    [InlineData("METRIC,LZ,0000.0000", "X00015Y-000025", "1500,-250")]
    [InlineData("INCH,TZ,00.0000", "X10000Y-5000", "25400,-12700")]
    [InlineData("INCH,LZ,00.0000", "X01Y-005", "25400,-12700")]
    [InlineData("INCH,TZ,00.00000", "X100000Y-50000", "25400,-12700")]
    [InlineData("METRIC,TZ", "X1.5Y-.25", "1500,-250")]
    [InlineData("METRIC,LZ", "X1.5Y-.25", "1500,-250")]
    [InlineData("INCH", "X1.Y-0.5", "25400,-12700")]
    [InlineData("INCH,LZ", "X+1.0Y-0.5", "25400,-12700")]
    public void Numbers_mean_what_unit_zeros_and_digits_say(string header, string line, string places) =>
        Assert.Equal(places, Places(Clean($"M48\n{header}\nT1C{(header[0] == 'M' ? "0.8" : "0.03")}\n%\nT1\n{line}\nM30\n")));

    // M48, "INCH,TZ", T10C0.040, % and M30; M72 in another: sample files seen, Gerber Layer Format Specification's companion examples.
    [Fact]
    public void The_seen_samples_read()
    {
        var tool = Assert.Single(Clean("M48\nINCH,TZ,00.0000\nT10C0.040\n%\nT10\nX10000Y10000\nM30\n").Tools);
        Assert.Equal((10, 1.016), (tool.Number, Math.Round(tool.DiameterMm, 9)));
        Assert.Equal("25400,0 25400,25400", Places(Clean("M48\nM72\nT1C0.040\n%\nT1\nX1.0Y0.0\nY1.0\nM30")));
        var slot = Assert.Single(Clean("M48\nMETRIC\nT1C0.5\n%\nT1\nX1.0Y2.0G85X3.0Y2.0\nM30\n").Items);
        Assert.Equal(2, slot.Path!.LengthMm, 9);
    }

    [Theory]
    [InlineData("X1.0Y1.0\nX2.0\nY3.0", "1000,1000 2000,1000 2000,3000")]
    [InlineData("G91\nX1.0Y1.0\nX2.0\nY3.0", "1000,1000 3000,1000 3000,4000")]
    [InlineData("G91\nX1.0Y1.0\nG90\nX2.0", "1000,1000 2000,1000")]
    [InlineData("X1.0Y1.0\nR3X2.0", "1000,1000 3000,1000 5000,1000 7000,1000")]
    [InlineData("X1.0Y1.0\nR02X0.5Y-1.0\nY9.0", "1000,1000 1500,0 2000,-1000 2000,9000")]
    [InlineData("M25\nX1.0Y0.0\nX2.0\nM01\nM02X0.0Y10.0\nM08\nX0.0Y0.0", "1000,0 2000,0 1000,10000 2000,10000 0,0")]
    [InlineData("M25\nX1.0Y0.0\nM01\nM02X10.0Y0\nM02X0Y10.0\nM08", "1000,0 11000,0 11000,10000")]
    [InlineData("M25\nX1.0Y0.0\nM01\nR2M02Y10.0\nM08", "1000,0 1000,10000 1000,20000")]
    [InlineData("M25\nX1.0Y2.0\nM01\nM02X10.0M80\nM02Y10.0M90\nM02X5.0M70\nM08", "1000,2000 9000,2000 11000,8000 17000,11000")]
    [InlineData("G93X10.0Y20.0\nX1.0Y1.0\nG93X0.0Y0.0\nX1.0Y1.0", "11000,21000 1000,1000")]
    [InlineData("G05\nX1.0Y1.0\nG81\nX2.0Y1.0", "1000,1000 2000,1000")]
    [InlineData("N10X1.0Y1.0\nN20X2.0", "1000,1000 2000,1000")]
    [InlineData("x1.0y1.0\nX 2.0 Y 1.0", "1000,1000 2000,1000")]
    [InlineData("X1.0Y1.0 ; first\n(second)\nX2.0", "1000,1000 2000,1000")]
    [InlineData("G04X1000\nX1.0Y1.0\nM06\nX2.0", "1000,1000 2000,1000")]
    [InlineData("X1.0Y1.0*\nX2.0*", "1000,1000 2000,1000")]
    [InlineData("M47,turn the board\nX1.0Y1.0", "1000,1000")]
    [InlineData("X1.0Y1.0\nM71\nX2.0", "1000,1000 2000,1000")]
    public void Holes_lie_where_the_body_says(string body, string places) =>
        Assert.Equal(places, Places(Read($"M48\nMETRIC,TZ\nT1C0.8\n%\nG90\nT1\n{body}\nM30\n").Value!));

    [Theory]
    [InlineData("\n")]
    [InlineData("\r\n")]
    [InlineData("\r")]
    [InlineData("\n\r\n \n")]
    public void Line_ends_and_byte_order_mark_do_not_matter(string end)
    {
        var text = "M48\nFMAT,2\nICI,OFF\nMETRIC,TZ,000.000\nT01C0.800F100S40\nT2C1.000\n%\nG05\nG90\nT01\nX1000Y1000\nT02\nX2000Y1000\nT0\nM30\n";
        var document = Clean("\uFEFF" + text.Replace("\n", end, StringComparison.Ordinal));
        Assert.Equal("1000,1000 2000,1000", Places(document));
        Assert.Equal([0.8, 1.0], document.Items.Select(i => document.Tools[i.Tool].DiameterMm));
    }

    [Theory]
    [InlineData("T1C0.8\nT2C1.2\n%\nT1\nX1.0Y1.0\nT2\nX2.0Y1.0", "0.8 1.2")]
    [InlineData("%\nT1C0.8\nX1.0Y1.0\nT2C1.2\nX2.0Y1.0", "0.8 1.2")]
    [InlineData("T01C0.8F00S00\n%\nT1\nX1.0Y1.0\nT001\nX2.0Y1.0", "0.8 0.8")]
    [InlineData("T1F00S00C0.8\n%\nT0101\nX1.0Y1.0", "0.8")]
    [InlineData("T1C.8\n%\nT1X1.0Y1.0\nX2.0", "0.8 0.8")]
    [InlineData("T1C0.8\nT2C1.2\nT1\nX1.0Y1.0", "0.8")]
    [InlineData("T1C0.8\nM95\nT1\nX1.0Y1.0", "0.8")]
    public void Tools_are_found_wherever_they_are_defined(string body, string diameters)
    {
        var document = Clean($"M48\nMETRIC,TZ\n{body}\nM30\n");
        Assert.Equal(diameters, string.Join(' ', document.Items.Select(i => FormattableString.Invariant($"{document.Tools[i.Tool].DiameterMm}"))));
    }

    [Fact]
    public void A_tool_defined_anew_drills_with_its_new_size_from_there_on()
    {
        var outcome = Read("M48\nMETRIC,TZ\nT1C0.8\n%\nT1\nX1.0Y1.0\nT1C1.2\nX2.0\nM30");
        Assert.Equal(["ART210"], Codes(outcome));
        Assert.Equal([0.8, 1.2], outcome.Value!.Items.Select(i => outcome.Value.Tools[i.Tool].DiameterMm));
    }

    [Fact]
    public void Attributes_in_comments_give_function_and_plating()
    {
        var document = Clean("M48\n; #@! TF.FileFunction,Plated,1,2,PTH\nMETRIC\n;#@! TA.AperFunction,Plated,PTH,ViaDrill\nT1C0.3\n;#@! TA.AperFunction,NonPlated,NPTH,MechanicalDrill\nT2C3.0\n;#@! TD\nT3C1.0\n%\nT1\nX1.0Y1.0\nT2\nX9.0\nT3\nX5.0\nM30");
        Assert.Equal(["Plated", "1", "2", "PTH"], document.FileAttributes[".FileFunction"]);
        Assert.Equal([DrillPlating.Plated, DrillPlating.NonPlated, DrillPlating.Plated], document.Tools.Select(t => t.Plating));
        Assert.Equal(["Plated,PTH,ViaDrill", "NonPlated,NPTH,MechanicalDrill", null], document.Tools.Select(t => t.Function));
        Assert.Equal(DrillPlating.Unknown, document.Plating);
        Assert.Equal("Plated,PTH,ViaDrill", Image(document).Objects[0].ApertureFunction);
    }

    [Theory]
    [InlineData(";TYPE=PLATED", DrillPlating.Plated)]
    [InlineData("; TYPE = NON_PLATED", DrillPlating.NonPlated)]
    [InlineData("; #@! TF.FileFunction,NonPlated,1,4,NPTH", DrillPlating.NonPlated)]
    [InlineData(";nothing of the kind", DrillPlating.Unknown)]
    public void Plating_is_told_by_comments(string comment, DrillPlating plating) =>
        Assert.Equal(plating, Clean($"M48\n{comment}\nMETRIC\nT1C0.3\n%\nT1\nX1.0Y1.0\nM30").Plating);

    [Theory]
    [InlineData("X1.0Y1.0G85X4.0Y5.0", 5, 0)]
    [InlineData("X1.0Y1.0\nG85X4.0Y5.0", 5, 1)]
    [InlineData("G00X1.0Y1.0\nM15\nG01X4.0Y5.0\nM16", 5, 0)]
    [InlineData("G00X1.0Y1.0\nM15\nG01X4.0\nX4.0Y5.0\nM17", 7, 0)]
    [InlineData("G00X1.0Y1.0\nM15\nG01X4.0Y1.0\nM16\nG00X1.0Y9.0\nM15\nG01Y5.0\nM16\nG05\nX20.0Y20.0", 7, 1)]
    [InlineData("G00X0.0Y0.0\nM15\nG03X2.0Y0.0A1.0\nM16", Math.PI, 0)]
    [InlineData("G00X0.0Y0.0\nM15\nG02X1.0Y1.0A1.0\nM16", Math.PI / 2, 0)]
    [InlineData("G00X0.0Y0.0\nM15\nG03X2.0Y0.0I1.0J0.0\nM16", Math.PI, 0)]
    [InlineData("G00X0.0Y0.0\nM15\nG02X0.0Y0.0I1.0\nM16", 2 * Math.PI, 0)]
    [InlineData("G32X5.0Y5.0A2.0", 4 * Math.PI, 0)]
    [InlineData("G33X5.0Y5.0A2.0", 4 * Math.PI, 0)]
    [InlineData("G00X1.0Y1.0\nM15\nM16", 0, 1)]
    [InlineData("X1.0Y1.0G85X4.0Y5.0\nR2Y10.0", 15, 0)]
    [InlineData("M25\nX1.0Y1.0G85X4.0Y5.0\nM01\nM02X10.0M80\nM08", 10, 0)]
    public void Slots_and_routed_paths_have_their_length(string body, double lengthMm, int holes)
    {
        var document = Clean($"M48\nMETRIC,TZ\nT1C0.8\n%\nT1\n{body}\nM30\n");
        Assert.Equal(holes, document.Items.Count(i => i.IsHole));
        Assert.Equal(lengthMm, document.Items.Sum(i => i.Path?.LengthMm ?? 0), 9);
    }

    [Fact]
    public void The_hole_before_a_slot_on_its_own_line_stays_a_hole_and_arcs_turn_the_right_way()
    {
        var arcs = Clean("M48\nMETRIC\nT1C0.5\n%\nT1\nG00X0.0Y0.0\nM15\nG02X2.0Y0.0A1.0\nM16\nG00X0.0Y9.0\nM15\nG03X2.0Y9.0I1.0J0.0\nM16\nM30").Items;
        // Clockwise from left to right goes over the top, counter-clockwise below.
        Assert.Equal(1, arcs[0].Path!.SegmentAt(0).Middle.Y, 9);
        Assert.Equal(8, arcs[1].Path!.SegmentAt(0).Middle.Y, 9);
    }

    [Fact]
    public void The_image_has_the_exact_area_of_holes_and_slots()
    {
        var document = Clean("M48\nMETRIC\nT1C2.0\nT2C1.0\n%\nT1\nX0.0Y0.0\nX1.0Y0.0\nT2\nX10.0Y0.0G85X13.0Y4.0\nM30");
        var image = Image(document);
        // Two discs of radius 1 at distance 1 share 2π/3 − √3/2 (circular lens); a slot is a rectangle and a disc.
        Assert.Equal((2 * Math.PI) - ((2 * Math.PI / 3) - (Math.Sqrt(3) / 2)) + 5 + (Math.PI / 4), image.PaintedAreaMm2, 9);
        Assert.Equal(2, image.Islands.Length);
        Assert.Equal([0, 1], image.Islands[0].Objects);
        Assert.Equal((-1, -1, 13.5, 4.5), (Math.Round(image.Bounds.MinX, 9), Math.Round(image.Bounds.MinY, 9), Math.Round(image.Bounds.MaxX, 9), Math.Round(image.Bounds.MaxY, 9)));
        Assert.Equal((ArtworkFormat.NcDrill, ArtworkUnit.Millimetre), (image.Format, image.Unit));
    }

    [Fact]
    public void Every_item_knows_the_lines_that_made_it()
    {
        const string Text = "M48\nMETRIC\nT1C2.0\n%\nT1\nX1.0Y1.0\nR2X5.0\nG00X0.0Y9.0\nM15\nG01X5.0\nM16\nM30";
        Assert.Equal(
            ["X1.0Y1.0", "R2X5.0", "R2X5.0", "M15\nG01X5.0"],
            Clean(Text).Items.Select(i => Text.Substring(i.SourceOffset, i.SourceLength)));
    }

    [Fact]
    public void A_file_without_tool_numbers_takes_its_sizes_from_comments_in_the_order_of_its_stops()
    {
        var outcome = Read("; Holesize 1. = 10.0 Tolerance = +0/-0 PLATED MILS Quantity = 2\n; Holesize 2. = 40.0 NON_PLATED MILS Quantity = 1\n%\nG90\nX0129522Y0132875\nX0217900Y0044200\nM00\nX0135821Y0136025\nM30");
        var document = outcome.Value!;
        Assert.Equal(["ART202", "ART203", "ART214"], Codes(outcome));
        Assert.Equal(ArtworkUnit.Inch, document.Format.Unit);
        Assert.Equal([0.254, 0.254, 1.016], document.Items.Select(i => Math.Round(document.Tools[i.Tool].DiameterMm, 9)));
        Assert.Equal([DrillPlating.Plated, DrillPlating.NonPlated], document.Tools.Select(t => t.Plating));
    }
}
