using System.Globalization;
using System.Text;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Boards.Checks;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>The layers of boards that others made: what is said of each was looked at, and nothing is said that is not so.</summary>
public sealed class RealLayersTests
{
    private sealed record Files(string Folder, string? Outline, string TopPaste, string? BottomPaste, string?[] Copper, string?[] Mask, Func<string, IEnumerable<BoardHole>> Holes);

    // Copper and mask: top, then bottom. Drill files' number formats are those of their headers, or of the notes beside them.
    private static readonly Files[] _boards =
    [
        new("mixed-pads", "Gerber_BoardOutlineLayer.GKO", "Gerber_TopPasteMaskLayer.GTP", null, ["Gerber_TopLayer.GTL", "Gerber_BottomLayer.GBL"],
            ["Gerber_TopSolderMaskLayer.GTS", "Gerber_BottomSolderMaskLayer.GBS"], f => PlainDrill.Read(Path.Combine(f, "Drill_PTH_Through.DRL"), 1, 3, 0, true)),
        new("page-frame", "esp-rust-board-Edge_Cuts.gbr", "esp-rust-board-F_Paste.gbr", "esp-rust-board-B_Paste.gbr", [null, "esp-rust-board-B_Cu.gbr"],
            ["esp-rust-board-F_Mask.gbr", "esp-rust-board-B_Mask.gbr"], f => PlainDrill.Read(Path.Combine(f, "esp-rust-board-PTH.drl"), 25.4, 4, 0, true)
                .Concat(PlainDrill.Read(Path.Combine(f, "esp-rust-board-NPTH.drl"), 25.4, 4, 0, false))),
        new("paired-svg", "icezum-Edge.Cuts.gbr", "icezum-F.Paste.gbr", null, [null, null], ["icezum-F.Mask.gbr", "icezum-B.Mask.gbr"],
            f => PlainDrill.Read(Path.Combine(f, "icezum.drl"), 1, 3, 0, null)),
        new("hatched-pads", "profile.gbr", "solderpaste_top.gbr", "solderpaste_bottom.gbr", ["copper_top.gbr", "copper_bottom.gbr"],
            ["soldermask_top.gbr", "soldermask_bottom.gbr"], f => PlainDrill.Read(Path.Combine(f, "drills.xln"), 1, 3, 0, null)),
        new("outline-with-dimensions", "pixhawk_debug_adapter_mini.GM1", "pixhawk_debug_adapter_mini.GTP", "pixhawk_debug_adapter_mini.GBP",
            ["pixhawk_debug_adapter_mini.GTL", "pixhawk_debug_adapter_mini.GBL"], ["pixhawk_debug_adapter_mini.GTS", "pixhawk_debug_adapter_mini.GBS"],
            f => PlainDrill.Read(Path.Combine(f, "pixhawk_debug_adapter_mini.TXT"), 25.4, 5, 2, true)),
        new("outline-on-artwork", null, "PAST_TOP.art", "PAST_BOT.art", ["TOP.art", "BOTTOM.art"], ["MASK_TOP.art", "MASK_BOT.art"], _ => []),
        new("old-codes", "BoardOutline.gbr", "TopPaste.gbr", "BottomPaste.gbr", ["Top.gbr", "Bottom.gbr"], ["TopMask.gbr", null],
            f => PlainDrill.Read(Path.Combine(f, "Through.drl"), 25.4, 4, 0, null)),
        new("old-codes", "BoardOutline.gbr", "TopPaste_noVias.gbr", null, ["Top.gbr", "Bottom.gbr"], ["TopMask.gbr", null],
            f => PlainDrill.Read(Path.Combine(f, "Through.drl"), 25.4, 4, 0, null)),
        new("modal-lines", "OBCI_V4_C - Board Outline.gbr", "OBCI_V4_C - Top Paste Mask.gbr", "OBCI_V4_C - Bottom Paste Mask.gbr",
            ["OBCI_V4_C - Top Copper.gbr", "OBCI_V4_C - Bottom Copper.gbr"], ["OBCI_V4_C - Top Solder Mask.gbr", "OBCI_V4_C - Bottom Solder Mask.gbr"],
            f => PlainDrill.Read(Path.Combine(f, "OBCI_V4_C - Drill Data - Through Hole.drl"), 25.4, 5, 0, true)
                .Concat(PlainDrill.Read(Path.Combine(f, "OBCI_V4_C - Drill Data - Through Hole (Unplated).drl"), 25.4, 5, 0, false))),
    ];

    // Read once for all tests of this class, which run one after another.
    private static readonly SortedDictionary<string, BoardLayers> _read = new(StringComparer.Ordinal);

    [Fact]
    public void What_is_found_on_real_boards_is_as_looked_at()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var text = new StringBuilder();
        foreach (var board in _boards)
        {
            var report = CrossChecks.Run(Layers(board));
            Line(text, $"{board.Folder}, {board.TopPaste}: {(report.Panel is null ? "one board" : "panel")}");
            foreach (var (where, findings) in new[] { ("top", report.Top), ("bottom", report.Bottom), ("board", report.Board) })
            {
                foreach (var (finding, openings) in findings)
                {
                    Line(text, $"    {where} {finding.Code} {finding.Severity} {finding.Source} ({finding.XMm:0.###}, {finding.YMm:0.###}) [{openings.Length}] {finding.Message}");
                }
            }
        }

