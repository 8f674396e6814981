using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>Makes the contours that rules ask for, in an opening's own frame; all counter-clockwise.</summary>
internal static class Outlines
{
    // tan(90°/4): the bulge of a quarter circle.
    private const double QuarterBulge = 0.41421356237309503;

    private const double VanishedMm = 1e-9;

    /// <summary>A box with round corners; a circle or an obround when the radius is half a side.</summary>
    public static Contour Rounded(Bounds2 box, double radiusMm)
    {
        var (w, h) = (box.Width, box.Height);
        var r = Math.Min(radiusMm, Math.Min(w, h) / 2);
        if (r <= VanishedMm)
        {
            return Contour.Rectangle(box);
        }

        var (flatX, flatY) = (w - (2 * r) > VanishedMm, h - (2 * r) > VanishedMm);
        if (!flatX && !flatY)
        {
            return Contour.Circle(box.Center, r);
        }

        if (!flatY)
        {
            return new([new(box.MinX + r, box.MinY), new(box.MaxX - r, box.MinY, 1), new(box.MaxX - r, box.MaxY), new(box.MinX + r, box.MaxY, 1)]);
        }

        if (!flatX)
        {
            return new([new(box.MaxX, box.MinY + r), new(box.MaxX, box.MaxY - r, 1), new(box.MinX, box.MaxY - r), new(box.MinX, box.MinY + r, 1)]);
        }

        return new(
        [
            new(box.MinX + r, box.MinY), new(box.MaxX - r, box.MinY, QuarterBulge),
            new(box.MaxX, box.MinY + r), new(box.MaxX, box.MaxY - r, QuarterBulge),
            new(box.MaxX - r, box.MaxY), new(box.MinX + r, box.MaxY, QuarterBulge),
            new(box.MinX, box.MaxY - r), new(box.MinX, box.MinY + r, QuarterBulge),
        ]);
    }

    /// <summary>A home-plate or an inverted one in a box; the taper or notch is at the box's right end (greatest x).</summary>
    /// <param name="box">The rectangle.</param>
    /// <param name="depthMm">Depth of taper or notch along x.</param>
    /// <param name="flatMm">What is left of the height at the deepest place.</param>
    /// <param name="isInverted">True for the notch.</param>
    /// <remarks>Both have the area W·L - d·(W - f)/2, which is W·(L - d) + d·(W + f)/2.</remarks>
    public static Point2[] HomePlate(Bounds2 box, double depthMm, double flatMm, bool isInverted)
    {
        var (middle, inner) = (box.Center.Y, box.MaxX - depthMm);
        var (low, high) = (middle - (flatMm / 2), middle + (flatMm / 2));
        if (!isInverted)
        {
            return [new(box.MinX, box.MinY), new(inner, box.MinY), new(box.MaxX, low), new(box.MaxX, high), new(inner, box.MaxY), new(box.MinX, box.MaxY)];
        }

        // The prongs' ends are f/2 wide each, and the notch ends in a point.
        var prong = flatMm / 2;
        return
        [
            new(box.MinX, box.MinY), new(box.MaxX, box.MinY), new(box.MaxX, box.MinY + prong), new(inner, middle),
            new(box.MaxX, box.MaxY - prong), new(box.MaxX, box.MaxY), new(box.MinX, box.MaxY),
        ];
    }

    /// <summary>A bow-tie in a box: pinched to the flat in the middle of its length, which runs along x; area W·L - d·(W - f).</summary>
    /// <param name="box">The rectangle.</param>
    /// <param name="depthMm">How far the pinch reaches along x, each way from the middle.</param>
    /// <param name="flatMm">Height of the waist.</param>
    public static Point2[] BowTie(Bounds2 box, double depthMm, double flatMm)
    {
        var (x, y) = (box.Center.X, box.Center.Y);
        return
        [
            new(box.MinX, box.MinY), new(x - depthMm, box.MinY), new(x, y - (flatMm / 2)), new(x + depthMm, box.MinY), new(box.MaxX, box.MinY),
            new(box.MaxX, box.MaxY), new(x + depthMm, box.MaxY), new(x, y + (flatMm / 2)), new(x - depthMm, box.MaxY), new(box.MinX, box.MaxY),
        ];
    }

    /// <summary>A counter-clockwise polygon with its convex corners rounded; a corner between short sides gets the radius that fits.</summary>
    public static Contour RoundedPolygon(ReadOnlySpan<Point2> corners, double radiusMm)
    {
        Span<Point2> points = corners.Length <= 16 ? stackalloc Point2[16] : new Point2[corners.Length];
        var count = WithoutRepeats(corners, points);
        var vertices = new List<PathVertex>(2 * count);
        for (var i = 0; i < count; i++)
        {
            var (before, at, after) = (points[(i + count - 1) % count], points[i], points[(i + 1) % count]);
            var (there, back) = ((at - before).Unit, (after - at).Unit);
            var turn = Math.Atan2(Vector2.Cross(there, back), Vector2.Dot(there, back));
            if (turn <= 1e-9 || radiusMm <= VanishedMm)
            {
                vertices.Add(new(at.X, at.Y));
                continue;
            }

            // The fillet touches both sides r·tan(turn/2) from the corner; neighbours share a side half and half.
            var tangent = Math.Tan(turn / 2);
            var reach = Math.Min(radiusMm * tangent, Math.Min((at - before).Length, (after - at).Length) / 2);
            var (start, end) = (at - (there * reach), at + (back * reach));
            vertices.Add(new(start.X, start.Y, Math.Tan(turn / 4)));
            vertices.Add(new(end.X, end.Y));
        }

        return new(MergedEnds(vertices));
    }

    private static int WithoutRepeats(ReadOnlySpan<Point2> corners, Span<Point2> into)
    {
        var count = 0;
        foreach (var corner in corners)
        {
            if (count == 0 || Point2.Distance(into[count - 1], corner) > VanishedMm)
            {
                into[count++] = corner;
            }
        }

        return count > 1 && Point2.Distance(into[count - 1], into[0]) <= VanishedMm ? count - 1 : count;
    }

    // Where two fillets use up a side, the end of one is the start of the next.
    private static PathVertex[] MergedEnds(List<PathVertex> vertices)
    {
        var kept = new List<PathVertex>(vertices.Count);
        for (var i = 0; i < vertices.Count; i++)
        {
            var next = vertices[(i + 1) % vertices.Count];
            if (vertices[i].Bulge != 0 || Point2.Distance(vertices[i].Point, next.Point) > VanishedMm)
            {
                kept.Add(vertices[i]);
            }
        }

        return [.. kept];
    }
}
