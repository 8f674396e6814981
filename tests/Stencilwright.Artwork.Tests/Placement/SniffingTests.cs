using System.Text;
using Xunit;

namespace Stencilwright.Artwork.Tests.Placement;

public class SniffingTests
{
    [Theory]
    [InlineData("Ref;PosX;PosY;Rot\nR1;1;2;90\n", ArtworkFormat.Placement)]
    [InlineData("# Ref Val Package PosX PosY Rot Side\nR1 1k R0603 1 2 90 top\n", ArtworkFormat.Placement)]
    [InlineData("C1,1,2,90,top\nC2,3,4,0,top\nR1,5,6,180,bottom\n", ArtworkFormat.Placement)]
    [InlineData("Ref,Value,Footprint,Quantity\nR1,1k,R0603,1\n", null)]
    [InlineData("The part's name, its x and its y are in the rotation table at the side.\n", null)]
    [InlineData("<?xml version='1.0'?><IPC-2581 revision='C'>", ArtworkFormat.Ipc2581)]
    [InlineData("<?xml version='1.0'?><q:IPC-2581 xmlns:q='urn:x' revision='C'>", ArtworkFormat.Ipc2581)]
    public void Content_tells_the_format(string text, ArtworkFormat? format)
    {
        Assert.Equal(format, FormatSniffer.Sniff(Encoding.UTF8.GetBytes(text)));
        if (format == ArtworkFormat.Placement)
        {
            Assert.Equal(format, FormatSniffer.Sniff(Encoding.Unicode.GetBytes(text)));
            Assert.Equal(format, FormatSniffer.Sniff([.. Encoding.BigEndianUnicode.GetPreamble(), .. Encoding.BigEndianUnicode.GetBytes(text)]));
        }
    }
}
