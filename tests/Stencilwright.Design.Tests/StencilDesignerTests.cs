using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Design.Tests;

public sealed class StencilDesignerTests
{
    private static readonly JobSettings _settings = JobSettings.Default;

    [Fact]
    public void Ids_count_the_artwork_s_order_and_no_rule_changes_a_shape()
    {
        var design = Make(BoardSide.Top, Board(50, 30), At(10, 10), At(20, 10), At(15, 20));
        Assert.Equal(["a0001", "a0002", "a0003"], design.Openings.Select(o => o.Id));
        Assert.All(design.Openings, o => Assert.Same(o.Artwork, o.Design));
        Assert.All(design.Openings, o => Assert.Equal("none", o.Rule));
    }

    [Fact]
    public void Ids_grow_with_the_count()
    {
        var many = Enumerable.Range(0, 10_001).Select(i => At(5 + (i % 100 * 0.4), 5 + (i / 100 * 0.2))).ToArray();
        var design = Make(BoardSide.Top, Board(50, 30), many);
        Assert.Equal("a00001", design.Openings[0].Id);
        Assert.Equal("a10001", design.Openings[^1].Id);
    }

    [Theory]
    [InlineData(BoardSide.Top, false, false)]
    [InlineData(BoardSide.Bottom, false, true)]
    [InlineData(BoardSide.Top, true, true)]
    [InlineData(BoardSide.Bottom, true, false)]
    public void A_point_of_the_board_lands_where_it_should(BoardSide side, bool fromBoardSide, bool mirrored)
    {
        // Board 50 × 30 with its lower left corner at (100, 200); its middle (125, 215) comes to the blank's middle.
        var outline = new BoardOutline(Rectangle(100, 200, 150, 230), "edge.gm1", "test");
        var settings = _settings with { CutFromBoardSide = fromBoardSide };
        var design = StencilDesigner.Design(side, Paste(At(110, 210)), outline, settings, "T");
        Assert.Equal(mirrored, design.Placement.Mirrored);
        var p = design.Placement.Map.Apply(new Point2(110, 210));
        Assert.Equal(50.8 + (mirrored ? 15 : -15), p.X, 9);
        Assert.Equal(50.8 - 5, p.Y, 9);

        // The frame is seen from the squeegee whatever face the film is cut from.
        Assert.Equal(side == BoardSide.Bottom, design.Frame!.Placement.Mirrored);
    }

    [Fact]
    public void A_board_that_fits_only_turned_is_turned()
    {
        var settings = _settings with { FilmBlankMm = new BlankSize(60, 120), FrameBlankMm = new BlankSize(90, 150) };
        var design = StencilDesigner.Design(BoardSide.Top, Paste(At(3, 3), At(97, 37)), Board(100, 40), settings, "T");
        Assert.Equal(90, design.Placement.RotationDeg);
        Assert.Equal(90, design.Frame!.Placement.RotationDeg);
        Assert.Contains(design.Findings, f => f.Code == "DSN004");
        Assert.DoesNotContain(design.Findings, f => f.Severity != Severity.Note);
    }

    [Fact]
    public void Openings_that_do_not_fit_are_refused_by_how_much()
    {
        // Openings span 119 + 0.6 mm in x, centred on 101.6 mm: 9 mm too many on either side; turned, at top and bottom.
        var design = Make(BoardSide.Top, null, At(0, 0), At(119, 50), At(50, 119));
        var error = Assert.Single(design.Findings, f => f.Code == "DSN001");
        Assert.Equal(Severity.Error, error.Severity);
        Assert.Contains("9.00 mm on the left, 9.00 mm on the right, 8.90 mm at the bottom and 8.90 mm at the top", error.Message, StringComparison.Ordinal);
        Assert.Contains("123.6", error.Message, StringComparison.Ordinal);
        Assert.NotEmpty(error.Apertures);
    }

    [Fact]
    public void Openings_near_the_film_s_edge_are_warned_about()
    {
        var design = Make(BoardSide.Top, null, At(0, 0), At(99, 50));
        var warning = Assert.Single(design.Findings, f => f.Code == "DSN002");
        Assert.Contains("1.00 mm", warning.Message, StringComparison.Ordinal);
        Assert.Equal(["a0001", "a0002"], warning.Apertures);
    }

    // Common practice, no source: pocket = outline grown by about 1 mm; chipboard of 1.524 mm beside a 1.6 mm board.
    [Fact]
    public void The_pocket_is_the_outline_grown_by_the_clearance_and_the_step_is_76_micrometres()
    {
        var frame = Make(BoardSide.Top, Board(50, 30), At(10, 10)).Frame!;
        var box = frame.Pocket.Bounds;
        Assert.Equal(52, box.Width, 6);
        Assert.True(box.Height > 32, "hand holds stand out of the long sides");
        Assert.Equal(0.076, frame.StepMm, 9);

        // Just inside the pocket, halfway along the short side, and just outside.
        var corner = frame.Placement.Map.Apply(new Point2(0, 15));
        Assert.True(frame.Pocket.Contains(corner + new Vector2(-0.999, 0)));
        Assert.False(frame.Pocket.Contains(corner + new Vector2(-1.001, 0)));
    }

    [Fact]
    public void Hand_holds_are_half_rounds_on_the_long_sides()
    {
        var frame = Make(BoardSide.Top, Board(50, 30), At(10, 10)).Frame!;

        // Pocket 52 × 32 with corners rounded by 1; radius 0.2 × 32 = 6.4; two half discs added.
        var plain = (52 * 32) - (4 - Math.PI);
        Assert.Equal(plain + (Math.PI * 6.4 * 6.4), frame.Pocket.AreaMm2, 6);
    }

