using System.Text;
using CsCheck;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Placement;

public class HostilePlacementTests
{
    [Theory]
    [InlineData("")]
    [InlineData("\n\n\n")]
    [InlineData("Nothing of the kind, only words about x and y and ref.\n")]
    [InlineData("Ref,Value,Count\nR1,10k,4\n")]
    [InlineData("{\"Ref\":1,\"x\":2,\"y\":3}")]
    public void What_is_no_list_is_refused_with_a_remedy(string text)
    {
        var outcome = Lists.Read(text);
        Assert.Null(outcome.Value);
        Lists.Has(outcome, "ART300", Severity.Error);
        Assert.False(PlacementReader.LooksLikePlacement(Encoding.UTF8.GetBytes(text)));
    }

    [Fact]
    public void Binary_bytes_are_refused()
    {
        var bytes = new byte[5000];
        new Random(1).NextBytes(bytes);
        Assert.Null(Lists.Read(bytes).Value);
        Lists.Has(Lists.Read([0x50, 0x4B, 3, 4, 0, 0, 0, 0, 1, 2]), "ART300", Severity.Error);
    }

    [Theory]
    [InlineData("R1,abc,2,0,top", "ART305", 2, 4)]
    [InlineData("R1,1,,0,top", "ART305", 2, 6)]
    [InlineData(",1,2,0,top", "ART305", 2, 1)]
    [InlineData("R1,1,2,turned,top", "ART316", 2, 8)]
    [InlineData("R1,1,2,0,sideways", "ART307", 2, 10)]
    [InlineData("R1,1e7,2,0,top", "ART310", 2, 4)]
    [InlineData("R1,1e999,2,0,top", "ART305", 2, 4)]
    [InlineData("R1,1..2,2,0,top", "ART305", 2, 4)]
    [InlineData("R1,1,2,0,\"top", "ART314", 2, 10)]
    [InlineData("R1,1,2,0,top,5,6,7,8", "ART305", 2, 1)]
    [InlineData("R1,1", "ART315", 2, 1)]
    [InlineData("R1,1\n", "ART305", 2, 1)]
    [InlineData("R1é,ö,2,0,top", "ART305", 2, 6)]
    public void Each_fault_has_its_code_and_place(string line, string code, int number, int column)
    {
        // The last column is no part of what the fault of a long line can hide behind.
        var header = line.Contains("5,6,7", StringComparison.Ordinal) ? "Ref,X (mm),Y (mm),Rot,Mirror" : "Ref,X (mm),Y (mm),Rot,Side";
        var fault = Assert.Single(Lists.Read(header + "\n" + line).Diagnostics, d => d.Code == code);
        Assert.Equal((number, column), (fault.Place.Line, fault.Place.Column));
        Assert.Equal("places.csv", fault.Place.File);
    }

    [Fact]
    public void Columns_count_bytes_of_wide_text()
    {
        var bytes = new UnicodeEncoding(false, true);
        var outcome = Lists.Read([.. bytes.GetPreamble(), .. bytes.GetBytes("Ref,X (mm),Y (mm)\r\nR1,1,2\r\nR2,wide,2\r\n")]);
        var fault = Assert.Single(outcome.Diagnostics, d => d.Code == "ART305");
        Assert.Equal((3, 7), (fault.Place.Line, fault.Place.Column));
    }

    [Fact]
    public void Very_long_lines_and_many_lines_end_in_a_message()
    {
        var text = "Ref,X (mm),Y (mm),Side\n" + new string('a', 200_000) + ",1,2,top\n" + string.Concat(Enumerable.Range(0, 50).Select(i => $"R{i},1,2,top\n"));
        var outcome = Lists.Read(text, ReadLimits.Default with { MaxObjects = 20 });
        Lists.Has(outcome, "ART311", Severity.Error);
        Assert.InRange(outcome.Value!.Parts.Length, 10, 20);
    }

    [Fact]
    public void Repeated_faults_are_counted_not_listed()
    {
        var outcome = Lists.Read("Ref,X (mm),Y (mm)\n" + string.Concat(Enumerable.Repeat("R1,a,b\n", 5000)));
        Assert.True(outcome.Diagnostics.Length <= 103);
        Lists.Has(outcome, "ART312", Severity.Note);
    }

    [Fact]
    public void A_message_shows_no_control_characters()
    {
        var outcome = Lists.Read("Ref,X (mm),Y (mm)\nR\u001b[31m1,\u0007bad,2\n");
        Assert.All(outcome.Diagnostics, d => Assert.DoesNotContain(d.Message, char.IsControl));
    }

    [Fact]
    public void Damaged_lists_never_throw()
    {
        var sound = Encoding.UTF8.GetBytes("# Units: mm\nRef;Val;PosX;PosY;Rot;Side\nC1;\"10n; 5\";1,5;2,5;90;top\nC2;1µ;3,5mm;4;-90;bottom\n");
        Gen.Select(Gen.Int[0, sound.Length - 1].Array[1, 8], Gen.Byte.Array[8], Gen.Int[0, sound.Length]).Check(
            (places, values, length) =>
            {
                var bytes = (byte[])sound.Clone();
                for (var i = 0; i < places.Length; i++)
                {
                    bytes[places[i]] = values[i];
                }

                Assert.NotNull(Lists.Read(bytes[..length]));
            },
            iter: 2000);
    }

    private static readonly string[] _words =
    [
        "Ref", "X", "Y", ",", ";", "\t", " ", "\n", "\"", "'", "1", "2.5", "R1", "top", "mm", "#", "-", "\r", "Side", "Rot", "|", "é",
    ];

    [Fact]
    public void Random_tables_never_throw() =>
        Gen.Int[0, _words.Length - 1].Array[0, 60].Check(
            words => Assert.NotNull(Lists.Read(string.Concat(words.Select(w => _words[w])))),
            iter: 3000);
}
