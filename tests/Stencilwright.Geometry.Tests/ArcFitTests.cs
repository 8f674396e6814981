using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

public sealed class ArcFitTests
{
    private static readonly Gen<Point2> SomePoint = Gen.Select(Gen.Double[-5, 5], Gen.Double[-5, 5], (x, y) => new Point2(x, y));

    [Fact]
    public void Bezier_arcs_stay_within_the_tolerance_both_ways() =>
        Gen.Select(SomePoint, SomePoint, SomePoint, SomePoint, Gen.Int[2, 4].Select(k => Math.Pow(10, -k))).Check(
            (a, b, c, d, tolerance) =>
            {
                var path = new List<PathVertex>();
                ArcFit.Bezier(a, b, c, d, tolerance, path);
                path.Add(new(d.X, d.Y));
                var curve = new CubicCurve(a, b, c, d);
                Assert.True(CurveToPath(curve, 0, 1, path) <= tolerance, "curve to arcs");
                Assert.InRange(new OpenPath(path.ToArray()).LengthMm, 0, CurveLength(curve, 0, 1) + (tolerance * path.Count));
            },
            iter: 120);

    // On a line there and back twice: x(t) = -3t(1-t)² + 3t²(1-t) is 0 at 0, ½ and 1, and ±√3/6 at its turning points.
    [Fact]
    public void A_curve_that_passes_its_start_again_is_not_cut_short_there()
    {
        var path = new List<PathVertex>();
        ArcFit.Bezier(new(0, 0), new(-1, 0), new(1, 0), new(0, 0), 1e-3, path);
        Assert.Equal(-Math.Sqrt(3) / 6, path.Min(v => v.X), 1e-3);
        Assert.Equal(Math.Sqrt(3) / 6, path.Max(v => v.X), 1e-3);
    }

    [Fact]
    public void Elliptical_arcs_stay_within_the_tolerance() =>
        Gen.Select(SomePoint, SomePoint, SomePoint, Gen.Double[-7, 7], Gen.Double[-6.28, 6.28]).Check(
            (c, u, v, start, sweep) =>
            {
                var (axisU, axisV) = (u - default(Point2), v - default(Point2));
                var path = new List<PathVertex>();
                ArcFit.EllipticalArc(c, axisU, axisV, start, sweep, 1e-3, path);
                var curve = new EllipseCurve(c, axisU, axisV);
                var end = curve.PointAt(start + sweep);
                path.Add(new(end.X, end.Y));
                Assert.True(CurveToPath(curve, start, start + sweep, path) <= 1e-3);
            },
            iter: 120);

    [Fact]
    public void Arcs_of_a_smooth_curve_meet_without_corners()
    {
        var path = new List<PathVertex>();
        ArcFit.Bezier(new(0, 0), new(1, 3), new(4, 3), new(5, -1), 1e-3, path);
        path.Add(new(5, -1));
        var open = new OpenPath(path.ToArray());
        for (var i = 1; i < open.SegmentCount; i++)
        {
            var (a, b) = (open.SegmentAt(i - 1).EndTangent, open.SegmentAt(i).StartTangent);
            Assert.True(Vector2.Dot(a, b) > 1 - 1e-12);
        }

        Assert.InRange(open.SegmentCount, 4, 40);
    }

    // Bézier quarter circle with kappa 0.5522847498: greatest radial error +2.7253e-4 R (computed from the curve's radius).
    [Fact]
    public void Quarter_circle_by_bezier_has_the_known_radial_error()
    {
        const double Kappa = 0.5522847498;
        var curve = new CubicCurve(new(1, 0), new(1, Kappa), new(Kappa, 1), new(0, 1));
        var most = 0.0;
        for (var i = 0; i <= 10000; i++)
        {
            most = Math.Max(most, Point2.Distance(default, curve.PointAt(i / 10000.0)) - 1);
        }

        Assert.Equal(2.7253e-4, most, 8);

        // With a tolerance above that error one fitted arc must be the quarter circle itself.
        var path = new List<PathVertex>();
        ArcFit.Bezier(curve.P0, curve.P1, curve.P2, curve.P3, 4e-4, path);
        Assert.Equal(Math.Tan(Math.PI / 8), Assert.Single(path).Bulge, 9);
    }

    [Fact]
    public void A_circle_given_as_an_ellipse_is_two_exact_arcs()
    {
        var path = new List<PathVertex>();
        ArcFit.EllipticalArc(new(1, 2), new(0.6, 0.8), new(-0.8, 0.6), 0.3, 2 * Math.PI, 1e-4, path);
        Assert.Equal(Math.PI, new Contour(path.ToArray()).SignedAreaMm2, 12);
        Assert.Equal(2, path.Count);
    }

    [Theory]
    [InlineData(1, 0.5)]
    [InlineData(1, -0.5)]
    [InlineData(-3, 2)]
    public void A_stretched_circle_has_the_area_of_the_ellipse_and_keeps_its_direction(double sx, double sy)
    {
        var circle = Contour.Circle(new(5, 6), 2);
        Assert.Equal(4 * Math.PI * Math.Abs(sx * sy), circle.Transform(Affine2.Scale(sx, sy), 1e-5).SignedAreaMm2, 3);
        Assert.Equal(-4 * Math.PI * Math.Abs(sx * sy), circle.Reversed().Transform(Affine2.Scale(sx, sy), 1e-5).SignedAreaMm2, 3);
    }

