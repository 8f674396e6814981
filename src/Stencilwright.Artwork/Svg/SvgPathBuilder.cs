using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>One stretch of a path without lifting the pen, of lines and circular arcs.</summary>
/// <param name="Vertices">At least one; when closed, the first is not repeated.</param>
/// <param name="IsClosed">True when the last vertex's segment returns to the first.</param>
internal sealed record SvgSubPath(PathVertex[] Vertices, bool IsClosed)
{
    /// <summary>For a single point that is a dash of no length: which way the line runs there.</summary>
    public Vector2 Heading { get; init; } = new(1, 0);

    /// <summary>Number of segments.</summary>
    public int SegmentCount => Vertices.Length == 1 ? 0 : IsClosed ? Vertices.Length : Vertices.Length - 1;

    /// <summary>The segment that leaves a vertex.</summary>
    public Segment SegmentAt(int index) => new(
        Vertices[index].Point, Vertices[(index + 1) % Vertices.Length].Point, Vertices[index].Bulge);
}

/// <summary>Takes drawing commands in user units and gives lines and arcs in a frame that keeps or measures lengths.</summary>
/// <param name="frame">From user units to the frame.</param>
/// <param name="tolerance">How far a fitted curve may lie from the true one, in the frame's unit.</param>
internal sealed class SvgPathBuilder(Affine2 frame, double tolerance)
{
    // Closer than a picometre-sized rounding error: the same point.
    private const double SamePoint = 1e-9;

    // An ellipse whose axes differ by less than this share is a circle written with few digits; at 10 mm that is 1 nm.
    private const double RoundShare = 1e-7;

    private readonly List<SvgSubPath> _done = [];
    private List<PathVertex>? _open;
    private Point2 _start;

    /// <summary>Vertices made so far.</summary>
    public int VertexCount { get; private set; }

    /// <summary>Ends the drawing.</summary>
    public List<SvgSubPath> Finish()
    {
        EndOpen(isClosed: false);
        return _done;
    }

    public void MoveTo(double x, double y)
    {
        EndOpen(isClosed: false);
        _start = frame.Apply(new Point2(x, y));
    }

    public void LineTo(double x, double y) => Append(0, frame.Apply(new Point2(x, y)));

    public void Close()
    {
        Begin();
        EndOpen(isClosed: true);
    }

    public void CubicTo(double x0, double y0, double x1, double y1, double x2, double y2, double x, double y)
    {
        var (a, b) = (frame.Apply(new Point2(x0, y0)), frame.Apply(new Point2(x1, y1)));
        var (c, d) = (frame.Apply(new Point2(x2, y2)), frame.Apply(new Point2(x, y)));
        if (Math.Max(Point2.Distance(a, b), Math.Max(Point2.Distance(a, c), Point2.Distance(a, d))) <= SamePoint)
        {
            return;
        }

        // A curve whose controls lie on its chord is a line, as smooth commands after other commands often are.
        if (IsOnChord(a, d, b) && IsOnChord(a, d, c))
        {
            Append(0, d);
            return;
        }

        var start = TakeLast();
        var from = _open!.Count;
        ArcFit.Bezier(start, b, c, d, tolerance, _open);
        EndFitted(start, from, d);
    }

    /// <summary>An elliptical arc by its end points (W3C SVG implementation notes, "Elliptical arc").</summary>
    public void ArcTo(double x0, double y0, double rx, double ry, double turnDeg, bool large, bool sweep, double x, double y)
    {
        var end = frame.Apply(new Point2(x, y));
        if (rx == 0 || ry == 0 || (x0 == x && y0 == y))
        {
            Append(0, end);
            return;
        }

        var (sin, cos) = Affine2.ExactSinCosDegrees(turnDeg);
        var (hx, hy) = ((x0 - x) / 2, (y0 - y) / 2);
        var (px, py) = ((cos * hx) + (sin * hy), (cos * hy) - (sin * hx));
        var lambda = (px * px / (rx * rx)) + (py * py / (ry * ry));
        if (lambda > 1)
        {
            // Radii too small to reach are scaled up until they just do.
            (rx, ry) = (rx * Math.Sqrt(lambda), ry * Math.Sqrt(lambda));
        }

        var rest = lambda >= 1 ? 0 : Math.Sqrt((1 - lambda) / lambda);
        rest = large == sweep ? -rest : rest;
        var (cx, cy) = (rest * rx * py / ry, -rest * ry * px / rx);
        var center = new Point2((cos * cx) - (sin * cy) + ((x0 + x) / 2), (sin * cx) + (cos * cy) + ((y0 + y) / 2));
        var from = Math.Atan2((py - cy) / ry, (px - cx) / rx);
        var turn = Math.Atan2((-py - cy) / ry, (-px - cx) / rx) - from;
        if (sweep && turn < 0)
        {
            turn += 2 * Math.PI;
        }
        else if (!sweep && turn > 0)
        {
            turn -= 2 * Math.PI;
        }

        AppendEllipse(center, new Vector2(rx * cos, rx * sin), new Vector2(-ry * sin, ry * cos), from, turn, end);
    }

