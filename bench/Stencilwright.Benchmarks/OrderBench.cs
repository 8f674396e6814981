using System.Diagnostics;
using System.Globalization;
using Google.OrTools.ConstraintSolver;
using Google.Protobuf.WellKnownTypes;
using Stencilwright.Cutting;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>Length of a closed way through points: ours, and the routing solver of OR-Tools in the time ours took.</summary>
internal static class OrderBench
{
    /// <summary>Prints a row for each effort, and for each the peer at equal time and at ten times that.</summary>
    /// <param name="problem">A TSPLIB file of places in a plane, or the number of random points in a square.</param>
    /// <param name="efforts">Steps per point.</param>
    /// <param name="best">The length to compare with; 0 takes the shortest of this run.</param>
    /// <param name="isPeerAsked">Whether the peer is run as well.</param>
    public static void Print(string problem, long[] efforts, double best, bool isPeerAsked)
    {
        var points = Points(problem);
        _ = Ours(Points("500"), 3000);
        var rows = new List<(string Name, double Seconds, double Length)>();
        foreach (var effort in efforts)
        {
            var clock = Process.GetCurrentProcess().UserProcessorTime;
            var wall = Stopwatch.GetTimestamp();
            var length = Ours(points, effort);
            var seconds = Stopwatch.GetElapsedTime(wall).TotalSeconds;
            var cpu = (Process.GetCurrentProcess().UserProcessorTime - clock).TotalSeconds;
            rows.Add(($"ours, {effort} steps a point", cpu, length));
            if (isPeerAsked)
            {
                rows.Add(("peer, equal time", seconds, Peers(points, seconds)));
                rows.Add(("peer, ten times that", 10 * seconds, Peers(points, 10 * seconds)));
            }
        }

        best = best > 0 ? best : rows.Min(r => r.Length);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{Path.GetFileName(problem)}: {points.Length} points, against {best:0}"));
        foreach (var (name, seconds, length) in rows)
        {
            var result = double.IsFinite(length)
                ? string.Create(CultureInfo.InvariantCulture, $"{length,9:0}  {((length / best) - 1) * 100:0.00} % more")
                : "no way found";
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name,-32} {seconds,7:0.00} s  {result}"));
        }
    }

    private static double Ours(Point2[] points, long effort)
    {
        var order = Tour.Find(points[0], points.AsSpan(1), points[0], TourCost.Length, effort, CancellationToken.None);
        return Closed(points, [0, .. order.Select(i => i + 1)]);
    }

    // Cheapest arc first, then guided local search, as its guide recommends for routing with one vehicle. Legs in whole thousandths.
    private static double Peers(Point2[] points, double seconds)
    {
        using var manager = new RoutingIndexManager(points.Length, 1, 0);
        using var model = new RoutingModel(manager);
        long[][] matrix = [.. points.Select(a => points.Select(b => (long)Math.Round(1000 * Point2.Distance(a, b))).ToArray())];
        model.SetArcCostEvaluatorOfAllVehicles(model.RegisterTransitMatrix(matrix));
        var parameters = operations_research_constraint_solver.DefaultRoutingSearchParameters();
        parameters.FirstSolutionStrategy = FirstSolutionStrategy.Types.Value.PathCheapestArc;
        parameters.LocalSearchMetaheuristic = LocalSearchMetaheuristic.Types.Value.GuidedLocalSearch;
        parameters.TimeLimit = Duration.FromTimeSpan(TimeSpan.FromSeconds(seconds));
        if (model.SolveWithParameters(parameters) is not { } found)
        {
            return double.PositiveInfinity;
        }

        var order = new List<int>();
        for (var at = model.Start(0); !model.IsEnd(at); at = found.Value(model.NextVar(at)))
        {
            order.Add(manager.IndexToNode(at));
        }

        return Closed(points, [.. order]);
    }

    // Published problems round every leg.
    private static double Closed(Point2[] points, int[] order)
    {
        if (order.Distinct().Count() != points.Length)
        {
            throw new InvalidOperationException("Not every point is visited once.");
        }

        return order.Select((a, i) => Math.Floor(Point2.Distance(points[a], points[order[(i + 1) % order.Length]]) + 0.5)).Sum();
    }

    private static Point2[] Points(string problem)
    {
        if (int.TryParse(problem, NumberStyles.None, CultureInfo.InvariantCulture, out var count))
        {
            var random = new Random(count);
            return [.. Enumerable.Range(0, count).Select(_ => new Point2(random.NextDouble() * 1e6, random.NextDouble() * 1e6))];
        }

        return [.. File.ReadLines(problem).SkipWhile(l => !l.StartsWith("NODE_COORD_SECTION", StringComparison.Ordinal)).Skip(1)
            .TakeWhile(l => l.Trim() is not ("EOF" or "")).Select(l => l.Split(' ', StringSplitOptions.RemoveEmptyEntries))
            .Select(f => new Point2(double.Parse(f[1], CultureInfo.InvariantCulture), double.Parse(f[2], CultureInfo.InvariantCulture)))];
    }
}
