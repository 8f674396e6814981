using BenchmarkDotNet.Attributes;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>The union of crossing strokes, nearly all in one cluster: how time grows with their number.</summary>
[MemoryDiagnoser]
public class StrokeUnionBenchmark
{
    private Region[] _strokes = [];

    /// <summary>Number of strokes; each crosses about five others, however many there are.</summary>
    [Params(2_500, 10_000)]
    public int Count { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        var random = new Random(20260102);
        var side = Math.Sqrt(Count);
        _strokes = new Region[Count];
        for (var i = 0; i < Count; i++)
        {
            var half = 0.5 + (2.5 * random.NextDouble());
            var place = Affine2.Translation(random.NextDouble() * side, random.NextDouble() * side) * Affine2.RotationDegrees(random.NextDouble() * 180);
            _strokes[i] = Region.Of(new Contour([new(-half, -0.1), new(half, -0.1, 1), new(half, 0.1), new(-half, 0.1, 1)])).Transform(place);
        }
    }

    [Benchmark]
    public int UnionIslands() => RegionBoolean.UnionIslands(_strokes).Length;
}
