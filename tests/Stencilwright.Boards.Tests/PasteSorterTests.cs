using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Boards.Tests;

public sealed class PasteSorterTests
{
    private static readonly BoardOutline Board = new(Region.Of(Contour.Rectangle(new(0, 0, 60, 40))), "outline.gbr", "drawn");

    [Fact]
    public void Openings_over_a_cut_out_are_cut_and_reported()
    {
        var edge = new LayerSketch().Box(0, 0, 60, 40).Box(25, 10, 35, 20).Image("edge.gbr");
        var pads = new LayerSketch().Flash(30, 15, 1, 1).Flash(25, 18, 1, 1).Flash(24.5, 12, 1, 1).Flash(10, 10, 1, 1).Image("paste.gbr");
        var outline = OutlineFinder.Find(edge, [new LayerSketch().Pads(0, 0, 20, 40).Image("mask.gbr")]).Outline;
        Assert.Equal(1, outline!.CutoutCount);
        var sorted = PasteSorter.Sort(pads, outline);
        Assert.Equal(4, sorted.Openings.Length);
        var finding = Assert.Single(sorted.Findings);
        Assert.Equal("BRD027", finding.Code);
        Assert.StartsWith("2 painted parts", finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Pads_become_openings_in_the_artworks_order_with_place_and_name()
    {
        var paste = new LayerSketch().Flash(30, 20, 1, 0.5, "R7", "2").Flash(10, 10, 0.5, 1).Flash(50, 5).Image("paste.gbr");
        var sorted = PasteSorter.Sort(paste, Board);
        Assert.Equal([30.0, 10, 50], sorted.Openings.Select(o => Math.Round(o.Shape.Centroid.X, 9)));
        Assert.Equal(("R7", "2"), (sorted.Openings[0].Component, sorted.Openings[0].Pin));
        Assert.Equal([0.0, 90, 0], sorted.Openings.Select(o => o.RotationDeg));
        Assert.Equal(new SourcePlace("paste.gbr", 1, 2), sorted.Openings[1].Place);
        Assert.Empty(sorted.SetAside);
        Assert.Empty(sorted.Findings);
    }

    [Fact]
    public void Nothing_is_lost_every_island_is_an_opening_or_set_aside()
    {
        var paste = Mixed().Image("paste.gbr");
        var sorted = PasteSorter.Sort(paste, Board);
        Assert.Equal(paste.Islands.Length, sorted.Openings.Length + sorted.SetAside.Length);
        Assert.Equal(paste.PaintedAreaMm2, sorted.Openings.Sum(o => o.Shape.AreaMm2) + sorted.SetAside.Sum(s => s.Shape.AreaMm2), 1e-9);
        Assert.All(Enum.GetValues<SetAsideReason>(), reason => Assert.Contains(sorted.SetAside, s => s.Reason == reason));
        Assert.Equal(25, sorted.Openings.Length);
    }

    [Fact]
    public void Frames_and_notes_outside_the_board_are_set_aside_in_one_finding()
    {
        var paste = new LayerSketch().Pads(0, 0, 60, 40).Box(-50, -50, 200, 150, 0.15).Flash(100, 20).Image("paste.gbr");
        var sorted = PasteSorter.Sort(paste, Board);
        Assert.Equal(25, sorted.Openings.Length);
        Assert.All(sorted.SetAside, s => Assert.Equal(SetAsideReason.OutsideOutline, s.Reason));
        Assert.StartsWith("2 ", Assert.Single(sorted.Findings, f => f.Code == "BRD021").Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_pad_across_the_edge_is_cut_and_reported_and_one_that_ends_at_it_is_not_reported()
    {
        var across = PasteSorter.Sort(new LayerSketch().Flash(0.1, 20, 1, 1).Image(), Board);
        Assert.Single(across.Openings);
        Assert.Equal(Severity.Warning, Assert.Single(across.Findings, f => f.Code == "BRD024").Severity);
        var flush = PasteSorter.Sort(new LayerSketch().Flash(0.5, 20, 1, 1).Image(), Board);
        Assert.Single(flush.Openings);
        Assert.Empty(flush.Findings);
    }

    [Fact]
    public void A_hatched_pad_is_an_opening()
    {
        var sketch = new LayerSketch();
        for (var i = 0; i < 40; i++)
        {
            sketch.Line(10, 10 + (i * 0.06), 12, 10 + (i * 0.06), 0.0675);
        }

        var opening = Assert.Single(PasteSorter.Sort(sketch.Image(), Board).Openings);
        Assert.True(opening.Shape.AreaMm2 > 4.5);
    }

    [Fact]
    public void Finger_pads_of_one_stroke_and_balls_of_a_drawn_circle_are_openings()
    {
        var sketch = new LayerSketch();
        for (var i = 0; i < 10; i++)
        {
            sketch.Line(10 + (i * 0.5), 10, 10 + (i * 0.5), 11.2, 0.25);
            sketch.Loop(Contour.Circle(new(20 + (i * 0.8), 20), 0.1), 0.2);
        }

        var sorted = PasteSorter.Sort(sketch.Image(), Board);
        Assert.Equal(20, sorted.Openings.Length);
        Assert.Equal(90, sorted.Openings[0].RotationDeg);
        Assert.Empty(sorted.Findings);
    }

    [Fact]
    public void Writing_is_set_aside_with_its_straight_letters_and_dots()
    {
        // L I . O : two strokes, one stroke, a dot, a ring.
        var sketch = new LayerSketch().Pads(0, 0, 60, 40)
            .Line(3, 3, 3, 4, 0.15).Line(3, 3, 3.6, 3, 0.15)
            .Line(4.2, 3, 4.2, 4, 0.15)
            .Line(4.8, 3, 4.8, 3, 0.15)
            .Loop(Contour.Circle(new(5.8, 3.5), 0.5), 0.15);
        var sorted = PasteSorter.Sort(sketch.Image(), Board);
        Assert.Equal(25, sorted.Openings.Length);
        Assert.Equal(4, sorted.SetAside.Count(s => s.Reason == SetAsideReason.Writing));
        Assert.Single(sorted.Findings);
    }

    [Fact]
    public void A_pad_that_touches_the_edges_stroke_is_cut_free_of_it()
    {
        var sketch = new LayerSketch().Box(0, 0, 60, 40, 0.2).Flash(0.5, 20, 1, 2).Flash(30, 20);
        var sorted = PasteSorter.Sort(sketch.Image(), Board);
        Assert.Equal([2, 0.25], sorted.Openings.Select(o => Math.Round(o.Shape.AreaMm2, 9)));
        Assert.Equal(SetAsideReason.OutlineStroke, Assert.Single(sorted.SetAside).Reason);
        Assert.Contains(sorted.Findings, f => f.Code == "BRD025");
    }

    [Fact]
    public void An_empty_layer_is_reported()
    {
        var sorted = PasteSorter.Sort(new LayerSketch().Image("empty.gbr"), Board);
        Assert.Empty(sorted.Openings);
        Assert.Equal("BRD020", Assert.Single(sorted.Findings).Code);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(30)]
    [InlineData(45)]
    [InlineData(90)]
    [InlineData(-22.5)]
    [InlineData(-89.5)]
    public void The_long_side_turns_with_the_pad(double degrees)
    {
        var turn = Affine2.Translation(30, 20) * Affine2.RotationDegrees(degrees);
        Contour Turned(params Point2[] points) => Contour.Polygon([.. points.Select(turn.Apply)]);
        Contour[] shapes = [
            Turned(new(-1, -0.3), new(1, -0.3), new(1, 0.3), new(-1, 0.3)),
            Turned(new(-1, -0.3), new(0.7, -0.3), new(1, 0), new(0.7, 0.3), new(-1, 0.3)),
            Turned([.. Enumerable.Range(0, 200).Select(i => new Point2(Math.Cos(Math.PI * i / 100), 0.4 * Math.Sin(Math.PI * i / 100)))])];
        Assert.All(shapes, shape => Assert.Equal(degrees, PasteSorter.Sort(new LayerSketch().Area(shape).Image(), Board).Openings[0].RotationDeg, 0.06));
    }

    [Fact]
    public void Round_and_square_pads_have_no_turn()
    {
        var sketch = new LayerSketch().Area(Contour.Circle(new(10, 10), 0.4)).Flash(20, 20);
        Assert.All(PasteSorter.Sort(sketch.Image(), Board).Openings, o => Assert.Equal(0, o.RotationDeg));
    }

    private static LayerSketch Mixed() => new LayerSketch().Pads(0, 0, 60, 40).Box(0, 0, 60, 40, 0.15).Box(-50, -50, 200, 150, 0.15)
        .Line(3, 3, 3, 4, 0.15).Line(3, 3, 3.6, 3, 0.15);
}
