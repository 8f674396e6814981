using System.Globalization;
using System.Text;
using CsCheck;
using Stencilwright.Artwork.Drill;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Artwork.Tests.Drill.Drills;

namespace Stencilwright.Artwork.Tests.Drill;

/// <summary>Damaged and hostile files: a message with place and remedy, never an exception, never without bound.</summary>
public sealed class DrillHostileTests
{
    private const string Head = "M48\nMETRIC,TZ,000.000\nT1C0.8\n%\nT1\n";

    [Theory]
    [InlineData("")]
    [InlineData(" \r\n\r\n%\r\n")]
    [InlineData("Some text that speaks of holes.\nAnd more of it.\n")]
    [InlineData("M48\0METRIC\0T1C0.8")]
    [InlineData("PK\u0003\u0004\0\0\0\0")]
    [InlineData("%FSLAX46Y46*%\n%MOMM*%\n%ADD10C,1*%\nD10*\nX0Y0D03*\nM02*\n")]
    [InlineData("<svg xmlns='http://www.w3.org/2000/svg'/>")]
    public void What_is_no_drill_data_is_refused_with_one_message(string text)
    {
        var outcome = Read(text);
        Assert.Null(outcome.Value);
        Assert.Equal(["ART200"], Codes(outcome));
        Assert.Equal((1, 1), (outcome.Diagnostics[0].Place.Line, outcome.Diagnostics[0].Place.Column));
    }

