using System.Text;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Xunit;
using static Stencilwright.Artwork.Tests.GerberTesting;

namespace Stencilwright.Artwork.Tests;

/// <summary>Damaged and hostile files end in messages with a place, never in an exception or in endless work.</summary>
public sealed class GerberHostileTests
{
    private const string Good =
        "%FSLAX25Y25*MOIN*%\n%AMM*$3=($1+$2)x0.5*1,1,$1,0,0*1,0,$3/2,0,0*4,1,3,0,0,.1,0,.1,.1,0,0,$2*%\n%TF.FileFunction,Paste,Top*%\n%ADD10C,.01X.005*%\n"
        + "%ADD11R,.02X.01*%%ADD12M,.1X.02*%\n%ABD20*%D10*X0Y0D03*%SRX2Y2I.1J.1*%D11*X1000Y0D03*%SR*%%AB*%\n%TO.P,U1,3*%\nG54D11*X0Y0D02*G01X1000Y100D01*\n"
        + "G75*G03X1000Y100I500J0D01*G74*G02X2000Y-900I0J1000D01*D12*X5000Y5000D03*%LPC*%\nG36*X0Y0D02*G01X100D01*Y100D01*X0D01*Y0D01*G37*%LPD*%D20*%LR30*%%LMX*%X900Y900D03*M02*\n";

    [Fact]
    public void The_good_file_is_good()
    {
        var read = Read(Good);
        Assert.DoesNotContain(read.Diagnostics, d => d.Severity != Severity.Note);
        Assert.Equal(10, read.Value!.ObjectCount);
    }

    [Fact]
    public void Every_prefix_of_a_good_file_is_read_without_an_exception_and_is_noticed()
    {
        var bytes = Encoding.ASCII.GetBytes(Good);
        var end = Good.IndexOf("M02", StringComparison.Ordinal);
        for (var length = 0; length < end; length++)
        {
            var read = Read(bytes[..length]);
            Assert.Contains(read.Diagnostics, d => d.Code is "ART001" or "ART002");
            Survive(read);
        }
    }

    [Fact]
    public void Changing_any_single_byte_never_throws()
    {
        var bytes = Encoding.ASCII.GetBytes(Good);
        foreach (var replacement in "*%,X9-$(\0\xFF"u8.ToArray())
        {
            for (var i = 0; i < bytes.Length; i++)
            {
                var kept = bytes[i];
                bytes[i] = replacement;
                Survive(Read(bytes));
                bytes[i] = kept;
            }
        }
    }

    [Theory]
    [InlineData("")]
    [InlineData(" \r\n")]
    [InlineData("The quick brown fox.\nTotal * 4\n")]
    [InlineData("M48\nMETRIC,TZ\nT1C0.3\n%\nT1\nX1Y1\nM30\n")]
    [InlineData("<svg xmlns='http://www.w3.org/2000/svg'/>")]
    [InlineData("PK\u0003\u0004\0\0*%FS")]
    public void What_is_not_Gerber_is_refused_with_one_message(string text)
    {
        Assert.False(GerberReader.LooksLikeGerber(Encoding.Latin1.GetBytes(text)));
        var read = Read(text);
        Assert.Null(read.Value);
        Assert.Equal(["ART001"], Codes(read));
    }

    [Fact]
    public void A_coordinate_beyond_the_limit_is_left_out_and_located()
    {
        var read = Read("%FSLAX46Y46*%%MOMM*%%ADD10C,1*%\nD10*X1000000Y0D03*\n  X2000000000Y0D03*\nM02*", ReadLimits.Default with { MaxCoordinateMm = 1000 });
        var diagnostic = Assert.Single(read.Diagnostics);
        Assert.Equal(("ART011", 3, 3), (diagnostic.Code, diagnostic.Place.Line, diagnostic.Place.Column));
        Assert.Single(Image(read.Value!).Islands);
    }

    [Theory]
    [InlineData("%FSLAX46Y46*%%MOMM*%", "X1000000000Y0D02*", 0)]
    [InlineData("%FSLAX46Y46*%%MOMM*%", "X1000000001Y0D02*", 1)]
    [InlineData("%FSLAX46Y46*%%MOMM*%", "X2147483647Y5000000D02*", 1)]
    [InlineData("%FSLAX46Y46*%%MOMM*%", "Y-1500000000D02*", 1)]
    [InlineData("%FSLAX24Y24*%%MOIN*%", "X393700Y0D02*", 0)]
    [InlineData("%FSLAX24Y24*%%MOIN*%", "X393701Y0D02*X500000D02*", 1)]
    public void A_coordinate_beyond_a_metre_is_kept_and_doubted_once(string head, string move, int count)
    {
        var read = Read(head + "\n" + move + "\nM02*");
        Assert.Equal(count, read.Diagnostics.Count(d => d is { Code: "ART011", Severity: Severity.Warning, Place: { Line: 2, Column: 1 } }));
        Assert.Equal(count, read.Diagnostics.Length);
    }

    [Theory]
    [InlineData("X99999999999Y0D03*")]
    [InlineData("X99999999999999999999999999999999Y0D03*")]
    [InlineData("XY0D03*")]
    [InlineData("X-Y0D03*")]
    public void Wrong_numbers_skip_the_operation(string operation)
    {
        var read = Read(Metric + "%ADD10C,1*%D10*" + operation + "X0Y0D03*M02*");
        Assert.Equal(["ART010"], Codes(read));
        Assert.Equal(1, read.Value!.ObjectCount);
    }

