using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>What a pen covers along one line or one arc of at most half a turn; exact. Other pens: see <see cref="PenSweep"/>.</summary>
internal static class StrokeShapes
{
    /// <summary>A round pen.</summary>
    /// <param name="path">Centre line.</param>
    /// <param name="widthMm">The pen's diameter; 0 covers nothing.</param>
    public static Region Round(Segment path, double widthMm) => RegionOffset.Stroke(
        path.Chord.Length == 0
            ? new OpenPath([new(path.Start.X, path.Start.Y)])
            : new OpenPath([new(path.Start.X, path.Start.Y, path.Bulge), new(path.End.X, path.End.Y)]),
        widthMm);

    /// <summary>An axis-parallel rectangular pen: the Minkowski sum of path and box.</summary>
    public static Region Box(Segment path, double halfXMm, double halfYMm)
    {
        if (halfXMm <= 0 || halfYMm <= 0)
        {
            return Region.Empty;
        }

        if (path.IsLine)
        {
            return Region.Of(Monotone(path, halfXMm, halfYMm));
        }

        var parts = ImmutableArray.CreateBuilder<Region>();
        foreach (var part in SplitAtExtremes(path))
        {
            parts.Add(Region.Of(Monotone(part, halfXMm, halfYMm)));
        }

        return parts.Count == 1 ? parts[0] : RegionBoolean.Union(parts.ToImmutable().AsSpan());
    }

    /// <summary>A path whose x and y never turn back sweeps a box along two copies of itself, moved to opposite corners.</summary>
    private static Contour Monotone(Segment path, double halfX, double halfY)
    {
        // Mirror so that the path runs right and up; mirroring one axis turns the direction of everything.
        var (sx, sy) = (path.Chord.X < 0 ? -1 : 1, path.Chord.Y < 0 ? -1 : 1);
        var bulge = path.Bulge * sx * sy;
        var (a, b) = (new Point2(path.Start.X * sx, path.Start.Y * sy), new Point2(path.End.X * sx, path.End.Y * sy));
        ReadOnlySpan<PathVertex> corners =
        [
            new(a.X - halfX, a.Y - halfY), new(a.X + halfX, a.Y - halfY, bulge), new(b.X + halfX, b.Y - halfY),
            new(b.X + halfX, b.Y + halfY), new(b.X - halfX, b.Y + halfY, -bulge), new(a.X - halfX, a.Y + halfY),
        ];
        var vertices = new List<PathVertex>(6);
        foreach (var corner in corners)
        {
            if (vertices.Count == 0 || vertices[^1].Point != corner.Point)
            {
                vertices.Add(corner);
            }
            else
            {
                vertices[^1] = corner;
            }
        }

        var contour = Contour.Adopt([.. vertices]);
        return sx == 1 && sy == 1 ? contour : contour.Transform(Affine2.Scale(sx, sy));
    }

    private static List<Segment> SplitAtExtremes(Segment arc)
    {
        var (center, radius) = (arc.Center, arc.Radius);
        var startAngle = Math.Atan2(arc.Start.Y - center.Y, arc.Start.X - center.X);
        var sweep = arc.SweepRad;
        var cuts = new List<double>();
        for (var quarter = -8; quarter <= 8; quarter++)
        {
            var fraction = ((quarter * Math.PI / 2) - startAngle) / sweep;
            if (fraction is > 1e-9 and < 1 - 1e-9)
            {
                cuts.Add(fraction);
            }
        }

        cuts.Sort();
        var result = new List<Segment>();
        var (from, done) = (arc.Start, 0.0);
        foreach (var cut in cuts)
        {
            // On the axis exactly, so that both parts are monotone.
            var angle = startAngle + (cut * sweep);
            var (sin, cos) = Affine2.ExactSinCosDegrees(Math.Round(angle / (Math.PI / 2)) * 90);
            var at = new Point2(center.X + (radius * cos), center.Y + (radius * sin));
            result.Add(Segment.Arc(from, at, (cut - done) * sweep));
            (from, done) = (at, cut);
        }

        result.Add(Segment.Arc(from, arc.End, (1 - done) * sweep));
        return result;
    }
}
