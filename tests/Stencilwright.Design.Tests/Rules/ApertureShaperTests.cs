using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

public sealed class ApertureShaperTests
{
    [Fact]
    public void The_first_rule_that_matches_shapes_and_says_from_what_to_what()
    {
        var sketch = new Sketch();
        var (pad, _) = sketch.Chip(1.2, 1.0, 2.0, default, 0, "0603");
        var shaped = sketch.Shape(RuleSet.Default).Openings[pad];
        Assert.Equal("chip-home-plate", shaped.Rule);
        Assert.Equal("rectangle 1.00 × 1.20 to home-plate 1.00 × 1.20, area −11.4 %", shaped.Change);
    }

    [Fact]
    public void A_pad_that_is_wider_than_long_still_tapers_towards_the_middle_of_its_chip()
    {
        var sketch = new Sketch();
        var (left, right) = sketch.Chip(1.0, 1.8, 3.0, new(5, 5), 40, "1206");
        var shaped = sketch.Shape(RuleSet.Default);
        foreach (var pad in (int[])[left, right])
        {
            var part = shaped.Openings[pad].Parts[0];
            var (inwards, moved) = (new Point2(5, 5) - part.Artwork.Centroid, part.Design.Centroid - part.Artwork.Centroid);
            Assert.True(Vector2.Dot(inwards, moved) < 0);
            Assert.Equal(0, Vector2.Cross(inwards.Unit, moved), 9);
        }
    }

    [Theory]
    [InlineData(0.79, "corners")]
    [InlineData(0.80, "chip-0402")]
    public void An_uncertain_part_gets_only_rules_that_name_no_kind(double confidence, string rule)
    {
        var sketch = new Sketch();
        var pads = (int[])[sketch.Box(0.65, 0.5, new(-0.5, 0)), sketch.Box(0.65, 0.5, new(0.5, 0))];
        sketch.Part(PartClass.Chip, default, PadFunction.Terminal, pads, size: "0402", confidence: confidence);
        var layer = sketch.Shape(RuleSet.Default);
        Assert.All(layer.Openings, o => Assert.Equal(rule, o.Rule));
        Assert.Equal(confidence < BoardPart.SureFrom, layer.Findings.Any(f => f.Code == "DSN108"));
    }

    [Fact]
    public void A_thermal_pad_that_is_paned_already_stays_as_it_is()
    {
        var sketch = new Sketch();
        var panes = Enumerable.Range(0, 4).Select(i => sketch.Box(1.7, 1.7, new(i % 2 * 2, i / 2 * 2))).ToList();
        sketch.Part(PartClass.QuadNoLead, new(1, 1), PadFunction.ThermalPad, panes);
        var layer = sketch.Shape(RuleSet.Default);
        Assert.All(layer.Openings, o => Assert.Equal(("thermal-pad-paned", "rectangle 1.70 × 1.70, kept as drawn"), (o.Rule, o.Change)));
        Assert.Empty(layer.Findings);
    }

    [Fact]
    public void Artwork_that_is_already_smaller_than_its_land_is_not_reduced_again()
    {
        var sketch = new Sketch();
        var (reduced, full, plane) = (sketch.Box(1.45, 0.30, new(0, 0)), sketch.Box(1.5, 0.35, new(0, 2)), sketch.Box(1.5, 0.35, new(0, 4)));
        var half = sketch.Box(1.5, 0.33, new(0, 6));
        var land = Sketch.BoxOf(1.5, 0.35);
        sketch.Copper = [land, land.Transform(Affine2.Translation(0, 2)), Sketch.BoxOf(20, 20), land.Transform(Affine2.Translation(0, 6))];
        var layer = sketch.Shape(Sketch.Rule("reduce_width_mm = 0.05\nreduce_length_mm = 0.05"));
        Assert.Same(sketch.Context().Paste.Openings[reduced].Shape, layer.Openings[reduced].Parts[0].Design);
        foreach (var pad in (int[])[full, plane, half])
        {
            Assert.Equal(0.30, layer.Openings[pad].Parts[0].Design.Bounds.Height, 9);
            Assert.Equal(1.45, layer.Openings[pad].Parts[0].Design.Bounds.Width, 9);
        }
    }

