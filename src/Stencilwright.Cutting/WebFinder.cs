using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>The film between an opening and its nearest neighbour.</summary>
/// <param name="WidthMm">Exact distance between their boundaries; 0 where they overlap.</param>
/// <param name="Neighbour">Index of the neighbour.</param>
internal readonly record struct Web(double WidthMm, int Neighbour);

/// <summary>Finds each opening's nearest neighbour, over a grid of boxes searched in widening rings.</summary>
internal static class WebFinder
{
    /// <summary>Neighbours further away than this are none.</summary>
    public const double FurthestMm = 5;

    public static Web?[] Find(ImmutableArray<Region> shapes, CancellationToken cancellation)
    {
        var webs = new Web?[shapes.Length];
        var bounds = new Bounds2[shapes.Length];
        var all = Bounds2.Empty;
        for (var i = 0; i < shapes.Length; i++)
        {
            bounds[i] = shapes[i].Bounds;
            all = Bounds2.Union(all, bounds[i]);
        }

        if (all.IsEmpty)
        {
            return webs;
        }

        var grid = new BoxGrid(bounds, all);
        var seen = new int[shapes.Length];
        Array.Fill(seen, -1);
        for (var i = 0; i < shapes.Length; i++)
        {
            if (i % 1024 == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            if (!bounds[i].IsEmpty)
            {
                webs[i] = Nearest(i, shapes, bounds, grid, seen);
            }
        }

        return webs;
    }

    private static Web? Nearest(int i, ImmutableArray<Region> shapes, Bounds2[] bounds, BoxGrid grid, int[] seen)
    {
        var (best, neighbour) = (FurthestMm, -1);
        for (var ring = 0; grid.RingDistance(ring) < best && grid.Reaches(bounds[i], ring); ring++)
        {
            foreach (var cell in grid.Ring(bounds[i], ring))
            {
                foreach (var j in grid.At(cell))
                {
                    if (j == i || seen[j] == i)
                    {
                        continue;
                    }

                    seen[j] = i;
                    if (SegmentDistance.Between(bounds[i], bounds[j]) < best
                        && Between(shapes[i], shapes[j], bounds[i], best) is var distance && distance < best)
                    {
                        (best, neighbour) = (distance, j);
                    }
                }
            }
        }

        return neighbour < 0 ? null : new Web(best, neighbour);
    }

    private static double Between(Region a, Region b, Bounds2 boundsA, double best)
    {
        // One inside the other's opened area leaves no film, though the boundaries are apart.
        if (a.Contains(b.Contours[0].Vertices[0].Point) || b.Contains(a.Contours[0].Vertices[0].Point))
        {
            return 0;
        }

        foreach (var contour in b.Contours)
        {
            if (SegmentDistance.Between(boundsA, contour.Bounds) >= best)
            {
                continue;
            }

            for (var k = 0; k < contour.Count; k++)
            {
                var s = contour.SegmentAt(k);
                var box = s.Bounds;
                if (SegmentDistance.Between(boundsA, box) < best)
                {
                    best = ToSegment(a, s, box, best);
                }
            }
        }

        return best;
    }

    private static double ToSegment(Region a, in Segment s, in Bounds2 box, double best)
    {
        foreach (var contour in a.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var t = contour.SegmentAt(i);
                if (SegmentDistance.Between(t.Bounds, box) < best)
                {
                    best = Math.Min(best, SegmentDistance.Between(t, s));
                }
            }
        }

        return best;
    }

    /// <summary>Boxes by the cells they touch, as one array of members and one of starts.</summary>
    private sealed class BoxGrid
    {
        private readonly Bounds2 _all;
        private readonly double _cell;
        private readonly int _columns;
        private readonly int _rows;
        private readonly int[] _starts;
        private readonly int[] _members;

        public BoxGrid(Bounds2[] boxes, Bounds2 all)
        {
            _all = all;
            var area = Math.Max(all.Width, 1) * Math.Max(all.Height, 1);
            _cell = Math.Clamp(Math.Sqrt(area / boxes.Length), 0.25, 10);
            _cell = Math.Max(_cell, Math.Max(all.Width, all.Height) / 2000);
            _columns = (int)(all.Width / _cell) + 1;
            _rows = (int)(all.Height / _cell) + 1;
            _starts = new int[(_columns * _rows) + 1];
            foreach (var box in boxes)
            {
                Visit(box, cell => _starts[cell + 1]++);
            }

            for (var i = 1; i < _starts.Length; i++)
            {
                _starts[i] += _starts[i - 1];
            }

            _members = new int[_starts[^1]];
            var next = (int[])_starts.Clone();
            for (var b = 0; b < boxes.Length; b++)
            {
                Visit(boxes[b], cell => _members[next[cell]++] = b);
            }
        }

        public double RingDistance(int ring) => Math.Max(0, ring - 1) * _cell;

        public ReadOnlySpan<int> At(int cell) => _members.AsSpan(_starts[cell].._starts[cell + 1]);

        public bool Reaches(Bounds2 box, int ring)
        {
            var (x0, y0, x1, y1) = Cells(box);
            return x0 - ring >= 0 || y0 - ring >= 0 || x1 + ring < _columns || y1 + ring < _rows;
        }

        /// <summary>Cells exactly <paramref name="ring"/> steps from a box's cells; ring 0 is the box's own.</summary>
        public IEnumerable<int> Ring(Bounds2 box, int ring)
        {
            var (x0, y0, x1, y1) = Cells(box);
            for (var y = Math.Max(0, y0 - ring); y <= Math.Min(_rows - 1, y1 + ring); y++)
            {
                var isWhole = ring == 0 || y == y0 - ring || y == y1 + ring;
                if (isWhole)
                {
                    for (var x = Math.Max(0, x0 - ring); x <= Math.Min(_columns - 1, x1 + ring); x++)
                    {
                        yield return (y * _columns) + x;
                    }
                }
                else
                {
                    if (x0 - ring >= 0)
                    {
                        yield return (y * _columns) + x0 - ring;
                    }

                    if (x1 + ring < _columns)
                    {
                        yield return (y * _columns) + x1 + ring;
                    }
                }
            }
        }

        private (int X0, int Y0, int X1, int Y1) Cells(Bounds2 box) => (
            Math.Clamp((int)((box.MinX - _all.MinX) / _cell), 0, _columns - 1),
            Math.Clamp((int)((box.MinY - _all.MinY) / _cell), 0, _rows - 1),
            Math.Clamp((int)((box.MaxX - _all.MinX) / _cell), 0, _columns - 1),
            Math.Clamp((int)((box.MaxY - _all.MinY) / _cell), 0, _rows - 1));

        private void Visit(Bounds2 box, Action<int> visit)
        {
            if (box.IsEmpty)
            {
                return;
            }

            var (x0, y0, x1, y1) = Cells(box);
            for (var y = y0; y <= y1; y++)
            {
                for (var x = x0; x <= x1; x++)
                {
                    visit((y * _columns) + x);
                }
            }
        }
    }
}
