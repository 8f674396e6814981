using Stencilwright.Boards.Checks;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>Panels made of a known board, and boards that only look like panels.</summary>
public sealed class PanelTests
{
    private const double W = SketchBoard.WidthMm;
    private const double H = SketchBoard.HeightMm;

    [Theory]
    [InlineData(2, 1)]
    [InlineData(1, 3)]
    [InlineData(4, 3)]
    public void Separate_outlines_of_one_shape_are_a_panel(int columns, int rows)
    {
        var (paste, outline) = Loops(columns, rows, 45, 33, _ => 0);
        var panel = PanelFinder.Find(outline, null, paste, null)!;
        Assert.Equal((columns * rows, columns, rows), (panel.Copies, panel.Columns, panel.Rows));
        Assert.Equal((columns > 1 ? 45 : 0, rows > 1 ? 33 : 0), (panel.StepXMm, panel.StepYMm));
        Assert.Equal((W, H), (panel.BoardWidthMm, panel.BoardHeightMm));
        Assert.False(panel.HasTurnedCopies);
        AssertOneBoard(panel, paste, outline);
    }

    [Fact]
    public void Copies_may_be_turned_against_one_another()
    {
        var (paste, outline) = Loops(2, 2, 45, 45, i => i switch { 1 => 180, 2 => 90, 3 => -90, _ => 0 });
        var panel = PanelFinder.Find(outline, null, paste, null)!;
        Assert.Equal((4, 2, 2, true), (panel.Copies, panel.Columns, panel.Rows, panel.HasTurnedCopies));
        AssertOneBoard(panel, paste, outline);
    }

    [Fact]
    public void A_panel_with_a_place_left_empty_is_counted_right()
    {
        var (paste, outline) = Loops(3, 2, 45, 33, _ => 0);
        outline = outline with { Shape = new Region(outline.Shape.Contours.RemoveAt(5)) };
        paste = paste with { Openings = [.. paste.Openings.Where(o => o.Shape.Bounds.MinX < 90 || o.Shape.Bounds.MinY < 33)] };
        var panel = PanelFinder.Find(outline, null, paste, null)!;
        Assert.Equal((5, 3, 2), (panel.Copies, panel.Columns, panel.Rows));
        Assert.Contains("5 places taken", panel.Describe(), StringComparison.Ordinal);
    }

    [Fact]
    public void Two_different_boards_of_one_outline_are_no_panel_of_one()
    {
        var (first, outline) = Loops(2, 1, 45, 33, _ => 0);
        var other = Openings(new SketchBoard(77), Affine2.Translation(45, 0));
        var mixed = first with { Openings = [.. first.Openings.Where(o => o.Shape.Bounds.MinX < 42), .. other] };
        Assert.Null(PanelFinder.Find(outline, null, mixed, null));
    }

    [Theory]
    [InlineData(3, 2, 0)]
    [InlineData(2, 1, 0)]
    [InlineData(3, 2, 2)]
    public void Boards_parted_by_lines_within_one_outline_are_a_panel(int columns, int rows, double gap)
    {
        var (paste, outline, lines) = Scored(columns, rows, gap);
        var panel = PanelFinder.Find(outline, lines.Painted(), paste, null)!;
        Assert.Equal((columns, rows), (panel.Columns, panel.Rows));
        Assert.Equal((W + gap, rows > 1 ? H + gap : 0), (panel.StepXMm, panel.StepYMm));
        Assert.Equal((W, H), (panel.BoardWidthMm, panel.BoardHeightMm));
        AssertOneBoard(panel, paste, outline);
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(5, 5)]
    [InlineData(3, 0)]
    public void Boards_within_one_outline_may_be_turned_and_have_rails(double rail, double gap)
    {
        var openings = Openings(new SketchBoard(3), Affine2.Translation(rail, 0))
            .Concat(Openings(new SketchBoard(3), Affine2.Translation(rail + W + gap + W, H) * Affine2.RotationDegrees(180)));
        var width = (2 * (rail + W)) + gap;
        var lines = new SketchLayer("outline.gbr").Line(0, 0, width, 0);
        foreach (var x in new[] { rail, rail + W, rail + W + gap, width - rail })
        {
            lines.Line(x, 0, x, H);
        }

        var outline = new BoardOutline(Region.Of(Contour.Rectangle(new(0, 0, width, H))), "outline.gbr", "drawn");
        var panel = PanelFinder.Find(outline, lines.Painted(), Paste(openings), null)!;
        Assert.Equal((2, 1, true), (panel.Columns, panel.Rows, panel.HasTurnedCopies));
        Assert.Equal((W + gap, W, H), (panel.StepXMm, panel.BoardWidthMm, panel.BoardHeightMm));
        AssertOneBoard(panel, Paste(openings), outline);
    }

