using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Cutting.Tests;

public sealed class HeldEdgeTests
{
    [Fact]
    public void Two_bridges_stay_in_the_middles_of_opposite_sides()
    {
        var paths = HeldEdge.PathsOf(Contour.Rectangle(new(0, 0, 20, 10)), 0.15);
        Assert.Equal(2, paths.Length);
        Assert.Equal(60 - (2 * 0.65), paths.Sum(p => p.LengthMm), 9);
        double[] ends = [.. paths.SelectMany(p => new[] { p.Vertices[0].X, p.Vertices[^1].X }).Order()];
        Assert.Equal([9.675, 9.675, 10.325, 10.325], ends.Select(x => Math.Round(x, 6)));
    }

    [Fact]
    public void Arcs_keep_their_circle()
    {
        var slot = new Contour([new(0, 0), new(10, 0, 1), new(10, 4), new(0, 4, 1)]);
        foreach (var path in HeldEdge.PathsOf(slot, 0.15))
        {
            for (var i = 0; i < path.SegmentCount; i++)
            {
                if (!path.SegmentAt(i).IsLine)
                {
                    Assert.Equal(2, path.SegmentAt(i).Radius, 9);
                }
            }
        }
    }

    [Fact]
    public void A_round_edge_has_no_side_to_leave_a_bridge_on()
    {
        var path = Assert.Single(HeldEdge.PathsOf(Contour.Circle(new(0, 0), 5), 0.15));
        Assert.Equal(10 * Math.PI, path.LengthMm, 6);
    }
}
