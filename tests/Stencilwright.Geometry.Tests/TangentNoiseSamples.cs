using CsCheck;

namespace Stencilwright.Geometry.Tests;

/// <summary>Shapes of lines that run smoothly into arcs, and the same moved by less than anything is made.</summary>
internal static class TangentNoiseSamples
{
    private static readonly Gen<double> Side = Gen.OneOf(Gen.Double[0.25, 3], Gen.Int[5, 60].Select(n => n * 0.05));
    private static readonly Gen<double> Part = Gen.Double[0.15, 0.85];

    private static readonly Gen<Point2[]> Corners = Gen.OneOf(
        Gen.Select(Side, Side, Part, Part, HomePlate),
        Gen.Select(Side, Side, Part, Part, Box),
        Gen.Select(Side, Side, Part, Part, Notched),
        Gen.Select(Side, Side, Part, Part, Angle),
        Gen.Select(Side, Side, Part, Part, Trapezium),
        Gen.Select(Side, Side, Part, Part, Cross));

    private static readonly Gen<(Region, double)> Rounded = Gen.Select(
        Corners, Gen.OneOf(Gen.Double[0.01, 0.5], Gen.Int[1, 10].Select(n => n * 0.025), Gen.Const(10.0)), Gen.UInt,
        (corners, radius, which) => Fillet(corners, radius, which));

    private static readonly Gen<(Region, double)> Obrounds = Gen.Select(
        Side, Side, (length, width) => (Region.Of(Slot(length, width)), width / 2));

    private static readonly Gen<(Region, double)> DShapes = Gen.Select(
        Side, Side, (length, width) => (Region.Of(new Contour([new(0, 0), new(length, 0, 1), new(length, width), new(0, width)])), width / 2));

    // Two arcs and two lines, the arcs bulging less than half circles: corners that are not smooth.
    private static readonly Gen<(Region, double)> Barrels = Gen.Select(
        Side, Side, Gen.Double[0.05, 0.95],
        (length, width, bulge) => (Region.Of(new Contour([new(0, 0), new(length, 0, bulge), new(length, width), new(0, width, bulge)])), 0.05));

    /// <summary>Ellipses of arcs within 0.1 µm, and the radius of their tips.</summary>
    public static readonly Gen<(Region Shape, double Radius)> Ellipses = Gen.Select(
        Side, Gen.Double[0.3, 3], (r, flat) => (Region.Of(Contour.Circle(new(0.1, 0.2), r)).Transform(Affine2.Scale(1, flat), 1e-4), r * Math.Min(flat * flat, 1 / flat)));

    private static readonly Gen<(Region, double)> Holed = Gen.Select(
        Rounded, Gen.Double[0.05, 0.3], Gen.Double[0.05, 0.3],
        (outer, w, h) =>
        {
            var at = RegionWidth.Narrowest(outer.Item1).Center;
            var hole = Fillet(Box(w, h, 0, 0), 0.3 * Math.Min(w, h), uint.MaxValue).Item1;
            return (RegionBoolean.Difference(outer.Item1, hole.Transform(Affine2.Translation(at.X - (w / 2), at.Y - (h / 2)))), outer.Item2);
        });

    private static readonly Gen<(Region, double)> Carved = OffsetSamples.ArcShapes.Select(r => (r, 0.1));

    /// <summary>A shape and the radius of most of its arcs.</summary>
    public static readonly Gen<(Region Shape, double Radius)> Any = Gen.Select(
        Gen.OneOf(Rounded, Rounded, Rounded, Obrounds, DShapes, Barrels, Ellipses, Holed, Carved),
        Gen.OneOf(Gen.Const(0.0), Gen.Const(90.0), Gen.Double[0, 360]),
        Gen.OneOf(Gen.Const(new Point2(0, 0)), Gen.Select(Gen.Double[0, 100], Gen.Double[0, 100], (x, y) => new Point2(x, y))),
        (shape, turn, at) => (shape.Item1.Transform(Affine2.Translation(at.X, at.Y) * Affine2.RotationDegrees(turn)), shape.Item2));

    /// <summary>A home plate with all corners rounded alike.</summary>
    public static Region RoundedHomePlate(double widthMm, double heightMm, double straight, double radiusMm) =>
        Fillet(HomePlate(widthMm, heightMm, straight, 0), radiusMm, uint.MaxValue).Shape;

