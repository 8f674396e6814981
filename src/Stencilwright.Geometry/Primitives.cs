namespace Stencilwright.Geometry;

/// <summary>A displacement, in millimetres.</summary>
public readonly record struct Vector2(double X, double Y)
{
    /// <summary>Euclidean length in millimetres.</summary>
    public double Length => Math.Sqrt((X * X) + (Y * Y));

    /// <summary>The same vector turned by +90 degrees (counter-clockwise with y up).</summary>
    public Vector2 Left => new(-Y, X);

    /// <summary>The vector of length 1 in the same direction; the zero vector stays zero.</summary>
    public Vector2 Unit => Length is > 0 and var length ? new(X / length, Y / length) : default;

    /// <summary>The components; the generated text would print <see cref="Left"/> of <see cref="Left"/> without end.</summary>
    public override string ToString() => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"({X}, {Y})");

    /// <summary>Sum.</summary>
    public static Vector2 operator +(Vector2 a, Vector2 b) => new(a.X + b.X, a.Y + b.Y);

    /// <summary>Difference.</summary>
    public static Vector2 operator -(Vector2 a, Vector2 b) => new(a.X - b.X, a.Y - b.Y);

    /// <summary>Opposite.</summary>
    public static Vector2 operator -(Vector2 a) => new(-a.X, -a.Y);

    /// <summary>Scaled vector.</summary>
    public static Vector2 operator *(Vector2 a, double factor) => new(a.X * factor, a.Y * factor);

    /// <summary>Dot product, square millimetres.</summary>
    public static double Dot(Vector2 a, Vector2 b) => (a.X * b.X) + (a.Y * b.Y);

    /// <summary>z of the cross product, square millimetres; positive when b lies to the left of a.</summary>
    public static double Cross(Vector2 a, Vector2 b) => (a.X * b.Y) - (a.Y * b.X);
}

/// <summary>A position in the plane, in millimetres; x to the right, y up.</summary>
/// <remarks>There is no sum of two points: it means nothing. Subtract them to get a <see cref="Vector2"/>.</remarks>
public readonly record struct Point2(double X, double Y)
{
    /// <summary>The displacement from <paramref name="b"/> to <paramref name="a"/>.</summary>
    public static Vector2 operator -(Point2 a, Point2 b) => new(a.X - b.X, a.Y - b.Y);

    /// <summary>The point displaced.</summary>
    public static Point2 operator +(Point2 p, Vector2 v) => new(p.X + v.X, p.Y + v.Y);

    /// <summary>The point displaced backwards.</summary>
    public static Point2 operator -(Point2 p, Vector2 v) => new(p.X - v.X, p.Y - v.Y);

    /// <summary>The point at fraction <paramref name="t"/> of the way from a to b.</summary>
    public static Point2 Lerp(Point2 a, Point2 b, double t) => new(a.X + ((b.X - a.X) * t), a.Y + ((b.Y - a.Y) * t));

    /// <summary>Distance in millimetres.</summary>
    public static double Distance(Point2 a, Point2 b) => (b - a).Length;
}

/// <summary>An axis-parallel box, in millimetres. The default value is a point at the origin; use <see cref="Empty"/> to start a union.</summary>
public readonly record struct Bounds2(double MinX, double MinY, double MaxX, double MaxY)
{
    /// <summary>Contains nothing; the union with it changes nothing.</summary>
    public static Bounds2 Empty { get; } = new(
        double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity);

    /// <summary>True when nothing is inside.</summary>
    public bool IsEmpty => MaxX < MinX || MaxY < MinY;

    /// <summary>Extent along x; 0 when empty.</summary>
    public double Width => IsEmpty ? 0 : MaxX - MinX;

    /// <summary>Extent along y; 0 when empty.</summary>
    public double Height => IsEmpty ? 0 : MaxY - MinY;

    /// <summary>The middle; not a number when empty.</summary>
    public Point2 Center => new((MinX + MaxX) / 2, (MinY + MaxY) / 2);

    /// <summary>The smallest box round both.</summary>
    public static Bounds2 Union(Bounds2 a, Bounds2 b) => new(
        Math.Min(a.MinX, b.MinX), Math.Min(a.MinY, b.MinY), Math.Max(a.MaxX, b.MaxX), Math.Max(a.MaxY, b.MaxY));

    /// <summary>The box grown to hold a point.</summary>
    public Bounds2 Include(Point2 p) => new(Math.Min(MinX, p.X), Math.Min(MinY, p.Y), Math.Max(MaxX, p.X), Math.Max(MaxY, p.Y));

    /// <summary>The box grown by a distance on every side.</summary>
    public Bounds2 Inflate(double byMm) => IsEmpty ? this : new(MinX - byMm, MinY - byMm, MaxX + byMm, MaxY + byMm);

    /// <summary>True when the boxes share a point, edges included.</summary>
    public bool Overlaps(Bounds2 other) =>
        MinX <= other.MaxX && other.MinX <= MaxX && MinY <= other.MaxY && other.MinY <= MaxY;

    /// <summary>True when the point lies inside or on the edge.</summary>
    public bool Contains(Point2 p) => p.X >= MinX && p.X <= MaxX && p.Y >= MinY && p.Y <= MaxY;

    /// <summary>True when the other box lies inside or on the edge.</summary>
    public bool Contains(Bounds2 other) =>
        other.MinX >= MinX && other.MaxX <= MaxX && other.MinY >= MinY && other.MaxY <= MaxY;
}

