using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Which way the long side of a shape runs.</summary>
internal static class LongSide
{
    // Edges whose directions differ by less belong to one side.
    private const double SameDirectionDeg = 0.5;

    /// <summary>Degrees from x in (-90, 90]; 0 for what has no long side.</summary>
    public static double DirectionDeg(Region shape)
    {
        var sides = Sides(shape);
        var (best, bestLength) = (0.0, 0.0);
        foreach (var (angle, length) in sides)
        {
            // Of equally long sides the one nearest to x: a square has no turn.
            if (length > bestLength * 1.005 || (length > bestLength * 0.995 && Math.Abs(angle) < Math.Abs(best)))
            {
                (best, bestLength) = (angle, Math.Max(length, bestLength));
            }
        }

        // A curve, or a curve of chords: no direction has a fifth of the outline, as each of an octagon's has.
        return Snap(bestLength < 0.2 * shape.PerimeterMm ? PrincipalAxisDeg(shape) : best);
    }

    private static List<(double AngleDeg, double LengthMm)> Sides(Region shape)
    {
        var sides = new List<(double AngleDeg, double LengthMm)>();
        foreach (var contour in shape.Contours)
        {
            if (contour.SignedAreaMm2 <= 0)
            {
                continue;
            }

            for (var i = 0; i < contour.Count; i++)
            {
                var segment = contour.SegmentAt(i);
                if (!segment.IsLine)
                {
                    continue;
                }

                var length = segment.Chord.Length;
                AddSide(sides, Fold(Math.Atan2(segment.Chord.Y, segment.Chord.X) * 180 / Math.PI), length);
            }
        }

        return sides;
    }

    private static void AddSide(List<(double AngleDeg, double LengthMm)> sides, double angle, double length)
    {
        for (var k = 0; k < sides.Count; k++)
        {
            if (Math.Abs(Fold(sides[k].AngleDeg - angle)) <= SameDirectionDeg)
            {
                sides[k] = (sides[k].AngleDeg, sides[k].LengthMm + length);
                return;
            }
        }

        // A curve of hundreds of chords has no sides worth keeping apart.
        if (sides.Count < 64)
        {
            sides.Add((angle, length));
        }
    }

    // Second moments of the outline's chords about its centre of area; exact for polygons, near enough for a direction.
    private static double PrincipalAxisDeg(Region shape)
    {
        var c = shape.Centroid;
        double xx = 0, yy = 0, xy = 0;
        foreach (var contour in shape.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                foreach (var (a, b) in (ReadOnlySpan<(Vector2, Vector2)>)[(s.Start - c, s.Middle - c), (s.Middle - c, s.End - c)])
                {
                    var cross = Vector2.Cross(a, b);
                    xx += cross * ((a.X * a.X) + (a.X * b.X) + (b.X * b.X));
                    yy += cross * ((a.Y * a.Y) + (a.Y * b.Y) + (b.Y * b.Y));
                    xy += cross * ((a.X * b.Y) + (2 * a.X * a.Y) + (2 * b.X * b.Y) + (b.X * a.Y)) / 2;
                }
            }
        }

        // Equal moments within 2 %: round or square, no long side.
        return Math.Sqrt(Math.Pow(xx - yy, 2) + (4 * xy * xy)) <= 0.02 * (xx + yy)
            ? 0
            : Fold(Math.Atan2(2 * xy, xx - yy) * 90 / Math.PI);
    }

    // Rounded coordinates turn a short side by hundredths of a degree.
    private static double Snap(double angle)
    {
        var half = Math.Round(angle * 2) / 2;
        var snapped = Math.Abs(angle - half) <= 0.05 ? half : Math.Round(angle, 2);
        return Fold(snapped) + 0.0;
    }

    private static double Fold(double angle)
    {
        var folded = Math.IEEERemainder(angle, 180);
        return folded <= -90 ? folded + 180 : folded;
    }
}
