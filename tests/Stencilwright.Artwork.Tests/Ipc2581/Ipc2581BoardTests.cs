using Stencilwright.Artwork.Ipc2581;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Artwork.Tests.Ipc2581;

// Names of elements and attributes: IPC-2581, from memory.
public class Ipc2581BoardTests
{
    private const string Parts = """
        <Package name="CHIP" type="CHIP" pinOne="1"><Outline><Polygon><PolyBegin x="-2" y="-1"/><PolyStepSegment x="2" y="-1"/><PolyStepSegment x="2" y="1"/><PolyStepSegment x="-2" y="1"/></Polygon><LineDesc lineEnd="ROUND" lineWidth="0.1"/></Outline>
        <Pin number="1" type="SURFACE"><Location x="-1.5" y="0.25"/></Pin><Pin number="2" type="SURFACE"><Location x="1.5" y="0.25"/></Pin></Package>
        <Component refDes="R1" packageRef="CHIP" layerRef="T" mountType="SMT" part="x"><Xform rotation="90"/><Location x="5" y="5"/></Component>
        """;

    [Theory]
    [InlineData("A", "<PadStack net='GND'><LayerHole name='h' diameter='0.4' platingStatus='PLATED' x='4' y='4'/><LayerPad layerRef='T'><Location x='4' y='4'/><Circle diameter='1'/><PinRef componentRef='J1' pin='2'/></LayerPad></PadStack>")]
    [InlineData("B", "<PadStackDef name='ps'><PadstackPadDef layerRef='T' padUse='REGULAR'><Location x='0' y='0'/><Circle diameter='1'/></PadstackPadDef><PadstackPadDef layerRef='T' padUse='THERMAL'><Circle diameter='3'/></PadstackPadDef></PadStackDef><LayerFeature layerRef='T'><Set net='GND'><Pad padstackDefRef='ps'><Location x='4' y='4'/><PinRef componentRef='J1' pin='2'/></Pad></Set></LayerFeature><LayerFeature layerRef='D'><Set><Hole name='h' diameter='0.4' platingStatus='PLATED' plusTol='0' minusTol='0' x='4' y='4'/></Set></LayerFeature>")]
    [InlineData("C", "<LogicalNet name='GND'><PinRef componentRef='J1' pin='2'/></LogicalNet><LayerFeature layerRef='T'><Set><Pad><Location x='4' y='4'/><Circle diameter='1'/><PinRef componentRef='J1' pin='2'/></Pad></Set></LayerFeature><LayerFeature layerRef='D'><Set><Hole name='h' diameter='0.4' platingStatus='PLATED' x='4' y='4'/></Set></LayerFeature>")]
    public void All_revisions_say_the_same_board(string revision, string step)
    {
        var xml = Boards2581.File("", revision: revision, step: step);
        var document = Boards2581.Document(xml);
        Assert.Equal(revision, document.Revision);
        Assert.Equal(["PASTE", "T", "B", "D"], document.Layers.Select(l => l.Name));
        Assert.Equal("Paste,Top", string.Join(',', document.Layers[0].FileFunction));
        Assert.Equal([false, true, false, true], document.Layers.Select(l => l.HasFeatures && l.Name != "PASTE"));
        var pad = Assert.Single(Boards2581.Layer(xml, "T").Objects);
        Assert.Equal(("J1", "2", "GND", PaintKind.Flash), (pad.Component, pad.Pin, pad.Net, pad.Kind));
        Assert.Equal(Math.PI / 4, pad.Shape.AreaMm2, 1e-12);
        var hole = Assert.Single(Boards2581.Layer(xml, "D").Objects);
        Assert.Equal("ComponentDrill", hole.ApertureFunction);
        Assert.Equal(new Point2(4, 4), hole.Shape.Bounds.Center);
    }