    // Published land-pattern table: QFP of pitch 0.40, opening 0.19 mm wide.
    [Fact]
    public void Fine_pitch_openings_that_are_narrow_already_lose_no_width()
    {
        var sketch = new Sketch();
        var pads = Enumerable.Range(0, 5).Select(i => sketch.Box(1.2, 0.19, new(i * 0.4, 0), 90)).ToList();
        sketch.Part(PartClass.QuadFlat, new(0.8, -6), PadFunction.Terminal, pads, 0.4);
        var layer = sketch.Shape(RuleSet.Default);
        Assert.All(layer.Openings, o => Assert.Equal(0.19, o.Parts[0].Design.Bounds.Width, 9));
        Assert.All(layer.Openings, o => Assert.True(Sketch.AreaRatio(o.Parts[0].Design, 0.1016) > 0.66));
    }

    [Fact]
    public void Lands_under_a_body_keep_their_toe_and_lose_at_the_heel()
    {
        var sketch = new Sketch();
        var pads = (int[])[sketch.Box(0.8, 0.3, new(-2, 0.5)), sketch.Box(0.8, 0.3, new(2, 0.5)), sketch.Box(0.8, 0.3, new(-0.5, 2), 90), sketch.Box(0.8, 0.3, new(-0.5, -2), 90)];
        sketch.Part(PartClass.QuadNoLead, default, PadFunction.Terminal, pads, 0.5);
        var boxes = sketch.Shape(RuleSet.Default).Openings.Select(o => o.Parts[0].Design.Bounds).ToList();
        Same(new(-2.4, 0.36, -1.63, 0.64), boxes[0]);
        Same(new(1.63, 0.36, 2.4, 0.64), boxes[1]);
        Same(new(-0.64, 1.63, -0.36, 2.4), boxes[2]);
        Same(new(-0.64, -2.4, -0.36, -1.63), boxes[3]);
    }

    [Fact]
    public void Shapes_that_are_no_rectangle_fall_to_rules_for_any_shape_and_say_so()
    {
        var sketch = new Sketch();
        var corner = Contour.Polygon([new(0, 0), new(2, 0), new(2, 1), new(1, 1), new(1, 2), new(0, 2)]);
        var pad = sketch.Add(Region.Of(corner), new(3, 4), component: "U7");
        var rules = Sketch.Rules("""
            [[rule]]
            name = "panes"
            source = "test"
            [rule.match]
            reference = ["R?", "U*"]
            [rule.change]
            pane_coverage_percent = 60
            [[rule]]
            name = "smaller"
            source = "test"
            [rule.change]
            inset_mm = 0.1
            """);
        var layer = sketch.Shape(rules);
        var shaped = layer.Openings[pad];
        Assert.Equal("smaller", shaped.Rule);
        Assert.Contains("panes passed over", shaped.Change, StringComparison.Ordinal);
        // Offset inwards by 0.1: perimeter 8, five convex corners and one reflex one that is rounded by the disc.
        Assert.Equal(3 - 0.8 + (5 * 0.01) - (Math.PI * 0.01 / 4), shaped.Parts[0].Design.AreaMm2, 6);
        var note = Assert.Single(layer.Findings, f => f.Code == "DSN107");
        Assert.Equal(["a0001"], note.Apertures);
    }

    [Fact]
    public void A_hatched_pad_with_holes_is_left_alone_by_the_default_rules()
    {
        var sketch = new Sketch();
        var hole = new Contour([new(-0.5, -0.5), new(-0.5, 0.5), new(0.5, 0.5), new(0.5, -0.5)]);
        var pad = sketch.Add(new Region([Contour.Rectangle(new(-2, -2, 2, 2)), hole]), default);
        sketch.Part(PartClass.QuadNoLead, default, PadFunction.ThermalPad, [pad]);
        var shaped = sketch.Shape(RuleSet.Default).Openings[pad];
        Assert.Equal("none", shaped.Rule);
        Assert.Same(sketch.Context().Paste.Openings[pad].Shape, Assert.Single(shaped.Parts).Design);
    }

