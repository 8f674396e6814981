using System.Globalization;

namespace Stencilwright.Geometry;

/// <summary>A straight line or a circular arc of at most half a turn, from <paramref name="Start"/> to <paramref name="End"/>.</summary>
/// <param name="Start">First point, millimetres.</param>
/// <param name="End">Last point, millimetres.</param>
/// <param name="Bulge">
/// tan(included angle / 4): 0 for a line, +1 for a half circle turning counter-clockwise, negative for clockwise.
/// At most 1 in magnitude: a longer arc is several segments (a full circle is two). Definition: DXF reference, VERTEX
/// group 42.
/// </param>
public readonly record struct Segment(Point2 Start, Point2 End, double Bulge)
{
    // Below this bulge sagitta/chord is 5e-8: the arc's closed forms lose more to cancellation than the series drops.
    private const double SeriesBulge = 1e-3;

    /// <summary>True for a straight line.</summary>
    public bool IsLine => Bulge == 0;

    /// <summary>From <see cref="Start"/> to <see cref="End"/>.</summary>
    public Vector2 Chord => End - Start;

    /// <summary>Signed included angle in radians, counter-clockwise positive; 0 for a line.</summary>
    public double SweepRad => 4 * Math.Atan(Bulge);

    /// <summary>Radius in millimetres; positive infinity for a line.</summary>
    public double Radius => IsLine
        ? double.PositiveInfinity
        : Chord.Length * (1 + (Bulge * Bulge)) / (4 * Math.Abs(Bulge));

    /// <summary>The arc's centre; not finite for a line.</summary>
    public Point2 Center
    {
        get
        {
            // The centre lies left of the chord by c(1 - b²)/(4b).
            var offset = (1 - (Bulge * Bulge)) / (4 * Bulge);
            return Point2.Lerp(Start, End, 0.5) + (Chord.Left * offset);
        }
    }

    /// <summary>Length along the segment, millimetres.</summary>
    public double Length
    {
        get
        {
            var chord = Chord.Length;
            var b = Math.Abs(Bulge);
            if (b < SeriesBulge)
            {
                // θ = 4 atan b, r = c(1+b²)/(4b): r θ = c(1+b²)(1 - b²/3 + b⁴/5 …).
                return chord * (1 + (b * b)) * (1 - (b * b / 3) + (b * b * b * b / 5));
            }

            return chord * (1 + (b * b)) * Math.Atan(b) / b;
        }
    }

    /// <summary>Signed area between chord and arc, square millimetres; positive when the arc turns counter-clockwise.</summary>
    public double CapArea
    {
        get
        {
            var b = Bulge;
            if (b == 0)
            {
                return 0;
            }

            var c = Chord;
            var c2 = (c.X * c.X) + (c.Y * c.Y);
            if (Math.Abs(b) < SeriesBulge)
            {
                // r²(θ - sin θ)/2 expanded in b: c² b/3 (1 + b²/5 …).
                return c2 * b / 3 * (1 + (b * b / 5));
            }

            // With k = (1+b²)/(4b): r² = c²k², sin θ = 4b(1-b²)/(1+b²)².
            var k = (1 + (b * b)) / (4 * b);
            var sine = 4 * b * (1 - (b * b)) / ((1 + (b * b)) * (1 + (b * b)));
            return c2 * k * k * (SweepRad - sine) / 2;
        }
    }

    /// <summary>The middle of the segment.</summary>
    public Point2 Middle => Point2.Lerp(Start, End, 0.5) - (Chord.Left * (Bulge / 2));

    /// <summary>The smallest axis-parallel box round the segment.</summary>
    public Bounds2 Bounds
    {
        get
        {
            var box = new Bounds2(Math.Min(Start.X, End.X), Math.Min(Start.Y, End.Y), Math.Max(Start.X, End.X), Math.Max(Start.Y, End.Y));
            if (IsLine)
            {
                return box;
            }

            // No point of the arc lies further from its chord than the sagitta. Rounding of the far centre of a very shallow arc
            // would otherwise throw the extremes anywhere.
            var (center, radius) = (Center, Radius);
            var limit = box.Inflate(Chord.Length * Math.Abs(Bulge) / 2);
            foreach (var direction in (ReadOnlySpan<Vector2>)[new(1, 0), new(0, 1), new(-1, 0), new(0, -1)])
            {
                var extreme = center + (direction * radius);
                if (IsOnArcSide(extreme))
                {
                    box = box.Include(new(Math.Clamp(extreme.X, limit.MinX, limit.MaxX), Math.Clamp(extreme.Y, limit.MinY, limit.MaxY)));
                }
            }

            return box;
        }
    }

    /// <summary>The segment the other way round.</summary>
    public Segment Reversed => new(End, Start, -Bulge);

    /// <summary>Unit direction of travel at the start.</summary>
    public Vector2 StartTangent => Turn(Chord, -SweepRad / 2).Unit;

    /// <summary>Unit direction of travel at the end.</summary>
    public Vector2 EndTangent => Turn(Chord, SweepRad / 2).Unit;

    /// <summary>The point at a fraction of the segment's length, 0 at the start and 1 at the end.</summary>
    public Point2 PointAt(double fraction)
    {
        if (IsLine || fraction is 0 or 1)
        {
            return fraction == 1 ? End : Point2.Lerp(Start, End, fraction);
        }

        var sweep = SweepRad;
        // Chord of the part-arc: length 2 r sin(fθ/2), direction turned by (f-1)θ/2 from the whole chord.
        var scale = Math.Sin(fraction * sweep / 2) / Math.Sin(sweep / 2);
        return Start + (Turn(Chord, (fraction - 1) * sweep / 2) * scale);
    }

    /// <summary>Makes an arc from its centre; sweeps above half a turn must be split by the caller.</summary>
    /// <param name="start">First point.</param>
    /// <param name="end">Last point; kept exactly.</param>
    /// <param name="sweepRad">Signed included angle, at most π in magnitude.</param>
    public static Segment Arc(Point2 start, Point2 end, double sweepRad) =>
        new(start, end, Math.Clamp(Math.Tan(sweepRad / 4), -1, 1));

    /// <summary>The ends and the bulge; the generated text would print <see cref="Reversed"/> of <see cref="Reversed"/> without end.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"({Start.X}, {Start.Y}) to ({End.X}, {End.Y}), bulge {Bulge}");

    // For a point on the arc's circle: whether it lies on the arc and not on the rest of the circle.
    internal bool IsOnArcSide(Point2 onCircle)
    {
        var (chord, away) = (Chord, onCircle - Start);
        var cross = Vector2.Cross(chord, away);
        if (Math.Abs(Bulge) >= SeriesBulge)
        {
            return cross * Bulge < 0;
        }

        // So close to the chord rounding decides the side; whether the point lies between the ends is certain.
        var (along, length2) = (Vector2.Dot(chord, away), Vector2.Dot(chord, chord));
        return along >= 0 && along <= length2 && Math.Abs(cross) <= length2;
    }

    private static Vector2 Turn(Vector2 v, double angleRad)
    {
        if (angleRad == 0)
        {
            return v;
        }

        var (sin, cos) = Math.SinCos(angleRad);
        return new((v.X * cos) - (v.Y * sin), (v.X * sin) + (v.Y * cos));
    }
}