    [Theory]
    [InlineData("X1000Y1000\n", "ART201", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nM30\nX2000Y1000\n", "ART216", 8, Severity.Warning)]
    [InlineData("X1000Y1000\nXY1000\nM30\n", "ART206", 7, Severity.Error)]
    [InlineData("X1000Y1000\nX99999999999999999999Y1\nM30\n", "ART206", 7, Severity.Error)]
    [InlineData("X1000Y1000\nX20000000Y1\nM30\n", "ART207", 7, Severity.Error)]
    [InlineData("X1000Y1000\nX2000000Y1\nM30\n", "ART207", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nG77X5\nM30\n", "ART208", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nM77\nM30\n", "ART208", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nX#5\nM30\n", "ART206", 7, Severity.Error)]
    [InlineData("X1000Y1000\n#5\nM30\n", "ART208", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nBUMP,3\nM30\n", "ART208", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nT7\nX2000\nM30\n", "ART209", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nT0\nX2000\nM30\n", "ART209", 8, Severity.Warning)]
    [InlineData("X1000Y1000\nT2C99.0\nX900000\nM30\n", "ART210", 7, Severity.Warning)]
    [InlineData("R5X1000\nX1000Y1000\nM30\n", "ART212", 6, Severity.Warning)]
    [InlineData("X1000Y1000\nR5\nM30\n", "ART212", 7, Severity.Warning)]
    [InlineData("X1000Y1000\nM02X1000\nM30\n", "ART212", 7, Severity.Warning)]
    [InlineData("M25\nX1000Y1000\nM25\nX2000\nM01\nM08\nM30\n", "ART212", 8, Severity.Warning)]
    [InlineData("G00X0Y0\nM15\nG02X2000Y0\nM16\nM30\n", "ART213", 8, Severity.Warning)]
    [InlineData("G00X0Y0\nM15\nG02X9000Y0A1000\nM16\nM30\n", "ART213", 8, Severity.Warning)]
    [InlineData("G00X0Y0\nG01X9000Y0\nM30\n", "ART213", 7, Severity.Warning)]
    [InlineData("G41\nG00X0Y0\nM15\nG01X9000Y0\nM16\nM30\n", "ART213", 6, Severity.Warning)]
    [InlineData("M30\n", "ART217", 1, Severity.Note)]
    [InlineData("X1,5Y2,5\nM30\n", "ART206", 6, Severity.Warning)]
    public void Each_fault_has_its_code_place_and_weight(string body, string code, int line, Severity severity)
    {
        var outcome = Read(Head + body);
        var said = Assert.Single(outcome.Diagnostics);
        Assert.Equal((code, line, severity), (said.Code, said.Place.Line, said.Severity));
        Assert.NotNull(outcome.Value);
    }

    [Theory]
    [InlineData("X1000Y1000\nR1000000000X1\nM30\n")]
    [InlineData("X1000Y1000\nR99999999999999X1\nM30\n")]
    [InlineData("M25\nX1000Y1000\nX2000\nM01\nR1000000000M02X1\nM08\nM30\n")]
    [InlineData("M25\nX1000Y1000\nR400000Y1\nM01\nM02X1\nM02X1\nM02X1\nM30\n")]
    public void Repetitions_past_all_counting_are_refused_before_they_are_made(string body)
    {
        var before = GC.GetAllocatedBytesForCurrentThread();
        var outcome = Read(Head + body);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 200_000_000);
        Assert.Contains(outcome.Diagnostics, d => d.Code == "ART211" && d.Severity == Severity.Error && d.Place.Line > 5);
        Assert.InRange(outcome.Value!.Items.Length, 1, DrillParser.MostItems);
    }

    [Fact]
    public void Very_many_repetitions_one_after_another_are_bounded_too()
    {
        var text = Head + "X1000Y1000\n" + string.Concat(Enumerable.Repeat("R99999X0\n", 20_000)) + "M30\n";
        var outcome = Read(text);
        Assert.Contains("ART211", Codes(outcome));
        Assert.InRange(outcome.Value!.Items.Length, 1, DrillParser.MostItems);
    }

    [Fact]
    public void A_place_drilled_very_often_is_one_opening_that_knows_all_its_holes()
    {
        var document = Read(Head + string.Concat(Enumerable.Repeat("X1000Y1000\n", 50_000)) + "X9000\nM30").Value!;
        var image = Image(document);
        Assert.Equal([50_000, 1], image.Islands.Select(i => i.Objects.Length));
        Assert.Equal(2 * Math.PI * 0.16, image.PaintedAreaMm2, 9);
    }

    [Theory]
    [InlineData("X1Y1\nR30000X1\nM30\n")]
    [InlineData("G00X0Y0\nM15\nG01\n@M16\nM30\n")]
    public void Holes_and_paths_tangled_past_all_joining_give_a_message_and_no_image(string body)
    {
        var zigzag = string.Concat(Enumerable.Range(0, 20_000).Select(i => FormattableString.Invariant($"X{i * 7919 % 90_000}Y{i * 4729 % 90_000}\n")));
        var document = Read(Head + body.Replace("@", zigzag, StringComparison.Ordinal)).Value!;
        var composed = DrillImage.Compose(document, ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.Null(composed.Value);
        Assert.Equal(["ART219"], Codes(composed));
    }

    [Fact]
    public void Endless_lines_numbers_and_tools_end_in_messages()
    {
        var digits = new string('9', 2_000_000);
        Assert.Equal(["ART206"], Codes(Read(Head + "X1000Y1000\nX" + digits + "\nM30")));
        var words = string.Concat(Enumerable.Repeat("X1Y1", 300_000));
        Assert.NotNull(Read(Head + words + "\nM30").Value);
        var tools = new StringBuilder("M48\nMETRIC\n");
        for (var i = 1; i < 100_000; i++)
        {
            tools.Append(CultureInfo.InvariantCulture, $"T{i}C0.8\n");
        }

        Assert.Equal(99_999, Read(tools.Append("%\nT5\nX1.0Y1.0\nM30").ToString()).Value!.Tools.Length);
    }

    [Fact]
    public void Repeated_faults_are_counted_not_listed()
    {
        var outcome = Read(Head + string.Concat(Enumerable.Repeat("XY\n", 500)) + "M30");
        Assert.Equal(101, outcome.Diagnostics.Length);
        Assert.Equal("ART218", outcome.Diagnostics[^1].Code);
    }

    [Fact]
    public void A_cancelled_reading_stops()
    {
        var bytes = Encoding.ASCII.GetBytes(Head + string.Concat(Enumerable.Repeat("X1000Y1000\n", 20_000)) + "M30");
        Assert.Throws<OperationCanceledException>(() => DrillReader.Read(new SourceText("x", bytes), ReadLimits.Default, new CancellationToken(canceled: true)));
    }

    private const string Sound = "M48\n;FILE_FORMAT=3:3\n;#@! TF.FileFunction,Plated,1,2,PTH\nFMAT,2\nMETRIC,LZ,000.000\n;TYPE=PLATED\nT01F00S00C0.8\nT2C1.0\n%\nG90\nG05\nT01\nX001Y002\nR2X001\nX001Y002G85X003Y002\nM25\nX001Y009\nM01\nM02X01\nM08\nT02\nG00X01Y01\nM15\nG01X02\nG02X02Y02A005\nG03X02Y02I001\nM16\nG93X001Y001\nX001\nM30\n";

    [Fact]
    public void A_file_cut_anywhere_is_read_as_far_as_it_goes()
    {
        var whole = Read(Sound).Value!.Items.Length;
        for (var length = 0; length < Sound.Length; length++)
        {
            var outcome = Read(Sound[..length]);
            Assert.All(outcome.Diagnostics, d => Assert.NotEmpty(d.Message));
            Assert.InRange(outcome.Value?.Items.Length ?? 0, 0, whole + 1);
        }
    }

    [Fact]
    public void Damaged_files_never_throw() =>
        Gen.Select(Gen.Int[0, Sound.Length - 1].Array[1, 8], Gen.Byte.Array[8]).Check(
            (places, values) =>
            {
                var bytes = Encoding.ASCII.GetBytes(Sound);
                for (var i = 0; i < places.Length; i++)
                {
                    bytes[places[i]] = values[i];
                }

                var outcome = DrillReader.Read(new SourceText("x", bytes), ReadLimits.Default, CancellationToken.None);
                if (outcome.Value is { } document)
                {
                    Assert.NotNull(DrillImage.Compose(document, ReadLimits.Default, CancellationToken.None));
                }
            },
            iter: 400);
}