    [Fact]
    public void A_billion_repetitions_are_refused_at_once()
    {
        var read = Read(Metric + "%ADD10C,1*%%SRX1000000000Y1000000000I1J1*%D10*X0Y0D03*%SR*%M02*");
        Assert.Contains("ART025", Codes(read));
        Assert.Equal(1_000_000_000_000_000_000, read.Value!.ObjectCount);
        var composed = GerberImage.Compose(read.Value, ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.Null(composed.Value);
        Assert.Equal(["ART025"], Codes(composed));
    }

    [Theory]
    [InlineData("X0Y0D03*")]
    [InlineData("")]
    public void Blocks_that_double_a_hundred_times_are_refused_at_once(string innermost)
    {
        var text = new StringBuilder(Metric).Append("%ADD9999C,1*%D9999*%ABD10*%").Append(innermost).Append("%AB*%");
        for (var i = 11; i < 111; i++)
        {
            text.Append(null, $"%ABD{i}*%D{i - 1}*X0Y0D03*X1Y1D03*%AB*%");
        }

        var read = Read(text.Append("D110*X0Y0D03*D35*X0Y0D03*M02*").ToString());
        Assert.Contains("ART024", Codes(read));
        Survive(read);
    }

    [Fact]
    public void A_block_cannot_contain_itself()
    {
        var read = Read(Metric + "%ADD11C,1*%%ABD10*%D11*X0Y0D03*D10*X5Y5D03*%AB*%D10*X0Y0D03*M02*");
        Assert.Equal(["ART013"], Codes(read));
        Assert.Equal(1, read.Value!.ObjectCount);
    }

    [Fact]
    public void Blocks_opened_without_end_stop_at_the_depth_limit()
    {
        var read = Read(Metric + string.Concat(Enumerable.Repeat("%ABD10*%", 100_000)) + "M02*");
        Assert.Contains("ART024", Codes(read));
        Survive(read);
    }

    [Fact]
    public void An_aperture_that_is_not_defined_leaves_out_its_objects_only()
    {
        var read = Read(Metric + "%ADD10C,1*%\nD10*X0Y0D03*\nD11*X5000000Y0D03*D10*X9000000D03*M02*");
        var diagnostic = Assert.Single(read.Diagnostics);
        Assert.Equal(("ART013", 3), (diagnostic.Code, diagnostic.Place.Line));
        Assert.Equal(2, Image(read.Value!).Islands.Length);
    }

    [Fact]
    public void A_missing_format_is_an_error_that_keeps_the_drawing()
    {
        var read = Read("%MOMM*%%ADD10C,1*%D10*X1000000Y0D03*M02*");
        Assert.Equal(["ART004"], Codes(read));
        Assert.Equal(1, Image(read.Value!).Objects[0].Shape.Bounds.Center.X, 9);
    }

    [Theory]
    [InlineData("1,1,1/0,0,0", "ART017")]
    [InlineData("1,1,$1/$2,0,0", "ART017")]
    [InlineData("1,1,9999999999x9999999999,0,0", "ART016")]
    [InlineData("1,1,(1,0,0", "ART016")]
    [InlineData("1,1", "ART016")]
    [InlineData("4,1,400000,0,0", "ART016")]
    [InlineData("$1x=3", "ART016")]
    [InlineData("5,1,2,0,0,1,0", "ART016")]
    [InlineData("99,1,2", "ART016")]
    public void Macros_that_cannot_be_worked_out_say_so(string body, string code)
    {
        var read = Read(Metric + $"%AMM*{body}*%%ADD10M,1*%D10*X0Y0D03*M02*");
        Assert.Equal([code], Codes(read));
        Assert.Empty(Image(read.Value!).Islands);
    }

    [Fact]
    public void Huge_arithmetic_in_a_macro_ends_in_a_message()
    {
        var nested = new string('(', 100_000) + "1";
        Assert.Equal(["ART017"], Codes(Read(Metric + $"%AMM*1,1,{nested},0,0*%%ADD10M*%M02*")));
        var product = "1" + string.Concat(Enumerable.Repeat("x99999", 20_000));
        Assert.Equal(["ART017"], Codes(Read(Metric + $"%AMM*1,1,{product},0,0*%%ADD10M*%M02*")));
        var many = new StringBuilder(Metric).Append("%AMM*1,1,1").Append('+', 1_000_000).Append("1,0,0*%");
        for (var i = 10; i < 300; i++)
        {
            many.Append(null, $"%ADD{i}M*%");
        }

        Assert.Equal(["ART025"], Codes(Read(many.Append("M02*").ToString())));
    }

    [Fact]
    public void Messages_are_bounded_and_the_rest_is_counted()
    {
        var read = Read(Metric + string.Concat(Enumerable.Repeat("ZZ*", 5000)) + "M02*", ReadLimits.Default with { MaxDiagnostics = 7 });
        Assert.Equal(8, read.Diagnostics.Length);
        Assert.Equal("ART032", read.Diagnostics[^1].Code);
        Assert.Contains("4993", read.Diagnostics[^1].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Reading_stops_when_asked_to()
    {
        using var cancelled = new CancellationTokenSource();
        cancelled.Cancel();
        var text = Metric + string.Concat(Enumerable.Repeat("X1Y1D02*", 20_000));
        Assert.Throws<OperationCanceledException>(
            () => GerberReader.Read(new SourceText("layer.gbr", Encoding.ASCII.GetBytes(text)), ReadLimits.Default, cancelled.Token));
    }

    private static void Survive(Outcome<GerberDocument> read)
    {
        Assert.All(read.Diagnostics, d => Assert.False(string.IsNullOrWhiteSpace(d.Message)));
        if (read.Value is { } document)
        {
            var limits = ReadLimits.Default with { MaxObjects = 10_000 };
            var composed = GerberImage.Compose(document, limits, TestContext.Current.CancellationToken);
            Assert.True(composed.Value is not null || composed.Failed);
        }
    }
}
