using System.Text;
using CsCheck;
using Stencilwright.Artwork.Ipc2581;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Ipc2581;

public class HostileIpc2581Tests
{
    private const string Pad = "<Pad><Location x='1' y='1'/><Circle diameter='2'/></Pad>";

    private static void Has(Outcome<LayerImage> outcome, string code, Severity severity = Severity.Error) =>
        Assert.Contains(outcome.Diagnostics, d => d.Code == code && d.Severity == severity && d.Message.EndsWith('.'));

    [Theory]
    [InlineData("", "ART340")]
    [InlineData("no xml", "ART340")]
    [InlineData("<svg/>", "ART342")]
    [InlineData("<IPC-2581 revision='B'/>", "ART358")]
    [InlineData("<IPC-2581 revision='B'><Ecad><CadData><Step name='s'>", "ART340")]
    public void What_is_none_is_refused(string xml, string code) =>
        Assert.Contains(Boards2581.Read(xml).Diagnostics, d => d.Code == code && d.Severity == Severity.Error);

    [Fact]
    public void Nested_entities_are_refused_before_anything_is_read()
    {
        var outcome = Boards2581.Read("<!DOCTYPE x [<!ENTITY a \"xxxxxxxxxx\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;\">]>\n<IPC-2581 revision='B'>&b;</IPC-2581>");
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART341", Severity: Severity.Error, Place.Line: 1 });
        Assert.Null(outcome.Value);
    }

    [Fact]
    public void Another_file_is_never_opened()
    {
        var outcome = Boards2581.Read("<?xml version='1.0'?>\n<!DOCTYPE x SYSTEM \"file:///etc/passwd\">\n<IPC-2581 revision='B'/>");
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART341", Severity: Severity.Error, Place.Line: 2 });
        Assert.DoesNotContain(outcome.Diagnostics, d => d.Message.Contains("root:", StringComparison.Ordinal));
    }

    [Fact]
    public void An_undefined_entity_ends_the_reading_and_keeps_what_came_before()
    {
        var xml = Boards2581.File(Pad).Replace("</CadData>", "&x;</CadData>", StringComparison.Ordinal);
        var outcome = Boards2581.Paint(xml);
        Has(outcome, "ART341");
        Assert.Equal(Math.PI, outcome.Value!.PaintedAreaMm2, 1e-12);
    }

    [Fact]
    public void A_file_cut_short_keeps_what_came_before()
    {
        var xml = Boards2581.File(Pad + Pad);
        var outcome = Boards2581.Paint(xml[..xml.LastIndexOf("<Circle", StringComparison.Ordinal)]);
        Has(outcome, "ART340");
        Has(outcome, "ART345");
        Assert.Equal(Math.PI, outcome.Value!.PaintedAreaMm2, 1e-12);
    }

    [Fact]
    public void Deep_nesting_is_cut_off_with_a_message()
    {
        var deep = string.Concat(Enumerable.Repeat("<UserSpecial>", 100_000)) + "<Circle diameter='1'/>" + string.Concat(Enumerable.Repeat("</UserSpecial>", 100_000));
        var outcome = Boards2581.Paint(Boards2581.File(Pad + "<Features>" + deep + "</Features>"));
        Has(outcome, "ART347");
        Assert.Equal(Math.PI, outcome.Value!.PaintedAreaMm2, 1e-12);
    }

    [Fact]
    public void A_huge_attribute_is_cut()
    {
        var outcome = Boards2581.Paint(Boards2581.File($"<Pad><Location x='{new string('9', 3_000_000)}' y='1'/><Circle diameter='2'/></Pad>"));
        Has(outcome, "ART347");
        Assert.All(outcome.Diagnostics, d => Assert.True(d.Message.Length < 400));
    }

