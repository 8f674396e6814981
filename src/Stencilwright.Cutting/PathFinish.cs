using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What the beam does beyond the contour: the way to its start, the way on past it, and further passes.</summary>
internal sealed class PathFinish
{
    // Leads are tested from here on: at the start itself they touch the path they lead to.
    private const double TouchMm = 1e-5;

    private readonly double _overlap;
    private readonly double _lead;

    public PathFinish(JobSettings settings) => (_overlap, _lead) = (settings.StartOverlapMm, settings.LeadInMm);

    /// <summary>Owners of closed cuts whose waste had no room for the lead, in the order of cutting.</summary>
    public List<string> Cramped { get; } = [];

    /// <summary>Every path with its lead and overlap, as often as it is run.</summary>
    /// <param name="paths">In the order of cutting.</param>
    /// <param name="passes">How often a path of a kind is run.</param>
    public List<CutPath> Of(List<CutPath> paths, Func<CutKind, int> passes)
    {
        var done = new List<CutPath>(paths.Count);
        for (var first = 0; first < paths.Count;)
        {
            // Contours that bound the same waste follow each other.
            var last = first + 1;
            while (last < paths.Count && paths[last].Kind == paths[first].Kind && paths[last].Owner == paths[first].Owner)
            {
                last++;
            }

            for (var i = first; i < last; i++)
            {
                Repeat(done, paths[i].IsClosed ? Led(paths, first, last, i) : paths[i], passes(paths[i].Kind));
            }

            first = last;
        }

        return done;
    }

    // Each path is run again at once: what a first pass loosens may have moved by the time the beam came back. An open one is run
    // to and fro.
    private static void Repeat(List<CutPath> done, CutPath path, int passes)
    {
        var isLine = !path.IsClosed && path.Kind is CutKind.OpeningLine or CutKind.Score;
        for (var pass = 0; pass < passes; pass++)
        {
            var run = isLine && pass % 2 == 1 ? PathOrder.Reversed(path) : path;
            done.Add(pass == 0 ? run : run with { IsRepeat = true });
        }
    }

    private CutPath Led(List<CutPath> paths, int first, int last, int index)
    {
        var path = paths[index];
        Point2? lead = null;
        if (_lead > 0 && path.Kind is CutKind.Opening or CutKind.Pocket)
        {
            lead = LeadStart(paths, first, last, path);
            if (lead is null)
            {
                Cramped.Add(path.Owner);
            }
        }

        if (lead is null && _overlap <= 0)
        {
            return path;
        }

        var vertices = ImmutableArray.CreateBuilder<PathVertex>(path.Vertices.Length + 3);
        if (lead is { } from)
        {
            vertices.Add(new(from.X, from.Y));
        }

        vertices.AddRange(path.Vertices);
        AddOverlap(vertices, path);
        return path with { Vertices = vertices.DrainToImmutable(), IsClosed = false };
    }

    // Once more along the path from its start, no further than once round.
    private void AddOverlap(ImmutableArray<PathVertex>.Builder vertices, CutPath path)
    {
        var left = _overlap;
        for (var i = 0; i < path.Vertices.Length && left > 0; i++)
        {
            var segment = path.SegmentAt(i);
            var length = segment.Length;
            if (left < length)
            {
                vertices.Add(path.Vertices[i] with { Bulge = StartSites.Part(segment.Bulge, left / length) });
                var end = segment.PointAt(left / length);
                vertices.Add(new(end.X, end.Y));
                return;
            }

            vertices.Add(path.Vertices[i]);
            left -= length;
        }

        vertices.Add(new(path.Start.X, path.Start.Y));
    }

    // Square to the side, at a corner half way between both, to the left: the waste lies left of every contour. The beam's centre must stay inside the contours.
    private Point2? LeadStart(List<CutPath> paths, int first, int last, CutPath path)
    {
        var (before, after) = (path.SegmentAt(path.SegmentCount - 1).EndTangent, path.SegmentAt(0).StartTangent);
        var inwards = (before.Left + after.Left).Unit;
        var (near, far) = (path.Start + (inwards * TouchMm), path.Start + (inwards * _lead));
        var way = new Segment(near, far, 0);
        var winding = 0;
        for (var i = first; i < last; i++)
        {
            if (!paths[i].IsClosed)
            {
                continue;
            }

            for (var k = 0; k < paths[i].SegmentCount; k++)
            {
                if (RegionDistance.Between(way, paths[i].SegmentAt(k)).DistanceMm < TouchMm / 20)
                {
                    return null;
                }
            }

            winding += Measure.WindingNumber(paths[i].Vertices.AsSpan(), far);
        }

        return winding > 0 ? far : null;
    }
}
