using Stencilwright.Artwork;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Boards;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

public sealed class RealPasteTests
{
    [Theory]
    [InlineData("mixed-pads/Gerber_TopPasteMaskLayer.GTP")]
    [InlineData("paired-svg/icezum-F.Paste.gbr")]
    [InlineData("hatched-pads/solderpaste_top.gbr")]
    [InlineData("outline-with-dimensions/pixhawk_debug_adapter_mini.GTP")]
    [InlineData("outline-on-artwork/PAST_TOP.art")]
    [InlineData("old-codes/TopPaste_noVias.gbr")]
    [InlineData("modal-lines/OBCI_V4_C - Top Paste Mask.gbr")]
    public void A_uniform_reduction_takes_the_same_from_every_opening_that_can_spare_it(string file)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var bytes = File.ReadAllBytes(Path.Combine(RealBoards.Folder!, file));
        var document = GerberReader.Read(new SourceText(file, bytes), ReadLimits.Default, CancellationToken.None).Value!;
        var image = GerberImage.Compose(document, ReadLimits.Default, CancellationToken.None).Value!;
        var paste = PasteSorter.Sort(image, null);
        var context = new ShapingContext { Side = BoardSide.Top, Paste = paste };
        var layer = ApertureShaper.Shape(Sketch.Rule("reduce_width_mm = 0.02\nreduce_length_mm = 0.02", "shape = [\"rectangle\", \"rounded-rectangle\", \"obround\", \"circle\"]"), context);
        var shaped = 0;
        for (var i = 0; i < layer.Openings.Length; i++)
        {
            var part = Assert.Single(layer.Openings[i].Parts);
            Assert.InRange(RegionBoolean.Difference(part.Design, part.Artwork).AreaMm2, 0, 2e-4 * part.Artwork.PerimeterMm);
            if (layer.Openings[i].Rule == "it" && !layer.Openings[i].Change.Contains("held back", StringComparison.Ordinal))
            {
                // To first order the perimeter times half the reduction.
                shaped++;
                Assert.Equal(part.Artwork.AreaMm2 - (part.Artwork.PerimeterMm * 0.01), part.Design.AreaMm2, 0.02 * part.Artwork.PerimeterMm * 0.1);
            }
        }

        Assert.True(shaped > 0.75 * layer.Openings.Length, $"{shaped} of {layer.Openings.Length}");
    }
}
