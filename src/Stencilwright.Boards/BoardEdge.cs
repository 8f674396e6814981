using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Where something lies with respect to the board's edge.</summary>
internal enum EdgeSide
{
    Inside,
    Across,
    Outside,
}

/// <summary>Questions about a board's outer edge, answered near by and not by looking at all of it.</summary>
/// <remarks>Cut-outs are asked about apart: what lies over one is still inside the outer edge.</remarks>
internal sealed class BoardEdge
{
    // Two layers of one board may round the same line differently; more than this apart is another line.
    private const double SameLineMm = 0.02;
    private const double CutoutCellMm = 5;

    private readonly List<Contour> _outer = [];
    private readonly List<Segment> _segments = [];
    private readonly SegmentGrid _grid;
    private readonly List<int> _near = [];
    private readonly Dictionary<(int X, int Y), List<Region>> _cutouts = [];

    public BoardEdge(Region board)
    {
        foreach (var contour in board.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                _segments.Add(contour.SegmentAt(i));
            }

            if (contour.SignedAreaMm2 > 0)
            {
                _outer.Add(contour);
            }
            else
            {
                var hole = Region.Of(contour.Reversed());
                foreach (var cell in CellsOf(hole.Bounds))
                {
                    if (!_cutouts.TryGetValue(cell, out var list))
                    {
                        _cutouts.Add(cell, list = []);
                    }

                    list.Add(hole);
                }
            }
        }

        _grid = new SegmentGrid(SegmentGrid.CellFor(board.Bounds, _segments.Count));
        for (var i = 0; i < _segments.Count; i++)
        {
            _grid.Add(i, _segments[i]);
        }
    }

    /// <summary>True when a centre line lies on the edge from end to end.</summary>
    public bool RunsAlong(Segment line)
    {
        foreach (var at in (ReadOnlySpan<double>)[0.5, 0, 1, 0.25, 0.75])
        {
            if (!IsOnEdge(line.PointAt(at)))
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Where a shape lies, judged by the points of its outline.</summary>
    public EdgeSide SideOf(Region shape)
    {
        if (!IsNear(shape.Bounds))
        {
            // No edge near: all of it is where any point of it is.
            return Contains(shape.Contours[0].Vertices[0].Point) ? EdgeSide.Inside : EdgeSide.Outside;
        }

        var (inside, outside) = (0, 0);
        foreach (var contour in shape.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var segment = contour.SegmentAt(i);
                foreach (var p in (ReadOnlySpan<Point2>)[segment.Start, segment.Middle])
                {
                    // A pad that ends at the edge lies inside.
                    if (!IsOnEdge(p))
                    {
                        _ = Contains(p) ? inside++ : outside++;
                    }
                }
            }
        }

        return outside == 0 ? EdgeSide.Inside
            : inside == 0 ? EdgeSide.Outside
            : Contains(shape.Centroid) ? EdgeSide.Across
            : shape.Contours.Length > 1 ? EdgeSide.Outside
            : EdgeSide.Across;
    }

    /// <summary>True when more than a sliver of a shape lies over a cut-out.</summary>
    public bool IsOverCutout(Region shape)
    {
        if (_cutouts.Count == 0)
        {
            return false;
        }

        foreach (var cell in CellsOf(shape.Bounds))
        {
            if (_cutouts.TryGetValue(cell, out var list)
                && list.Exists(hole => hole.Bounds.Overlaps(shape.Bounds) && RegionBoolean.Intersection(hole, shape).AreaMm2 > shape.PerimeterMm * SameLineMm))
            {
                return true;
            }
        }

        return false;
    }

    public bool Contains(Point2 p)
    {
        foreach (var contour in _outer)
        {
            if (contour.Bounds.Contains(p) && contour.WindingNumber(p) != 0)
            {
                return true;
            }
        }

        return false;
    }

    private static IEnumerable<(int X, int Y)> CellsOf(Bounds2 box)
    {
        for (var x = (int)Math.Floor(box.MinX / CutoutCellMm); x <= box.MaxX / CutoutCellMm; x++)
        {
            for (var y = (int)Math.Floor(box.MinY / CutoutCellMm); y <= box.MaxY / CutoutCellMm; y++)
            {
                yield return (x, y);
            }
        }
    }

    private bool IsNear(Bounds2 box)
    {
        // The frame round a page spans everything: cells beyond counting are as good as near.
        if (box.Width > 50 || box.Height > 50)
        {
            return true;
        }

        _grid.Near(box.Inflate(SameLineMm), _near);
        foreach (var index in _near)
        {
            if (_segments[index].Bounds.Overlaps(box.Inflate(SameLineMm)))
            {
                return true;
            }
        }

        return false;
    }

    private bool IsOnEdge(Point2 p)
    {
        _grid.Near(new Bounds2(p.X - SameLineMm, p.Y - SameLineMm, p.X + SameLineMm, p.Y + SameLineMm), _near);
        foreach (var index in _near)
        {
            if (SegmentMeeting.Nearest(_segments[index], p).DistanceMm <= SameLineMm)
            {
                return true;
            }
        }

        return false;
    }
}
