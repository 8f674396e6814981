namespace Stencilwright.Geometry;

/// <summary>
/// A piece of boundary that a circle inside can touch: a line, an arc, or a corner that points inwards (an arc of no radius).
/// The interior lies left of lines and arcs.
/// </summary>
/// <param name="Segment">The line or arc; for a corner a segment of no length.</param>
/// <param name="Inward">A line's unit normal into the interior; nothing for the others.</param>
/// <param name="Center">An arc's centre, or the corner.</param>
/// <param name="Reach">
/// How far from the centre towards the circle it is touched: the radius of an arc that bulges into the interior, 0 for a corner, and
/// the radius negated for an arc that the interior lies within.
/// </param>
/// <param name="Box">Its box.</param>
internal readonly record struct WidthPiece(Segment Segment, Vector2 Inward, Point2 Center, double Reach, Bounds2 Box)
{
    public bool IsLine => Inward != default;

    public bool IsCorner => Reach == 0 && !IsLine;

    /// <summary>Distance from a point, and the nearest point.</summary>
    public NearestPoint From(Point2 p)
    {
        if (!IsLine)
        {
            return IsCorner ? new(Point2.Distance(p, Center), Center) : RegionDistance.ToSegment(Segment, p);
        }

        var chord = Segment.Chord;
        var t = Vector2.Dot(p - Segment.Start, chord) / Vector2.Dot(chord, chord);
        var foot = t <= 0 ? Segment.Start : t >= 1 ? Segment.End : Segment.Start + (chord * t);
        return new(Point2.Distance(p, foot), foot);
    }

    /// <summary>For a point of the carrying line or circle: whether the piece holds it.</summary>
    public bool Holds(Point2 p, double toleranceMm)
    {
        if (IsCorner)
        {
            return true;
        }

        if (IsLine)
        {
            var along = Vector2.Cross(p - Segment.Start, Inward);
            return along >= -toleranceMm && along <= Segment.Chord.Length + toleranceMm;
        }

        return Segment.IsOnArcSide(p) || Point2.Distance(p, Segment.Start) <= toleranceMm || Point2.Distance(p, Segment.End) <= toleranceMm;
    }
}

/// <summary>The pieces of an island's boundary.</summary>
internal static class WidthBoundary
{
    private const double LeastTurn = 1e-9;

    /// <summary>Lines and arcs first, then the corners that point inwards.</summary>
    public static List<WidthPiece> Of(Region island)
    {
        var pieces = new List<WidthPiece>();
        foreach (var contour in island.Contours)
        {
            AddSegments(ContourCleaner.Clean(contour.Vertices), pieces);
        }

        foreach (var contour in island.Contours)
        {
            AddCorners(ContourCleaner.Clean(contour.Vertices), pieces);
        }

        return pieces;
    }

    private static void AddSegments(ReadOnlySpan<PathVertex> v, List<WidthPiece> pieces)
    {
        for (var i = 0; i < v.Length; i++)
        {
            var s = new Segment(v[i].Point, v[i + 1 == v.Length ? 0 : i + 1].Point, v[i].Bulge);
            pieces.Add(Math.Abs(s.Bulge) < 1e-9
                ? new(s with { Bulge = 0 }, s.Chord.Unit.Left, default, 0, s.Bounds)
                : new(s, default, s.Center, s.Bulge < 0 ? s.Radius : -s.Radius, s.Bounds));
        }
    }

    private static void AddCorners(ReadOnlySpan<PathVertex> v, List<WidthPiece> pieces)
    {
        if (v.IsEmpty)
        {
            return;
        }

        Corner.Tangents(v[^1], v[0], out _, out var before);
        for (var i = 0; i < v.Length; i++)
        {
            Corner.Tangents(v[i], v[i + 1 == v.Length ? 0 : i + 1], out var after, out var end);
            if (Vector2.Cross(before, after) < -LeastTurn)
            {
                var p = v[i].Point;
                pieces.Add(new(new(p, p, 0), default, p, 0, new(p.X, p.Y, p.X, p.Y)));
            }

            before = end;
        }
    }
}
