using CsCheck;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Geometry.Tests;

/// <summary>What holds for every shape; the reference library is NetTopologySuite's buffer with 32 segments a quarter circle.</summary>
public sealed class OffsetPropertyTests
{
    private const int Rounds = 120;
    private static readonly Gen<double> Distance = Gen.OneOf(Gen.Double[-0.8, -0.01], Gen.Double[0.01, 0.8]);

    [Fact]
    public void Area_agrees_with_the_reference()
    {
        var (empty, some) = (0, 0);
        Gen.Select(OffsetSamples.Any, Distance).Check(
            (shape, d) =>
            {
                var ours = RegionOffset.Offset(shape, d);
                var reference = OffsetSamples.Buffered(OffsetSamples.ToReference(shape, 1e-5), d, 32);
                var perimeter = shape.PerimeterMm + (2 * Math.PI * Math.Abs(d) * shape.Contours.Length);
                var tolerance = perimeter * (1.1e-4 + (Math.Abs(d) * 3.1e-4));
                Assert.InRange(ours.AreaMm2, reference.Area - tolerance, reference.Area + tolerance);
                _ = ours.IsEmpty ? Interlocked.Increment(ref empty) : Interlocked.Increment(ref some);
            },
            iter: Rounds);
        Assert.True(some > Rounds / 2 && empty > 0, $"{some} kept, {empty} vanished: the samples prove little");
    }

    [Fact]
    public void Every_boundary_point_is_at_the_distance() => Gen.Select(OffsetSamples.Any, Distance).Check(
        (shape, d) =>
        {
            foreach (var p in OffsetSamples.BoundaryPoints(RegionOffset.Offset(shape, d)))
            {
                Assert.Equal(Math.Abs(d), RegionDistance.ToBoundary(shape, p).DistanceMm, 1e-6);
                Assert.Equal(d > 0, !shape.Contains(p));
            }
        },
        iter: Rounds);

    [Fact]
    public void Points_are_inside_exactly_when_near_enough() => Gen.Select(OffsetSamples.Any, Distance, Gen.Int[0, 1000]).Check(
        (shape, d, seed) =>
        {
            var result = RegionOffset.Offset(shape, d);
            var random = new Random(seed);
            for (var k = 0; k < 40; k++)
            {
                var p = new Point2((random.NextDouble() * 8) - 4, (random.NextDouble() * 8) - 4);
                var distance = RegionDistance.ToBoundary(shape, p).DistanceMm;
                if (Math.Abs(distance - Math.Abs(d)) > 1e-6)
                {
                    var isInside = shape.Contains(p) ? d > 0 || distance > -d : d > 0 && distance < d;
                    Assert.Equal(isInside, result.Contains(p));
                }
            }
        },
        iter: Rounds);

    [Fact]
    public void Contours_turn_the_way_they_should_and_have_no_tiny_segments() => Gen.Select(OffsetSamples.Any, Distance).Check(
        (shape, d) =>
        {
            var result = RegionOffset.Offset(shape, d);
            Assert.True(result.IsEmpty || result.AreaMm2 > 0);
            foreach (var contour in result.Contours)
            {
                for (var i = 0; i < contour.Count; i++)
                {
                    Assert.True(contour.SegmentAt(i).Length > 1e-7, "a segment shorter than 0.1 nm");
                }
            }
        },
        iter: Rounds);

    [Fact]
    public void Insetting_an_outset_gives_back_at_least_the_shape() => Gen.Select(OffsetSamples.Any, Gen.Double[0.05, 0.5]).Check(
        (shape, d) =>
        {
            var closed = RegionOffset.Offset(RegionOffset.Offset(shape, d), -d);
            Assert.True(closed.AreaMm2 >= shape.AreaMm2 - 1e-6);
            Assert.InRange(RegionBoolean.Difference(shape, Grown(closed)).AreaMm2, 0, 1e-9);
        },
        iter: 50);

    [Fact]
    public void Opening_gains_nothing_and_opening_twice_changes_nothing() => Gen.Select(OffsetSamples.Any, Gen.Double[0.05, 0.4]).Check(
        (shape, d) =>
        {
            var open = RegionOffset.Open(shape, d, d);
            Assert.True(open.AreaMm2 <= shape.AreaMm2 + 1e-6);
            Assert.InRange(RegionBoolean.Difference(open, Grown(shape)).AreaMm2, 0, 1e-9);
            Assert.Equal(open.AreaMm2, RegionOffset.Open(open, d, d).AreaMm2, 1e-5);
        },
        iter: 50);

    [Fact]
    public void Two_round_outsets_are_one() => Gen.Select(OffsetSamples.Any, Gen.Double[0.02, 0.4], Gen.Double[0.02, 0.4]).Check(
        (shape, a, b) =>
        {
            var (twice, once) = (RegionOffset.Offset(RegionOffset.Offset(shape, a), b), RegionOffset.Offset(shape, a + b));
            Assert.Equal(once.AreaMm2, twice.AreaMm2, 1e-5);
        },
        iter: 50);

