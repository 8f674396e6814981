using System.Buffers;

namespace Stencilwright.Geometry;

/// <summary>The sides of many regions with their boxes, laid out once for many distances, in arrays that are given back when done.</summary>
internal sealed class RegionSides : IDisposable
{
    private readonly int[] _first;
    private readonly Segment[] _sides;
    private readonly Bounds2[] _sideBoxes;

    public RegionSides(ReadOnlySpan<Region> regions)
    {
        _first = new int[regions.Length + 1];
        for (var i = 0; i < regions.Length; i++)
        {
            var count = 0;
            foreach (var contour in regions[i].Contours)
            {
                count += contour.Count;
            }

            _first[i + 1] = _first[i] + count;
        }

        _sides = ArrayPool<Segment>.Shared.Rent(_first[^1]);
        _sideBoxes = ArrayPool<Bounds2>.Shared.Rent(_first[^1]);
        Boxes = new Bounds2[regions.Length];
        for (var i = 0; i < regions.Length; i++)
        {
            Fill(regions[i], _first[i]);
            Boxes[i] = regions[i].Bounds;
        }
    }

    /// <summary>The regions' boxes.</summary>
    public Bounds2[] Boxes { get; }

    /// <inheritdoc/>
    public void Dispose()
    {
        ArrayPool<Segment>.Shared.Return(_sides);
        ArrayPool<Bounds2>.Shared.Return(_sideBoxes);
    }

    /// <summary>As <see cref="RegionDistance.Between(Region, Region)"/> where that is below a bound; else infinite.</summary>
    public NearestPair Between(ReadOnlySpan<Region> regions, int a, int b, double boundMm)
    {
        var best = NearestPair.None with { DistanceMm = boundMm };
        var isFound = false;
        ref readonly var boxB = ref Boxes[b];
        for (var i = _first[a]; i < _first[a + 1]; i++)
        {
            ref readonly var box = ref _sideBoxes[i];
            if (!IsNearer(box, boxB, best.DistanceMm))
            {
                continue;
            }

            for (var j = _first[b]; j < _first[b + 1]; j++)
            {
                if (IsNearer(box, _sideBoxes[j], best.DistanceMm) && BetweenSides(_sides[i], _sides[j], ref best))
                {
                    isFound = true;
                }
            }
        }

        // Only a region whose box overlaps the other's can hold it.
        if (best.DistanceMm > 0 && Boxes[a].Overlaps(boxB) && RegionDistance.CommonPoint(regions[a], regions[b]) is { } common)
        {
            return new(0, common, common);
        }

        return isFound ? best : NearestPair.None;
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

    private static bool IsNearer(in Bounds2 a, in Bounds2 b, double bound)
    {
        var dx = Math.Max(0, Math.Max(a.MinX - b.MaxX, b.MinX - a.MaxX));
        var dy = Math.Max(0, Math.Max(a.MinY - b.MaxY, b.MinY - a.MaxY));
        return (dx * dx) + (dy * dy) < bound * bound;
    }

    private void Fill(Region region, int at)
    {
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++, at++)
            {
                _sides[at] = contour.SegmentAt(i);
                _sideBoxes[at] = _sides[at].Bounds;
            }
        }
    }
}
