using BenchmarkDotNet.Attributes;
using NetTopologySuite.Geometries;
using NetTopologySuite.Index.Strtree;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>Every pad's nearest neighbour among 10,000, and its distance; the peer finds them in its packed tree.</summary>
[MemoryDiagnoser]
public class PadWebBenchmark
{
    private Region[] _pads = [];
    private Polygon[] _reference = [];

    [GlobalSetup]
    public void Setup()
    {
        _pads = Pads.Make(10_000, 4);
        _reference = [.. _pads.Select(Pads.ToReference)];
    }

    [Benchmark(Baseline = true)]
    public double NetTopologySuiteNearest()
    {
        var tree = new STRtree<NetTopologySuite.Geometries.Geometry>();
        foreach (var pad in _reference)
        {
            tree.Insert(pad.EnvelopeInternal, pad);
        }

        var sum = 0.0;
        var distance = new OtherDistance();
        foreach (var pad in _reference)
        {
            sum += tree.NearestNeighbour(pad.EnvelopeInternal, pad, distance).Distance(pad);
        }

        return sum;
    }

    [Benchmark]
    public double Nearest() => WebSearch.Nearest(_pads, double.PositiveInfinity).Sum(n => n!.Value.WidthMm);

    [Benchmark]
    public int Closer() => WebSearch.Closer(_pads, 2).Length;

    // The peer's own item distance does not know the item asked about from the same item in the tree.
    private sealed class OtherDistance : IItemDistance<Envelope, NetTopologySuite.Geometries.Geometry>
    {
        public double Distance(
            IBoundable<Envelope, NetTopologySuite.Geometries.Geometry> item1, IBoundable<Envelope, NetTopologySuite.Geometries.Geometry> item2) =>
            ReferenceEquals(item1.Item, item2.Item) ? double.MaxValue : item1.Item.Distance(item2.Item);
    }
}
