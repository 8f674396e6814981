using CsCheck;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Ipc2581;

// Names of elements and attributes: IPC-2581, from memory. Areas: elementary geometry, worked out by hand.
public class Ipc2581ShapeTests
{
    private const double Pi = Math.PI;

    public static TheoryData<string, double> Primitives => new()
    {
        { "<Circle diameter='2'/>", Pi },
        { "<RectCenter width='3' height='2'/>", 6 },
        { "<RectCorner lowerLeftX='1' lowerLeftY='1' upperRightX='4' upperRightY='3'/>", 6 },
        { "<RectRound width='3' height='2' radius='0.5'/>", 6 - ((4 - Pi) * 0.25) },
        { "<RectRound width='3' height='2' radius='0.5' upperRight='true' lowerLeft='false' upperLeft='false' lowerRight='false'/>", 6 - ((4 - Pi) * 0.25 / 4) },
        { "<RectRound width='2' height='2' radius='1'/>", Pi },
        { "<RectCham width='3' height='2' chamfer='0.5'/>", 6 - (4 * 0.125) },
        { "<RectCham width='3' height='2' chamfer='0.5' upperLeft='true'/>", 6 - 0.125 },
        { "<Oval width='3' height='1'/>", 2 + (Pi / 4) },
        { "<Oval width='1' height='3'/>", 2 + (Pi / 4) },
        { "<Diamond width='3' height='2'/>", 3 },
        { "<Triangle base='3' height='2'/>", 3 },
        { "<Hexagon length='2'/>", 1.5 * Math.Sqrt(3) },
        { "<Octagon length='2'/>", 2 * Math.Sqrt(2) },
        { "<Butterfly shape='ROUND' diameter='2'/>", Pi / 2 },
        { "<Butterfly shape='SQUARE' side='2'/>", 2 },
        { "<Donut shape='ROUND' outerDiameter='3' innerDiameter='1'/>", Pi * 2 },
        { "<Donut shape='SQUARE' outerDiameter='3' innerDiameter='1'/>", 8 },
        { "<Thermal shape='SQUARE' outerDiameter='4' innerDiameter='2' spokeCount='4' gap='1' spokeStartAngle='0'/>", 12 - 4 },
        { "<Contour><Polygon><PolyBegin x='0' y='0'/><PolyStepSegment x='4' y='0'/><PolyStepSegment x='4' y='3'/></Polygon></Contour>", 6 },
    };

    [Theory]
    [MemberData(nameof(Primitives))]
    public void Primitives_have_their_areas(string primitive, double areaMm2)
    {
        var dictionary = $"<DictionaryStandard units='MILLIMETER'><EntryStandard id='p'>{primitive}</EntryStandard></DictionaryStandard>";
        Assert.Equal(areaMm2, Boards2581.Area("<Pad><Location x='7' y='3'/><StandardPrimitiveRef id='p'/></Pad>", dictionary), 1e-9);
        Assert.Equal(areaMm2, Boards2581.Area($"<Pad><Location x='7' y='3'/>{primitive}</Pad>"), 1e-9);
        Assert.Equal(areaMm2 * 4, Boards2581.Area($"<Pad><Xform rotation='30' mirror='true' scale='2'/><Location x='7' y='3'/>{primitive}</Pad>"), 1e-8);
    }

    [Fact]
    public void An_ellipse_is_fitted_closely() => Assert.Equal(Pi * 1.5, Boards2581.Area("<Pad><Location x='0' y='0'/><Ellipse width='3' height='2'/></Pad>"), 1e-3);

    [Fact]
    public void A_round_thermal_loses_its_four_gaps()
    {
        // Each gap is a strip between the circles of radius 1 and 2: by the integral of sqrt(r² - y²) over half the gap on either side.
        static double Under(double r, double h) => (h * Math.Sqrt((r * r) - (h * h))) + (r * r * Math.Asin(h / r));
        var strip = Under(2, 0.25) - Under(1, 0.25);
        Assert.Equal((3 * Pi) - (4 * strip), Boards2581.Area("<Pad><Location x='0' y='0'/><Thermal shape='ROUND' outerDiameter='4' innerDiameter='2' spokeCount='4' gap='0.5' spokeStartAngle='45'/></Pad>"), 1e-9);
    }

