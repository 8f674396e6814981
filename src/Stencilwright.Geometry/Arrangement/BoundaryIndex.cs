using System.Collections.Immutable;

namespace Stencilwright.Geometry.Arranging;

/// <summary>Answers which contour of a valid region a ray to the right meets first.</summary>
internal sealed class BoundaryIndex
{
    private readonly Segment[] _segments;
    private readonly int[] _owners;
    private readonly Bounds2[] _boxes;
    private readonly int[] _firstOf;
    private readonly BandIndex _bands = new();

    public BoundaryIndex(ImmutableArray<Contour> contours)
    {
        var count = 0;
        foreach (var contour in contours)
            count += contour.Count;

        _segments = new Segment[count];
        _owners = new int[count];
        _boxes = new Bounds2[count];
        _firstOf = new int[contours.Length];
        count = 0;
        for (var c = 0; c < contours.Length; c++)
        {
            _firstOf[c] = count;
            for (var i = 0; i < contours[c].Count; i++)
            {
                _segments[count] = contours[c].SegmentAt(i);
                _owners[count] = c;
                _boxes[count] = _segments[count].Bounds;
                count++;
            }
        }

        _bands.Build(_boxes, byRightEdge: true);
    }

    /// <summary>The contour met first from a point, or -1.</summary>
    public int FirstFrom(Point2 p) => First(p, -1);

    /// <summary>The contour met first from the right side of a hole, within the same island; or -1.</summary>
    public int FirstFromHole(Contour hole, int index)
    {
        // A hole runs clockwise: from its rightmost point it runs down, with the interior of its island to the right. Next
        // to that point the contour met reaches further right, so that steps from hole to hole come to an outer contour.
        // The point itself would not do: another contour may touch there.
        var (best, right) = (0, double.NegativeInfinity);
        for (var i = 0; i < hole.Count; i++)
        {
            var segment = _segments[_firstOf[index] + i];
            if (segment.Start.X > right || (segment.Start.X == right && segment.Chord.Y < 0))
                (best, right) = (i, segment.Start.X);
        }

        var start = _firstOf[index] + best;
        return First(_segments[start].PointAt(0.001), index);
    }

    private int First(Point2 p, int exceptOwner)
    {
        var (nearest, owner) = (double.PositiveInfinity, -1);
        foreach (var i in _bands.Band(_bands.BandOf(p.Y)))
        {
            ref readonly var box = ref _boxes[i];
            if (box.MaxX < p.X)
                break;

            if (box.MinY > p.Y || box.MaxY < p.Y || box.MinX >= nearest || _owners[i] == exceptOwner)
                continue;

            var x = CrossingRightOf(_segments[i], p);
            if (x < nearest)
                (nearest, owner) = (x, _owners[i]);
        }

        return owner;
    }

    private static double CrossingRightOf(Segment segment, Point2 p)
    {
        var (a, b) = (segment.Start, segment.End);
        if (segment.IsLine)
        {
            if ((a.Y <= p.Y) == (b.Y <= p.Y))
                return double.PositiveInfinity;

            var x = a.X + ((p.Y - a.Y) / (b.Y - a.Y) * (b.X - a.X));
            return x > p.X ? x : double.PositiveInfinity;
        }

        var (center, radius) = (segment.Center, segment.Radius);
        var dy = Math.Abs(p.Y - center.Y);
        if (dy >= radius)
            return double.PositiveInfinity;

        var half = Math.Sqrt((radius - dy) * (radius + dy));
        if (center.X - half > p.X && segment.IsOnArcSide(new(center.X - half, p.Y)))
            return center.X - half;

        return center.X + half > p.X && segment.IsOnArcSide(new(center.X + half, p.Y)) ? center.X + half : double.PositiveInfinity;
    }
}
