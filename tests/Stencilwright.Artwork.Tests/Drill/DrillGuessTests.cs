using System.Text;
using Stencilwright.Artwork.Drill;
using Stencilwright.Foundation;
using Xunit;
using static Stencilwright.Artwork.Tests.Drill.Drills;

namespace Stencilwright.Artwork.Tests.Drill;

/// <summary>What is not stated is decided by evidence, and said.</summary>
public sealed class DrillGuessTests
{
    // 15 × 10 holes of 0.8 mm, 2.54 mm apart, as whole numbers of the given size.
    private static string Grid(double countMm, string format)
    {
        var text = new StringBuilder();
        for (var x = 1; x <= 15; x++)
        {
            for (var y = 1; y <= 10; y++)
            {
                text.Append(System.Globalization.CultureInfo.InvariantCulture, $"X{((int)Math.Round(x * 2.54 / countMm)).ToString(format, null)}Y{((int)Math.Round(y * 2.54 / countMm)).ToString(format, null)}\n");
            }
        }

        return text.ToString();
    }

    [Theory]
    [InlineData("METRIC,TZ", 0.001, "0", 3, "ART203")]
    [InlineData("METRIC,TZ", 0.01, "0", 2, "ART203")]
    [InlineData("METRIC,TZ", 0.0001, "0", 4, "ART203")]
    [InlineData("INCH,TZ", 0.00254, "0", 4, "ART203")]
    [InlineData("INCH,TZ", 0.000254, "0", 5, "ART203")]
    [InlineData("INCH,TZ", 0.0254, "0", 3, "ART203")]
    [InlineData("INCH", 0.00254, "000000", 4, "ART203")]
    [InlineData("INCH", 0.000254, "0000000", 5, "ART203")]
    [InlineData("METRIC", 0.001, "000000", 3, "ART203")]
    [InlineData("METRIC", 0.01, "00000", 2, "ART203")]
    [InlineData("INCH", 0.00254, "0", 4, "ART204 ART203")]
    [InlineData(";FORMAT={3:3/ absolute / metric / suppress leading zeros}\nMETRIC", 0.001, "0", 3, "ART214")]
    [InlineData(";FILE_FORMAT=4:4\nMETRIC,TZ", 0.0001, "0", 4, "ART214")]
    public void Digits_that_are_not_stated_are_those_by_which_the_holes_look_like_a_board(string header, double countMm, string format, int decimals, string codes)
    {
        var size = header.Contains("INCH", StringComparison.Ordinal) ? "0.0315" : "0.8";
        var outcome = Read($"M48\n{header}\nT1C{size}\n%\nT1\n{Grid(countMm, format)}M30\n");
        Assert.Equal(codes, string.Join(' ', Codes(outcome)));
        Assert.Equal(decimals, outcome.Value!.Format.DecimalDigits);
        Assert.Equal(14 * 2.54, outcome.Value.Items.Max(i => i.At.X) - outcome.Value.Items.Min(i => i.At.X), 0.02);
    }

    [Fact]
    public void Numbers_that_begin_with_zeros_and_vary_in_length_have_left_out_their_trailing_ones()
    {
        var outcome = Read("M48\nINCH\nT1C0.03\n%\nT1\nX01Y005\nX0125Y0055\nX0150Y006\nM30");
        Assert.Equal(DrillZeros.LeadingKept, outcome.Value!.Format.Zeros);
        Assert.Equal("25400,12700 31750,13970 38100,15240", Places(outcome.Value));
        Assert.Equal(["ART204", "ART203"], Codes(outcome));
    }

