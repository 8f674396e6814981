using System.Buffers;

namespace Stencilwright.Geometry;

/// <summary>The sides of many regions in short runs with a box round each, laid out once for many distances, in arrays that are given back when done.</summary>
internal sealed class RegionSides : IDisposable
{
    // Sides that follow one another share a box: fewer make more boxes, more make them less tight.
    private const int RunLength = 8;

    // Fewer are laid out sooner than a second thread would be at work.
    private const int ManyRuns = 8_000;
    private const int BlockSize = 256;

    // Fewer pairs of sides are sooner gone through than a bound for them is found.
    private const int ManyPairs = 100;

    private const double ShallowBulge = 0.1;

    private readonly int[] _first;
    private readonly Run[] _runs;

    public RegionSides(ReadOnlyMemory<Region> field)
    {
        var regions = field.Span;
        _first = new int[regions.Length + 1];
        Boxes = new Bounds2[regions.Length];
        for (var i = 0; i < regions.Length; i++)
        {
            var runs = 0;
            foreach (var contour in regions[i].Contours)
            {
                runs += (contour.Count + RunLength - 1) / RunLength;
            }

            _first[i + 1] = _first[i] + runs;
            // Here and not by the threads: a shape may stand in several places, and finds its box when first asked.
            Boxes[i] = regions[i].Bounds;
        }

        _runs = ArrayPool<Run>.Shared.Rent(_first[^1]);
        if (_first[^1] < ManyRuns)
        {
            Fill(regions, 0, regions.Length);
            return;
        }

        var blocks = (regions.Length + BlockSize - 1) / BlockSize;
        Parallel.For(0, blocks, block => Fill(field.Span, block * BlockSize, Math.Min(field.Length, (block + 1) * BlockSize)));
    }

    /// <summary>The regions' boxes.</summary>
    public Bounds2[] Boxes { get; }

    /// <inheritdoc/>
    public void Dispose() => ArrayPool<Run>.Shared.Return(_runs, clearArray: true);

    /// <summary>As <see cref="RegionDistance.Between(Region, Region)"/> where that is below a bound; else infinite.</summary>
    public NearestPair Between(ReadOnlySpan<Region> regions, int a, int b, double boundMm)
    {
        var best = NearestPair.None with { DistanceMm = boundMm };
        var isFound = false;
        if (SidesOf(a) * SidesOf(b) >= ManyPairs && Corners(a, b) is var corners && corners < boundMm)
        {
            best = best with { DistanceMm = corners };
            isFound = Narrow(a, b, ref best);
            best = isFound ? best : best with { DistanceMm = boundMm };
        }

        isFound = isFound || Narrow(a, b, ref best);

        // Only a region whose box overlaps the other's can hold it.
        if (best.DistanceMm > 0 && Boxes[a].Overlaps(Boxes[b]) && RegionDistance.CommonPoint(regions[a], regions[b]) is { } common)
        {
            return new(0, common, common);
        }

        return isFound ? best : NearestPair.None;
    }

    // At most, which is near enough.
    private long SidesOf(int region) => (_first[region + 1] - _first[region]) is var runs && runs == 1 ? _runs[_first[region]].Count : RunLength * (long)runs;

    // Side by side in their order, whatever is left out: of several pairs at the least distance it is always the first.
    private bool Narrow(int a, int b, ref NearestPair best)
    {
        var isFound = false;
        ref readonly var boxB = ref Boxes[b];
        for (var k = _first[a]; k < _first[a + 1]; k++)
        {
            ref readonly var run = ref _runs[k];
            if (!IsNearer(run.Box, boxB, best.DistanceMm))
            {
                continue;
            }

            for (var i = run.First; i < run.First + run.Count; i++)
            {
                var side = run.Contour.SegmentAt(i);
                var box = BoxOf(side);
                if (IsNearer(box, boxB, best.DistanceMm))
                {
                    isFound |= NarrowFrom(side, box, b, ref best);
                }
            }
        }

        return isFound;
    }

    private bool NarrowFrom(in Segment side, in Bounds2 box, int b, ref NearestPair best)
    {
        var isFound = false;
        for (var k = _first[b]; k < _first[b + 1]; k++)
        {
            ref readonly var run = ref _runs[k];
            if (!IsNearer(box, run.Box, best.DistanceMm))
            {
                continue;
            }

            for (var j = run.First; j < run.First + run.Count; j++)
            {
                var other = run.Contour.SegmentAt(j);
                if (IsNearer(box, BoxOf(other), best.DistanceMm) && BetweenSides(side, other, ref best))
                {
                    isFound = true;
                }
            }
        }

        return isFound;
    }

    // The least distance is no more than that between corners that face each other; with something added, so that the pair at
    // just this distance is still found, and not another that rounding makes nearer.
    private double Corners(int a, int b)
    {
        var near = RunNear(a, Boxes[b]);
        var other = RunNear(b, near.Box);
        var least = double.PositiveInfinity;
        var from = CornerNear(near, other.Box);
        foreach (ref readonly var to in other.Corners)
        {
            least = Math.Min(least, Square(from, to));
        }

        return (Math.Sqrt(least) * (1 + 1e-9)) + 1e-9;
    }

    private ref readonly Run RunNear(int region, in Bounds2 box)
    {
        var (least, nearest) = (double.PositiveInfinity, _first[region]);
        for (var k = _first[region]; k < _first[region + 1]; k++)
        {
            if (Square(_runs[k].Box, box) is var square && square < least)
            {
                (least, nearest) = (square, k);
            }
        }

        return ref _runs[nearest];
    }

