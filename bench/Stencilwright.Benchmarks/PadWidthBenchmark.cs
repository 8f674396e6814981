using BenchmarkDotNet.Attributes;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>The narrowest width of 10,000 pads. The peer's largest circle takes seconds on rectangles, and sees no necks.</summary>
[MemoryDiagnoser]
public class PadWidthBenchmark
{
    private Region[] _pads = [];

    /// <summary>False: one polygon in eight has one notch. True: it has one at every fourth vertex.</summary>
    [Params(false, true)]
    public bool ManyNotches { get; set; }

    [GlobalSetup]
    public void Setup() => _pads = Pads.Make(10_000, 5, ManyNotches);

    [Benchmark]
    public double NarrowestWidth() => _pads.Sum(p => RegionWidth.Narrowest(p).DiameterMm);
}
