using CsCheck;
using Google.OrTools.Sat;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Cutting.Tests;

/// <summary>The search against proven optima of the constraint solver of OR-Tools 9.15 (circuit constraint, one worker).</summary>
public sealed class TourExactTests
{
    // The solver counts in whole numbers; a cost of 1 is that many.
    private const double Scale = 1e6;

    [Fact]
    public void Small_ways_cost_what_an_exact_solver_proves_least() => Gen.Select(
        Gen.Double[0, 20].Array[2].Array[8, 12], Gen.Select(Gen.Int[0, 11], Gen.Int[0, 11], Gen.Double[0, 0.5]).Array[0, 30], Gen.Bool, Gen.Bool)
        .Check((at, webs, hasEnd, isTime) =>
        {
            Point2[] points = [.. at.Select(p => new Point2(p[0], p[1]))];
            Point2? end = hasEnd ? new(20, 10) : null;
            var pairs = webs.Where(w => w.Item1 < w.Item2 && w.Item2 < points.Length)
                .DistinctBy(w => (w.Item1, w.Item2)).Select(w => (w.Item1, w.Item2, w.Item3)).ToList();
            var cost = (isTime ? TourCost.Time(200, 1000) : TourCost.Length).WithReheat(points.Length, pairs);
            var order = Tour.Find(new(0, 0), points, end, cost, 20_000, TestContext.Current.CancellationToken);
            var legs = Legs(points, end, cost);
            int[] ring = [0, .. order.Select(i => i + 1), points.Length + 1];
            var found = ring.Zip(ring.Skip(1)).Sum(leg => legs[leg.First, leg.Second]);

            // Every leg was rounded by up to a half: two ways that cost nearly the same may change places by that.
            var least = Least(legs);
            Assert.InRange(found, least, least + ring.Length);
        }, iter: 30);

    // The last node is the end; to one that may be anywhere every leg is free.
    private static long[,] Legs(Point2[] points, Point2? end, TourCost cost)
    {
        Point2[] places = [new(0, 0), .. points, end ?? new(0, 0)];
        var legs = new long[places.Length, places.Length];
        for (var i = 0; i < places.Length; i++)
        {
            for (var j = 0; j < places.Length; j++)
            {
                var isFree = end is null && (i == places.Length - 1 || j == places.Length - 1);
                var (dx, dy) = (places[i].X - places[j].X, places[i].Y - places[j].Y);
                var isPair = i > 0 && j > 0 && i <= points.Length && j <= points.Length;
                legs[i, j] = isFree ? 0 : (long)Math.Round(Scale * (cost.Travel((dx * dx) + (dy * dy)) + (isPair ? cost.Reheat(i, j) : 0)));
            }
        }

        return legs;
    }

    private static long Least(long[,] legs)
    {
        var model = new CpModel();
        var circuit = model.AddCircuit();
        var sum = LinearExpr.NewBuilder();
        var count = legs.GetLength(0);
        for (var i = 0; i < count; i++)
        {
            for (var j = 0; j < count; j++)
            {
                // From the end the way goes back to the start, and nowhere else; that costs nothing.
                if (i != j && (i == count - 1) == (j == 0))
                {
                    var isTaken = model.NewBoolVar($"{i} {j}");
                    circuit.AddArc(i, j, isTaken);
                    sum.AddTerm(isTaken, j == 0 ? 0 : legs[i, j]);
                }
            }
        }

        model.Minimize(sum);
        var solver = new CpSolver { StringParameters = "num_workers:1" };
        Assert.Equal(CpSolverStatus.Optimal, solver.Solve(model));
        return (long)Math.Round(solver.ObjectiveValue);
    }
}
