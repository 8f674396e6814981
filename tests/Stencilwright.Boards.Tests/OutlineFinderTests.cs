using Stencilwright.Artwork;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Boards.Tests;

public sealed class OutlineFinderTests
{
    private static LayerImage Pads => new LayerSketch().Pads(0, 0, 60, 40).Image("paste.gbr");

    [Fact]
    public void The_edge_is_the_middle_of_the_stroke()
    {
        foreach (var pen in (double[])[0, 0.1, 0.68, 2.25])
        {
            var search = OutlineFinder.Find(new LayerSketch().Box(0, 0, 60, 40, pen).Image(), [Pads]);
            Assert.NotNull(search.Outline);
            Assert.Equal(2400, search.Outline.AreaMm2, 1e-9);
            Assert.Equal(60, search.Outline.WidthMm, 1e-9);
            Assert.Empty(search.Findings);
        }
    }

    [Fact]
    public void Arcs_stay_arcs()
    {
        var round = new Contour([new(4, 0), new(56, 0, Quarter), new(60, 4), new(60, 36, Quarter), new(56, 40), new(4, 40, Quarter), new(0, 36), new(0, 4, Quarter)]);
        var outline = OutlineFinder.Find(new LayerSketch().Loop(round).Image(), [Pads]).Outline;
        Assert.NotNull(outline);
        Assert.Equal(4, outline.Shape.Contours[0].ToImmutableArray().Count(v => v.Bulge != 0));
        Assert.Equal(2400 - (16 * (4 - Math.PI)), outline.AreaMm2, 1e-9);
    }

    [Fact]
    public void A_filled_area_is_an_edge_too()
    {
        var outline = OutlineFinder.Find(new LayerSketch().Area(Contour.Rectangle(new(0, 0, 60, 40))).Image(), [Pads]).Outline;
        Assert.Equal(2400, outline!.AreaMm2, 1e-9);
    }

    [Fact]
    public void Holes_drawn_as_the_edge_is_are_cut_outs_even_with_their_mask_openings()
    {
        var sketch = new LayerSketch().Box(0, 0, 60, 40).Loop(Contour.Circle(new(4, 4), 1.5)).Loop(Contour.Rectangle(new(25, 1, 35, 4)));
        var mask = new LayerSketch().Pads(0, 0, 60, 40).Flash(4, 4, 3.2, 3.2).Image("mask.gbr");
        var outline = OutlineFinder.Find(sketch.Image(), [mask]).Outline!;
        Assert.Equal(2, outline.CutoutCount);
        Assert.Equal(2400 - 30 - (Math.PI * 2.25), outline.AreaMm2, 1e-9);
        Assert.All(outline.Shape.Contours.Skip(1), c => Assert.True(c.SignedAreaMm2 < 0));
    }

    [Fact]
    public void An_inner_line_round_pads_is_no_cut_out_and_is_reported()
    {
        var search = OutlineFinder.Find(new LayerSketch().Box(0, 0, 60, 40).Box(5, 5, 22, 22).Image(), [Pads]);
        Assert.Equal(0, search.Outline!.CutoutCount);
        Assert.Contains(search.Findings, f => f.Code == "BRD008" && f.Severity == Severity.Warning);
    }

    [Fact]
    public void The_board_is_taken_and_not_the_page_with_its_title_block()
    {
        var sketch = new LayerSketch()
            .Box(-100, -100, 197, 110, 0.15).Box(-98, -98, 195, 108, 0.15).Box(100, -98, 195, -70, 0.15)
            .Line(-50, -98, -50, -100, 0.15).Line(100, -80, 195, -80, 0.15)
            .Box(0, 0, 60, 40, 0.05);
        var search = OutlineFinder.Find(sketch.Image(), [Pads]);
        Assert.Equal(2400, search.Outline!.AreaMm2, 1e-9);
        var samePen = new LayerSketch().Box(-100, -100, 197, 110).Box(-98, -98, 195, 108).Line(-50, -98, -50, -100).Box(0, 0, 60, 40);
        Assert.Equal(2400, OutlineFinder.Find(samePen.Image(), [Pads]).Outline!.AreaMm2, 1e-9);
    }

