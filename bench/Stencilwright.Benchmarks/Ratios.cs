using System.Diagnostics;
using System.Globalization;

namespace Stencilwright.Benchmarks;

/// <summary>Times ours and the peer in turn, round by round, and prints the least of each: steady on a machine with other work.</summary>
internal static class Ratios
{
    private const int Rounds = 25;

    public static void Print()
    {
        var union = new PadUnionBenchmark();
        union.Setup();
        One("union, a fifth in pairs", () => union.UnionIslands(), () => union.NetTopologySuiteOverlayOfPairs());
        foreach (var many in (ReadOnlySpan<bool>)[false, true])
        {
            var inset = new PadInsetBenchmark { ManyNotches = many };
            inset.Setup();
            var mix = many ? ", many notches" : ", one notch";
            One("inset" + mix, () => inset.Inset(), () => inset.NetTopologySuiteBuffer());
            One("inset, unequal kerf" + mix, () => inset.InsetUnequal(), () => inset.NetTopologySuiteBuffer());
            One("opening" + mix, () => inset.Open(), null);
            var width = new PadWidthBenchmark { ManyNotches = many };
            width.Setup();
            One("narrowest width" + mix, () => width.NarrowestWidth(), null);
        }

        var web = new PadWebBenchmark();
        web.Setup();
        One("nearest neighbours", () => web.Nearest(), () => web.NetTopologySuiteNearest(), 6);
        One("pairs nearer than 2 mm", () => web.Closer(), null);
        foreach (var count in (ReadOnlySpan<int>)[2_500, 10_000])
        {
            var strokes = new StrokeUnionBenchmark { Count = count };
            strokes.Setup();
            One(string.Create(CultureInfo.InvariantCulture, $"union of {count} strokes"), () => strokes.UnionIslands(), null, 6);
        }
    }

    private static void One(string name, Action ours, Action? peer, int rounds = Rounds)
    {
        var (least, leastOfPeer) = (double.PositiveInfinity, double.PositiveInfinity);
        for (var i = 0; i < rounds; i++)
        {
            least = Math.Min(least, Time(ours));
            if (peer is not null)
            {
                leastOfPeer = Math.Min(leastOfPeer, Time(peer));
            }

            least = Math.Min(least, Time(ours));
        }

        var against = peer is null ? "" : string.Create(CultureInfo.InvariantCulture, $", peer {leastOfPeer:0.0} ms, ratio {leastOfPeer / least:0.0}");
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name}: {least:0.0} ms{against}"));
    }

    private static double Time(Action action)
    {
        var start = Stopwatch.GetTimestamp();
        action();
        return Stopwatch.GetElapsedTime(start).TotalMilliseconds;
    }
}
