using System.Diagnostics;
using System.Globalization;
using System.Text;
using Xunit;
using static Stencilwright.Artwork.Tests.GerberTesting;

namespace Stencilwright.Artwork.Tests;

/// <summary>What reading costs: memory is bounded in the suite, speed is printed when asked for.</summary>
public sealed class GerberSpeedTests(ITestOutputHelper output)
{
    [Fact]
    public void An_operation_costs_no_allocation_but_its_place_in_the_list()
    {
        var few = Allocated(Layer(2_000));
        var many = Allocated(Layer(34_000));

        // The list doubles: at most twice what is used, and as much again for the lists outgrown; 32,000 operations of 16 bytes.
        Assert.InRange(many - few, 0, 32_000L * 16 * 4);
    }

    [Fact(Explicit = true)]
    public void Speed_of_reading_fifty_megabytes_of_coordinates()
    {
        var bytes = Layer(2_300_000);
        for (var round = 0; round < 6; round++)
        {
            using var process = Process.GetCurrentProcess();
            var before = process.TotalProcessorTime;
            var read = Read(bytes);
            process.Refresh();
            var spent = process.TotalProcessorTime - before;
            Assert.Equal(2_300_000, read.Value!.ObjectCount);
            output.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{bytes.Length / 1e6:F1} MB in {spent.TotalMilliseconds:F0} ms of processor time: {bytes.Length / 1e6 / spent.TotalSeconds:F0} MB/s"));
        }
    }

    private static long Allocated(byte[] bytes)
    {
        Read(bytes);
        var before = GC.GetAllocatedBytesForCurrentThread();
        var read = Read(bytes);
        var after = GC.GetAllocatedBytesForCurrentThread();
        Assert.True(read.Value!.ObjectCount > 0);
        return after - before;
    }

    private static byte[] Layer(int operations)
    {
        var text = new StringBuilder(Metric + "%ADD10C,0.1*%D10*G01*X0Y0D02*\n", operations * 24);
        for (var i = 0; i < operations; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"X{100_000_000 - (i * 31)}Y{(i * 17) - 9_999_999}D01*\n");
        }

        return Encoding.ASCII.GetBytes(text.Append("M02*\n").ToString());
    }
}