    [Theory]
    [InlineData("<Pad><Location x='wide' y='1'/><Circle diameter='2'/></Pad>", "ART344")]
    [InlineData("<Pad><Location x='1' y='1'/><Circle diameter='-2'/></Pad>", "ART344")]
    [InlineData("<Pad><Location x='1' y='1'/><Circle diameter='NaN'/></Pad>", "ART344")]
    [InlineData("<Pad><Location x='1' y='1'/><Circle diameter='1e999'/></Pad>", "ART344")]
    [InlineData("<Pad><Location x='1' y='1'/><RectRound width='2' height='1'/></Pad>", "ART344")]
    [InlineData("<Pad><Location x='1' y='1'/><Donut shape='ROUND' outerDiameter='1' innerDiameter='2'/></Pad>", "ART344")]
    [InlineData("<Pad><Location x='1e9' y='1'/><Circle diameter='2'/></Pad>", "ART350")]
    [InlineData("<Pad><Location x='1' y='1'/><StandardPrimitiveRef id='none'/></Pad>", "ART345")]
    [InlineData("<Pad padstackDefRef='none'><Location x='1' y='1'/></Pad>", "ART345")]
    [InlineData("<Features><Line startX='1' startY='1' endX='x' endY='1'/></Features>", "ART344")]
    [InlineData("<Features><Polygon><PolyBegin x='0' y='0'/><PolyStepSegment x='1' y='?'/></Polygon></Features>", "ART344")]
    [InlineData("<Features><Polygon><PolyBegin x='0' y='0'/></Polygon></Features>", "ART344")]
    [InlineData("<Features><Line startX='1' startY='1' endX='2' endY='1'><LineDescRef id='none'/></Line></Features>", "ART345")]
    [InlineData("<Hole diameter='0' x='1' y='1'/>", "ART344")]
    public void Each_fault_has_its_code_and_line(string feature, string code)
    {
        var outcome = Boards2581.Paint(Boards2581.File(Pad + "\n" + feature));
        var fault = Assert.Single(outcome.Diagnostics, d => d.Severity == Severity.Error);
        Assert.Equal(code, fault.Code);
        var lines = Boards2581.File(Pad + "\n" + feature).Split('\n').ToList();
        Assert.Equal(lines.FindIndex(l => l.StartsWith(feature[..8], StringComparison.Ordinal)) + 1, fault.Place.Line);
        Assert.InRange(outcome.Value!.PaintedAreaMm2, Math.PI - 1e-9, 30);
    }

    [Theory]
    [InlineData("<Features><Text textString='R1'/></Features>", "ART348", Severity.Note)]
    [InlineData("<Features><Spiral turns='3'/></Features>", "ART348", Severity.Warning)]
    [InlineData("<Features><RectCenter width='1' height='1'><FillDesc fillProperty='HATCH'/></RectCenter></Features>", "ART351", Severity.Warning)]
    public void What_was_not_honoured_is_said(string feature, string code, Severity severity) => Has(Boards2581.Paint(Boards2581.File(feature)), code, severity);

    [Theory]
    [InlineData("<EntryUser id='a'><UserSpecial><UserPrimitiveRef id='a'/><Circle diameter='1'/></UserSpecial></EntryUser>")]
    [InlineData("<EntryUser id='a'><UserSpecial><UserPrimitiveRef id='b'/><Circle diameter='1'/></UserSpecial></EntryUser><EntryUser id='b'><UserSpecial><UserPrimitiveRef id='a'/></UserSpecial></EntryUser>")]
    public void An_entry_that_holds_itself_ends_in_a_message(string entries)
    {
        var outcome = Boards2581.Paint(Boards2581.File("<Features><UserPrimitiveRef id='a'/></Features>", $"<DictionaryUser units='MILLIMETER'>{entries}</DictionaryUser>"));
        Has(outcome, "ART346");
        Assert.Equal(Math.PI / 4, outcome.Value!.PaintedAreaMm2, 1e-12);
    }

    [Theory]
    [InlineData("<Circle diameter='1'/>")]
    [InlineData("")]
    public void Entries_of_entries_stop_at_the_limit(string leaf)
    {
        var entries = new StringBuilder($"<EntryUser id='l0'><UserSpecial>{leaf}<Xform/></UserSpecial></EntryUser>");
        for (var i = 1; i < 12; i++)
        {
            entries.Append($"<EntryUser id='l{i}'><UserSpecial>").Insert(entries.Length, $"<UserPrimitiveRef id='l{i - 1}'/>", 10).Append("</UserSpecial></EntryUser>");
        }

        var outcome = Boards2581.Paint(
            Boards2581.File("<Features><UserPrimitiveRef id='l11'/></Features>", $"<DictionaryUser units='MILLIMETER'>{entries}</DictionaryUser>"), limits: ReadLimits.Default with { MaxObjects = 2_000 });
        Has(outcome, "ART347");
        Assert.True(outcome.Value!.Objects.Length <= 2_000);
    }

