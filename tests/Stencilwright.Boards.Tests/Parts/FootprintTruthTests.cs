using Stencilwright.Boards.Parts;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>Floors under what is measured on boards of known parts (docs/algorithms/footprints.md); each is a little below what was reached.</summary>
public sealed class FootprintTruthTests
{
    [Fact]
    public void Every_part_of_the_samples_is_found_whole_with_its_kind_and_size()
    {
        foreach (var board in TruthBoards.Samples())
        {
            var score = new TruthScore().Add(board, FootprintFinder.Find(board.Paste));
            Assert.True(score.Known > 5, board.Name);
            Assert.Equal(score.Known, score.Grouped);
            Assert.Equal(score.KnownClass, score.Classed);
            Assert.Equal(score.KnownSize, score.Sized);
            Assert.Empty(score.Wrong);
        }
    }

    // Kinds and groups: attributes and placement lists of the boards themselves (truth.txt says which).
    [Theory]
    [InlineData("page-frame", 52, 52)]
    [InlineData("paired-svg", 162, 156)]
    public void Parts_of_real_boards_are_found_and_nothing_sure_is_wrong(string name, int grouped, int classed)
    {
        Assert.SkipWhen(RealBoards.Folder is null, RealBoards.Absent);
        var board = TruthBoards.Real().Single(b => b.Name == name);
        var score = new TruthScore().Add(board, FootprintFinder.Find(board.Paste));
        Assert.True(score.Grouped >= grouped, $"{score.Grouped} of {score.Known} grouped");
        Assert.True(score.Classed >= classed, $"{score.Classed} of {score.KnownClass} classed");
        Assert.True(score.Sure >= 0.8 * score.Known, $"{score.Sure} sure");
        Assert.Empty(score.Wrong);
    }

    [Theory]
    [InlineData(0, 0.99, 0.999)]
    [InlineData(1, 0.97, 0.995)]
    [InlineData(2, 0.97, 0.995)]
    [InlineData(3, 0.93, 0.99)]
    [InlineData(4, 0.97, 0.995)]
    public void Parts_of_random_boards_are_found_and_what_is_sure_is_right(int way, double recall, double sureAndRight)
    {
        var score = new TruthScore();
        for (var seed = 101; seed <= 105; seed++)
        {
            var board = RandomBoards.Make(FootprintBench.Orders[way].Order with { Seed = seed });
            score.Add(board, FootprintFinder.Find(board.Paste));
        }

        Assert.True(score.Known > 700);
        Assert.True(score.Grouped >= recall * score.Known, $"{score.Grouped} of {score.Known} grouped, missed {score.Missed}");
        Assert.True(score.RightSure >= sureAndRight * score.Sure, string.Join('\n', score.Wrong));
        Assert.True(score.Sure >= 0.75 * score.Found, $"{score.Sure} of {score.Found} sure");
        Assert.True(score.RightSize >= 0.998 * score.SaidSize, string.Join('\n', score.Wrong));
    }
}
