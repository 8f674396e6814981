using Stencilwright.Artwork.Drill;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Artwork.Tests.Drill.Drills;

namespace Stencilwright.Artwork.Tests.Drill;

/// <summary>Drill files as their makers published them, against the other layers of the same boards.</summary>
public sealed class DrillRealBoardsTests
{
    // Counts: the lines that begin with X or Y (grep), and for the first and third file what their own comments state (Quantity).
    [Theory]
    [InlineData("drill-routed/BeagleV-FIRE_REV-A_230911-1-12.drl", 1960, 0, "ART203")]
    [InlineData("drill-slots/cheriot-test-RoundHoles.NCDRILL", 1591, 0, "ART214")]
    [InlineData("outline-on-artwork/BeagleBone-AI-1-12.drl", 1927, 0, "ART202 ART203 ART214")]
    [InlineData("drill-slots/cheriot-test-SlotHoles.NCDRILL", 0, 8, "ART214")]
    [InlineData("hatched-pads/drills.xln", 105, 0, "")]
    [InlineData("mixed-pads/Drill_PTH_Through.DRL", 70, 0, "")]
    [InlineData("mixed-pads/Drill_PTH_Through_Via.DRL", 50, 0, "")]
    [InlineData("modal-lines/OBCI_V4_C - Drill Data - Through Hole (Unplated).drl", 8, 1, "ART203")]
    [InlineData("modal-lines/OBCI_V4_C - Drill Data - Through Hole.drl", 149, 0, "ART203")]
    [InlineData("old-codes/Through.drl", 149, 0, "ART203")]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.TXT", 236, 0, "ART214")]
    [InlineData("page-frame/esp-rust-board-NPTH.drl", 2, 0, "")]
    [InlineData("page-frame/esp-rust-board-PTH.drl", 246, 4, "")]
    [InlineData("paired-svg/icezum.drl", 401, 0, "")]
    public void Holes_and_slots_are_as_many_as_were_counted(string file, int holes, int slots, string codes)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var outcome = Real(file);
        Assert.Equal(codes, string.Join(' ', Codes(outcome)));
        Assert.False(outcome.Failed);
        Assert.Equal(holes, outcome.Value!.Items.Count(i => i.IsHole));
        Assert.Equal(slots, outcome.Value.Items.Count(i => !i.IsHole));
        Assert.Equal(ArtworkFormat.NcDrill, FormatSniffer.Sniff(outcome.Value.Source.Bytes.Span[..Math.Min(FormatSniffer.HeadBytes, outcome.Value.Source.Bytes.Length)]));
    }

    [Theory]
    [InlineData("drill-routed/BeagleV-FIRE_REV-A_230911-1-12.drl")]
    [InlineData("outline-on-artwork/BeagleBone-AI-1-12.drl")]
    public void Every_tool_drills_as_many_holes_as_its_comment_says(string file)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var document = Real(file).Value!;
        var stated = new List<int>();
        foreach (var line in File.ReadLines(Path.Combine(RealBoards.Folder!, file)))
        {
            var at = line.IndexOf("Quantity = ", StringComparison.Ordinal);
            if (at >= 0)
            {
                stated.Add(int.Parse(line[(at + 11)..], System.Globalization.CultureInfo.InvariantCulture));
            }
        }

        Assert.True(stated.Count >= 12);
        Assert.Equal(stated, document.Tools.Select((_, index) => document.Items.Count(i => i.Tool == index)));
    }

    [Theory]
    [InlineData("drill-routed/BeagleV-FIRE_REV-A_230911-1-12.drl", "drill-routed/OUTLINE.art")]
    [InlineData("hatched-pads/drills.xln", "hatched-pads/profile.gbr")]
    [InlineData("mixed-pads/Drill_PTH_Through.DRL", "mixed-pads/Gerber_BoardOutlineLayer.GKO")]
    [InlineData("modal-lines/OBCI_V4_C - Drill Data - Through Hole.drl", "modal-lines/OBCI_V4_C - Board Outline.gbr")]
    [InlineData("modal-lines/OBCI_V4_C - Drill Data - Through Hole (Unplated).drl", "modal-lines/OBCI_V4_C - Board Outline.gbr")]
    [InlineData("old-codes/Through.drl", "old-codes/BoardOutline.gbr")]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.TXT", "outline-with-dimensions/pixhawk_debug_adapter_mini.GM2")]
    [InlineData("outline-on-artwork/BeagleBone-AI-1-12.drl", "outline-on-artwork/MASK_TOP.art")]
    [InlineData("paired-svg/icezum.drl", "paired-svg/icezum-Edge.Cuts.gbr")]
    public void All_holes_lie_on_the_board_and_spread_over_most_of_it(string drill, string outline)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var holes = Image(Real(drill).Value!).Bounds;
        var board = Layer(outline).Bounds;
        Assert.True(board.Inflate(0.5).Contains(holes), $"holes {holes}, board {board}");
        Assert.InRange(holes.Width * holes.Height / (board.Width * board.Height), 0.4, 1.05);
    }

    [Theory]
    [InlineData("mixed-pads/Drill_PTH_Through.DRL", "mixed-pads/Gerber_TopLayer.GTL")]
    [InlineData("hatched-pads/drills.xln", "hatched-pads/copper_bottom.gbr")]
    [InlineData("modal-lines/OBCI_V4_C - Drill Data - Through Hole.drl", "modal-lines/OBCI_V4_C - Top Copper.gbr")]
    [InlineData("old-codes/Through.drl", "old-codes/Top.gbr")]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.TXT", "outline-with-dimensions/pixhawk_debug_adapter_mini.GTL")]
    [InlineData("outline-on-artwork/BeagleBone-AI-1-12.drl", "outline-on-artwork/TOP.art")]
    [InlineData("page-frame/esp-rust-board-PTH.drl", "page-frame/esp-rust-board-B_Cu.gbr")]
    public void Nearly_every_plated_hole_has_copper_round_it(string drill, string copper)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var document = Real(drill).Value!;
        var islands = Layer(copper).Islands.Select(i => (i.Shape.Bounds, i.Shape)).ToArray();
        var (all, onCopper) = (0, 0);
        foreach (var item in document.Items)
        {
            var tool = document.Tools[item.Tool];
            if (item.IsHole && tool.Plating != DrillPlating.NonPlated && tool.DiameterMm < 2)
            {
                // Just outside the hole, since some layers leave the hole itself open.
                all++;
                var ring = (tool.DiameterMm / 2) + 0.02;
                onCopper += On(item.At + new Vector2(ring, 0)) && On(item.At - new Vector2(0, ring)) ? 1 : 0;
            }
        }

        Assert.True(all >= 50);
        Assert.InRange((double)onCopper / all, 0.9, 1);
        bool On(Point2 p) => islands.Any(i => i.Bounds.Contains(p) && i.Shape.Contains(p));
    }

    [Fact]
    public void Slots_are_read_in_the_format_of_the_list_beside_them()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var list = Path.Combine(RealBoards.Folder!, "drill-routed/nc_param.txt");
        var hints = DrillHints.Read(new SourceText("nc_param.txt", File.ReadAllBytes(list)));
        var document = Real("drill-routed/BeagleV-FIRE_REV-A_230911_1-12.rou", hints).Value!;
        var board = Layer("drill-routed/OUTLINE.art").Bounds;
        Assert.Equal(6, document.Items.Length);
        Assert.All(document.Items, i => Assert.True(board.Contains(i.At)));
        // G01X-11220 from X-14762 in 2.5 inches.
        Assert.Equal(0.03542 * 25.4, document.Items[0].Path!.LengthMm, 9);
        Assert.Equal(2, document.Format.IntegerDigits);
    }

    [Fact]
    public void A_board_routed_out_of_its_panel_has_the_outline_s_eight_corners()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var routed = Assert.Single(Real("modal-lines/OBCI_V4_C - Drill Data - Through Hole (Unplated).drl").Value!.Items, i => !i.IsHole);
        Assert.Equal(8, routed.Path!.SegmentCount);
        Assert.Equal(routed.Path.Vertices[0].Point, routed.Path.Vertices[^1].Point);
    }

    private static LayerImage Layer(string file)
    {
        var read = GerberReader.Read(new SourceText(file, File.ReadAllBytes(Path.Combine(RealBoards.Folder!, file))), ReadLimits.Default, CancellationToken.None);
        return GerberImage.Compose(read.Value!, ReadLimits.Default, CancellationToken.None).Value!;
    }
}