        Approve.Text(text.ToString());
    }

    [Fact]
    public void No_real_board_has_layers_that_lie_wrong()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        foreach (var board in _boards)
        {
            var report = CrossChecks.Run(Layers(board));
            Assert.DoesNotContain(report.Top.Concat(report.Bottom).Concat(report.Board), f => f.Finding.Code is "BRD170" or "BRD171" or "BRD172" or "BRD173" or "BRD174" or "BRD177");
        }
    }

    // The board's NOTICE: the paste layers wrongly contain 60 round openings on both sides, and one export without them.
    [Fact]
    public void The_export_with_vias_is_told_from_the_one_without()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var bad = CrossChecks.Run(Layers(_boards.Single(b => b.TopPaste == "TopPaste.gbr")));
        var good = CrossChecks.Run(Layers(_boards.Single(b => b.TopPaste == "TopPaste_noVias.gbr")));
        Assert.Equal(60, Assert.Single(bad.Top, f => f.Finding.Code == "BRD178").Openings.Length);
        Assert.Equal(60, Assert.Single(bad.Bottom, f => f.Finding.Code == "BRD178").Openings.Length);
        Assert.DoesNotContain(good.Top, f => f.Finding.Code is "BRD167" or "BRD168" or "BRD169" or "BRD178");
    }

    [Theory]
    [InlineData("outline-on-artwork")]
    [InlineData("modal-lines")]
    public void Sides_of_a_real_board_exchanged_are_noticed(string folder)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var layers = Layers(_boards.First(b => b.Folder == folder));
        var report = CrossChecks.Run(layers with
        {
            Top = layers.Top with { Paste = layers.Bottom.Paste, PasteArtwork = layers.Bottom.PasteArtwork },
            Bottom = layers.Bottom with { Paste = layers.Top.Paste, PasteArtwork = layers.Top.PasteArtwork },
        });
        Assert.Equal("BRD173", Assert.Single(report.Top).Finding.Code);
        Assert.Equal("BRD173", Assert.Single(report.Bottom).Finding.Code);
    }

    [Fact]
    public void Objects_without_the_image_are_those_of_the_image()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var document = Document("mixed-pads", "Gerber_TopLayer.GTL")!;
        var painted = GerberImage.Paint(document, ReadLimits.Default, CancellationToken.None);
        var composed = GerberImage.Compose(document, ReadLimits.Default, CancellationToken.None);
        Assert.Equal(composed.Value!.Objects.Select(o => (o.SourceOffset, o.IsDark, o.Shape.AreaMm2)), painted.Value!.Objects.Select(o => (o.SourceOffset, o.IsDark, o.Shape.AreaMm2)));
        Assert.Equal(composed.Diagnostics, painted.Diagnostics);
    }

    private static BoardLayers Layers(Files board)
    {
        if (!_read.TryGetValue(board.TopPaste, out var layers))
        {
            _read[board.TopPaste] = layers = Read(board);
        }

        return layers;
    }

    private static BoardLayers Read(Files board)
    {
        var (top, bottom) = (Image(board.Folder, board.TopPaste), Image(board.Folder, board.BottomPaste));
        var masks = board.Mask.Select(m => Image(board.Folder, m)).ToArray();
        var edge = Image(board.Folder, board.Outline);
        var outline = OutlineFinder.Find(edge, [.. new[] { top, bottom, masks[0], masks[1] }.OfType<LayerImage>()]).Outline;
        return new BoardLayers
        {
            Outline = outline,
            OutlineArtwork = edge is null ? null : PaintedLayer.Of(edge),
            Holes = [.. board.Holes(Path.Combine(RealBoards.Folder!, board.Folder))],
            Top = Side(0, top),
            Bottom = Side(1, bottom),
        };

        CheckedSide Side(int index, LayerImage? paste) => new()
        {
            Paste = paste is null ? null : PasteSorter.Sort(paste, outline),
            PasteArtwork = paste is null ? null : PaintedLayer.Of(paste),
            Copper = Objects(board.Folder, board.Copper[index]),
            Mask = masks[index] is { } mask ? PaintedLayer.Of(mask) : null,
        };
    }

    private static GerberDocument? Document(string folder, string? name) => name is null
        ? null
        : GerberReader.Read(new SourceText(name, File.ReadAllBytes(Path.Combine(RealBoards.Folder!, folder, name))), ReadLimits.Default, CancellationToken.None).Value!;

    private static LayerImage? Image(string folder, string? name) =>
        Document(folder, name) is { } document ? GerberImage.Compose(document, ReadLimits.Default, CancellationToken.None).Value : null;

    private static PaintedLayer? Objects(string folder, string? name) =>
        Document(folder, name) is { } document ? PaintedLayer.Of(GerberImage.Paint(document, ReadLimits.Default, CancellationToken.None).Value!) : null;

    private static void Line(StringBuilder text, FormattableString line) => text.Append(line.ToString(CultureInfo.InvariantCulture)).Append('\n');
}
