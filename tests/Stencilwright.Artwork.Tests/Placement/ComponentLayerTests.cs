using System.Text;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Artwork.Tests.Placement;

public class ComponentLayerTests
{
    // Written for this test with the numbers of the example in the Gerber Layer Format Specification, 2021.02, 6.9.1.3: middle
    // (218.25, -73.0), turn -90, courtyard 2.00 by 3.38, pin 1 at (218.25, -72.045), pin 2 at (218.25, -73.955).
    private const string Example = """
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
        G01*
        %TO.C,R3*%
        %TO.CRot,-90*%
        %TO.CVal,4k7\u002C 1*%
        %TO.CFtp,RES0805*%
        %TO.CMnt,SMD*%
        D10*
        X218250000Y-73000000D03*
        D11*
        X217250000Y-71310000D02*
        X219250000Y-71310000D01*
        X219250000Y-74690000D01*
        X217250000Y-74690000D01*
        X217250000Y-71310000D01*
        D12*
        %TO.P,R3,1*%
        X218250000Y-72045000D03*
        D13*
        %TO.P,R3,2*%
        X218250000Y-73955000D03*
        %TD*%
        M02*
        """;

    private static Outcome<PlacementList> From(string gerber)
    {
        var cancel = TestContext.Current.CancellationToken;
        var document = GerberReader.Read(new SourceText("parts.gbr", Encoding.UTF8.GetBytes(gerber)), ReadLimits.Default, cancel).Value!;
        return ComponentLayer.From(GerberImage.Compose(document, ReadLimits.Default, cancel).Value!, ReadLimits.Default);
    }

    [Fact]
    public void The_example_of_the_standard()
    {
        var outcome = From(Example);
        Assert.Empty(outcome.Diagnostics);
        var part = Assert.Single(outcome.Value!.Parts);
        Assert.Equal(("R3", -90.0, true, "4k7, 1", "RES0805"), (part.Reference, part.RotationDeg, part.IsTop, part.Value, part.Package));
        Near(new Point2(218.25, -73.0), part.At);
        Assert.Equal(["1", "2"], part.Pins.Select(p => p.Name));
        Near(new Point2(218.25, -72.045), part.Pins[0].At);
        Near(new Point2(218.25, -73.955), part.Pins[1].At);
        Assert.Equal(2.00, part.Box!.Value.Width, 1e-9);
        Assert.Equal(3.38, part.Box.Value.Height, 1e-9);
        Assert.Equal(Example.Split('\n').ToList().FindIndex(l => l.EndsWith("D03*", StringComparison.Ordinal)) + 1, part.Place.Line);

        // The same text: turned back by its rotation, pin 1 lies at (-0.955, 0) of the middle.
        var turnedBack = Affine2.RotationDegrees(-part.RotationDeg!.Value).Apply(part.Pins[0].At - part.At);
        Assert.Equal(-0.955, turnedBack.X, 1e-9);
        Assert.Equal(0, turnedBack.Y, 1e-9);
    }

    [Fact]
    public void Attributes_end_where_the_file_deletes_them()
    {
        var second = "%TO.C,C1*%\nD10*\nX1000000Y2000000D03*\nM02*";
        var outcome = From(Example.Replace("M02*", second, StringComparison.Ordinal));
        var part = outcome.Value!.Parts[1];
        Assert.Equal("C1", part.Reference);
        Assert.Null(part.RotationDeg);
        Assert.Null(part.Value);
        Assert.Null(part.Box);
        Assert.Empty(part.Pins);
    }

    [Fact]
    public void A_body_counts_more_than_a_courtyard()
    {
        var text = Example.Replace("%TD*%\nG01*", "%TA.AperFunction,ComponentOutline,Body*%\n%ADD14C,0.1*%\n%TD*%\nG01*", StringComparison.Ordinal)
            .Replace("D12*", "D14*\nX218000000Y-74000000D02*\nX218500000Y-72000000D01*\nD12*", StringComparison.Ordinal);
        var box = From(text).Value!.Parts[0].Box!.Value;
        Assert.Equal((0.5, 2.0), (Math.Round(box.Width, 9), Math.Round(box.Height, 9)));
    }

    [Fact]
    public void A_bottom_layer_gives_bottom_parts_with_their_places_unmirrored()
    {
        var part = From(Example.Replace("L1,Top", "L4,Bot", StringComparison.Ordinal)).Value!.Parts[0];
        Assert.False(part.IsTop);
        Near(new Point2(218.25, -73.0), part.At);
    }

    [Fact]
    public void What_is_missing_is_said()
    {
        Lists.Has(From(Example.Replace("X218250000Y-73000000D03*\n", "", StringComparison.Ordinal)), "ART320", Severity.Warning);
        Lists.Has(From(Example.Replace("X218250000Y-73000000D03*\n", "", StringComparison.Ordinal)), "ART322", Severity.Error);
        Lists.Has(From(Example.Replace("%TO.C,R3*%\n", "", StringComparison.Ordinal)), "ART321", Severity.Warning);
        Lists.Has(From("%FSLAX46Y46*%\n%MOMM*%\n%ADD10C,1*%\nD10*\nX0Y0D03*\nM02*"), "ART322", Severity.Error);
    }

    private static void Near(Point2 expected, Point2 actual) => Assert.Equal(0, Point2.Distance(expected, actual), 1e-9);
}