    [Theory]
    [InlineData("<StepRepeat stepRef='board' x='0' y='0' nx='2' ny='2' dx='1' dy='1'/>", "ART346")]
    [InlineData("<StepRepeat stepRef='none' x='0' y='0' nx='2' ny='2' dx='1' dy='1'/>", "ART345")]
    [InlineData("<StepRepeat stepRef='other' x='0' y='0' nx='1e9' ny='1e9' dx='1' dy='1'/>", "ART347")]
    public void Bad_repetitions_end_in_a_message(string repeat, string code)
    {
        var xml = Boards2581.File(Pad, step: repeat).Replace("</CadData>", "<Step name='other'/></CadData>", StringComparison.Ordinal);
        var outcome = Boards2581.Paint(xml);
        Has(outcome, code);
        Assert.Equal(Math.PI, outcome.Value!.PaintedAreaMm2, 1e-12);
    }

    [Fact]
    public void Too_many_elements_end_the_reading()
    {
        var outcome = Boards2581.Read(Boards2581.File(string.Concat(Enumerable.Repeat(Pad, 1000))), ReadLimits.Default with { MaxObjects = 500 });
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART347", Severity: Severity.Error });
    }

    [Fact]
    public void A_layer_that_is_not_declared_and_a_missing_unit_are_said()
    {
        var outcome = Boards2581.Read(Boards2581.File(Pad, units: "FURLONG", step: "<LayerFeature layerRef='GHOST'><Set>" + Pad + "</Set></LayerFeature>"));
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART349", Severity: Severity.Warning });
        Assert.Contains(outcome.Diagnostics, d => d is { Code: "ART343", Severity: Severity.Warning });
        Assert.Contains(outcome.Value!.Layers, l => l.Name == "GHOST" && l.FileFunction.IsEmpty);
    }

    [Fact]
    public void Damaged_files_never_throw()
    {
        const string Step = "<Package name='P'><Outline><Polygon><PolyBegin x='0' y='0'/><PolyStepSegment x='1' y='0'/><PolyStepCurve x='0' y='1' centerX='0' centerY='0' clockwise='false'/></Polygon></Outline><Pin number='1'><Location x='1' y='0'/></Pin></Package><Component refDes='R1' packageRef='P' layerRef='B'><Xform rotation='90' mirror='true'/><Location x='5' y='5'/></Component>";
        var sound = Encoding.UTF8.GetBytes(Boards2581.File(
            Pad + "<Features><Contour><Polygon><PolyBegin x='0' y='0'/><PolyStepSegment x='4' y='0'/><PolyStepSegment x='4' y='3'/></Polygon></Contour></Features><Pad><Location x='9' y='9'/><StandardPrimitiveRef id='p'/></Pad>",
            "<DictionaryStandard units='MILLIMETER'><EntryStandard id='p'><Thermal shape='ROUND' outerDiameter='4' innerDiameter='2' spokeCount='4' gap='0.5' spokeStartAngle='45'/></EntryStandard></DictionaryStandard>",
            step: Step));
        Gen.Select(Gen.Int[0, sound.Length - 1].Array[1, 4], Gen.Char[' ', '~'].Array[4]).Check(
            (places, values) =>
            {
                var bytes = (byte[])sound.Clone();
                for (var i = 0; i < places.Length; i++)
                {
                    bytes[places[i]] = (byte)values[i];
                }

                if (Ipc2581Reader.Read(new SourceText("x", bytes), ReadLimits.Default, CancellationToken.None).Value is { } document)
                {
                    foreach (var layer in document.Layers)
                    {
                        Ipc2581Image.Compose(document, layer.Name, ReadLimits.Default, CancellationToken.None);
                    }

                    Ipc2581Image.ComposeProfile(document, ReadLimits.Default, CancellationToken.None);
                    Ipc2581Parts.From(document, ReadLimits.Default, CancellationToken.None);
                }
            },
            iter: 1500);
    }
}
