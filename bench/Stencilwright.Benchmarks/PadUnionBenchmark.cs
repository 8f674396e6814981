using BenchmarkDotNet.Attributes;
using NetTopologySuite.Operation.Union;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>The union of 10,000 pads, close enough that many overlap their neighbours.</summary>
[MemoryDiagnoser]
public class PadUnionBenchmark
{
    private Region[] _pads = [];
    private NetTopologySuite.Geometries.Geometry[] _reference = [];

    [GlobalSetup]
    public void Setup()
    {
        _pads = Pads.Make(10_000, 1.6);
        _reference = [.. _pads.Select(Pads.ToReference)];
    }

    [Benchmark(Baseline = true)]
    public double NetTopologySuiteCascaded() => CascadedPolygonUnion.Union(_reference).Area;

    [Benchmark]
    public double UnionIslands() => RegionBoolean.UnionIslands(_pads).Sum(i => i.Shape.AreaMm2);
}