/// <summary>An affine map (x, y) → (Xx·x + Xy·y + X0, Yx·x + Yy·y + Y0).</summary>
public readonly record struct Affine2(double Xx, double Xy, double X0, double Yx, double Yy, double Y0)
{
    /// <summary>Leaves every point where it is.</summary>
    public static Affine2 Identity { get; } = new(1, 0, 0, 0, 1, 0);

    /// <summary>Area factor; negative when the map mirrors.</summary>
    public double Determinant => (Xx * Yy) - (Xy * Yx);

    /// <summary>True when circles stay circles (rotation, mirror, equal scale, move).</summary>
    public bool IsSimilarity
    {
        get
        {
            var scale = Math.Max(Math.Max(Math.Abs(Xx), Math.Abs(Xy)), Math.Max(Math.Abs(Yx), Math.Abs(Yy)));
            var tolerance = scale * 1e-12;
            return (Math.Abs(Xx - Yy) <= tolerance && Math.Abs(Xy + Yx) <= tolerance)
                || (Math.Abs(Xx + Yy) <= tolerance && Math.Abs(Xy - Yx) <= tolerance);
        }
    }

    /// <summary>Moves by (x, y) millimetres.</summary>
    public static Affine2 Translation(double x, double y) => new(1, 0, x, 0, 1, y);

    /// <summary>Scales about the origin.</summary>
    public static Affine2 Scale(double x, double y) => new(x, 0, 0, 0, y, 0);

    /// <summary>Turns about the origin, counter-clockwise, in degrees; multiples of 90 are exact.</summary>
    public static Affine2 RotationDegrees(double degrees)
    {
        var (sin, cos) = ExactSinCosDegrees(degrees);
        return new(cos, -sin, 0, sin, cos, 0);
    }

    /// <summary>First <paramref name="inner"/>, then <paramref name="outer"/>.</summary>
    public static Affine2 operator *(Affine2 outer, Affine2 inner) => new(
        (outer.Xx * inner.Xx) + (outer.Xy * inner.Yx),
        (outer.Xx * inner.Xy) + (outer.Xy * inner.Yy),
        (outer.Xx * inner.X0) + (outer.Xy * inner.Y0) + outer.X0,
        (outer.Yx * inner.Xx) + (outer.Yy * inner.Yx),
        (outer.Yx * inner.Xy) + (outer.Yy * inner.Yy),
        (outer.Yx * inner.X0) + (outer.Yy * inner.Y0) + outer.Y0);

    /// <summary>Maps a point.</summary>
    public Point2 Apply(Point2 p) => new((Xx * p.X) + (Xy * p.Y) + X0, (Yx * p.X) + (Yy * p.Y) + Y0);

    /// <summary>Maps a displacement (the move is left out).</summary>
    public Vector2 Apply(Vector2 v) => new((Xx * v.X) + (Xy * v.Y), (Yx * v.X) + (Yy * v.Y));

    /// <summary>The map that undoes this one.</summary>
    /// <exception cref="InvalidOperationException">The map flattens the plane.</exception>
    public Affine2 Inverse()
    {
        var d = Determinant;
        if (d == 0 || !double.IsFinite(d))
        {
            throw new InvalidOperationException("A map that flattens the plane has no inverse.");
        }

        var (a, b, c, e) = (Yy / d, -Xy / d, -Yx / d, Xx / d);
        return new(a, b, -((a * X0) + (b * Y0)), c, e, -((c * X0) + (e * Y0)));
    }

    /// <summary>Sine and cosine of an angle in degrees, exact at multiples of 90.</summary>
    public static (double Sin, double Cos) ExactSinCosDegrees(double degrees)
    {
        var turned = Math.IEEERemainder(degrees, 360);
        return turned switch
        {
            0 => (0, 1),
            90 => (1, 0),
            -90 => (-1, 0),
            180 or -180 => (0, -1),
            _ => Math.SinCos(turned * Math.PI / 180),
        };
    }
}
