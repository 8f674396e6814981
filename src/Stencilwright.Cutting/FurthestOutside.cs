using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>How far the furthest of many points outside a region lies from it.</summary>
/// <remarks>
/// Only the greatest distance counts: a point no further from one segment than the furthest so far need not be looked at
/// any closer. Points that follow one another along a boundary mostly are near the same segment, which is tried first.
/// </remarks>
internal struct FurthestOutside(Region region)
{
    private readonly Region _region = region;
    private int _contour;
    private int _segment;

    /// <summary>Greatest distance so far; 0 when all points lie inside.</summary>
    public double DistanceMm { get; private set; }

    /// <summary>Looks at one more point.</summary>
    public void See(Point2 p)
    {
        if (_region.IsEmpty)
        {
            DistanceMm = double.PositiveInfinity;
            return;
        }

        var near = RegionDistance.ToSegment(_region.Contours[_contour].SegmentAt(_segment), p).DistanceMm;
        if (near <= DistanceMm)
        {
            return;
        }

        for (var c = 0; c < _region.Contours.Length; c++)
        {
            var contour = _region.Contours[c];
            for (var i = 0; i < contour.Count; i++)
            {
                var here = RegionDistance.ToSegment(contour.SegmentAt(i), p).DistanceMm;
                if (here < near)
                {
                    (near, _contour, _segment) = (here, c, i);
                    if (here <= DistanceMm)
                    {
                        return;
                    }
                }
            }
        }

        if (near > DistanceMm && !_region.Contains(p))
        {
            DistanceMm = near;
        }
    }
}
