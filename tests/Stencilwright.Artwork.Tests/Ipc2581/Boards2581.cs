using System.Text;
using Stencilwright.Artwork.Ipc2581;
using Stencilwright.Artwork.Placement;
using Stencilwright.Foundation;
using Xunit;

namespace Stencilwright.Artwork.Tests.Ipc2581;

/// <summary>Small files of our own; names of elements and attributes are the standard's, from memory.</summary>
internal static class Boards2581
{
    private static CancellationToken Cancel => TestContext.Current.CancellationToken;

    public static string File(string features, string dictionaries = "", string units = "MILLIMETER", string revision = "B", string step = "", string bom = "", string layers = "") => $"""
        <?xml version="1.0" encoding="UTF-8"?>
        <IPC-2581 revision="{revision}" xmlns="http://webstds.ipc.org/2581">
        <Content roleRef="Owner"><FunctionMode mode="ASSEMBLY"/><StepRef name="board"/>{dictionaries}</Content>
        <LogisticHeader><Role id="Owner" roleFunction="SENDER"/></LogisticHeader>
        {bom}<Ecad name="e"><CadHeader units="{units}"/><CadData>
        <Layer name="PASTE" layerFunction="SOLDERPASTE" side="TOP" polarity="POSITIVE"/>
        <Layer name="T" layerFunction="CONDUCTOR" side="TOP" polarity="POSITIVE"/>
        <Layer name="B" layerFunction="CONDUCTOR" side="BOTTOM" polarity="POSITIVE"/>
        <Layer name="D" layerFunction="DRILL" side="ALL" polarity="POSITIVE"/>{layers}
        <Step name="board"><Profile><Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="20" y="0"/><PolyStepSegment x="20" y="10"/><PolyStepSegment x="0" y="10"/></Polygon></Profile>
        {step}<LayerFeature layerRef="PASTE"><Set>{features}</Set></LayerFeature></Step>
        </CadData></Ecad></IPC-2581>
        """;

    public static Outcome<Ipc2581Document> Read(string xml, ReadLimits? limits = null) =>
        Ipc2581Reader.Read(new SourceText("board.xml", Encoding.UTF8.GetBytes(xml)), limits ?? ReadLimits.Default, Cancel);

    /// <summary>The document of a file that must read without a word.</summary>
    public static Ipc2581Document Document(string xml)
    {
        var outcome = Read(xml);
        Assert.Empty(outcome.Diagnostics);
        return outcome.Value!;
    }

    public static Outcome<LayerImage> Paint(string xml, string layer = "PASTE", ReadLimits? limits = null)
    {
        var read = Read(xml, limits);
        var painted = Ipc2581Image.Compose(read.Value!, layer, limits ?? ReadLimits.Default, Cancel);
        return painted with { Diagnostics = read.Diagnostics.AddRange(painted.Diagnostics) };
    }

    /// <summary>A layer that must read and paint without a word.</summary>
    public static LayerImage Layer(string xml, string layer = "PASTE")
    {
        var outcome = Paint(xml, layer);
        Assert.Empty(outcome.Diagnostics);
        return outcome.Value!;
    }

    public static double Area(string features, string dictionaries = "") => Layer(File(features, dictionaries)).PaintedAreaMm2;

    public static PlacementList Parts(string xml)
    {
        var outcome = Ipc2581Parts.From(Document(xml), ReadLimits.Default, Cancel);
        Assert.Empty(outcome.Diagnostics);
        return outcome.Value!;
    }

    public static LayerImage Profile(string xml) => Ipc2581Image.ComposeProfile(Read(xml).Value!, ReadLimits.Default, Cancel).Value!;
}