    /// <summary>A whole ellipse as a closed stretch of its own.</summary>
    public void Ellipse(double cx, double cy, double rx, double ry)
    {
        MoveTo(cx + rx, cy);
        AppendEllipse(new Point2(cx, cy), new Vector2(rx, 0), new Vector2(0, ry), 0, 2 * Math.PI, _start);
        Close();
    }

    private void AppendEllipse(Point2 userCenter, Vector2 userU, Vector2 userV, double fromRad, double turnRad, Point2 end)
    {
        var (center, u, v) = (frame.Apply(userCenter), frame.Apply(userU), frame.Apply(userV));
        var size = Math.Max(u.Length, v.Length);
        var isRound = Math.Abs(u.Length - v.Length) <= size * RoundShare && Math.Abs(Vector2.Dot(u, v)) <= size * size * RoundShare;
        Point2 At(double angle) => center + (u * Math.Cos(angle)) + (v * Math.Sin(angle));
        if (!isRound)
        {
            var start = TakeLast();
            var from = _open!.Count;
            ArcFit.EllipticalArc(center, u, v, fromRad, turnRad, tolerance, _open);
            EndFitted(start, from, end);
            return;
        }

        var pieces = Math.Max(1, (int)Math.Ceiling((Math.Abs(turnRad) / Math.PI) - 1e-9));
        var bulge = Math.Clamp(Math.Tan(turnRad / pieces / 4), -1, 1) * Math.Sign(Vector2.Cross(u, v));
        for (var i = 1; i <= pieces; i++)
        {
            Append(bulge, i == pieces ? end : At(fromRad + (turnRad * i / pieces)));
        }
    }

    private static bool IsOnChord(Point2 from, Point2 to, Point2 p)
    {
        var (chord, along) = (to - from, p - from);
        var length = chord.Length;
        // A tenth of a nanometre off the chord is rounding.
        return length > SamePoint && Math.Abs(Vector2.Cross(chord, along)) <= 1e-7 * length
            && Vector2.Dot(chord, along) is var dot && dot >= 0 && dot <= length * length;
    }

    // Fitting appends the curve's own first vertex, so the one that is there makes room for it.
    private Point2 TakeLast()
    {
        Begin();
        var start = _open![^1].Point;
        _open.RemoveAt(_open.Count - 1);
        return start;
    }

    // Both ends are kept exactly as they were given.
    private void EndFitted(Point2 start, int from, Point2 end)
    {
        var vertices = CollectionsMarshal.AsSpan(_open!);
        vertices[from] = vertices[from] with { X = start.X, Y = start.Y };
        _open!.Add(new PathVertex(end.X, end.Y));
        VertexCount += _open.Count - 1 - from;
    }

    /// <summary>The bulge of the arc from start to end through a third point between them.</summary>
    internal static double BulgeThrough(Point2 start, Point2 middle, Point2 end)
    {
        // Inscribed angle: the chord is seen from the middle point under π minus half the arc's sweep.
        var (a, b) = (start - middle, end - middle);
        var angle = Math.Atan2(Vector2.Cross(a, b), Vector2.Dot(a, b));
        var halfSweep = angle >= 0 ? Math.PI - angle : -Math.PI - angle;
        var bulge = Math.Clamp(-Math.Tan(halfSweep / 2), -1, 1);
        // A sagitta of less than a tenth of a nanometre is rounding: a line.
        return Math.Abs(bulge) * (end - start).Length < 1e-7 ? 0 : bulge;
    }

    private void Begin()
    {
        if (_open is null)
        {
            _open = [new PathVertex(_start.X, _start.Y)];
            VertexCount++;
        }
    }

    private void Append(double bulge, Point2 end)
    {
        Begin();
        var vertices = CollectionsMarshal.AsSpan(_open!);
        if (Point2.Distance(vertices[^1].Point, end) <= SamePoint)
        {
            return;
        }

        vertices[^1] = vertices[^1] with { Bulge = bulge };
        _open!.Add(new PathVertex(end.X, end.Y));
        VertexCount++;
    }

    private void EndOpen(bool isClosed)
    {
        if (_open is null)
        {
            return;
        }

        if (isClosed && _open.Count > 1 && Point2.Distance(_open[0].Point, _open[^1].Point) <= SamePoint)
        {
            _open.RemoveAt(_open.Count - 1);
        }

        _done.Add(new SvgSubPath([.. _open], isClosed));
        _open = null;
    }
}
