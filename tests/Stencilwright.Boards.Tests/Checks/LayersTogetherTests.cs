using CsCheck;
using Stencilwright.Boards.Checks;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>What is found depends on how layers lie to one another, and not on where all of them lie.</summary>
public sealed class LayersTogetherTests
{
    private static readonly Gen<Affine2> _maps = Gen.Select(
        Gen.OneOf(Gen.Const(Affine2.Identity), Gen.Const(Affine2.RotationDegrees(90)), Gen.Const(Affine2.RotationDegrees(180)), Gen.Const(Affine2.Scale(-1, 1))),
        Gen.Double[-200, 200],
        Gen.Double[-200, 200],
        (turn, x, y) => Affine2.Translation(x, y) * turn);

    [Fact]
    public void Moving_all_layers_together_changes_no_finding() => Gen.Select(Gen.Int[1, 1000], _maps).Check(
        (seed, map) =>
        {
            var (here, there) = (Spoilt(seed).Check(), Spoilt(seed).Mapped(map).Check());
            Assert.Equal(Texts(here.Top), Texts(there.Top));
            Assert.Equal(Texts(here.Bottom), Texts(there.Bottom));
            Assert.Equal(Texts(here.Board), Texts(there.Board));
            foreach (var (a, b) in here.Top.Zip(there.Top))
            {
                if (a.Finding.XMm is not null)
                {
                    var moved = map.Apply(new Point2(a.Finding.XMm!.Value, a.Finding.YMm!.Value));
                    Assert.True(Point2.Distance(moved, new(b.Finding.XMm!.Value, b.Finding.YMm!.Value)) < 0.001);
                }
            }
        },
        iter: 25);

    [Fact]
    public void Good_boards_give_nothing_wherever_they_lie() => Gen.Select(Gen.Int[1, 1000], _maps).Check(
        (seed, map) => Assert.Equal("", PlantedFaultTests.Codes(new SketchBoard(seed).Mapped(map))), iter: 25);

    [Fact]
    public void Any_move_of_one_layer_is_found_and_told() => Gen.Select(Gen.Int[1, 1000], Gen.Double[-30, 30], Gen.Double[-30, 30]).Check(
        (seed, x, y) =>
        {
            if (Math.Abs(x) + Math.Abs(y) < 0.2)
            {
                return;
            }

            var board = new SketchBoard(seed);
            board.TopPaste = board.TopPaste.Mapped(Affine2.Translation(x, y));
            var boxes = board.TopPaste.Objects.Select(o => o.Shape.Bounds).ToArray();
            var fit = LayerFitSearch.Best(boxes, LayerFeatures.Of(board.TopCopper.Painted(), false), true)!;
            Assert.Equal("", fit.Words);
            Assert.Equal(-x, fit.Shift.X, 3);
            Assert.Equal(-y, fit.Shift.Y, 3);
            Assert.Equal(1, fit.Share);
        },
        iter: 40);

    // One of each fault that a single opening can have.
    private static SketchBoard Spoilt(int seed)
    {
        var board = new SketchBoard(seed);
        var (a, b) = (board.Top[9], board.Top[30]);
        board.Via(a.X + (a.Width / 4), a.Y);
        board.TopMask.Objects[20] = new SketchLayer("").Rectangle(b.X, b.Y, 0.1, 0.1).Objects[0];
        board.TopCopper.Objects.RemoveAt(41);
        return board;
    }

    private static IEnumerable<string> Texts(IEnumerable<CheckFinding> findings) =>
        findings.Select(f => $"{f.Finding.Code} {f.Finding.Severity} {f.Finding.Message} {string.Join(',', f.Openings)}");
}