    [Fact]
    public void A_moire_keeps_rings_and_cross()
    {
        var area = Boards2581.Area("<Pad><Location x='0' y='0'/><Moire diameter='4' ringWidth='0.5' ringGap='0.5' ringNumber='2' lineWidth='0.1' lineLength='0.8' lineAngle='0'/></Pad>");
        // Rings 2 to 1.5 and 1 to 0.5; the cross lies inside radius 0.5.
        Assert.Equal((Pi * (4 - 2.25 + 1 - 0.25)) + (2 * 0.08) - 0.01, area, 1e-9);
    }

    [Fact]
    public void A_contour_has_cutouts_and_arcs()
    {
        // A rectangle with a half disc on its right side, less a full circle.
        var area = Boards2581.Area("""
            <Features><Location x="1" y="1"/><Contour>
            <Polygon><PolyBegin x="0" y="0"/><PolyStepSegment x="6" y="0"/><PolyStepCurve x="6" y="4" centerX="6" centerY="2" clockwise="false"/><PolyStepSegment x="0" y="4"/><PolyStepSegment x="0" y="0"/></Polygon>
            <Cutout><PolyBegin x="3" y="2"/><PolyStepCurve x="3" y="2" centerX="2" centerY="2" clockwise="true"/></Cutout></Contour></Features>
            """);
        Assert.Equal(24 + (2 * Pi) - Pi, area, 1e-9);
    }

    [Theory]
    [InlineData("ROUND", 4 + (Pi / 4))]
    [InlineData("SQUARE", 5)]
    [InlineData("NONE", 4)]
    public void Ends_of_lines(string end, double areaMm2) =>
        Assert.Equal(areaMm2, Boards2581.Area($"<Features><Line startX='1' startY='1' endX='5' endY='1'><LineDesc lineEnd='{end}' lineWidth='1'/></Line></Features>"), 1e-9);

    [Fact]
    public void Joints_of_polylines_are_round_and_their_ends_as_asked()
    {
        // Two strips of 4 by 1 that share a corner: the square of the joint less its outer corner beyond the disc.
        var area = Boards2581.Area("""
            <Features><Polyline><PolyBegin x="0" y="0"/><PolyStepSegment x="4" y="0"/><PolyStepSegment x="4" y="4"/><LineDesc lineEnd="NONE" lineWidth="1"/></Polyline></Features>
            """);
        Assert.Equal(4 + 4 - 0.25 + (Pi / 16), area, 1e-9);
    }

    [Fact]
    public void A_line_keeps_its_centre_and_its_pen()
    {
        var dictionary = "<DictionaryLineDesc units='INCH'><EntryLineDesc id='w'><LineDesc lineEnd='ROUND' lineWidth='0.01'/></EntryLineDesc></DictionaryLineDesc>";
        var image = Boards2581.Layer(Boards2581.File("<Features><Location x='1' y='2'/><Arc startX='1' startY='0' endX='-1' endY='0' centerX='0' centerY='0' clockwise='true'><LineDescRef id='w'/></Arc></Features>", dictionary));
        var stroke = Assert.Single(image.Objects);
        Assert.Equal(PaintKind.Stroke, stroke.Kind);
        Assert.Equal(0.254, stroke.PenWidthMm, 1e-12);
        Assert.Equal(-1, stroke.CenterLine!.Value.Bulge, 1e-12);
        Assert.Equal(new Point2(2, 2), stroke.CenterLine.Value.Start);
        Assert.Equal((Pi * 0.254) + (Pi * 0.127 * 0.127), image.PaintedAreaMm2, 1e-9);
    }

    [Fact]
    public void Hollow_shapes_are_their_edge_and_void_ones_clear()
    {
        var hollow = Boards2581.Area("<Features><RectCenter width='4' height='3'><LineDesc lineEnd='ROUND' lineWidth='0.2'/><FillDesc fillProperty='HOLLOW'/></RectCenter></Features>");
        // A frame with round outer corners: outside 4.2 by 3.2 less the corners, inside 3.8 by 2.8.
        Assert.Equal((4.2 * 3.2) - ((4 - Pi) * 0.01) - (3.8 * 2.8), hollow, 1e-9);
        Assert.Equal(12 - Pi, Boards2581.Area("<Features><RectCenter width='4' height='3'/></Features><Features><Circle diameter='2'><FillDesc fillProperty='VOID'/></Circle></Features>"), 1e-9);
    }

