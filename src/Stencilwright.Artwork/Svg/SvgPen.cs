using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Svg;

/// <summary>What one segment of a stroke covers, exactly: lines and arcs of the pen's edge, its ends and its corners.</summary>
internal static class SvgPen
{
    private enum End
    {
        Flat,
        Round,
        Square,
    }

    /// <summary>The shapes of a stroke's segments, in order; a stroke of one point gives a dot or nothing.</summary>
    /// <param name="path">The centre line.</param>
    /// <param name="halfWidth">Half the pen's width, above 0, in the path's unit.</param>
    /// <param name="style">Caps and joins.</param>
    public static List<(Segment Center, Region Shape)> Stroke(SvgSubPath path, double halfWidth, SvgStyle style)
    {
        var result = new List<(Segment Center, Region Shape)>(Math.Max(1, path.SegmentCount));
        var first = path.Vertices[0].Point;
        if (path.SegmentCount == 0)
        {
            // W3C SVG: a stretch of no length shows its caps, unless they are butt.
            if (Dot(first, halfWidth, style.Cap, path.Heading) is { } dot)
            {
                result.Add((new Segment(first, first, 0), dot));
            }

            return result;
        }

        var open = style.Cap switch { SvgCap.Round => End.Round, SvgCap.Square => End.Square, _ => End.Flat };
        var joint = style.Join == SvgJoin.Round ? End.Round : End.Flat;
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var segment = path.SegmentAt(i);
            var isFirst = !path.IsClosed && i == 0;
            var isLast = !path.IsClosed && i == path.SegmentCount - 1;
            var body = Body(segment, halfWidth, isFirst ? open : joint, isLast ? open : joint);
            if (!isLast && joint == End.Flat && Corner(segment, path.SegmentAt((i + 1) % path.SegmentCount), halfWidth, style) is { } corner)
            {
                body = RegionBoolean.Union([body, Region.Of(corner)]);
            }

            result.Add((segment, body));
        }

        return result;
    }

    private static Region? Dot(Point2 at, double h, SvgCap cap, Vector2 heading) => cap switch
    {
        SvgCap.Round => Region.Of(Contour.Circle(at, h)),
        SvgCap.Square => Region.Of(Contour.Rectangle(new Bounds2(-h, -h, h, h)).Transform(new Affine2(heading.X, -heading.Y, at.X, heading.Y, heading.X, at.Y))),
        _ => null,
    };

    private static Region Body(Segment s, double h, End start, End end)
    {
        if (!s.IsLine && s.Radius <= h * (1 + 1e-9))
        {
            return TightArc(s, h, start, end);
        }

        // Round the band counter-clockwise: out along its right side, back along its left.
        var (t0, t1) = (s.StartTangent, s.EndTangent);
        Span<PathVertex> band = new PathVertex[9];
        var count = 0;
        Put(band, ref count, s.Start - (t0.Left * h), s.Bulge);
        PutEnd(band, ref count, s.End, t1, h, end, -s.Bulge);
        PutEnd(band, ref count, s.Start, t0 * -1, h, start, 0);
        // The last point put is where the band began.
        return Region.Of(new Contour(band[..(count - 1)]));
    }

    // From the right side round the end to the left side, which is left with the bulge given.
    private static void PutEnd(Span<PathVertex> band, ref int count, Point2 at, Vector2 ahead, double h, End end, double bulgeAfter)
    {
        var (right, left, reach) = (at - (ahead.Left * h), at + (ahead.Left * h), ahead * h);
        if (end == End.Square)
        {
            Put(band, ref count, right, 0);
            Put(band, ref count, right + reach, 0);
            Put(band, ref count, left + reach, 0);
        }
        else
        {
            Put(band, ref count, right, end == End.Round ? 1 : 0);
        }

        Put(band, ref count, left, bulgeAfter);
    }

    private static void Put(Span<PathVertex> band, ref int count, Point2 at, double bulge) =>
        band[count++] = new PathVertex(at.X, at.Y, bulge);

    // A pen wider than the arc it turns about: every point of the sector lies within half a width of the arc.
    private static Region TightArc(Segment s, double h, End start, End end)
    {
        var (center, radius) = (s.Center, s.Radius);
        var reach = (radius + h) / radius;
        var (a, b) = (center + ((s.Start - center) * reach), center + ((s.End - center) * reach));
        var sector = new Contour([new(center.X, center.Y), new(a.X, a.Y, s.Bulge), new(b.X, b.Y)]);
        var parts = new List<Region>(3) { Region.Of(sector.SignedAreaMm2 < 0 ? sector.Reversed() : sector) };
        if (start == End.Round)
        {
            parts.Add(Region.Of(Contour.Circle(s.Start, h)));
        }

        if (end == End.Round)
        {
            parts.Add(Region.Of(Contour.Circle(s.End, h)));
        }

        return RegionBoolean.Union(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(parts));
    }

    // The wedge on the outside of a corner.
    private static Contour? Corner(Segment before, Segment after, double h, SvgStyle style)
    {
        var (t0, t1, at) = (before.EndTangent, after.StartTangent, before.End);
        var turn = Vector2.Cross(t0, t1);
        if (Math.Abs(turn) < 1e-9)
        {
            return null;
        }

        // The outside lies right of a left turn.
        var side = turn > 0 ? -h : h;
        var (o0, o1) = (at + (t0.Left * side), at + (t1.Left * side));
        var half = Math.Sqrt(Math.Max(0, (1 + Vector2.Dot(t0, t1)) / 2));
        Span<PathVertex> wedge = [new(at.X, at.Y), new(o0.X, o0.Y), new(o1.X, o1.Y), default];
        var count = 3;
        // W3C SVG: the mitre's length over the width is 1/sin of half the corner's angle, the cosine of half the turn.
        if (style.Join == SvgJoin.Miter && half * style.MiterLimit >= 1)
        {
            var tip = at + ((t0.Left + t1.Left).Unit * (side / half));
            (wedge[3], wedge[2], count) = (wedge[2], new PathVertex(tip.X, tip.Y), 4);
        }

        var contour = new Contour(wedge[..count]);
        return contour.SignedAreaMm2 < 0 ? contour.Reversed() : contour;
    }
}