    [Theory]
    [InlineData("T1C0.8\nT2C3.2", ArtworkUnit.Millimetre)]
    [InlineData("T1C0.3\nT2C0.35", ArtworkUnit.Millimetre)]
    [InlineData("T1C0.012\nT2C0.126", ArtworkUnit.Inch)]
    [InlineData("T1C0.0315", ArtworkUnit.Inch)]
    public void A_unit_that_is_not_stated_is_told_by_the_smallest_tool(string tools, ArtworkUnit unit)
    {
        var outcome = Read($"M48\n{tools}\n%\nT1\nX1.0Y1.0\nX2.0\nM30");
        Assert.Equal(["ART202"], Codes(outcome));
        Assert.Equal(unit, outcome.Value!.Format.Unit);
        Assert.Contains("smallest tool", outcome.Diagnostics[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_comment_s_unit_is_taken_when_no_statement_gives_one()
    {
        var outcome = Read("M48\n; FORMAT={-:-/ absolute / inch / decimal}\nT1C0.5\n%\nT1\nX1.0Y1.0\nM30");
        Assert.Equal(["ART202"], Codes(outcome));
        Assert.Equal("25400,25400", Places(outcome.Value!));
        Assert.Equal(2, outcome.Diagnostics[0].Place.Line);
    }

    [Fact]
    public void Two_units_before_the_first_hole_contradict_each_other_and_the_first_counts()
    {
        var outcome = Read("M48\nMETRIC\nT1C0.5\n%\nM72\nT1\nX1.0Y1.0\nM30");
        Assert.Equal(["ART205"], Codes(outcome));
        Assert.Equal((5, "1000,1000"), (outcome.Diagnostics[0].Place.Line, Places(outcome.Value!)));
    }

    [Fact]
    public void A_unit_changed_in_the_middle_holds_from_there_on()
    {
        var outcome = Read("M48\nMETRIC\nT1C0.5\n%\nT1\nX1.0Y1.0\nM72\nX1.0Y1.0\nM30");
        Assert.Equal(["ART205"], Codes(outcome));
        Assert.Equal("1000,1000 25400,25400", Places(outcome.Value!));
    }

    [Fact]
    public void A_stated_format_by_which_holes_run_into_one_another_is_doubted()
    {
        var outcome = Read($"M48\nINCH,TZ,00.00000\nT1C0.0315\n%\nT1\n{Grid(0.00254, "0")}M30\n");
        Assert.Equal(["ART215"], Codes(outcome));
        Assert.Equal(5, outcome.Value!.Format.DecimalDigits);
    }

    [Fact]
    public void A_list_of_parameters_beside_the_file_gives_its_numbers()
    {
        var hints = DrillHints.Read(new SourceText("numbers.txt", "INTEGER-PLACES 2\r\nDECIMAL-PLACES   5\r\nCOORDINATES ABSOLUTE\r\nOUTPUT-UNITS ENGLISH\r\nSUPPRESS-LEAD-ZEROES NO\r\nSUPPRESS-TRAIL-ZEROES YES\r\n"u8.ToArray()));
        Assert.Equal((DrillZeros.LeadingKept, ArtworkUnit.Inch, false), (hints!.Zeros, hints.Unit, hints.IsIncremental));
        var outcome = Read("M48\nT1C0.03\n%\nT1\nX01Y005\nM30", hints);
        Assert.Equal(["ART202", "ART214"], Codes(outcome));
        Assert.Equal("25400,12700", Places(outcome.Value!));
        Assert.Contains("numbers.txt", outcome.Diagnostics[1].Message, StringComparison.Ordinal);
        Assert.Null(DrillHints.Read(new SourceText("readme.txt", "DECIMAL-PLACES are 5"u8.ToArray())));
    }

    [Theory]
    [InlineData("METRIC", "T1C0800", 0.8)]
    [InlineData("METRIC", "T1C80", 0.08)]
    [InlineData("INCH", "T1C032", 0.8128)]
    [InlineData("INCH", "T1C0320", 0.8128)]
    public void A_diameter_without_a_point_is_one_that_a_drill_can_have(string unit, string tool, double diameterMm)
    {
        var outcome = Read($"M48\n{unit}\n{tool}\n%\nT1\nX1.0Y1.0\nM30");
        Assert.Equal(["ART210"], Codes(outcome));
        Assert.Equal(diameterMm, outcome.Value!.Tools[0].DiameterMm, 9);
    }
}