    [Fact]
    public void A_plain_loop_of_another_pen_is_a_cut_out_and_said_so()
    {
        var sketch = new LayerSketch().Box(0, 0, 60, 40, 0.1).Loop(Contour.Circle(new(4, 4), 1.5), 0.2).Box(25, 1, 35, 4, 0.05);
        var search = OutlineFinder.Find(sketch.Image(), [Pads]);
        Assert.Equal(2, search.Outline!.CutoutCount);
        Assert.Equal(2400 - 30 - (Math.PI * 2.25), search.Outline.AreaMm2, 1e-9);
        var finding = Assert.Single(search.Findings);
        Assert.Equal(("BRD014", Severity.Warning), (finding.Code, finding.Severity));
        Assert.Contains("2 closed lines", finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Drawings_and_writing_in_another_pen_are_no_cut_outs()
    {
        var sketch = new LayerSketch().Box(0, 0, 60, 40, 0.1)
            .Box(25, 1, 35, 4, 0.2).Line(27, 2, 33, 2, 0.2) // A box with something inside.
            .Box(40, 1, 45, 4, 0.2).Line(45, 2, 50, 2, 0.2) // A box that a line is joined to.
            .Box(12, 12, 18, 18, 0.2) // Round a pad.
            .Box(55, 35, 65, 38, 0.2) // Across the edge.
            .Box(2, 36, 3, 38, 0.2).Line(3.5, 36, 3.5, 38, 0.2).Line(4, 36, 4, 38, 0.2); // A letter.
        var search = OutlineFinder.Find(sketch.Image(), [new LayerSketch().Pads(0, 0, 60, 40).Flash(15, 15).Image("paste.gbr")]);
        Assert.Equal(0, search.Outline!.CutoutCount);
        Assert.Equal(2400, search.Outline.AreaMm2, 1e-9);
        Assert.Equal("BRD010", Assert.Single(search.Findings).Code);
    }

    [Fact]
    public void A_loop_in_two_pens_is_one_cut_out()
    {
        var sketch = new LayerSketch().Box(0, 0, 60, 40, 0.1).Box(25, 1, 35, 4, 0.1).Box(25.01, 1.01, 34.99, 3.99, 0.2).Box(40, 1, 44, 4, 0.2).Box(40, 1, 44, 4, 0.3);
        var outline = OutlineFinder.Find(sketch.Image(), [Pads]).Outline!;
        Assert.Equal(2, outline.CutoutCount);
        Assert.Equal(2400 - 30 - 12, outline.AreaMm2, 1e-9);
    }

    [Fact]
    public void A_line_just_inside_the_edge_is_no_cut_out_when_no_pads_can_tell()
    {
        foreach (var pen in (double[])[0.1, 0.2])
        {
            var outline = OutlineFinder.Find(new LayerSketch().Box(0, 0, 60, 40, 0.1).Box(1, 1, 59, 39, pen).Image(), []).Outline!;
            Assert.Equal(2400, outline.AreaMm2, 1e-9);
        }
    }

    [Fact]
    public void A_page_s_frame_alone_is_no_board()
    {
        var doubled = new LayerSketch().Box(-100, -100, 197, 110).Box(-95, -95, 192, 105);
        for (var x = -50; x < 150; x += 50)
        {
            doubled.Line(x, -100, x, -95).Line(x, 105, x, 110);
        }

        var titled = new LayerSketch().Box(-100, -100, 187, 90).Line(100, -100, 100, -70).Line(100, -70, 187, -70);
        for (var x = 105; x < 180; x += 5)
        {
            titled.Line(x, -90, x + 2, -80);
        }

        var bare = new LayerSketch().Box(-100, -100, 187, 100);
        foreach (var sketch in (LayerSketch[])[doubled, titled, bare])
        {
            var search = OutlineFinder.Find(sketch.Image(), [Pads]);
            Assert.Null(search.Outline);
            var finding = Assert.Single(search.Findings);
            Assert.Equal("BRD001", finding.Code);
            Assert.Contains("page", finding.Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_large_board_with_few_pads_is_taken_with_a_warning()
    {
        var search = OutlineFinder.Find(new LayerSketch().Box(0, 0, 180, 120).Image(), [new LayerSketch().Pads(5, 5, 40, 30).Image("paste.gbr")]);
        Assert.Equal(21600, search.Outline!.AreaMm2, 1e-9);
        Assert.Equal("BRD015", Assert.Single(search.Findings).Code);
    }

    [Fact]
    public void Lines_with_the_profile_attribute_go_before_others()
    {
        var sketch = new LayerSketch().Box(1, 1, 59, 39, 0.1).Box(0, 0, 60, 40, 0.1, "Profile");
        Assert.Equal(2400, OutlineFinder.Find(sketch.Image(), [Pads]).Outline!.AreaMm2, 1e-9);
    }

    [Fact]
    public void Dimension_lines_that_close_with_the_edge_do_not_become_board()
    {
        var sketch = new LayerSketch().Box(0, 0, 60, 40).Line(0, 40, 0, 50).Line(60, 40, 60, 50).Line(0, 48, 60, 48);
        var search = OutlineFinder.Find(sketch.Image(), [Pads]);
        Assert.Equal(2400, search.Outline!.AreaMm2, 1e-9);
        Assert.Contains(search.Findings, f => f.Code == "BRD009");
        Assert.Contains(search.Findings, f => f.Code == "BRD010");
    }

    [Fact]
    public void A_score_line_across_the_board_does_not_halve_it()
    {
        var outline = OutlineFinder.Find(new LayerSketch().Box(0, 0, 60, 40).Line(31, 0, 31, 40).Image(), [Pads]).Outline!;
        Assert.Equal(2400, outline.AreaMm2, 1e-9);
    }

    [Fact]
    public void A_panel_of_separate_boards_gives_every_board()
    {
        var (outline, paste) = (new LayerSketch(), new LayerSketch());
        for (var i = 0; i < 3; i++)
        {
            outline.Box(i * 65, 0, (i * 65) + 60, 40);
            paste.Pads(i * 65, 0, (i * 65) + 60, 40);
        }

        var search = OutlineFinder.Find(outline.Image(), [paste.Image("paste.gbr")]);
        Assert.Equal(3, search.Outline!.Shape.Contours.Length);
        Assert.Equal(7200, search.Outline.AreaMm2, 1e-9);
        Assert.Contains(search.Findings, f => f.Code == "BRD006");
    }

    [Fact]
    public void Rails_round_a_panel_are_the_edge()
    {
        var outline = new LayerSketch().Box(-5, -5, 130, 45).Box(0, 0, 60, 40).Box(65, 0, 125, 40);
        var paste = new LayerSketch().Pads(0, 0, 60, 40).Pads(65, 0, 125, 40);
        var search = OutlineFinder.Find(outline.Image(), [paste.Image("paste.gbr")]);
        Assert.Equal(135 * 50, search.Outline!.AreaMm2, 1e-9);
        Assert.Contains(search.Findings, f => f.Code == "BRD007");
    }

    [Fact]
    public void An_edge_drawn_only_on_paste_and_mask_is_found_there()
    {
        var paste = new LayerSketch().Box(0, 0, 60, 40, 0.13).Pads(0, 0, 60, 40).Line(10, 50, 20, 50).Image("paste.gbr");
        var mask = new LayerSketch().Pads(0, 0, 60, 40).Box(0, 0, 60, 40, 0.2).Image("mask.gbr");
        foreach (var given in (LayerImage?[])[null, new LayerSketch().Image("empty.gbr")])
        {
            var search = OutlineFinder.Find(given, [paste, mask]);
            Assert.Equal(2400, search.Outline!.AreaMm2, 1e-9);
            Assert.Equal("paste.gbr", search.Outline.File);
            Assert.Contains(search.Findings, f => f.Code == "BRD003");
        }
    }

    [Fact]
    public void Without_any_edge_a_warning_says_what_to_do()
    {
        var search = OutlineFinder.Find(null, [Pads]);
        Assert.Null(search.Outline);
        Assert.Equal("BRD001", Assert.Single(search.Findings).Code);
    }

    [Fact]
    public void Ends_that_overshoot_a_corner_or_stop_just_short_of_a_side_still_close()
    {
        // Corner notch drawn as a board editor left it: 20 µm overshoot, 1 µm and 14 µm misses.
        var sketch = new LayerSketch().Line(0, 0, 60, 0).Line(60, -0.02, 60, 40.001).Line(60.0007, 40, -0.02, 40).Line(0, 40.014, 0, 0.0011);
        var search = OutlineFinder.Find(sketch.Image(), [Pads]);
        Assert.Equal(2400, search.Outline!.AreaMm2, 0.1);
        Assert.DoesNotContain(search.Findings, f => f.Severity != Severity.Note);
    }

    [Fact]
    public void A_curve_of_thousands_of_short_lines_is_one_loop()
    {
        var sketch = new LayerSketch();
        const int n = 6000;
        for (var i = 0; i < n; i++)
        {
            Point2 At(int k) => new(30 + (35 * Math.Cos(2 * Math.PI * k / n)), 20 + (35 * Math.Sin(2 * Math.PI * k / n)));
            sketch.Stroke(new Segment(At(i), At(i + 1), 0), 0);
        }

        var outline = OutlineFinder.Find(sketch.Image(), [Pads]).Outline!;
        Assert.Equal(35 * 35 * n * Math.Sin(2 * Math.PI / n) / 2, outline.AreaMm2, 1e-6);
    }

    [Fact]
    public void Layers_that_do_not_lie_on_the_board_are_reported()
    {
        var far = new LayerSketch().Pads(200, 0, 260, 40).Pads(205, 5, 255, 35).Image("paste.gbr");
        var near = new LayerSketch().Flash(30, 20).Flash(20, 20).Image("mask.gbr");
        var search = OutlineFinder.Find(new LayerSketch().Box(0, 0, 60, 40).Image(), [far, near]);
        Assert.NotNull(search.Outline);
        Assert.Contains(search.Findings, f => f.Code == "BRD013");
    }

    private static double Quarter => Math.Tan(Math.PI / 8);
}