    [Fact]
    public void The_profile_is_the_boards_edge_with_its_cutouts()
    {
        var xml = Boards2581.File("").Replace("</Profile>", "<Cutout><PolyBegin x=\"3\" y=\"5\"/><PolyStepCurve x=\"3\" y=\"5\" centerX=\"5\" centerY=\"5\" clockwise=\"false\"/></Cutout></Profile>", StringComparison.Ordinal);
        var image = Boards2581.Profile(xml);
        var edge = Assert.Single(image.Objects);
        Assert.Equal("Profile", edge.ApertureFunction);
        Assert.Equal(200 - (4 * Math.PI), image.PaintedAreaMm2, 1e-9);
        Assert.Equal(2, edge.Shape.Contours.Length);
    }

    [Fact]
    public void Long_slots_are_strokes_with_their_plating()
    {
        const string Slot = "<LayerFeature layerRef='D'><Set><SlotCavity name='s' platingStatus='NONPLATED'><Location x='3' y='3'/><Oval width='3' height='1'/></SlotCavity></Set></LayerFeature>";
        var slot = Assert.Single(Boards2581.Layer(Boards2581.File("", step: Slot), "D").Objects);
        Assert.Equal("MechanicalDrill", slot.ApertureFunction);
        Assert.Equal(2 + (Math.PI / 4), slot.Shape.AreaMm2, 1e-12);
        Assert.Equal((PaintKind.Stroke, 1.0), (slot.Kind, slot.PenWidthMm));
        Assert.Equal(new Segment(new Point2(2, 3), new Point2(4, 3), 0), slot.CenterLine);
    }

    [Fact]
    public void Parts_come_with_pins_box_value_and_side()
    {
        const string Bom = "<Bom name='b'><BomItem OEMDesignNumberRef='x' quantity='1'><RefDes name='R1' packageRef='CHIP' populate='true' layerRef='T'/><Characteristics category='ELECTRICAL'><Textual textualCharacteristicName='VALUE' textualCharacteristicValue='4k7'/></Characteristics></BomItem></Bom>";
        var list = Boards2581.Parts(Boards2581.File("", step: Parts, bom: Bom));
        var part = Assert.Single(list.Parts);
        Assert.Equal(("R1", 90.0, true, "4k7", "CHIP"), (part.Reference, part.RotationDeg, part.IsTop, part.Value, part.Package));
        Assert.Equal(new Point2(5, 5), part.At);

        // By hand: (-1.5, 0.25) turned by 90 degrees is (-0.25, -1.5).
        Assert.Equal([("1", new Point2(4.75, 3.5)), ("2", new Point2(4.75, 6.5))], part.Pins.Select(p => (p.Name, p.At)));
        Assert.Equal(new Bounds2(4, 3, 6, 7), part.Box);
        Assert.Equal(ArtworkFormat.Ipc2581, list.Format);
        Assert.True(part.Place.Line > 1);
    }

    // The same part on the bottom; pads that name its pins lie where one of the readings puts them.
    [Theory]
    [InlineData("mirror='true'", 4.75, 6.5)]
    [InlineData("mirror='true'", 4.75, 3.5, true)]
    [InlineData("", 4.75, 6.5)]
    public void Pads_with_pin_names_decide_how_parts_of_the_bottom_are_turned(string mirror, double x, double y, bool turnsFirst = false)
    {
        // Pin 1 at (-1.5, 0.25): mirrored (1.5, 0.25), turned by 90 degrees (-0.25, 1.5); turned first (-0.25, -1.5), then mirrored (0.25, -1.5).
        x = turnsFirst ? 5.25 : x;
        var step = Parts.Replace("layerRef=\"T\"", "layerRef=\"B\"", StringComparison.Ordinal).Replace("rotation=\"90\"", $"rotation=\"90\" {mirror}", StringComparison.Ordinal)
            + FormattableString.Invariant($"<LayerFeature layerRef='B'><Set><Pad><Location x='{x}' y='{y}'/><Circle diameter='1'/><PinRef componentRef='R1' pin='1'/></Pad></Set></LayerFeature>");
        var part = Assert.Single(Boards2581.Parts(Boards2581.File("", step: step)).Parts);
        Assert.False(part.IsTop);
        Assert.Equal(new Point2(x, y), part.Pins[0].At);
    }

