using Stencilwright.Artwork;
using Stencilwright.Boards.Checks;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>Each fault, planted alone on a good board, is named by its own code and by no other.</summary>
public sealed class PlantedFaultTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    public void A_good_board_gives_nothing(int seed) => Assert.Equal("", Codes(new SketchBoard(seed)));

    [Fact]
    public void An_opening_across_the_edge_is_named_with_its_share()
    {
        var board = new SketchBoard();
        WithPad(board, 40.1, 15, 1, 1);
        var (finding, openings) = Only(board.Check().Top, "BRD160");
        // 0.9 mm of paste about x = 40.1: from 39.65 to 40.55, so 0.55 of 0.9 lie beyond 40.
        Assert.Contains("61 %", finding.Message, StringComparison.Ordinal);
        Assert.Equal([50], openings);
        Assert.Equal((40.1, 15), (finding.XMm!.Value, finding.YMm!.Value));
        Assert.Equal("BRD160", Codes(board));
    }

    [Fact]
    public void An_opening_over_a_cut_out_is_named()
    {
        var board = new SketchBoard();
        var pad = board.Top[7];
        board.Edge = new Region([board.Edge.Contours[0], Contour.Circle(new(pad.X, pad.Y), 0.1).Reversed()]);
        Assert.Equal([7], Only(board.Check().Top, "BRD161").Openings);
        Assert.Equal("BRD161", Codes(board, bottomToo: false));
    }

    [Fact]
    public void An_opening_without_copper_is_named()
    {
        var board = new SketchBoard();
        board.TopCopper.Objects.RemoveAt(11);
        Assert.Equal([11], Only(board.Check().Top, "BRD162").Openings);
        Assert.Equal("BRD162", Codes(board));
    }

    [Fact]
    public void Copper_cleared_away_later_does_not_count()
    {
        var board = new SketchBoard();
        board.TopCopper.Rectangle(board.Top[3].X, board.Top[3].Y, 1.5, 1.5, isDark: false);
        Assert.Contains(3, Only(board.Check().Top, "BRD162").Openings);
    }

    [Fact]
    public void A_pour_with_its_pads_cut_free_and_painted_again_counts()
    {
        var board = new SketchBoard();
        var poured = new SketchLayer("copper-top.gbr").Rectangle(20, 15, 39, 29);
        foreach (var pad in board.Top)
        {
            poured.Rectangle(pad.X, pad.Y, pad.Width + 0.3, pad.Height + 0.3, isDark: false);
        }

        poured.Objects.AddRange(board.TopCopper.Objects.Select(o => o with { SourceOffset = 1000 + o.SourceOffset }));
        board.TopCopper = poured;
        Assert.Equal("", Codes(board));
    }

    [Fact]
    public void An_opening_larger_than_its_pad_is_named_with_its_share()
    {
        var board = new SketchBoard();
        var pad = board.Top[5];
        board.TopCopper.Objects[5] = new SketchLayer("").Rectangle(pad.X - (pad.Width / 4), pad.Y, pad.Width / 2, pad.Height).Objects[0];
        var (finding, openings) = Only(board.Check().Top, "BRD163");
        // Paste spans 0.9 of the width about the middle; copper ends in the middle: one half lies beside it.
        Assert.Contains("50 %", finding.Message, StringComparison.Ordinal);
        Assert.Equal([5], openings);
        Assert.Equal("BRD163", Codes(board));
    }

    [Fact]
    public void An_opening_on_mask_is_named()
    {
        var board = new SketchBoard();
        board.TopMask.Objects.RemoveAt(20);
        Assert.Equal([20], Only(board.Check().Top, "BRD164").Openings);
        Assert.Equal("BRD164", Codes(board));
    }

    [Fact]
    public void An_opening_larger_than_its_mask_opening_is_named()
    {
        var board = new SketchBoard();
        var pad = board.Top[20];
        board.TopMask.Objects[20] = new SketchLayer("").Rectangle(pad.X, pad.Y + (pad.Height / 4), pad.Width, pad.Height / 2).Objects[0];
        Assert.Equal([20], Only(board.Check().Top, "BRD165").Openings);
        Assert.Equal("BRD165", Codes(board));
    }

    [Fact]
    public void A_mask_drawn_as_the_mask_is_read_that_way_round()
    {
        var board = new SketchBoard();
        board.TopMask = Inverted(board.TopMask);
        Assert.Equal("BRD166", Codes(board));
    }

    [Fact]
    public void Faults_on_a_mask_drawn_as_the_mask_are_the_same()
    {
        var board = new SketchBoard();
        board.TopMask.Objects.RemoveAt(20);
        board.TopMask = Inverted(board.TopMask);
        Assert.Equal([20], Only(board.Check().Top, "BRD164").Openings);
        Assert.Equal("BRD164 BRD166", Codes(board));
    }

    [Theory]
    [InlineData(0.3, true, 0.15, "BRD167")]
    [InlineData(0.3, true, 0, "BRD167")]
    [InlineData(0.9, true, 0.1, "BRD168")]
    [InlineData(0.3, false, 0, "BRD169")]
    [InlineData(0.3, null, 0.15, "BRD167")]
    public void A_hole_under_an_opening_is_named_by_its_kind(double drill, bool? isPlated, double aside, string code)
    {
        var board = new SketchBoard();
        var pad = board.Top[9];
        board.Via(pad.X + aside, pad.Y, drill, isPlated);
        Assert.Contains(9, Only(board.Check().Top, code).Openings);
        Assert.Equal(code, Codes(board, bottomToo: false));
    }

    [Fact]
    public void Paste_exported_on_vias_is_told_from_vias_in_pads()
    {
        var board = new SketchBoard();
        foreach (var hole in board.Holes)
        {
            board.TopPaste.Circle(hole.At.X, hole.At.Y, 0.6);
            board.TopMask.Circle(hole.At.X, hole.At.Y, 0.65);
        }

        Assert.Equal(Enumerable.Range(50, 9), Only(board.Check().Top, "BRD178").Openings);
        Assert.Equal("BRD178", Codes(board));
    }

    [Fact]
    public void A_hole_that_only_touches_an_opening_is_none()
    {
        var board = new SketchBoard();
        var pad = board.Top[9];
        board.Via(pad.X + (0.45 * pad.Width) + 0.15 - 0.01, pad.Y);
        Assert.Equal("", Codes(board, bottomToo: false));
    }

    [Fact]
    public void A_slot_under_an_opening_is_found_by_its_middle()
    {
        var board = new SketchBoard();
        var pad = board.Top[9];
        board.Holes.Add(new BoardHole(new(pad.X - 2, pad.Y), 0.8, true, default) { SlotEnd = new(pad.X + 2, pad.Y) });
        Assert.Contains(9, Only(board.Check().Top, "BRD168").Openings);
    }

    [Theory]
    [InlineData(1, 0, 0, 1, 0.4, 0, "moved by -0.4 mm in x and 0 mm in y")]
    [InlineData(1, 0, 0, 1, 12, -7.5, "moved by -12 mm in x and 7.5 mm in y")]
    [InlineData(-1, 0, 0, 1, 0, 0, "mirrored left to right:")]
    [InlineData(-1, 0, 0, 1, 40, 0, "mirrored left to right and then moved by 40 mm in x")]
    [InlineData(1, 0, 0, -1, 0, 30, "mirrored top to bottom and then moved by 0 mm in x and 30 mm in y")]
    [InlineData(-1, 0, 0, -1, 40, 30, "turned by 180°")]
    [InlineData(0, -1, 1, 0, 30, 0, "turned by 90° clockwise")]
    [InlineData(0, 1, -1, 0, 0, 40, "turned by 90° counter-clockwise")]
    [InlineData(25.4, 0, 0, 25.4, 0, 0, "reduced 25.4 times")]
    [InlineData(0.03937007874015748, 0, 0, 0.03937007874015748, 0, 0, "enlarged 25.4 times")]
    public void A_paste_layer_that_lies_wrong_is_told_how_to_lie_right(double xx, double xy, double yx, double yy, double x0, double y0, string words)
    {
        var board = new SketchBoard();
        board.TopPaste = board.TopPaste.Mapped(new Affine2(xx, xy, x0, yx, yy, y0));
        var report = board.Check();
        Assert.Contains(words, Only(report.Top, "BRD170").Finding.Message, StringComparison.Ordinal);
        Assert.Contains(words, Only(report.Top, "BRD171").Finding.Message, StringComparison.Ordinal);
        Assert.Equal("BRD170 BRD171", Codes(board));
    }

    [Fact]
    public void A_step_below_a_twentieth_of_a_millimetre_is_rounding()
    {
        var board = new SketchBoard();
        board.TopPaste = board.TopPaste.Mapped(Affine2.Translation(0.02, -0.02));
        Assert.DoesNotContain("BRD17", Codes(board), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, 5, 0, "moved by -5 mm in x and 0 mm in y")]
    [InlineData(10, 0, 0, "reduced 10 times")]
    [InlineData(0.01, 0, 0, "enlarged 100 times")]
    [InlineData(25.4, 0, 0, "reduced 25.4 times")]
    public void Holes_that_lie_wrong_are_told_how_to_lie_right(double scale, double x, double y, string words)
    {
        var board = new SketchBoard();
        board.MoveHoles(Affine2.Translation(x, y) * Affine2.Scale(scale, scale));
        Assert.Contains(words, Only(board.Check().Board, "BRD172").Finding.Message, StringComparison.Ordinal);
        Assert.Equal("BRD172", Codes(board));
    }

    [Fact]
    public void Paste_of_the_wrong_side_is_told_from_paste_that_lies_wrong()
    {
        var board = new SketchBoard();
        (board.TopPaste, board.BottomPaste) = (board.BottomPaste, board.TopPaste);
        Assert.Equal("BRD173 BRD173", Codes(board));
        Assert.Contains("top and bottom are swapped", Only(board.Check().Top, "BRD173").Finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Copper_of_the_wrong_side_is_told_when_the_mask_is_of_the_right_one()
    {
        var board = new SketchBoard();
        (board.TopCopper, board.BottomCopper) = (board.BottomCopper, board.TopCopper);
        Assert.Contains("copper layers of top and bottom are swapped", Only(board.Check().Top, "BRD173").Finding.Message, StringComparison.Ordinal);
        Assert.Equal("BRD173 BRD173", Codes(board));
    }

    [Fact]
    public void A_copy_of_the_mask_is_named()
    {
        var board = new SketchBoard();
        board.TopPaste = Copy(board.TopMask, "paste-top.gbr");
        Assert.Equal("BRD174", Codes(board));
    }

    [Fact]
    public void A_copy_of_the_pads_is_noted()
    {
        var board = new SketchBoard();
        board.TopPaste = new SketchLayer("paste-top.gbr");
        foreach (var pad in board.Top)
        {
            board.TopPaste.Rectangle(pad.X, pad.Y, pad.Width, pad.Height);
        }

        Assert.Equal("BRD175", Codes(board));
    }

    [Fact]
    public void Empty_layers_are_named_each_with_its_file()
    {
        var board = new SketchBoard { BottomPaste = new("paste-bottom.gbr"), BottomMask = new("mask-bottom.gbr"), OutlineLayer = new("outline.gbr") };
        Assert.Equal(["outline.gbr", "paste-bottom.gbr", "mask-bottom.gbr"], board.Check().Board.Select(f => f.Finding.Source!.Value.File));
        Assert.Equal("BRD176 BRD176 BRD176", Codes(board));
    }

    [Fact]
    public void Whatever_is_missing_the_other_checks_go_on()
    {
        var layers = new SketchBoard().Layers();
        BoardLayers[] fewer =
        [
            new BoardLayers(),
            layers with { Outline = null, OutlineArtwork = null },
            layers with { Holes = [] },
            layers with { Top = new() },
            layers with { Bottom = new() },
            layers with { Top = layers.Top with { Copper = null } },
            layers with { Top = layers.Top with { Mask = null } },
            layers with { Top = layers.Top with { Copper = null, Mask = null, PasteArtwork = null } },
        ];
        foreach (var some in fewer)
        {
            var report = CrossChecks.Run(some);
            Assert.Empty(report.Top);
            Assert.Empty(report.Bottom);
            Assert.Empty(report.Board);
        }
    }

    internal static string Codes(SketchBoard board, bool bottomToo = true)
    {
        var report = board.Check();
        return string.Join(' ', report.Top.Concat(bottomToo ? report.Bottom : []).Concat(report.Board).Select(f => f.Finding.Code).Order(StringComparer.Ordinal));
    }

    internal static CheckFinding Only(IEnumerable<CheckFinding> findings, string code) => Assert.Single(findings, f => f.Finding.Code == code);

    private static void WithPad(SketchBoard board, double x, double y, double width, double height)
    {
        board.TopPaste.Rectangle(x, y, width * 0.9, height * 0.9);
        board.TopCopper.Rectangle(x, y, width, height);
        board.TopMask.Rectangle(x, y, width + 0.1, height + 0.1);
    }

    private static SketchLayer Copy(SketchLayer layer, string name)
    {
        var copy = new SketchLayer(name);
        copy.Objects.AddRange(layer.Objects);
        return copy;
    }

    private static SketchLayer Inverted(SketchLayer openings)
    {
        var mask = new SketchLayer("mask-top.gbr").Add(Region.Of(Contour.Rectangle(new(0, 0, SketchBoard.WidthMm, SketchBoard.HeightMm))), PaintKind.Area);
        mask.Objects.AddRange(openings.Objects.Select(o => o with { IsDark = false, SourceOffset = 1 + o.SourceOffset }));
        return mask;
    }
}