    [Fact]
    public void A_line_across_a_single_board_makes_no_panel_of_it()
    {
        var board = new SketchBoard(3);
        var lines = new SketchLayer("outline.gbr").Line(W / 2, 0, W / 2, H).Line(0, H / 2, W, H / 2);
        Assert.Null(PanelFinder.Find(new BoardOutline(board.Edge, "outline.gbr", "drawn"), lines.Painted(), Paste(Openings(board, Affine2.Identity)), null));
    }

    [Fact]
    public void Another_board_on_the_panel_is_not_left_out_silently()
    {
        var (paste, outline) = Loops(3, 1, 45, 33, _ => 0);
        var other = Openings(new SketchBoard(77), Affine2.Translation(90, 0));
        Assert.Null(PanelFinder.Find(outline, null, paste with { Openings = [.. paste.Openings.Where(o => o.Shape.Bounds.MinX < 87), .. other] }, null));
    }

    [Fact]
    public void Boards_parted_by_cut_outs_are_a_panel()
    {
        var (paste, outline, _) = Scored(3, 1, 2);
        var slots = Enumerable.Range(1, 2).Select(i => Contour.Rectangle(new((i * (W + 2)) - 2, 1, i * (W + 2), H - 1)).Reversed());
        outline = outline with { Shape = new Region([.. outline.Shape.Contours, .. slots]) };
        var panel = PanelFinder.Find(outline, null, paste, null)!;
        Assert.Equal((3, 1, W), (panel.Columns, panel.Rows, panel.BoardWidthMm));
    }

    [Fact]
    public void Repeats_that_nothing_parts_are_repeated_parts()
    {
        var (paste, outline, _) = Scored(3, 2, 2);
        Assert.Null(PanelFinder.Find(outline, null, paste, null));
    }

    [Fact]
    public void Repeats_with_something_left_over_are_repeated_parts()
    {
        var (paste, outline, lines) = Scored(3, 2, 2);
        var connector = Openings(new SketchBoard(9, parts: 10), Affine2.Translation(3, 2));
        Assert.Null(PanelFinder.Find(outline, lines.Painted(), paste with { Openings = [.. paste.Openings, .. connector] }, null));
    }

    [Fact]
    public void A_single_board_is_no_panel()
    {
        var board = new SketchBoard(3);
        Assert.Null(PanelFinder.Find(new BoardOutline(board.Edge, "outline.gbr", "drawn"), board.OutlineLayer.Painted(), Paste(Openings(board, Affine2.Identity)), null));
        Assert.Null(PanelFinder.Find(null, null, null, null));
    }

