using NetTopologySuite.Geometries;
using Stencilwright.Geometry;

namespace Stencilwright.Benchmarks;

/// <summary>
/// Pads as boards have them, invented: half rectangles, a quarter rounded rectangles, the rest circles, obrounds and polygons
/// of 12 to 40 vertices, one in eight of them with a notch; 0.2 to 3 mm long, some turned, on a grid wide enough that none touch.
/// In the mix of many notches these have one at every fourth vertex.
/// </summary>
internal static class Pads
{
    private static readonly double Quarter = Math.Tan(Math.PI / 8);

    public static Region[] Make(int count, double pitchMm, bool hasManyNotches = false)
    {
        var random = new Random(20260101);
        var columns = (int)Math.Ceiling(Math.Sqrt(count));
        var pads = new Region[count];
        for (var i = 0; i < count; i++)
        {
            var turn = random.Next(8) == 0 ? random.NextDouble() * 360 : random.Next(2) * 90;
            var map = Affine2.Translation(i % columns * pitchMm, i / columns * pitchMm) * Affine2.RotationDegrees(turn);
            pads[i] = Region.Of(One(random, i, hasManyNotches)).Transform(map);
        }

        return pads;
    }

    /// <summary>The same pads for NetTopologySuite, arcs as 8 chords a quarter circle: its own default for round things.</summary>
    public static Polygon ToReference(Region region)
    {
        var points = new List<Coordinate>();
        var contour = region.Contours[0];
        for (var i = 0; i < contour.Count; i++)
        {
            var s = contour.SegmentAt(i);
            var chords = Math.Max(1, (int)Math.Round(Math.Abs(s.SweepRad) / (Math.PI / 16)));
            for (var k = 0; k < chords; k++)
            {
                var p = s.PointAt((double)k / chords);
                points.Add(new(p.X, p.Y));
            }
        }

        points.Add(points[0].Copy());
        return GeometryFactory.Default.CreatePolygon([.. points]);
    }

    private static Contour One(Random random, int i, bool hasManyNotches)
    {
        var (w, h) = (0.25 + (random.NextDouble() * 2.5), 0.2 + (random.NextDouble() * 0.8));
        return (i % 8) switch
        {
            < 4 => Contour.Rectangle(new(-w / 2, -h / 2, w / 2, h / 2)),
            < 6 => Rounded(w, h, Math.Min(0.25, Math.Min(w, h) * (0.1 + (random.NextDouble() * 0.3)))),
            6 => random.Next(2) == 0 ? Contour.Circle(default, h / 2) : Rounded(w + h, h, h / 2),
            _ => Many(random, w, h, hasManyNotches),
        };
    }

    private static Contour Rounded(double w, double h, double r)
    {
        var (x, y) = (w / 2, h / 2);
        if (r >= y)
        {
            return new Contour([new(-x + r, -y), new(x - r, -y, 1), new(x - r, y), new(-x + r, y, 1)]);
        }

        return new Contour([
            new(-x + r, -y), new(x - r, -y, Quarter), new(x, -y + r), new(x, y - r, Quarter),
            new(x - r, y), new(-x + r, y, Quarter), new(-x, y - r), new(-x, -y + r, Quarter)]);
    }

    private static Contour Many(Random random, double w, double h, bool hasManyNotches)
    {
        var n = random.Next(12, 41);
        var isNotched = random.Next(8) == 0;
        var points = new Point2[n];
        for (var k = 0; k < n; k++)
        {
            var a = 2 * Math.PI * k / n;
            var r = isNotched && (hasManyNotches ? k % 4 == 0 : k == n / 4) ? 0.85 : 1;
            points[k] = new(r * w / 2 * Math.Cos(a), r * h / 2 * Math.Sin(a));
        }

        return Contour.Polygon(points);
    }
}
