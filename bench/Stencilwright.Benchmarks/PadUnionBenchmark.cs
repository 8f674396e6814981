using BenchmarkDotNet.Attributes;
using NetTopologySuite.Operation.Overlay;
using NetTopologySuite.Operation.OverlayNG;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>
/// The union of 10,000 pads, a fifth of which overlap in pairs. The peer is given the pairs and unites only these; ours
/// gets all pads in one list and has to find out which meet.
/// </summary>
[MemoryDiagnoser]
public class PadUnionBenchmark
{
    private Region[] _pads = [];
    private (NetTopologySuite.Geometries.Geometry A, NetTopologySuite.Geometries.Geometry B)[] _pairs = [];

    [GlobalSetup]
    public void Setup()
    {
        _pads = Pads.Make(10_000, 5);
        var pairs = new List<(NetTopologySuite.Geometries.Geometry, NetTopologySuite.Geometries.Geometry)>();
        for (var i = 0; i < _pads.Length; i += 10)
        {
            var (a, b) = (_pads[i].Bounds.Center, _pads[i + 1].Bounds.Center);
            _pads[i + 1] = _pads[i + 1].Transform(Affine2.Translation(a.X - b.X + 0.13, a.Y - b.Y + 0.11));
            pairs.Add((Pads.ToReference(_pads[i]), Pads.ToReference(_pads[i + 1])));
        }

        _pairs = [.. pairs];
    }

    [Benchmark(Baseline = true)]
    public double NetTopologySuiteOverlayOfPairs() =>
        _pairs.Sum(p => OverlayNGRobust.Overlay(p.A, p.B, SpatialFunction.Union).Area);

    [Benchmark]
    public double NetTopologySuiteClassicOverlayOfPairs() => _pairs.Sum(p => p.A.Union(p.B).Area);

    [Benchmark]
    public double UnionIslands() => RegionBoolean.UnionIslands(_pads).Sum(i => i.Shape.AreaMm2);
}
