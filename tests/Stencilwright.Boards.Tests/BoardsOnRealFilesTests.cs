using System.Globalization;
using System.Text;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests;

/// <summary>Outline and paste of boards that others made, each with its own way of drawing them.</summary>
public sealed class BoardsOnRealFilesTests
{
    // Folder, outline, top paste, bottom paste, further layers.
    private static readonly (string Folder, string? Outline, string? Top, string? Bottom, string[] Others)[] Boards =
    [
        ("mixed-pads", "Gerber_BoardOutlineLayer.GKO", "Gerber_TopPasteMaskLayer.GTP", null, ["Gerber_TopSolderMaskLayer.GTS", "Gerber_BottomSolderMaskLayer.GBS"]),
        ("page-frame", "esp-rust-board-Edge_Cuts.gbr", "esp-rust-board-F_Paste.gbr", "esp-rust-board-B_Paste.gbr", ["esp-rust-board-F_Mask.gbr", "esp-rust-board-B_Mask.gbr"]),
        ("paired-svg", "icezum-Edge.Cuts.gbr", "icezum-F.Paste.gbr", null, ["icezum-F.Mask.gbr", "icezum-B.Mask.gbr"]),
        ("hatched-pads", "profile.gbr", "solderpaste_top.gbr", "solderpaste_bottom.gbr", ["soldermask_top.gbr", "soldermask_bottom.gbr"]),
        ("outline-with-dimensions", "pixhawk_debug_adapter_mini.GM1", "pixhawk_debug_adapter_mini.GTP", "pixhawk_debug_adapter_mini.GBP", ["pixhawk_debug_adapter_mini.GTS", "pixhawk_debug_adapter_mini.GBS"]),
        ("outline-on-artwork", null, "PAST_TOP.art", "PAST_BOT.art", ["MASK_TOP.art", "MASK_BOT.art"]),
        ("old-codes", "BoardOutline.gbr", "TopPaste.gbr", "BottomPaste.gbr", ["TopMask.gbr"]),
        ("modal-lines", "OBCI_V4_C - Board Outline.gbr", "OBCI_V4_C - Top Paste Mask.gbr", "OBCI_V4_C - Bottom Paste Mask.gbr", ["OBCI_V4_C - Top Solder Mask.gbr", "OBCI_V4_C - Bottom Solder Mask.gbr"]),
    ];

    [Fact]
    public void Outlines_openings_and_findings_of_all_boards_are_as_looked_at()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var text = new StringBuilder();
        foreach (var board in Boards)
        {
            var (top, bottom) = (Read(board.Folder, board.Top), Read(board.Folder, board.Bottom));
            var others = board.Others.Select(o => Read(board.Folder, o)).Prepend(bottom).Prepend(top).OfType<LayerImage>().ToArray();
            var search = OutlineFinder.Find(Read(board.Folder, board.Outline), others);
            Line(text, $"{board.Folder}: {search.Outline?.WidthMm:0.###} x {search.Outline?.HeightMm:0.###} mm, {search.Outline?.AreaMm2:0.##} mm2, {search.Outline?.CutoutCount} cut-outs, {search.Outline?.Why}");
            foreach (var finding in search.Findings)
            {
                Line(text, $"    {finding.Code} {finding.Source} ({finding.XMm:0.###}, {finding.YMm:0.###}) {finding.Message}");
            }

            Describe(text, "top", top, search.Outline);
            Describe(text, "bottom", bottom, search.Outline);
        }

        Approve.Text(text.ToString());
    }

    // The same page frame with the board's own edge taken away, and as it lies on the paste layers.
    [Fact]
    public void A_real_page_frame_alone_is_no_board()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var board = Boards.Single(b => b.Folder == "page-frame");
        var edge = Read(board.Folder, board.Outline)!;
        var frame = edge with { Objects = [.. edge.Objects.Where(o => o.ApertureFunction?.StartsWith("Profile", StringComparison.Ordinal) != true)] };
        Assert.InRange(frame.Objects.Length, 100, edge.Objects.Length - 4);
        LayerImage[] others = [Read(board.Folder, board.Top)!, .. board.Others.Select(o => Read(board.Folder, o)!)];
        foreach (var layer in (LayerImage?[])[frame, null])
        {
            var search = OutlineFinder.Find(layer, others);
            Assert.Null(search.Outline);
            Assert.Equal("BRD001", Assert.Single(search.Findings).Code);
        }
    }

    // Extents as the boards' makers drew them; counts of flashes and regions are those of the files.
    [Theory]
    [InlineData("outline-with-dimensions", 60, 35, 116)]
    [InlineData("page-frame", 22.86, 63.5, 203)]
    [InlineData("old-codes", 58.1, 45.4, 144)]
    [InlineData("modal-lines", 61.37, 61.32, 207)]
    [InlineData("paired-svg", 68.58, 53.34, 686)]
    [InlineData("outline-on-artwork", 86.36, 54.61, 1886)]
    public void Extent_and_openings_are_those_of_the_board(string folder, double width, double height, int flashesAndAreas)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var board = Boards.Single(b => b.Folder == folder);
        var top = Read(folder, board.Top)!;
        var outline = OutlineFinder.Find(Read(folder, board.Outline), [top, .. board.Others.Select(o => Read(folder, o)!)]).Outline;
        Assert.NotNull(outline);
        Assert.Equal(width, outline.WidthMm, 0.05);
        Assert.Equal(height, outline.HeightMm, 0.05);

        // Every flash or area lies in one opening; some openings hold several.
        var openings = PasteSorter.Sort(top, outline).Openings;
        Assert.InRange(openings.Length, flashesAndAreas * 0.9, flashesAndAreas);
    }

    private static void Describe(StringBuilder text, string side, LayerImage? paste, BoardOutline? outline)
    {
        if (paste is null)
        {
            return;
        }

        var sorted = PasteSorter.Sort(paste, outline);
        Line(text, $"  {side}: {paste.Islands.Length} islands, {sorted.Openings.Length} openings of {sorted.Openings.Sum(o => o.Shape.AreaMm2):0.###} mm2, {sorted.SetAside.Length} set aside");
        foreach (var finding in sorted.Findings)
        {
            Line(text, $"    {finding.Code} {finding.Source} ({finding.XMm:0.###}, {finding.YMm:0.###}) {finding.Message}");
        }
    }

    private static void Line(StringBuilder text, FormattableString line) => text.Append(line.ToString(CultureInfo.InvariantCulture)).Append('\n');

    private static LayerImage? Read(string folder, string? name)
    {
        if (name is null)
        {
            return null;
        }

        var source = new SourceText(name, File.ReadAllBytes(Path.Combine(RealBoards.Folder!, folder, name)));
        var document = GerberReader.Read(source, ReadLimits.Default, TestContext.Current.CancellationToken).Value;
        return document is null ? null : GerberImage.Compose(document, ReadLimits.Default, TestContext.Current.CancellationToken).Value;
    }
}
