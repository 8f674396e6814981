using System.Globalization;
using CsCheck;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

/// <summary>The search on problems whose best answers are known: TSPLIB95 (G. Reinelt, Heidelberg), legs rounded to whole numbers.</summary>
public sealed class TourTests
{
    private const string Absent = "The folder of published problems is not beside this checkout.";

    private static string? Folder => RealBoards.Folder is { } boards && Path.Combine(boards, "..", "data") is var data && Directory.Exists(data)
        ? data
        : null;

    [Fact]
    public void The_published_order_and_the_best_tour_have_their_published_lengths()
    {
        Assert.SkipWhen(Folder is null, Absent);
        var cities = Read("pcb442");
        Assert.Equal(221440, Closed(cities, [.. Enumerable.Range(0, cities.Length)]));
        var best = File.ReadLines(Path.Combine(Folder!, "pcb442.opt.tour")).Where(l => int.TryParse(l, out var n) && n > 0)
            .Select(l => int.Parse(l, CultureInfo.InvariantCulture) - 1).ToArray();
        Assert.Equal(50778, Closed(cities, best));
    }

    [Theory]
    [InlineData("pcb442", 50778, 200, 0.02)]
    [InlineData("pcb442", 50778, 3000, 0.005)]
    [InlineData("pcb442", 50778, 100_000, 0)]
    [InlineData("berlin52", 7542, 3000, 0)]
    public void Known_problems_are_solved_nearly_as_well_as_possible(string name, int optimum, int steps, double within)
    {
        Assert.SkipWhen(Folder is null, Absent);
        var length = Solve(Read(name), steps);
        TestContext.Current.SendDiagnosticMessage($"{name} {steps}: {length}");
        Assert.InRange(length, optimum, optimum * (1 + within));
    }

    [Fact]
    public void More_steps_never_make_a_longer_way()
    {
        Assert.SkipWhen(Folder is null, Absent);
        var cities = Read("pcb442");
        var before = double.PositiveInfinity;
        foreach (var steps in (long[])[0, 1, 5, 30, 100, 200, 600, 1500, 3000, 6000])
        {
            var order = Order(cities, steps, TestContext.Current.CancellationToken);
            var length = Way(cities, order, TourCost.Length);
            Assert.True(length <= before + 1e-6, $"{steps} steps: {length}, with fewer {before}");
            before = length;
        }
    }

    [Fact]
    public void A_search_that_is_stopped_keeps_its_best_and_visits_all()
    {
        var points = Points(7, 500);
        using var stopped = new CancellationTokenSource();
        stopped.Cancel();
        var order = Tour.Find(new(0, 0), points, null, TourCost.Length, 3000, stopped.Token);
        Assert.Equal(Enumerable.Range(0, 500), order.Order());
        Assert.True(Way([new(0, 0), .. points], [0, .. order.Select(i => i + 1)], TourCost.Length, isClosed: false)
            <= Way([new(0, 0), .. points], [.. Enumerable.Range(0, 501)], TourCost.Length, isClosed: false));
    }

    [Fact]
    public void A_way_is_never_worse_than_the_order_given_whatever_its_cost() => Gen.Select(
        Gen.Double[0, 20].Array[2].Array[1, 40], Gen.Select(Gen.Int[0, 39], Gen.Int[0, 39], Gen.Double[0, 2]).Array[0, 40], Gen.Int[0, 300], Gen.Bool)
        .Check((at, webs, steps, hasEnd) =>
        {
            Point2[] points = [.. at.Select(p => new Point2(p[0], p[1]))];
            Point2? end = hasEnd ? new(10, 0) : null;
            var pairs = webs.Where(w => w.Item1 < w.Item2 && w.Item2 < points.Length)
                .DistinctBy(w => (w.Item1, w.Item2)).Select(w => (w.Item1, w.Item2, w.Item3)).ToList();
            var cost = TourCost.Time(200, 1000).WithReheat(points.Length, pairs);
            var order = Tour.Find(new(0, 0), points, end, cost, steps, TestContext.Current.CancellationToken);
            Assert.Equal(Enumerable.Range(0, points.Length), order.Order());
            Point2[] all = end is { } e ? [new(0, 0), .. points, e] : [new(0, 0), .. points];
            int[] tail = hasEnd ? [points.Length + 1] : [];
            var found = Way(all, [0, .. order.Select(i => i + 1), .. tail], cost, isClosed: false, points.Length);
            var given = Way(all, [.. Enumerable.Range(0, all.Length)], cost, isClosed: false, points.Length);
            Assert.True(found <= given + 1e-9, $"{found} {given}");
            Assert.Equal(order, Tour.Find(new(0, 0), points, end, cost, steps, TestContext.Current.CancellationToken));
        }, iter: 150);

