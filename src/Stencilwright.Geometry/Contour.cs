using System.Collections.Immutable;
using System.Runtime.InteropServices;

namespace Stencilwright.Geometry;

/// <summary>A vertex of a path, with the bulge of the segment that leaves it (see <see cref="Segment"/>).</summary>
public readonly record struct PathVertex(double X, double Y, double Bulge = 0)
{
    /// <summary>The position.</summary>
    public Point2 Point => new(X, Y);
}

/// <summary>A closed path of lines and arcs; the last vertex's segment returns to the first.</summary>
/// <remarks>
/// Positive area means counter-clockwise with y up. A contour may touch or cross itself until a boolean operation has
/// resolved it; those inside a <see cref="Region"/> do not. At least two vertices (two half circles make a circle).
/// </remarks>
public sealed class Contour
{
    private readonly PathVertex[] _vertices;
    private Bounds2? _bounds;
    private double _area = double.NaN;

    /// <summary>Copies the vertices.</summary>
    /// <exception cref="ArgumentException">Fewer than two vertices.</exception>
    public Contour(ReadOnlySpan<PathVertex> vertices)
        : this(vertices.ToArray())
    {
    }

    private Contour(PathVertex[] vertices)
    {
        if (vertices.Length < 2)
        {
            throw new ArgumentException("A contour has at least two vertices.", nameof(vertices));
        }

        _vertices = vertices;
    }

    /// <summary>The vertices in order; the first is not repeated at the end.</summary>
    public ReadOnlySpan<PathVertex> Vertices => _vertices;

    /// <summary>Number of vertices, and so of segments.</summary>
    public int Count => _vertices.Length;

    /// <summary>Enclosed area in square millimetres, positive when counter-clockwise. Exact for arcs (Green's theorem).</summary>
    public double SignedAreaMm2
    {
        get
        {
            if (double.IsNaN(_area))
            {
                _area = Measure.SignedArea(_vertices);
            }

            return _area;
        }
    }

    /// <summary>Length of the whole path, millimetres.</summary>
    public double PerimeterMm => Measure.Perimeter(_vertices);

    /// <summary>Exact box, arcs' bellies included.</summary>
    public Bounds2 Bounds => _bounds ??= Measure.Bounds(_vertices);

    /// <summary>Takes over an array that nobody else will change.</summary>
    public static Contour Adopt(PathVertex[] vertices)
    {
        ArgumentNullException.ThrowIfNull(vertices);
        return new Contour(vertices);
    }

    /// <summary>A counter-clockwise circle.</summary>
    public static Contour Circle(Point2 center, double radiusMm) =>
        new([new(center.X + radiusMm, center.Y, 1), new(center.X - radiusMm, center.Y, 1)]);

    /// <summary>A counter-clockwise axis-parallel rectangle.</summary>
    public static Contour Rectangle(Bounds2 box) =>
        new([new(box.MinX, box.MinY), new(box.MaxX, box.MinY), new(box.MaxX, box.MaxY), new(box.MinX, box.MaxY)]);

    /// <summary>A counter-clockwise polygon or, when clockwise points are given, a clockwise one.</summary>
    public static Contour Polygon(ReadOnlySpan<Point2> points)
    {
        var vertices = new PathVertex[points.Length];
        for (var i = 0; i < points.Length; i++)
        {
            vertices[i] = new(points[i].X, points[i].Y);
        }

        return new Contour(vertices);
    }

    /// <summary>The segment that leaves vertex <paramref name="index"/>.</summary>
    public Segment SegmentAt(int index)
    {
        var a = _vertices[index];
        var b = _vertices[index + 1 == _vertices.Length ? 0 : index + 1];
        return new Segment(a.Point, b.Point, a.Bulge);
    }

    /// <summary>The same path the other way round, starting at the same vertex.</summary>
    public Contour Reversed()
    {
        var n = _vertices.Length;
        var result = new PathVertex[n];
        for (var i = 0; i < n; i++)
        {
            var from = _vertices[(n - i) % n];
            var bulge = _vertices[n - 1 - i].Bulge;
            result[i] = new(from.X, from.Y, -bulge);
        }

        return new Contour(result);
    }

    /// <summary>How often the contour winds round a point; points on the path itself give either side's number.</summary>
    public int WindingNumber(Point2 p) => Measure.WindingNumber(_vertices, p);

    /// <summary>The vertices as an immutable array.</summary>
    public ImmutableArray<PathVertex> ToImmutableArray() => ImmutableCollectionsMarshal.AsImmutableArray((PathVertex[])_vertices.Clone());
}

/// <summary>An open path of lines and arcs, such as a stroke's centre line; the last vertex's bulge is not used.</summary>
public sealed class OpenPath
{
    private readonly PathVertex[] _vertices;

    /// <summary>Copies the vertices.</summary>
    /// <exception cref="ArgumentException">No vertex.</exception>
    public OpenPath(ReadOnlySpan<PathVertex> vertices)
    {
        if (vertices.IsEmpty)
        {
            throw new ArgumentException("A path has at least one vertex.", nameof(vertices));
        }

        _vertices = vertices.ToArray();
    }

    /// <summary>The vertices in order.</summary>
    public ReadOnlySpan<PathVertex> Vertices => _vertices;

    /// <summary>Number of segments: one fewer than vertices.</summary>
    public int SegmentCount => _vertices.Length - 1;

    /// <summary>Length along the path, millimetres.</summary>
    public double LengthMm
    {
        get
        {
            var sum = 0.0;
            for (var i = 0; i < SegmentCount; i++)
            {
                sum += SegmentAt(i).Length;
            }

            return sum;
        }
    }

    /// <summary>The segment that leaves vertex <paramref name="index"/>.</summary>
    public Segment SegmentAt(int index) => new(_vertices[index].Point, _vertices[index + 1].Point, _vertices[index].Bulge);
}
