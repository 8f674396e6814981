using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>Shapes that are awkward on purpose, each turned, mirrored, moved far away and scaled.</summary>
public sealed class OffsetCorpusTests
{
    private static readonly double Quarter = Math.Tan(Math.PI / 8);

    public static TheoryData<string, double> Cases()
    {
        var data = new TheoryData<string, double>();
        foreach (var name in Shapes.Keys)
        {
            foreach (var d in (double[])[-0.6, -0.25, -0.1, -0.075, -0.01, 0.01, 0.1, 0.25, 0.6])
            {
                data.Add(name, d);
            }
        }

        return data;
    }

    private static readonly Dictionary<string, Region> Shapes = new()
    {
        ["collinear points"] = Polygon([new(0, 0), new(0.5, 0), new(1, 0), new(2, 0), new(2, 1), new(1, 1), new(0, 1), new(0, 0.5)]),
        ["doubled vertices"] = Polygon([new(0, 0), new(0, 0), new(2, 0), new(2, 0), new(2, 0), new(2, 1), new(0, 1), new(0, 1e-9), new(0, 0)]),
        ["tiny chamfers"] = Polygon([new(0, 0), new(2, 0), new(2, 1), new(1.99999, 1.00001), new(0, 1.00001), new(-1e-7, 1)]),
        ["dumbbell"] = Polygon([
            new(0, 0), new(1, 0), new(1, 0.4), new(2, 0.4), new(2, 0), new(3, 0), new(3, 1), new(2, 1), new(2, 0.6), new(1, 0.6), new(1, 1), new(0, 1)]),
        ["comb"] = Comb(9),
        ["star"] = Polygon([.. Enumerable.Range(0, 10).Select(i => Polar(i % 2 == 0 ? 1.5 : 0.5, Math.PI * i / 5))]),
        ["thin ring"] = new([Contour.Circle(default, 1.5), Contour.Circle(new(0.05, 0), 1.3).Reversed()]),
        ["big hole"] = new([Contour.Rectangle(new(-2, -2, 2, 2)), Contour.Circle(default, 1.5).Reversed()]),
        ["small holes"] = new([
            Contour.Rectangle(new(0, 0, 4, 2)), Contour.Circle(new(1, 1), 0.05).Reversed(), Contour.Circle(new(3, 1), 0.2).Reversed(),
            Contour.Rectangle(new(1.8, 0.9, 2.2, 1.1)).Reversed()]),
        ["cut in"] = Polygon([new(0, 0), new(2, 0), new(2, 0.48), new(0.5, 0.48), new(0.5, 0.52), new(2, 0.52), new(2, 1), new(0, 1)]),
        ["bite"] = Region.Of(new Contour([new(0, 0), new(2, 0), new(2, 0.25, -1), new(2, 0.75), new(2, 1), new(0, 1)])),
        ["rounded"] = Region.Of(new Contour([
            new(0.1, 0), new(1.9, 0, Quarter), new(2, 0.1), new(2, 0.9, Quarter), new(1.9, 1), new(0.1, 1, Quarter), new(0, 0.9), new(0, 0.1, Quarter)])),
        ["ell"] = Polygon([new(0, 0), new(2, 0), new(2, 0.3), new(0.3, 0.3), new(0.3, 2), new(0, 2)]),
        ["needle"] = Polygon([new(0, 0), new(5, 0.05), new(0, 0.1)]),
        ["touching islands"] = new([Contour.Rectangle(new(0, 0, 1, 1)), Contour.Rectangle(new(1, 1, 2, 2)), Contour.Circle(new(3, 1), 0.4)]),
        ["many sides"] = Polygon([.. Enumerable.Range(0, 720).Select(i => Polar(1 + (0.05 * Math.Sin(i / 9.0)), Math.PI * i / 360))]),
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Offset_agrees_with_the_reference_wherever_the_shape_lies(string name, double d)
    {
        var shape = Shapes[name];
        var reference = OffsetSamples.ToReference(shape, 2e-6).Buffer(d, 96).Area;
        var tolerance = (shape.PerimeterMm + Math.Abs(7 * d)) * (5e-6 + (Math.Abs(d) * 4e-5));
        foreach (var map in Maps())
        {
            var moved = RegionOffset.Offset(shape.Transform(map), d * Math.Sqrt(Math.Abs(map.Determinant)));
            Assert.Equal(reference, moved.AreaMm2 / Math.Abs(map.Determinant), tolerance);
            foreach (var p in OffsetSamples.BoundaryPoints(moved))
            {
                var scale = Math.Sqrt(Math.Abs(map.Determinant));
                var back = map.Inverse().Apply(p);
                Assert.Equal(Math.Abs(d), RegionDistance.ToBoundary(shape, back).DistanceMm, 1e-6 * Math.Max(1, 1 / scale));
            }
        }
    }

    [Fact]
    public void The_corpus_splits_and_vanishes_and_survives()
    {
        Assert.Equal(2, RegionOffset.Offset(Shapes["dumbbell"], -0.1001).Contours.Length);
        Assert.Single(RegionOffset.Offset(Shapes["dumbbell"], -0.0999).Contours);
        Assert.True(RegionOffset.Offset(Shapes["thin ring"], -0.15).IsEmpty);
        Assert.True(RegionOffset.Offset(Shapes["needle"], -0.06).IsEmpty);
        Assert.Single(RegionOffset.Offset(Shapes["small holes"], 0.25).Contours);
        Assert.Equal(3, RegionOffset.Offset(Shapes["small holes"], 0.06).Contours.Length);
        Assert.All(Shapes.Values, s => Assert.False(RegionOffset.Offset(s, -0.01).IsEmpty));
    }

    private static IEnumerable<Affine2> Maps()
    {
        yield return Affine2.Identity;
        yield return Affine2.RotationDegrees(90);
        yield return Affine2.Translation(217.3, -148.9) * Affine2.RotationDegrees(33.7);
        yield return Affine2.Scale(-1, 1);
        yield return Affine2.RotationDegrees(211) * Affine2.Scale(0.2, 0.2);
        yield return Affine2.Translation(-50, 20) * Affine2.Scale(7, -7);
    }

    private static Region Polygon(ReadOnlySpan<Point2> points) => Region.Of(Contour.Polygon(points));

    private static Point2 Polar(double r, double a) => new(r * Math.Cos(a), r * Math.Sin(a));

    private static Region Comb(int teeth)
    {
        var points = new List<Point2> { new(0, 0), new(teeth * 0.5, 0) };
        for (var i = teeth - 1; i >= 0; i--)
        {
            points.AddRange([new((i * 0.5) + 0.4, 2), new((i * 0.5) + 0.1, 2), new((i * 0.5) + 0.05, 0.3), new((i * 0.5) - 0.05, 0.3)]);
        }

        points.RemoveAt(points.Count - 1);
        points[^1] = new(0, 1);
        return Polygon(points.ToArray());
    }
}
