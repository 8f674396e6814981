using System.Globalization;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Testing;
using Xunit;
using static Stencilwright.Artwork.Tests.GerberTesting;

namespace Stencilwright.Artwork.Tests;

/// <summary>Fabrication files as their makers published them; the counts come from the folder's own description.</summary>
public sealed class GerberRealBoardsTests(ITestOutputHelper output)
{
    private static List<string> GerberFiles()
    {
        var files = new List<string>();
        foreach (var file in Directory.EnumerateFiles(RealBoards.Folder!, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
        {
            if (!file.Contains(".txt", StringComparison.OrdinalIgnoreCase) && GerberReader.LooksLikeGerber(File.ReadAllBytes(file)))
            {
                files.Add(file);
            }
        }

        return files;
    }

    [Fact]
    public void Every_layer_is_read_and_painted_without_an_error()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var files = GerberFiles();
        Assert.True(files.Count >= 40, "Too few files were taken for Gerber.");
        foreach (var file in files)
        {
            var read = Read(File.ReadAllBytes(file), name: Path.GetFileName(file));
            Assert.False(read.Failed, string.Join('\n', read.Diagnostics));
            var composed = GerberImage.Compose(read.Value!, ReadLimits.Default, TestContext.Current.CancellationToken);
            Assert.False(composed.Failed, string.Join('\n', composed.Diagnostics));
            output.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{Path.GetRelativePath(RealBoards.Folder!, file)}: {read.Value!.ObjectCount} objects, {composed.Value!.Islands.Length} islands, {composed.Value.PaintedAreaMm2:F4} mm2; {string.Join(' ', Codes(read).Concat(Codes(composed)).Distinct())}"));
        }
    }

    [Theory]
    [InlineData("mixed-pads/Gerber_TopPasteMaskLayer.GTP", 39, 10, 0)]
    [InlineData("page-frame/esp-rust-board-F_Paste.gbr", 201, 2, 1721)]
    [InlineData("page-frame/esp-rust-board-B_Paste.gbr", 0, 0, 1705)]
    [InlineData("paired-svg/icezum-F.Paste.gbr", 678, 8, 0)]
    [InlineData("hatched-pads/solderpaste_top.gbr", 198, 0, 335)]
    [InlineData("hatched-pads/solderpaste_bottom.gbr", 0, 0, 0)]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.GTP", 114, 2, 0)]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.GBP", 0, 0, 0)]
    [InlineData("outline-on-artwork/PAST_TOP.art", 1886, 0, 8)]
    [InlineData("outline-on-artwork/PAST_BOT.art", 1095, 0, 8)]
    [InlineData("old-codes/TopPaste.gbr", 144, 0, 0)]
    [InlineData("old-codes/BottomPaste.gbr", 60, 0, 0)]
    [InlineData("modal-lines/OBCI_V4_C - Top Paste Mask.gbr", 207, 0, 0)]
    [InlineData("modal-lines/OBCI_V4_C - Bottom Paste Mask.gbr", 193, 0, 0)]
    public void Paste_layers_hold_the_flashes_regions_and_strokes_that_were_counted_in_them(string file, int flashes, int areas, int strokes)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var image = Image(Read(File.ReadAllBytes(Path.Combine(RealBoards.Folder!, file))).Value!);
        Assert.Equal(flashes, image.Objects.Count(o => o.Kind == PaintKind.Flash));
        Assert.Equal(areas, image.Objects.Count(o => o.Kind == PaintKind.Area));
        Assert.Equal(strokes, image.Objects.Count(o => o.Kind == PaintKind.Stroke));
    }
}