    [Fact]
    public void Cut_outs_of_the_board_do_not_make_posts_in_the_pocket()
    {
        var hole = new Contour([new(20, 10), new(20, 20), new(30, 20), new(30, 10)]);
        var outline = new BoardOutline(new Region([Contour.Rectangle(new(0, 0, 50, 30)), hole]), "edge", "test");
        var frame = StencilDesigner.Design(BoardSide.Top, Paste(At(10, 10)), outline, _settings, "T").Frame!;
        Assert.True(frame.Pocket.Contains(frame.Placement.Map.Apply(new Point2(25, 15))));
        Assert.Single(frame.Pocket.Contours);
    }

    [Fact]
    public void A_pocket_too_large_for_the_frame_is_refused_by_how_much()
    {
        // Pocket 102 mm high in an edge of 99.6 mm: 1.2 mm too many on either side; it fits neither way.
        var design = Make(BoardSide.Top, Board(100, 100), At(50, 50));
        var error = Assert.Single(design.Findings, f => f.Code == "DSN005");
        Assert.Contains("1.20 mm at the bottom and 1.20 mm at the top", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_narrow_border_is_warned_about()
    {
        var design = Make(BoardSide.Top, Board(90, 85), At(50, 50));
        var warning = Assert.Single(design.Findings, f => f.Code == "DSN006");
        Assert.Contains("6.30 mm", warning.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Marks_keep_clear_of_openings_and_stay_on_the_blank(bool fromBoardSide)
    {
        var openings = Enumerable.Range(0, 400).Select(i => At(8 + (i % 20 * 4.5), 8 + (i / 20 * 4.5))).ToArray();
        var settings = _settings with { CutFromBoardSide = fromBoardSide };
        var design = StencilDesigner.Design(BoardSide.Bottom, Paste(openings), Board(98, 98), settings, "BLINKY 2");
        Assert.NotEmpty(design.Marks);
        var sheet = new Bounds2(0, 0, 101.6, 101.6);
        // A mark may lie at the clearance exactly: a picometre for the rounding of its coordinates.
        var boxes = design.Openings.Select(o => SheetFit.MapBox(o.Design.Bounds, design.Placement.Map).Inflate(1.5 - 1e-9)).ToArray();
        foreach (var stroke in design.Marks.SelectMany(m => m.Strokes))
        {
            for (var i = 0; i < stroke.SegmentCount; i++)
            {
                var box = stroke.SegmentAt(i).Bounds;
                Assert.True(sheet.Contains(box));
                Assert.DoesNotContain(boxes, b => b.Overlaps(box));
            }
        }
    }

    [Fact]
    public void A_roomy_sheet_carries_every_mark_and_says_which_side_it_is()
    {
        var design = Make(BoardSide.Bottom, Board(50, 30), At(10, 10));
        foreach (var marks in (ImmutableArray<ScoreMark>[])[design.Marks, design.Frame!.Marks])
        {
            Assert.Contains(marks, m => m is { Kind: "title", Text: "BLINKY" });
            Assert.Contains(marks, m => m is { Kind: "side", Text: "BOTTOM" });
            Assert.Contains(marks, m => m.Kind == "face" && m.Text.StartsWith("THIS FACE UP", StringComparison.Ordinal));
            Assert.True(marks.Count(m => m.Kind == "registration") >= 3);
        }

        Assert.DoesNotContain(design.Findings, f => f.Code == "DSN009");
    }

    [Fact]
    public void Text_of_a_film_cut_from_its_board_side_is_mirrored()
    {
        // E has its long stroke on the left: it comes to the right.
        Assert.True(StemIsLeft(_settings));
        Assert.False(StemIsLeft(_settings with { CutFromBoardSide = true }));

        static bool StemIsLeft(JobSettings settings)
        {
            var design = StencilDesigner.Design(BoardSide.Top, Paste(At(10, 10)), Board(50, 30), settings, "E");
            var outer = design.Marks.Single(m => m.Kind == "title").Strokes[0];
            return outer.Vertices[1].X < outer.Vertices[0].X;
        }
    }

    [Fact]
    public void Without_an_outline_there_is_no_frame_but_a_warning()
    {
        var design = Make(BoardSide.Top, null, At(10, 10));
        Assert.Null(design.Frame);
        Assert.Contains(design.Findings, f => f.Code == "DSN010");
        var p = design.Placement.Map.Apply(new Point2(10, 10));
        Assert.Equal(50.8, p.X, 9);
    }

    private static StencilDesign Make(BoardSide side, BoardOutline? outline, params PasteOpening[] openings) =>
        StencilDesigner.Design(side, Paste(openings), outline, _settings, "BLINKY");

    private static PasteLayer Paste(params PasteOpening[] openings) =>
        new() { Openings = [.. openings], SetAside = [], Findings = [] };

    private static BoardOutline Board(double width, double height) => new(Rectangle(0, 0, width, height), "edge.gm1", "test");

    private static PasteOpening At(double x, double y) => new()
    {
        Shape = Rectangle(x - 0.3, y - 0.2, x + 0.3, y + 0.2),
        Place = SourcePlace.Whole("paste.gtp"),
    };

    private static Region Rectangle(double x0, double y0, double x1, double y1) =>
        Region.Of(Contour.Rectangle(new Bounds2(x0, y0, x1, y1)));
}
