using Stencilwright.Artwork.Svg;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Svg;

/// <summary>Plots of a real board against the figures of its Gerber files.</summary>
public class PairedPlotTests
{
    [Fact]
    public void Paste_plot_holds_the_boards_686_pads()
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var paste = Plot("icezum-F.Paste.svg");
        var outline = Plot("icezum-Edge.Cuts.svg");

        // The board's edge is drawn 0.68 mm wide, by far the widest pen of the outline plot.
        var board = Bounds2.Empty;
        foreach (var stroke in outline.Objects.Where(o => o.PenWidthMm > 0.5))
        {
            board = Bounds2.Union(board, stroke.CenterLine!.Value.Bounds);
        }

        // Extent 68.6 × 53.3 mm and 678 flashes with 8 regions: counted in the Gerber files of the same board.
        Assert.Equal(68.6, board.Width, 0.05);
        Assert.Equal(53.3, board.Height, 0.05);
        Assert.Equal(678 + 8, paste.Objects.Count(o => o.Kind == PaintKind.Area && board.Contains(o.Shape.Bounds)));
        // Eight of the flashes lie on the eight regions, so that 678 separate openings remain.
        Assert.Equal(678, paste.Islands.Count(i => board.Contains(i.Shape.Bounds)));
    }

    private static LayerImage Plot(string name)
    {
        var bytes = File.ReadAllBytes(Path.Combine(RealBoards.Folder!, "paired-svg", name));
        var outcome = SvgReader.Read(new SourceText(name, bytes), ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.False(outcome.Failed, string.Join('\n', outcome.Diagnostics));
        return outcome.Value!;
    }
}