    /// <summary>Every vertex moved by up to a distance each way; for an even seed bulges too, by as many units.</summary>
    public static Region Moved(Region region, double byMm, uint seed)
    {
        var random = new Random((int)(seed & int.MaxValue));
        var bulgesToo = seed % 2 == 0;
        return new Region([.. region.Contours.Select(c =>
        {
            var vertices = c.Vertices.ToArray();
            for (var i = 0; i < vertices.Length; i++)
            {
                var v = vertices[i];
                var bulge = bulgesToo && v.Bulge != 0 ? Math.Clamp(v.Bulge + Off(), -1, 1) : v.Bulge;
                vertices[i] = new(v.X + Off(), v.Y + Off(), bulge);
            }

            return new Contour(vertices);
        })]);

        double Off() => byMm * ((2 * random.NextDouble()) - 1);
    }

    private static Contour Slot(double length, double width) => new([new(0, 0), new(length, 0, 1), new(length, width), new(0, width, 1)]);

    private static Point2[] HomePlate(double w, double h, double p, double q) => [new(0, 0), new(w * p, 0), new(w, h / 2), new(w * p, h), new(0, h)];

    private static Point2[] Box(double w, double h, double p, double q) => [new(0, 0), new(w, 0), new(w, h), new(0, h)];

    private static Point2[] Notched(double w, double h, double p, double q) =>
        [new(0, 0), new(w, 0), new(w, h), new(w * (0.5 + (p / 2)), h), new(w * 0.5, h * q), new(w * (0.5 - (p / 2)), h), new(0, h)];

    private static Point2[] Angle(double w, double h, double p, double q) =>
        [new(0, 0), new(w, 0), new(w, h * p), new(w * q, h * p), new(w * q, h), new(0, h)];

    private static Point2[] Trapezium(double w, double h, double p, double q) => [new(0, 0), new(w, 0), new(w * (0.5 + (p / 2)), h), new(w * (0.5 - (q / 2)), h)];

    private static Point2[] Cross(double w, double h, double p, double q)
    {
        var (a, b, c, d) = (w * p / 2, w * (1 - (p / 2)), h * q / 2, h * (1 - (q / 2)));
        return [new(a, 0), new(b, 0), new(b, c), new(w, c), new(w, d), new(b, d), new(b, h), new(a, h), new(a, d), new(0, d), new(0, c), new(a, c)];
    }

    // Corners rounded as far as their sides allow; those whose bit is not set stay sharp.
    private static (Region Shape, double Radius) Fillet(Point2[] corners, double radius, uint which)
    {
        var path = new List<PathVertex>();
        var n = corners.Length;
        var most = double.PositiveInfinity;
        for (var i = 0; i < n; i++)
        {
            var (before, after) = (corners[i] - corners[(i + n - 1) % n], corners[(i + 1) % n] - corners[i]);
            var turn = Math.Abs(Math.Atan2(Vector2.Cross(before, after), Vector2.Dot(before, after)));
            most = Math.Min(most, Math.Min(before.Length, after.Length) / 2 / Math.Tan(turn / 2));
        }

        var r = Math.Min(radius, most);
        for (var i = 0; i < n; i++)
        {
            var (before, after) = ((corners[i] - corners[(i + n - 1) % n]).Unit, (corners[(i + 1) % n] - corners[i]).Unit);
            var turn = Math.Atan2(Vector2.Cross(before, after), Vector2.Dot(before, after));
            if ((which >> i) % 4 == 0)
            {
                path.Add(new(corners[i].X, corners[i].Y));
                continue;
            }

            var cut = r * Math.Abs(Math.Tan(turn / 2));
            var (start, end) = (corners[i] - (before * cut), corners[i] + (after * cut));
            path.Add(new(start.X, start.Y, Math.Tan(turn / 4)));
            path.Add(new(end.X, end.Y));
        }

        // Where two arcs use up a side nothing of it is left.
        for (var i = path.Count - 1; i >= 0; i--)
        {
            var next = path[(i + 1) % path.Count];
            if (path[i].Bulge == 0 && Point2.Distance(path[i].Point, next.Point) < 1e-9)
            {
                path.RemoveAt(i);
            }
        }

        return (Region.Of(new Contour([.. path])), r);
    }
}