    [Fact]
    public void The_check_of_all_layers_says_so()
    {
        var (paste, outline) = Loops(2, 3, 45, 33, _ => 0);
        var report = CrossChecks.Run(new BoardLayers { Outline = outline, Top = new CheckedSide { Paste = paste } });
        Assert.NotNull(report.Panel);
        Assert.Contains("2 × 3 boards of 40 mm × 30 mm (45 mm from column to column and 33 mm from row to row", Assert.Single(report.Board).Finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void From_the_drawn_lines_to_one_board()
    {
        var (paste, _, lines) = Scored(3, 2, 0);
        lines.Line(0, 0, 3 * W, 0).Line(3 * W, 0, 3 * W, 2 * H).Line(3 * W, 2 * H, 0, 2 * H).Line(0, 2 * H, 0, 0);
        var drawn = new SketchLayer("paste.gbr");
        foreach (var opening in paste.Openings)
        {
            drawn.Add(opening.Shape, Stencilwright.Artwork.PaintKind.Flash);
        }

        var outline = OutlineFinder.Find(lines.Image(), [drawn.Image()]).Outline!;
        var sorted = PasteSorter.Sort(drawn.Image(), outline);
        var panel = CrossChecks.Run(new BoardLayers { Outline = outline, OutlineArtwork = lines.Painted(), Top = new CheckedSide { Paste = sorted } }).Panel!;
        Assert.Equal((3, 2, W, H), (panel.Columns, panel.Rows, panel.StepXMm, panel.StepYMm));
        var (kept, edge) = panel.OneBoard(sorted, outline);
        Assert.Equal(50, kept.Openings.Length);
        Assert.Equal(W * H, edge.AreaMm2, 3);
    }

    private static void AssertOneBoard(PanelLayout panel, PasteLayer paste, BoardOutline outline)
    {
        var (kept, edge) = panel.OneBoard(paste, outline);
        Assert.Equal(paste.Openings.Length / panel.Copies, kept.Openings.Length);
        Assert.Equal(W * H, edge.AreaMm2, 6);
        Assert.All(kept.Openings, o => Assert.True(edge.Shape.Bounds.Contains(o.Shape.Bounds)));
        // The very openings, not copies of them.
        Assert.All(kept.Openings, o => Assert.Contains(o, paste.Openings));
    }

    private static (PasteLayer Paste, BoardOutline Outline) Loops(int columns, int rows, double stepX, double stepY, Func<int, double> turnOf)
    {
        var openings = new List<PasteOpening>();
        var loops = new List<Contour>();
        for (var i = 0; i < columns * rows; i++)
        {
            var map = Affine2.Translation((stepX * (i % columns)) + (W / 2), (stepY * (i / columns)) + (W / 2))
                * Affine2.RotationDegrees(turnOf(i)) * Affine2.Translation(-W / 2, -H / 2);
            openings.AddRange(Openings(new SketchBoard(3), map));
            loops.Add(new SketchBoard(3).Edge.Transform(map).Contours[0]);
        }

        return (Paste(openings), new BoardOutline(new Region([.. loops]), "outline.gbr", "drawn"));
    }

    private static (PasteLayer Paste, BoardOutline Outline, SketchLayer Lines) Scored(int columns, int rows, double gap)
    {
        var openings = new List<PasteOpening>();
        for (var i = 0; i < columns * rows; i++)
        {
            openings.AddRange(Openings(new SketchBoard(3), Affine2.Translation((W + gap) * (i % columns), (H + gap) * (i / columns))));
        }

        var (width, height) = ((columns * (W + gap)) - gap, (rows * (H + gap)) - gap);
        var lines = new SketchLayer("outline.gbr");
        for (var i = 1; i < columns; i++)
        {
            lines.Line((i * (W + gap)) - gap, 0, (i * (W + gap)) - gap, height).Line(i * (W + gap), 0, i * (W + gap), height);
        }

        for (var i = 1; i < rows; i++)
        {
            lines.Line(0, (i * (H + gap)) - gap, width, (i * (H + gap)) - gap).Line(0, i * (H + gap), width, i * (H + gap));
        }

        return (Paste(openings), new BoardOutline(Region.Of(Contour.Rectangle(new(0, 0, width, height))), "outline.gbr", "drawn"), lines);
    }

    private static IEnumerable<PasteOpening> Openings(SketchBoard board, Affine2 map) =>
        board.TopPaste.Objects.Select((o, i) => new PasteOpening { Shape = o.Shape.Transform(map), Place = new SourcePlace("paste.gbr", i + 1, 1) });

    private static PasteLayer Paste(IEnumerable<PasteOpening> openings) => new() { Openings = [.. openings], SetAside = [], Findings = [] };
}