    [Fact]
    public void Without_such_pads_the_mirror_comes_first_and_that_is_said()
    {
        var step = Parts.Replace("layerRef=\"T\"", "layerRef=\"B\"", StringComparison.Ordinal).Replace("rotation=\"90\"", "rotation=\"90\" mirror=\"true\"", StringComparison.Ordinal);
        var outcome = Ipc2581Parts.From(Boards2581.Document(Boards2581.File("", step: step)), ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.Equal("ART356", Assert.Single(outcome.Diagnostics).Code);
        Assert.Equal(new Point2(4.75, 6.5), outcome.Value!.Parts[0].Pins[0].At);
    }

    [Fact]
    public void A_panel_repeats_its_boards_features_parts_and_profiles()
    {
        var xml = Boards2581.File("<Pad><Location x='1' y='1'/><Circle diameter='1'/></Pad>", step: Parts)
            .Replace("<StepRef name=\"board\"/>", "<StepRef name=\"panel\"/>", StringComparison.Ordinal)
            .Replace("</CadData>", "<Step name=\"panel\"><StepRepeat stepRef=\"board\" x=\"100\" y=\"50\" nx=\"3\" ny=\"2\" dx=\"25\" dy=\"25\" angle=\"90\" mirror=\"false\"/></Step></CadData>", StringComparison.Ordinal);
        var image = Boards2581.Layer(xml);
        Assert.Equal(6, image.Islands.Length);
        Assert.Equal(new Point2(99, 51), image.Objects[0].Shape.Bounds.Center);
        Assert.Equal(new Bounds2(98.5, 50.5, 149.5, 76.5), image.Bounds);
        var parts = Boards2581.Parts(xml).Parts;
        Assert.Equal(6, parts.Length);
        Assert.Equal((180.0, new Point2(95, 55)), (parts[0].RotationDeg!.Value, parts[0].At));
        Assert.Equal(1200, Boards2581.Profile(xml).PaintedAreaMm2, 1e-9);
    }

    [Fact]
    public void Prefixes_and_other_namespaces_are_tolerated()
    {
        var xml = Boards2581.File("<Pad><Location x='1' y='1'/><Circle diameter='2'/></Pad>");
        var prefixed = System.Text.RegularExpressions.Regex.Replace(xml, "<(/?)(?=[A-Z])", "<$1q:").Replace("xmlns=", "xmlns:q=", StringComparison.Ordinal);
        Assert.Equal(Math.PI, Boards2581.Layer(prefixed).PaintedAreaMm2, 1e-12);
        Assert.Equal(Math.PI, Boards2581.Layer(xml.Replace("http://webstds.ipc.org/2581", "urn:other", StringComparison.Ordinal)).PaintedAreaMm2, 1e-12);
    }

    [Theory]
    [InlineData("PASTEMASK", "BOTTOM", "Paste,Bot")]
    [InlineData("SOLDERMASK", "TOP", "Soldermask,Top")]
    [InlineData("SILKSCREEN", "BOTTOM", "Legend,Bot")]
    [InlineData("LEGEND", "TOP", "Legend,Top")]
    [InlineData("SIGNAL", "INTERNAL", "Copper,L1,Inr")]
    [InlineData("BOARD_OUTLINE", "ALL", "Profile,NP")]
    [InlineData("COURTYARD", "TOP", "")]
    public void Functions_of_layers_are_put_into_the_words_of_gerber(string function, string side, string expected)
    {
        var document = Boards2581.Document(Boards2581.File("", layers: $"<Layer name='X' layerFunction='{function}' side='{side}' polarity='NEGATIVE'/>"));
        var layer = document.Layers.Single(l => l.Name == "X");
        Assert.Equal(expected, string.Join(',', layer.FileFunction));
        Assert.True(layer.IsNegative);
    }
}
