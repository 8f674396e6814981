using BenchmarkDotNet.Attributes;
using NetTopologySuite.Algorithm.Construct;
using NetTopologySuite.Geometries;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>The narrowest width of 2,000 pads; the peer finds their largest circles, to 1 µm.</summary>
[MemoryDiagnoser]
public class PadWidthBenchmark
{
    private Region[] _pads = [];
    private Polygon[] _reference = [];

    /// <summary>False: one polygon in eight has one notch. True: it has one at every fourth vertex.</summary>
    [Params(false, true)]
    public bool ManyNotches { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _pads = Pads.Make(2_000, 5, ManyNotches);
        _reference = [.. _pads.Select(Pads.ToReference)];
    }

    [Benchmark(Baseline = true)]
    public double NetTopologySuiteInscribedCircle() => _reference.Sum(p => MaximumInscribedCircle.GetRadiusLine(p, 1e-3).Length);

    [Benchmark]
    public double NarrowestWidth() => _pads.Sum(p => RegionWidth.Narrowest(p).DiameterMm);
}
