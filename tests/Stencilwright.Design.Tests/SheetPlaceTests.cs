using CsCheck;
using Stencilwright.Boards;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Design.Tests;

/// <summary>Where a person moves the board on its sheets, where the film is held, and what the step between frame and board reaches.</summary>
public sealed class SheetPlaceTests
{
    private static readonly JobSettings _settings = JobSettings.Default;

    [Theory]
    [InlineData(BoardSide.Top)]
    [InlineData(BoardSide.Bottom)]
    public void Moving_the_board_on_the_film_moves_all_of_it_and_nothing_in_the_frame(BoardSide side)
    {
        var (still, moved) = (Make(side, _settings), Make(side, _settings with { FilmOffsetXMm = 7, FilmOffsetYMm = -4.5 }));
        Assert.Equal(still.Placement.MovedBy(7, -4.5), moved.Placement);
        Assert.Equal(still.Frame!.Placement, moved.Frame!.Placement);
        Assert.Equal(still.Frame.Pocket.AreaMm2, moved.Frame.Pocket.AreaMm2);

        // The openings stay over the board's pads, so it is the film that lies elsewhere on the frame.
        Assert.Equal(still.Frame.Film.Center.X - 7, moved.Frame.Film.Center.X, 9);
        Assert.Equal(still.Frame.Film.Center.Y + 4.5, moved.Frame.Film.Center.Y, 9);
    }

    [Fact]
    public void Moving_the_pocket_moves_it_and_the_film_over_it()
    {
        var (still, moved) = (Make(BoardSide.Top, _settings), Make(BoardSide.Top, _settings with { FrameOffsetXMm = -3, FrameOffsetYMm = 2 }));
        Assert.Equal(still.Frame!.Pocket.Bounds.Center + new Vector2(-3, 2), moved.Frame!.Pocket.Bounds.Center);
        Assert.Equal(still.Frame.Film.Center + new Vector2(-3, 2), moved.Frame.Film.Center);
        Assert.Equal(still.Placement, moved.Placement);
    }

    [Fact]
    public void A_board_moved_off_its_sheet_is_refused_with_both_remedies()
    {
        var film = Assert.Single(Make(BoardSide.Top, _settings with { FilmOffsetXMm = 60 }).Findings, f => f.Code == "DSN001");
        Assert.Contains("film_offset_x_mm", film.Message, StringComparison.Ordinal);
        var frame = Assert.Single(Make(BoardSide.Top, _settings with { FrameOffsetYMm = 60 }).Findings, f => f.Code == "DSN005");
        Assert.Contains("frame_offset_x_mm", frame.Message, StringComparison.Ordinal);
        Assert.DoesNotContain(Make(BoardSide.Top, _settings with { FilmBlankMm = new(20, 20) }).Findings, f => f.Message.Contains("offset", StringComparison.Ordinal));
    }

    // 0.9 mm for each 0.025 mm: an assembler's layout note that cites IPC-7525B. A step of 76 µm reaches 2.736 mm.
    [Fact]
    public void Openings_within_the_step_s_reach_of_the_edge_are_named_and_no_others()
    {
        var design = StencilDesigner.Design(
            BoardSide.Top, Paste(At(25, 15), At(2.9, 15), At(3.1, 15), At(25, 27.2), At(25, 27)), Board(50, 30), _settings, "T");
        var finding = Assert.Single(design.Findings, f => f.Code == "DSN008");

        // Half of an opening is 0.3 mm wide and 0.2 mm high: edges at 2.6, 2.8, 2.6 and 2.8 mm from the board's.
        Assert.Equal(["a0002", "a0004"], finding.Apertures);
        Assert.Equal(2.736, design.Frame!.StepReachMm, 9);
        var level = StencilDesigner.Design(BoardSide.Top, Paste(At(0.4, 15)), Board(50, 30), _settings with { BoardThicknessMm = 1.524 }, "T");
        Assert.Equal(0, level.Frame!.StepReachMm);
        Assert.DoesNotContain(level.Findings, f => f.Code == "DSN008");
    }

    [Fact]
    public void A_common_frame_has_a_hinge_a_second_strip_and_four_magnets()
    {
        var holding = Make(BoardSide.Top, _settings).Frame!.Holding;
        Assert.Single(holding, h => h.Kind == HoldingKind.Hinge);
        Assert.Single(holding, h => h.Kind == HoldingKind.Tape);
        Assert.Equal(4, holding.Count(h => h.Kind == HoldingKind.Magnet));
    }

    [Fact]
    public void Tape_and_magnets_stay_on_the_frame_and_off_the_pocket() => Gen.Select(
        Gen.Double[5, 140], Gen.Double[5, 140], Gen.Double[20, 160], Gen.Double[20, 160], Gen.Double[-30, 30], Gen.Double[-30, 30])
        .Check((width, height, filmWidth, filmHeight, x, y) =>
        {
            var frame = new Bounds2(1, 1, 151.4, 100.6);
            var pocket = new Bounds2(76 - (width / 2), 51 - (height / 2), 76 + (width / 2), 51 + (height / 2));
            var film = new Bounds2(76 - (filmWidth / 2) + x, 51 - (filmHeight / 2) + y, 76 + (filmWidth / 2) + x, 51 + (filmHeight / 2) + y);
            var places = HoldingPlaces.Of(film, pocket, frame);
            Assert.True(places.Count(p => p.Kind == HoldingKind.Hinge) <= 1);
            Assert.True(places.Count(p => p.Kind == HoldingKind.Magnet) <= 4);
            foreach (var place in places)
            {
                var box = place.Shape.Bounds;
                Assert.True(frame.Inflate(1e-9).Contains(box));
                Assert.False(pocket.Overlaps(box));
                if (place.Kind == HoldingKind.Magnet)
                {
                    Assert.True(film.Inflate(1e-9).Contains(box));
                }
                else
                {
                    // Both the film and the frame beside it are held.
                    Assert.True(film.Overlaps(box) && !film.Contains(box));
                }
            }
        }, iter: 2000);

    private static StencilDesign Make(BoardSide side, JobSettings settings) =>
        StencilDesigner.Design(side, Paste(At(10, 10), At(40, 20)), Board(50, 30), settings, "T");

    private static PasteLayer Paste(params PasteOpening[] openings) => new() { Openings = [.. openings], SetAside = [], Findings = [] };

    private static BoardOutline Board(double width, double height) => new(Rectangle(0, 0, width, height), "edge.gm1", "test");

    private static PasteOpening At(double x, double y) => new()
    {
        Shape = Rectangle(x - 0.3, y - 0.2, x + 0.3, y + 0.2),
        Place = SourcePlace.Whole("paste.gtp"),
    };

    private static Region Rectangle(double x0, double y0, double x1, double y1) => Region.Of(Contour.Rectangle(new Bounds2(x0, y0, x1, y1)));
}
