using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>A part of the plane bounded by contours that neither cross nor overlap: outer ones counter-clockwise, holes clockwise.</summary>
/// <remarks>
/// The interior lies left of every contour. May hold any number of islands, or nothing. Boundary points may touch.
/// Made valid by <c>RegionBoolean</c>; a caller who builds one directly vouches for it.
/// </remarks>
public sealed class Region
{
    /// <summary>Vouches that the contours are valid, outer counter-clockwise and holes clockwise.</summary>
    public Region(ImmutableArray<Contour> contours)
    {
        Contours = contours;
    }

    /// <summary>Nothing.</summary>
    public static Region Empty { get; } = new([]);

    /// <summary>The boundary.</summary>
    public ImmutableArray<Contour> Contours { get; }

    /// <summary>True when nothing is inside.</summary>
    public bool IsEmpty => Contours.IsEmpty;

    /// <summary>Area in square millimetres, holes left out.</summary>
    public double AreaMm2
    {
        get
        {
            var sum = 0.0;
            foreach (var contour in Contours)
            {
                sum += contour.SignedAreaMm2;
            }

            return sum;
        }
    }

    /// <summary>Length of the whole boundary, holes included, millimetres.</summary>
    public double PerimeterMm
    {
        get
        {
            var sum = 0.0;
            foreach (var contour in Contours)
            {
                sum += contour.PerimeterMm;
            }

            return sum;
        }
    }

    /// <summary>Exact box; <see cref="Bounds2.Empty"/> when nothing is inside.</summary>
    public Bounds2 Bounds
    {
        get
        {
            if (Contours.Length == 1)
            {
                return Contours[0].Bounds;
            }

            var box = Bounds2.Empty;
            foreach (var contour in Contours)
            {
                box = Bounds2.Union(box, contour.Bounds);
            }

            return box;
        }
    }

    /// <summary>Centre of area; not a number when nothing is inside.</summary>
    public Point2 Centroid => Measure.Centroid(Contours);

    /// <summary>A region of one counter-clockwise contour.</summary>
    public static Region Of(Contour outer) => new([outer]);

    /// <summary>True when the point lies inside; points on the boundary may give either answer.</summary>
    public bool Contains(Point2 p)
    {
        var winding = 0;
        foreach (var contour in Contours)
        {
            if (contour.Bounds.Contains(p))
            {
                winding += contour.WindingNumber(p);
            }
        }

        return winding > 0;
    }
}
