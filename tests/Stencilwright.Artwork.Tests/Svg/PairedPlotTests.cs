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
    public void Paste_plot_holds_the_boards_678_openings()
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

        // The eight round flashes lie at the ends of the eight regions, so that 678 openings remain. Their area by the
        // apertures' sizes: 336.40 mm² of flashes, less 8 discs of 0.4445 mm inside regions of 1.0414 × 0.4445 mm with
        // corners of 0.111 mm. The plot is rounded to 2.54 µm.
        var openings = paste.Islands.Where(i => board.Contains(i.Shape.Bounds)).ToList();
        Assert.Equal(678, openings.Count);
        Assert.Equal(338.78, openings.Sum(i => i.Shape.AreaMm2), 0.1);
    }

    private static LayerImage Plot(string name)
    {
        var bytes = File.ReadAllBytes(Path.Combine(RealBoards.Folder!, "paired-svg", name));
        var outcome = SvgReader.Read(new SourceText(name, bytes), ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.False(outcome.Failed, string.Join('\n', outcome.Diagnostics));
        return outcome.Value!;
    }
}