    [Fact]
    public void A_skipped_opening_is_not_cut_and_a_finding_names_it_and_its_place()
    {
        var sketch = new Sketch();
        sketch.Box(1, 0.5, new(1, 1));
        var skipped = sketch.Box(3, 3, new(9, 4));
        var layer = sketch.Shape(Sketch.Rule("skip = true", "width_mm = [2, 10]"));
        Assert.Empty(layer.Openings[skipped].Parts);
        var finding = Assert.Single(layer.Findings, f => f.Code == "DSN102");
        Assert.Equal((9.0, 4.0, Severity.Warning), (finding.XMm, finding.YMm, finding.Severity));
        Assert.Equal(["a0002"], finding.Apertures);
        Assert.Equal(2, finding.Source!.Value.Line);
        Assert.Equal(["a0001"], Design(sketch, layer).Openings.Select(o => o.Id));
    }

    [Fact]
    public void Panes_become_openings_of_their_own_with_their_share_of_the_artwork()
    {
        var sketch = new Sketch();
        sketch.Box(1, 0.5, new(20, 20));
        var pad = sketch.Box(3, 3, new(10, 10));
        sketch.Part(PartClass.QuadNoLead, new(10, 10), PadFunction.ThermalPad, [pad]);
        var layer = sketch.Shape(RuleSet.Default);
        var design = Design(sketch, layer);
        Assert.Equal(["a0001", "a0002p1", "a0002p2", "a0002p3", "a0002p4"], design.Openings.Select(o => o.Id));
        Assert.Equal(9, design.Openings.Skip(1).Sum(o => o.Artwork.AreaMm2), 9);
        Assert.All(design.Openings.Skip(1), o => Assert.Equal("thermal-pad-panes", o.Rule));
        Assert.Equal("rectangle 3.00 × 3.00 to 4 panes (2 × 2), 60 % of it (60 % wanted)", design.Openings[1].Change);
        Assert.Contains(design.Findings, f => f.Code == "DSN101" && f.Message.Contains("thermal-pad-panes 1", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(3)]
    [InlineData(12_345)]
    public void Findings_call_openings_by_the_design_s_names(int count)
    {
        var sketch = new Sketch();
        for (var i = 0; i < count; i++)
        {
            sketch.Box(0.5, 0.3, new(i % 100 * 0.8, i / 100 * 0.6));
        }

        var layer = sketch.Shape(Sketch.Rule("skip = true", "width_mm = [0.2, 0.4]"));
        var names = StencilDesigner.Design(BoardSide.Top, sketch.Context().Paste, null, JobSettings.Default, "T").Openings.Select(o => o.Id);
        Assert.Equal(names, Assert.Single(layer.Findings, f => f.Code == "DSN102").Apertures);
    }

    [Fact]
    public void Neighbours_move_apart_evenly_and_not_beyond_what_they_may_lose()
    {
        var sketch = new Sketch();
        // Gaps of 0.10 and 0.02 between boxes 0.4 wide.
        var pads = (int[])[sketch.Box(1, 0.4, new(0, 0), 90), sketch.Box(1, 0.4, new(0.5, 0), 90), sketch.Box(1, 0.4, new(0.92, 0), 90)];
        var layer = sketch.Shape(Sketch.Rule("corner_radius_mm = 0\nneighbour_web_mm = 0.15\nneighbour_loss_percent = 15"));
        var boxes = pads.Select(p => layer.Openings[p].Parts[0].Design.Bounds).ToList();
        Assert.Equal(-0.2, boxes[0].MinX, 9);
        Assert.Equal(1.12, boxes[2].MaxX, 9);
        // The middle one may lose 0.06 in all and is asked for 0.025 on one side and 0.065 on the other: the first makes up for it.
        Assert.Equal(0.34, boxes[1].Width, 6);
        Assert.Equal(0.34, boxes[2].Width, 6);
        Assert.Equal(0.15, boxes[1].MinX - boxes[0].MaxX, 6);
        var close = Assert.Single(layer.Findings, f => f.Code == "DSN106");
        Assert.Equal(["a0002", "a0003"], close.Apertures);
        Assert.Contains("moved back", layer.Openings[1].Change, StringComparison.Ordinal);
    }

    [Fact]
    public void Squares_that_grow_out_of_circles_keep_their_distance()
    {
        var sketch = new Sketch();
        var balls = Enumerable.Range(0, 16).Select(i => sketch.Disc(0.34, new(i % 4 * 0.45, i / 4 * 0.45))).ToList();
        sketch.Part(PartClass.GridArray, new(0.6, 0.6), PadFunction.Terminal, balls, 0.45);
        var layer = sketch.Shape(RuleSet.Default);
        for (var i = 0; i < 16; i++)
        {
            for (var j = i + 1; j < 16; j++)
            {
                Assert.True(RegionDistance.Between(layer.Openings[i].Parts[0].Design, layer.Openings[j].Parts[0].Design).DistanceMm > 0.15 - 1e-5);
            }
        }
    }

    [Fact]
    public void Round_openings_stay_two_arcs()
    {
        var sketch = new Sketch();
        var ball = sketch.Disc(0.8, new(3, 3));
        var pill = sketch.Box(2, 0.8, new(6, 3), 33, 0.4);
        var layer = sketch.Shape(Sketch.Rule("reduce_width_mm = 0.05\nreduce_length_mm = 0.05"));
        Assert.Equal(2, layer.Openings[ball].Parts[0].Design.Contours[0].Count);
        Assert.Equal(Math.PI * 0.375 * 0.375, layer.Openings[ball].Parts[0].Design.AreaMm2, 9);
        Assert.Equal(4, layer.Openings[pill].Parts[0].Design.Contours[0].Count);
        Assert.Equal("obround 0.80 × 2.00 to obround 0.75 × 1.95, area −8.3 %", layer.Openings[pill].Change);
    }

    [Fact]
    public void Circles_drawn_with_chords_are_circles_to_the_rules()
    {
        var sketch = new Sketch();
        var chords = Enumerable.Range(0, 32).Select(i => Math.SinCos(i * Math.PI / 16)).Select(t => new Point2(0.2 * t.Cos, 0.2 * t.Sin)).ToArray();
        var ball = sketch.Add(Region.Of(Contour.Polygon(chords)), default);
        Assert.StartsWith("circle 0.40 to circle 0.35", sketch.Shape(Sketch.Rule("reduce_width_mm = 0.05")).Openings[ball].Change, StringComparison.Ordinal);
    }

    [Fact]
    public void Panes_that_webs_make_narrow_grow_towards_the_pad_s_edge()
    {
        var sketch = new Sketch();
        var pad = sketch.Box(2.05, 2.05, default);
        sketch.Part(PartClass.QuadNoLead, default, PadFunction.ThermalPad, [pad]);
        var layer = sketch.Shape(RuleSet.Default);
        var panes = layer.Openings[pad].Parts;
        Assert.Equal("rectangle 2.05 × 2.05 to 4 panes (2 × 2), 60 % of it (60 % wanted)", layer.Openings[pad].Change);
        Assert.Equal(0.25, panes[1].Design.Bounds.MinX - panes[0].Design.Bounds.MaxX, 9);
        Assert.DoesNotContain(layer.Findings, f => f.Code == "DSN103");
    }

    [Fact]
    public void A_dense_field_of_holes_leaves_a_third_of_the_pad_and_says_so()
    {
        var sketch = new Sketch();
        var pad = sketch.Box(2.7, 2.7, default);
        sketch.Part(PartClass.QuadNoLead, default, PadFunction.ThermalPad, [pad]);
        sketch.Holes = [.. Enumerable.Range(0, 9).Select(i => new HoleCircle(new(((i % 3) - 1) * 0.9, ((i / 3) - 1) * 0.9), 0.3))];
        var layer = sketch.Shape(RuleSet.Default);
        Assert.InRange(layer.Openings[pad].Parts.Sum(p => p.Design.AreaMm2) / (2.7 * 2.7), 0.3, 0.4);
        Assert.Contains(layer.Findings, f => f.Code == "DSN103" && f.Message.Contains("instead of the 60 %", StringComparison.Ordinal));
    }

    private static StencilDesign Design(Sketch sketch, ShapedLayer layer) =>
        StencilDesigner.Design(BoardSide.Top, sketch.Context().Paste, null, JobSettings.Default, "T", shaped: layer);

    private static void Same(Bounds2 expected, Bounds2 actual)
    {
        Assert.Equal(expected.MinX, actual.MinX, 9);
        Assert.Equal(expected.MinY, actual.MinY, 9);
        Assert.Equal(expected.MaxX, actual.MaxX, 9);
        Assert.Equal(expected.MaxY, actual.MaxY, 9);
    }
}