    [Fact]
    public void A_negative_set_clears_what_earlier_sets_painted_and_later_sets_paint_again()
    {
        var step = """
            <LayerFeature layerRef="T"><Set><Pad><Location x="0" y="0"/><RectCenter width="6" height="6"/></Pad></Set>
            <Set polarity="NEGATIVE"><Pad><Location x="0" y="0"/><Circle diameter="4"/></Pad></Set>
            <Set polarity="POSITIVE"><Pad><Location x="0" y="0"/><Circle diameter="2"/></Pad></Set></LayerFeature>
            """;
        var image = Boards2581.Layer(Boards2581.File("", step: step), "T");
        Assert.Equal(36 - (4 * Pi) + Pi, image.PaintedAreaMm2, 1e-9);
        Assert.Equal(2, image.Islands.Length);
    }

    [Fact]
    public void User_entries_hold_several_shapes_and_other_entries()
    {
        var dictionary = """
            <DictionaryStandard units="MICRON"><EntryStandard id="dot"><Circle diameter="1000"/></EntryStandard></DictionaryStandard>
            <DictionaryUser units="MILLIMETER"><EntryUser id="inner"><UserSpecial><StandardPrimitiveRef id="dot"/></UserSpecial></EntryUser>
            <EntryUser id="outer"><UserSpecial><Line startX="2" startY="0" endX="4" endY="0"><LineDesc lineEnd="NONE" lineWidth="0.5"/></Line><UserPrimitiveRef id="inner"/>
            <Polygon><PolyBegin x="0" y="5"/><PolyStepSegment x="2" y="5"/><PolyStepSegment x="2" y="6"/><PolyStepSegment x="0" y="6"/></Polygon></UserSpecial></EntryUser></DictionaryUser>
            """;
        Assert.Equal((Pi / 4) + 1 + 2, Boards2581.Area("<Features><Location x='3' y='3'/><UserPrimitiveRef id='outer'/></Features>", dictionary), 1e-9);
    }

    // What is painted does not depend on the unit that says it, nor on how a place is split between offset and location.
    [Fact]
    public void Units_and_offsets_agree()
    {
        var gen = Gen.Select(Gen.Double[-8, 8], Gen.Double[-8, 8], Gen.Double[0.2, 3], Gen.Double[0.2, 3], Gen.Double[0, 360], Gen.Bool);
        gen.Check(
            (x, y, width, height, turn, isMirrored) =>
            {
                Bounds2 Box(string units, double perMm, double offset) => Boards2581.Layer(Boards2581.File(
                    FormattableString.Invariant($"""
                    <Pad><Xform rotation="{turn:R}" mirror="{(isMirrored ? "true" : "false")}" xOffset="{offset * perMm:R}"/><Location x="{(x - offset) * perMm:R}" y="{y * perMm:R}"/>
                    <RectCorner lowerLeftX="0" lowerLeftY="0" upperRightX="{width * perMm:R}" upperRightY="{height * perMm:R}"/></Pad>
                    """), units: units)).Bounds;

                // By hand: corner, mirror in x, turn, move.
                var expected = Bounds2.Empty;
                foreach (var (cx, cy) in ((double, double)[])[(0, 0), (width, 0), (width, height), (0, height)])
                {
                    var (sin, cos) = Math.SinCos(turn * Pi / 180);
                    var mx = isMirrored ? -cx : cx;
                    expected = expected.Include(new Point2(x + (cos * mx) - (sin * cy), y + (sin * mx) + (cos * cy)));
                }

                foreach (var box in (Bounds2[])[Box("MILLIMETER", 1, 0), Box("MICRON", 1000, 0), Box("INCH", 1 / 25.4, 0), Box("MILLIMETER", 1, 2.5)])
                {
                    Assert.Equal(expected.MinX, box.MinX, 1e-9);
                    Assert.Equal(expected.MinY, box.MinY, 1e-9);
                    Assert.Equal(expected.MaxX, box.MaxX, 1e-9);
                    Assert.Equal(expected.MaxY, box.MaxY, 1e-9);
                }
            },
            iter: 100);
    }
}
