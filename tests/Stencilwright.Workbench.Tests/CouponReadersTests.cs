using System.Text;
using CsCheck;
using Stencilwright.Cutting.Coupons;
using Stencilwright.Foundation;
using Stencilwright.Output.Coupons;
using Stencilwright.Testing;
using Stencilwright.Workbench.Coupons;
using Xunit;

namespace Stencilwright.Workbench.Tests;

public sealed class CouponReadersTests
{
    private static readonly Coupon _coupon = CouponDesigner.Design(JobSettings.Default).Value!;

    [Fact]
    public void A_coupon_that_was_written_is_read_back_as_it_was()
    {
        foreach (var coupon in (Coupon[])[_coupon, CouponDesigner.DesignMatrix(JobSettings.Default, TestContext.Current.CancellationToken).Value!])
        {
            var read = CouponReader.Read(new SourceText("coupon.json", CouponFiles.Json(coupon)));
            Assert.Empty(read.Diagnostics);
            foreach (var (a, b) in coupon.Features.Zip(read.Value!.Features))
            {
                Assert.Equal((a.Id, a.Kind, a.WebMm, a.PowerPercent, a.SpeedMmS), (b.Id, b.Kind, b.WebMm, b.PowerPercent, b.SpeedMmS));
                Assert.Equal(a.Center.X, b.Center.X, 6);
                Assert.Equal(a.WidthMm, b.WidthMm, 6);
                Assert.Equal(a.HeightMm, b.HeightMm, 6);
                Assert.Equal(a.RotationDeg, b.RotationDeg, 6);
            }
        }
    }

    [Theory]
    [InlineData("{\"features\": [\n  {\"id\": \"S1\",,", "coupon.json:2:15: error: PKG101")]
    [InlineData("", "PKG101")]
    [InlineData("[]", "PKG102: this is no coupon that can be read: it has no list of features")]
    [InlineData("{\"formatVersion\": 2, \"features\": []}", "its formatVersion is not 1")]
    [InlineData("{\"features\": [{\"id\": \"S1\", \"kind\": \"square\", \"widthMm\": 1}]}", "feature 1 lacks")]
    [InlineData("{\"features\": [{\"id\": \"S1\", \"kind\": \"square\", \"widthMm\": -1, \"heightMm\": 1}]}", "feature 1 lacks")]
    [InlineData("{\"features\": [{\"id\": \"S1\", \"kind\": \"square\", \"widthMm\": 1e300, \"heightMm\": 1}]}", "feature 1 lacks")]
    [InlineData("{\"features\": [{\"id\": \"a\", \"kind\": \"square\", \"widthMm\": 1, \"heightMm\": 1}, {\"id\": \"A\", \"kind\": \"square\", \"widthMm\": 1, \"heightMm\": 1}]}", "two features are called A")]
    public void A_file_that_is_no_coupon_is_refused_with_its_place(string text, string expected)
    {
        var read = CouponReader.Read(new SourceText("coupon.json", Encoding.UTF8.GetBytes(text)));
        Assert.Null(read.Value);
        Assert.Contains(expected, Assert.Single(read.Diagnostics).ToString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("id,widthMm,heightMm\nS1,8.15,8.14\n")]
    [InlineData("id,widthMm,heightMm\r\nS1,8.15,8.14")]
    [InlineData("\uFEFFID;WidthMm;HeightMm\rs1;8,15;8,14\r")]
    [InlineData("heightMm\tremark\tid\twidthMm\n8.14\tburr\tS1\t8.15\n\n\t\t\t\n")]
    [InlineData("# my laser, my film\n\nid,widthMm,heightMm\n# none yet:\nS2,,\n \"S1\" , 8.15mm , 8140um\n,,\n")]
    public void A_table_is_read_as_spreadsheets_save_it(string text)
    {
        var reading = Assert.Single(Read(text).Value!.Readings);
        Assert.Equal("S1", reading.Id);
        Assert.Equal(8.15, reading.WidthMm!.Value, 12);
        Assert.Equal(8.14, reading.HeightMm!.Value, 12);
    }

    [Fact]
    public void Words_tell_what_was_seen_without_being_measured()
    {
        var readings = Read("id,widthMm,heightMm\nP2,open,\nP3,torn,\nP4,0,\nS1:slug,7.85,7.84\n").Value!.Readings;
        Assert.Equal([(null, true), (0, false), (0, false), (7.85, false)], readings.Select(r => (r.WidthMm, r.IsOpen)));
        Assert.Equal([false, false, false, true], readings.Select(r => r.IsSlug));
        Assert.Equal("S1", readings[3].Id);
    }

    [Theory]
    [InlineData("", "measured.csv:1:1: error: PKG104: the table is empty")]
    [InlineData("S1,1,2\n", "measured.csv:1:1: error: PKG104: the first line must name the columns")]
    [InlineData("id,widthMm,heightMm\nS1,8.l5,8.14\n", "measured.csv:2:4: error: PKG105: \"8.l5\" is no size")]
    [InlineData("id,widthMm,heightMm\nS1,8.15,-1\n", "measured.csv:2:9: error: PKG105")]
    [InlineData("id,widthMm,heightMm\n\nS1,1e999,1\n", "measured.csv:3:4: error: PKG105")]
    [InlineData("id,widthMm,heightMm\nSS1,8.15,8.14\n", "measured.csv:2:1: error: PKG106: the coupon has no feature SS1; did you mean S1?")]
    [InlineData("id,widthMm,heightMm\n,8.15,8.14\n", "PKG106: this line has no id")]
    [InlineData("id,widthMm,heightMm\nA1:slug,8.15,8.14\n", "PKG106: A1 has two holes and no slug")]
    [InlineData("id,widthMm,heightMm\nS1,8,15,8,14\n", "measured.csv:2:9: error: PKG107: this line has 5 cells where the header names 3")]
    public void A_fault_in_a_table_is_named_with_line_and_column(string text, string expected)
    {
        var read = Read(text);
        Assert.True(read.Failed);
        Assert.Contains(expected, Assert.Single(read.Diagnostics).ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public void No_bytes_make_a_reader_throw() => Gen.Byte.Array[0, 60].Check(noise =>
    {
        CouponReader.Read(new SourceText("coupon.json", noise));
        byte[] table = [.. "id,widthMm,heightMm\nS1,"u8, .. noise];
        MeasuredReader.Read(new SourceText("measured.csv", table), _coupon.Features);
        MeasuredReader.Read(new SourceText("measured.csv", noise), _coupon.Features);
    }, iter: 2000);

    private static Outcome<MeasuredTable> Read(string text) =>
        MeasuredReader.Read(new SourceText("measured.csv", Encoding.UTF8.GetBytes(text)), _coupon.Features);
}