    private static PathVertex CornerNear(in Run run, in Bounds2 box)
    {
        var (least, nearest) = (double.PositiveInfinity, run.Corners[0]);
        foreach (ref readonly var p in run.Corners)
        {
            if (Square(new(p.X, p.Y, p.X, p.Y), box) is var square && square < least)
            {
                (least, nearest) = (square, p);
            }
        }

        return nearest;
    }

    private static bool BetweenSides(in Segment a, in Segment b, ref NearestPair best)
    {
        if (a.IsLine && b.IsLine)
        {
            return BetweenLines(a, b, ref best);
        }

        var here = RegionDistance.Between(a, b);
        if (!(here.DistanceMm < best.DistanceMm))
        {
            return false;
        }

        best = here;
        return true;
    }

    // Lines that do not cross are nearest at an end of one of them.
    private static bool BetweenLines(in Segment a, in Segment b, ref NearestPair best)
    {
        var (u, w) = (a.Chord, b.Chord);
        var away = b.Start - a.Start;
        var (a0, a1) = (Vector2.Cross(u, away), Vector2.Cross(u, away + w));
        var (b0, b1) = (-Vector2.Cross(w, away), Vector2.Cross(w, u - away));
        if ((a0 < 0) != (a1 < 0) && (b0 < 0) != (b1 < 0))
        {
            var here = RegionDistance.Between(a, b);
            if (here.DistanceMm < best.DistanceMm)
            {
                best = here;
                return true;
            }

            return false;
        }

        var least = best.DistanceMm * best.DistanceMm;
        var (on, to) = (default(Point2), default(Point2));
        var isNearer = Foot(b, w, a.Start, ref least, ref on, ref to);
        isNearer |= Foot(b, w, a.End, ref least, ref on, ref to);
        isNearer |= Foot(a, u, b.Start, ref least, ref to, ref on);
        isNearer |= Foot(a, u, b.End, ref least, ref to, ref on);
        if (isNearer)
        {
            best = new(Point2.Distance(on, to), on, to);
        }

        return isNearer;
    }

    private static bool Foot(in Segment line, Vector2 chord, Point2 p, ref double least, ref Point2 from, ref Point2 foot)
    {
        var away = p - line.Start;
        var length2 = Vector2.Dot(chord, chord);
        var t = length2 > 0 ? Math.Clamp(Vector2.Dot(away, chord) / length2, 0, 1) : 0;
        var (dx, dy) = (away.X - (t * chord.X), away.Y - (t * chord.Y));
        var distance2 = (dx * dx) + (dy * dy);
        if (!(distance2 < least))
        {
            return false;
        }

        (least, from, foot) = (distance2, p, t == 1 ? line.End : line.Start + (chord * t));
        return true;
    }

    private static bool IsNearer(in Bounds2 a, in Bounds2 b, double bound) => Square(a, b) < bound * bound;

    private static double Square(in Bounds2 a, in Bounds2 b)
    {
        var dx = Math.Max(0, Math.Max(a.MinX - b.MaxX, b.MinX - a.MaxX));
        var dy = Math.Max(0, Math.Max(a.MinY - b.MaxY, b.MinY - a.MaxY));
        return (dx * dx) + (dy * dy);
    }

    private static double Square(in PathVertex a, in PathVertex b)
    {
        var (dx, dy) = (a.X - b.X, a.Y - b.Y);
        return (dx * dx) + (dy * dy);
    }

    // An arc of at most half a turn lies within the rectangle on its chord that is as high as its belly: for shallow ones that is
    // hardly more than their box, and found without a root.
    private static Bounds2 BoxOf(in Segment s)
    {
        if (Math.Abs(s.Bulge) > ShallowBulge)
        {
            return s.Bounds;
        }

        var box = new Bounds2(Math.Min(s.Start.X, s.End.X), Math.Min(s.Start.Y, s.End.Y), Math.Max(s.Start.X, s.End.X), Math.Max(s.Start.Y, s.End.Y));
        if (s.IsLine)
        {
            return box;
        }

        var belly = s.Chord.Left * (s.Bulge / 2);
        return new(box.MinX - Math.Max(0, belly.X), box.MinY - Math.Max(0, belly.Y), box.MaxX - Math.Min(0, belly.X), box.MaxY - Math.Min(0, belly.Y));
    }

    private void Fill(ReadOnlySpan<Region> regions, int from, int end)
    {
        for (var i = from; i < end; i++)
        {
            var run = _first[i];
            foreach (var contour in regions[i].Contours)
            {
                for (var at = 0; at < contour.Count; at += RunLength)
                {
                    _runs[run++] = RunFrom(contour, at, Math.Min(RunLength, contour.Count - at));
                }
            }
        }
    }

    private static Run RunFrom(Contour contour, int first, int count)
    {
        var box = BoxOf(contour.SegmentAt(first));
        for (var i = first + 1; i < first + count; i++)
        {
            var next = BoxOf(contour.SegmentAt(i));
            box = new(Math.Min(box.MinX, next.MinX), Math.Min(box.MinY, next.MinY), Math.Max(box.MaxX, next.MaxX), Math.Max(box.MaxY, next.MaxY));
        }

        return new(box, contour, first, count);
    }

    private readonly record struct Run(Bounds2 Box, Contour Contour, int First, int Count)
    {
        /// <summary>Where its sides begin.</summary>
        public ReadOnlySpan<PathVertex> Corners => Contour.Vertices.Slice(First, Count);
    }
}