    [Fact]
    public void A_flattened_ellipse_goes_there_and_back()
    {
        var path = new List<PathVertex>();
        ArcFit.EllipticalArc(default, new(2, 0), new(0, 0), 1, 2 * Math.PI, 1e-4, path);
        Assert.Equal(8, Measure.Perimeter(path.ToArray()), 9);
    }

    [Fact]
    public void Degenerate_beziers_end()
    {
        var path = new List<PathVertex>();
        ArcFit.Bezier(new(1, 1), new(1, 1), new(1, 1), new(1, 1), 1e-4, path);
        ArcFit.Bezier(new(0, 0), new(2, 2), new(0, 2), new(2, 0), 1e-4, path);
        ArcFit.Bezier(new(0, 0), new(3, 0), new(-2, 0), new(1, 0), 1e-4, path);
        ArcFit.Bezier(new(0, 0), new(0, 0), new(1, 1), new(1, 1), 1e-4, path);
        ArcFit.Quadratic(new(0, 0), new(1, 1), new(0, 0), 1e-4, path);
        Assert.InRange(path.Count, 5, 2000);
        Assert.All(path, v => Assert.True(double.IsFinite(v.X) && double.IsFinite(v.Bulge)));
    }

    [Fact]
    public void Polygons_of_many_sides_become_circles_again() =>
        Gen.Select(Gen.Int[24, 128], Gen.Double[0.1, 3], Gen.Double[0, 6.3], SomePoint, Gen.Bool).Check(
            (n, r, turn, c, isHole) =>
            {
                var points = Enumerable.Range(0, n).Select(i => c + (Unit(turn + (2 * Math.PI * i / n)) * r)).ToArray();
                if (isHole)
                {
                    Array.Reverse(points);
                }

                var recovered = ArcFit.RecoverArcs(Contour.Polygon(points), 1e-5);
                Assert.Equal(2, recovered.Count);
                Assert.Equal((isHole ? -1 : 1) * Math.PI * r * r, recovered.SignedAreaMm2, 6);
            },
            iter: 200);

    [Theory]
    [InlineData(8)]
    [InlineData(12)]
    [InlineData(16)]
    public void Polygons_of_few_sides_stay_polygons(int n)
    {
        var polygon = Contour.Polygon([.. Enumerable.Range(0, n).Select(i => default(Point2) + Unit(2 * Math.PI * i / n))]);
        Assert.Same(polygon, ArcFit.RecoverArcs(polygon, 1e-3));
    }

    [Fact]
    public void An_obround_of_chords_becomes_two_lines_and_two_half_circles() =>
        Gen.Int[0, 65].Check(
            shift =>
            {
                var points = new List<Point2>();
                for (var i = 0; i <= 32; i++)
                {
                    points.Add(new Point2(2, 0) + (Unit((-Math.PI / 2) + (Math.PI * i / 32)) * 0.5));
                }

                for (var i = 0; i <= 32; i++)
                {
                    points.Add(new Point2(0, 0) + (Unit((Math.PI / 2) + (Math.PI * i / 32)) * 0.5));
                }

                var turned = points.Skip(shift).Concat(points.Take(shift)).ToArray();
                var recovered = ArcFit.RecoverArcs(Contour.Polygon(turned), 1e-5);
                Assert.Equal(2 + (Math.PI / 4), recovered.SignedAreaMm2, 9);
                Assert.InRange(recovered.Count, 4, 6);
            },
            iter: 70);

    [Fact]
    public void A_rectangle_with_many_points_on_its_sides_keeps_them()
    {
        var points = new List<Point2>();
        for (var i = 0; i < 20; i++)
        {
            points.Add(new(i / 20.0, 0));
        }

        points.AddRange([new(1, 0), new(1, 1), new(0, 1)]);
        var contour = Contour.Polygon(points.ToArray());
        Assert.Same(contour, ArcFit.RecoverArcs(contour, 1e-3));
    }

    private static Vector2 Unit(double angleRad) => new(Math.Cos(angleRad), Math.Sin(angleRad));

    private static double CurveToPath<T>(T curve, double from, double to, List<PathVertex> path)
        where T : struct, IPlaneCurve
    {
        var open = new OpenPath(path.ToArray());
        var most = 0.0;
        for (var k = 0; k <= 300; k++)
        {
            var p = curve.PointAt(from + ((to - from) * k / 300));
            var least = double.PositiveInfinity;
            for (var i = 0; i < open.SegmentCount && least > 1e-9; i++)
            {
                least = Math.Min(least, RegionDistance.ToSegment(open.SegmentAt(i), p).DistanceMm);
            }

            most = Math.Max(most, least);
        }

        return most;
    }

    private static double CurveLength<T>(T curve, double from, double to)
        where T : struct, IPlaneCurve
    {
        var sum = 0.0;
        for (var k = 0; k < 2000; k++)
        {
            sum += Point2.Distance(curve.PointAt(from + ((to - from) * k / 2000)), curve.PointAt(from + ((to - from) * (k + 1) / 2000)));
        }

        return sum * 1.0001;
    }
}