    [Fact]
    public void Mitres_cover_round_joins_and_a_growing_distance_covers_more() => Gen.Select(OffsetSamples.Any, Distance).Check(
        (shape, d) =>
        {
            var (round, mitre) = (RegionOffset.Offset(shape, d), RegionOffset.Offset(shape, d, JoinStyle.Mitre));
            Assert.True(d > 0 ? mitre.AreaMm2 >= round.AreaMm2 - 1e-7 : mitre.AreaMm2 <= round.AreaMm2 + 1e-7);
            Assert.True(RegionOffset.Offset(shape, d + 0.02).AreaMm2 >= round.AreaMm2);
        },
        iter: 50);

    [Fact]
    public void Where_a_shape_lies_and_which_way_it_is_turned_does_not_matter() => Gen.Select(
        OffsetSamples.Any, Distance, Gen.Double[0, 360], Gen.Bool, Gen.Double[-300, 300], Gen.Double[0.3, 4]).Check(
        (shape, d, turn, mirror, move, scale) =>
        {
            var map = Affine2.Translation(move, -move / 2) * Affine2.RotationDegrees(turn) * Affine2.Scale(mirror ? -scale : scale, scale);
            var there = RegionOffset.Offset(shape.Transform(map), d * scale);
            var here = RegionOffset.Offset(shape, d).AreaMm2 * scale * scale;
            Assert.Equal(here, there.AreaMm2, 1e-5 * scale * scale);
        },
        iter: 60);

    [Fact]
    public void Elliptical_offsets_are_round_ones_of_the_stretched_shape()
    {
        var kept = 0;
        Gen.Select(OffsetSamples.Any, Gen.Double[0.02, 0.4], Gen.Double[0.02, 0.4], Gen.Bool).Check(
            (shape, x, y, isInset) =>
            {
                var ours = isInset ? RegionOffset.Inset(shape, x, y) : RegionOffset.Outset(shape, x, y);
                var k = x / y;
                var stretch = new NetTopologySuite.Geometries.Utilities.AffineTransformation(1, 0, 0, 0, k, 0);
                var reference = OffsetSamples.Buffered(stretch.Transform(OffsetSamples.ToReference(shape, 1e-5)), isInset ? -x : x, 32).Area / k;
                var perimeter = shape.PerimeterMm + (2 * Math.PI * Math.Max(x, y) * shape.Contours.Length);
                Assert.Equal(reference, ours.AreaMm2, perimeter * (1.6e-4 + (Math.Max(x, y) * 3.1e-4)));
                kept += ours.IsEmpty ? 0 : 1;
            },
            iter: 80, threads: 1);
        Assert.InRange(kept, 40, 80);
    }

    [Fact]
    public void An_ellipse_of_no_height_moves_only_sideways() => Gen.Select(OffsetSamples.Any, Gen.Double[0.02, 0.4], Gen.Bool, Gen.Bool).Check(
        (shape, half, isInset, isUpright) =>
        {
            var (x, y) = isUpright ? (0.0, half) : (half, 0.0);
            var thin = isInset ? RegionOffset.Inset(shape, x, y) : RegionOffset.Outset(shape, x, y);
            var (nearX, nearY) = isUpright ? (1e-3, half) : (half, 1e-3);
            var near = isInset ? RegionOffset.Inset(shape, nearX, nearY) : RegionOffset.Outset(shape, nearX, nearY);
            // Each boundary point of the one is within 1 µm of the other's, corners less than square excepted.
            Assert.Equal(near.AreaMm2, thin.AreaMm2, shape.PerimeterMm * 5e-3);
            Assert.True(isInset ? thin.AreaMm2 <= shape.AreaMm2 + 1e-9 : thin.AreaMm2 >= shape.AreaMm2 - 1e-9);
        },
        iter: 50);

    [Fact]
    public void Strokes_agree_with_the_reference() => Gen.Select(
        Gen.Select(Gen.Double[-2, 2], Gen.Double[-2, 2], Gen.OneOf(Gen.Const(0.0), Gen.Double[-1, 1]), (x, y, b) => new PathVertex(x, y, b)).Array[2, 6],
        Gen.Double[0.05, 1.5]).Check(
        (vertices, width) =>
        {
            var path = new OpenPath(vertices);
            // Chord by chord: the reference takes a path that closes on itself for a ring and loses part of what the pen covers.
            var points = path.Flatten(1e-4);
            var strokes = points.Skip(1).Select((p, i) => OffsetSamples.Buffered(
                new NetTopologySuite.Geometries.LineString([OffsetSamples.ToCoordinate(points[i]), OffsetSamples.ToCoordinate(p)]), width / 2, 32));
            Assert.Equal(
                NetTopologySuite.Operation.Union.UnaryUnionOp.Union(strokes).Area, RegionOffset.Stroke(path, width).AreaMm2,
                ((2 * path.LengthMm) + (2 * Math.PI * width)) * (1.1e-4 + (width * 1.6e-4)));
        },
        iter: 80);

    private static Region Grown(Region region) => RegionOffset.Offset(region, 1e-5);
}
