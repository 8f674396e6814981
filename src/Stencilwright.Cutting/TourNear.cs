namespace Stencilwright.Cutting;

/// <summary>The few nodes every node is cheapest to reach from, cheapest first, and what that costs.</summary>
internal sealed class TourNear
{
    private TourNear(int perNode, int[] nodes, double[] costs) => (PerNode, Nodes, Costs) = (perNode, nodes, costs);

    public int PerNode { get; }

    /// <summary><see cref="PerNode"/> nodes for every node; -1 fills up.</summary>
    public int[] Nodes { get; }

    /// <summary>Cost of the leg to each; infinite where there is none.</summary>
    public double[] Costs { get; }

    /// <summary>Nodes from 0 up to those in the grid have near ones; those beyond are at no place.</summary>
    /// <param name="grid">The nodes that are at a place.</param>
    /// <param name="count">Number of nodes.</param>
    /// <param name="perNode">How many near ones to keep.</param>
    /// <param name="considered">How many of the nearest by place are looked at.</param>
    /// <param name="cost">Cost of a leg.</param>
    public static TourNear Find(PointGrid grid, int count, int perNode, int considered, Func<int, int, double> cost)
    {
        var candidates = grid.Neighbours(considered);
        var (nodes, costs) = (new int[count * perNode], new double[count * perNode]);
        Array.Fill(nodes, -1);
        Array.Fill(costs, double.PositiveInfinity);
        for (var i = 0; i < candidates.Length; i++)
        {
            if (candidates[i] >= 0)
            {
                var (node, start) = (i / considered, i / considered * perNode);
                Insert(nodes.AsSpan(start, perNode), costs.AsSpan(start, perNode), candidates[i], cost(node, candidates[i]));
            }
        }

        return new TourNear(perNode, nodes, costs);
    }

    public bool Holds(int node, int other) => Nodes.AsSpan(node * PerNode, PerNode).Contains(other);

    private static void Insert(Span<int> nodes, Span<double> costs, int node, double cost)
    {
        var at = costs.Length;
        while (at > 0 && costs[at - 1] > cost)
        {
            at--;
            if (at + 1 < costs.Length)
            {
                (costs[at + 1], nodes[at + 1]) = (costs[at], nodes[at]);
            }
        }

        if (at < costs.Length)
        {
            (costs[at], nodes[at]) = (cost, node);
        }
    }
}
