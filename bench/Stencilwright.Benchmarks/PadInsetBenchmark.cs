using BenchmarkDotNet.Attributes;
using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Buffer;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>The kerf inset of 10,000 pads: ours keeps arcs, the reference has chords before and after.</summary>
[MemoryDiagnoser]
public class PadInsetBenchmark
{
    private const double HalfKerfMm = 0.075;
    private Region[] _pads = [];
    private Polygon[] _reference = [];

    /// <summary>False: one polygon in eight has one notch. True: it has one at every fourth vertex.</summary>
    [Params(false, true)]
    public bool ManyNotches { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _pads = Pads.Make(10_000, 5, ManyNotches);
        _reference = [.. _pads.Select(Pads.ToReference)];
    }

    [Benchmark(Baseline = true)]
    public double NetTopologySuiteBuffer()
    {
        var area = 0.0;
        var settings = new BufferParameters(8);
        foreach (var pad in _reference)
        {
            area += BufferOp.Buffer(pad, -HalfKerfMm, settings).Area;
        }

        return area;
    }

    [Benchmark]
    public double Inset()
    {
        var area = 0.0;
        foreach (var pad in _pads)
        {
            area += RegionOffset.Inset(pad, HalfKerfMm, HalfKerfMm).AreaMm2;
        }

        return area;
    }

    [Benchmark]
    public double InsetUnequal()
    {
        var area = 0.0;
        foreach (var pad in _pads)
        {
            area += RegionOffset.Inset(pad, HalfKerfMm, HalfKerfMm * 0.8).AreaMm2;
        }

        return area;
    }

    [Benchmark]
    public double Open()
    {
        var area = 0.0;
        foreach (var pad in _pads)
        {
            area += RegionOffset.Open(pad, HalfKerfMm, HalfKerfMm).AreaMm2;
        }

        return area;
    }
}