    [Fact]
    public void Small_ways_are_the_best_there_are() => Gen.Double[0, 20].Array[2].Array[7]
        .Check(at =>
        {
            Point2[] points = [.. at.Select(p => new Point2(p[0], p[1]))];
            var order = Tour.Find(new(0, 0), points, new Point2(20, 20), TourCost.Length, 3000, TestContext.Current.CancellationToken);
            Point2[] all = [new(0, 0), .. points, new(20, 20)];
            var found = Way(all, [0, .. order.Select(i => i + 1), 8], TourCost.Length, isClosed: false);
            var best = Permutations([1, 2, 3, 4, 5, 6, 7]).Min(p => Way(all, [0, .. p, 8], TourCost.Length, isClosed: false));
            Assert.Equal(best, found, 1e-9);
        }, iter: 15);

    private static IEnumerable<int[]> Permutations(int[] items)
    {
        if (items.Length <= 1)
        {
            yield return items;
            yield break;
        }

        foreach (var first in items)
        {
            foreach (var rest in Permutations([.. items.Where(i => i != first)]))
            {
                yield return [first, .. rest];
            }
        }
    }

    private static double Way(Point2[] all, int[] order, TourCost cost, bool isClosed = true, int reheated = 0)
    {
        var sum = 0.0;
        for (var i = isClosed ? 0 : 1; i < order.Length; i++)
        {
            var (a, b) = (order[i == 0 ? order.Length - 1 : i - 1], order[i]);
            var (dx, dy) = (all[a].X - all[b].X, all[a].Y - all[b].Y);
            sum += cost.Travel((dx * dx) + (dy * dy));
            sum += a > 0 && b > 0 && a <= reheated && b <= reheated ? cost.Reheat(a, b) : 0;
        }

        return sum;
    }

    private static Point2[] Points(int seed, int count)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => new Point2(random.NextDouble() * 90, random.NextDouble() * 90))];
    }

    private static int[] Order(Point2[] cities, long steps, CancellationToken enough) =>
        [0, .. Tour.Find(cities[0], cities.AsSpan(1), cities[0], TourCost.Length, steps, enough).Select(i => i + 1)];

    private static long Solve(Point2[] cities, long steps)
    {
        var order = Order(cities, steps, TestContext.Current.CancellationToken);
        Assert.Equal(Enumerable.Range(0, cities.Length), order.Order());
        return Closed(cities, order);
    }

    private static long Closed(Point2[] cities, int[] order)
    {
        var sum = 0L;
        for (var i = 0; i < order.Length; i++)
        {
            sum += (long)Math.Floor(Point2.Distance(cities[order[i]], cities[order[(i + 1) % order.Length]]) + 0.5);
        }

        return sum;
    }

    private static Point2[] Read(string name) =>
        [.. File.ReadLines(Path.Combine(Folder!, name + ".tsp"))
            .SkipWhile(l => !l.StartsWith("NODE_COORD_SECTION", StringComparison.Ordinal)).Skip(1)
            .TakeWhile(l => l.Trim() is not ("EOF" or ""))
            .Select(l => l.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            .Select(f => new Point2(double.Parse(f[1], CultureInfo.InvariantCulture), double.Parse(f[2], CultureInfo.InvariantCulture)))];
}
