using Stencilwright.Samples;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.App.Tests;

public sealed class SamplesTests
{
    [Fact]
    public void The_generator_gives_the_boards_that_are_kept()
    {
        var made = new List<string>();
        foreach (var board in SampleBoards.All())
        {
            foreach (var (file, bytes) in board.Files())
            {
                var kept = Path.Combine(RealBoards.CheckoutRoot, "samples", board.Name, file);
                Assert.True(File.Exists(kept), kept);
                Assert.True(File.ReadAllBytes(kept).AsSpan().SequenceEqual(bytes), file);
                made.Add(kept);
            }
        }

        // Nothing lies about that the generator would not write.
        Assert.Equal(
            made.Order(StringComparer.Ordinal),
            Directory.GetFiles(Path.Combine(RealBoards.CheckoutRoot, "samples"), "*.gbr", SearchOption.AllDirectories).Order(StringComparer.Ordinal));
    }
}
