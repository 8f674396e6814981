using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>What a pen covers along one line or one arc of at most half a turn; exact, without booleans wherever that is possible.</summary>
internal static class StrokeShapes
{
    /// <summary>A round pen.</summary>
    /// <param name="path">Centre line.</param>
    /// <param name="radiusMm">Half the pen's width; 0 covers nothing.</param>
    public static Region Round(Segment path, double radiusMm)
    {
        if (radiusMm <= 0)
        {
            return Region.Empty;
        }

        if (path.Chord.Length == 0)
        {
            return Region.Of(Contour.Circle(path.Start, radiusMm));
        }

        if (path.IsLine)
        {
            var side = path.Chord.Unit.Left * radiusMm;
            return Region.Of(Contour.Adopt(
            [
                Vertex(path.Start - side, 0), Vertex(path.End - side, 1), Vertex(path.End + side, 0), Vertex(path.Start + side, 1),
            ]));
        }

        var arc = path.Bulge > 0 ? path : path.Reversed;
        return arc.Radius > radiusMm ? Sector(arc, radiusMm) : Fan(arc, radiusMm);
    }

    // Outer arc, half circle round the end, inner arc back, half circle round the start.
    private static Region Sector(Segment arc, double radiusMm)
    {
        var atStart = (arc.StartTangent.Left * -1) * radiusMm;
        var atEnd = (arc.EndTangent.Left * -1) * radiusMm;
        return Region.Of(Contour.Adopt(
        [
            Vertex(arc.Start + atStart, arc.Bulge), Vertex(arc.End + atEnd, 1), Vertex(arc.End - atEnd, -arc.Bulge), Vertex(arc.Start - atStart, 1),
        ]));
    }

    // The pen reaches the arc's centre: the pie it sweeps, and the pen at both ends.
    private static Region Fan(Segment arc, double radiusMm)
    {
        var atStart = (arc.StartTangent.Left * -1) * radiusMm;
        var atEnd = (arc.EndTangent.Left * -1) * radiusMm;
        var pie = Contour.Adopt([Vertex(arc.Center, 0), Vertex(arc.Start + atStart, arc.Bulge), Vertex(arc.End + atEnd, 0)]);
        return RegionBoolean.Union(
        [
            Region.Of(pie), Region.Of(Contour.Circle(arc.Start, radiusMm)), Region.Of(Contour.Circle(arc.End, radiusMm)),
        ]);
    }

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

    private static PathVertex Vertex(Point2 p, double bulge) => new(p.X, p.Y, bulge);
}
