using CsCheck;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests;

public sealed class OutlinePropertyTests
{
    private const int Runs = 100;

    // A star round the middle whose edges bow by at most 17 degrees at their ends, less than half its narrowest corner.
    private static readonly Gen<Contour> Loops =
        from radii in Gen.Double[20, 30].Array[4, 10]
        from bulges in Gen.Double[-0.15, 0.15].Array[10]
        from straight in Gen.Bool.Array[10]
        from turn in Gen.Double[0, 6]
        select new Contour([.. radii.Select((r, i) =>
        {
            var angle = turn + (2 * Math.PI * i / radii.Length);
            return new PathVertex(100 + (r * Math.Cos(angle)), 50 + (r * Math.Sin(angle)), straight[i] ? 0 : bulges[i]);
        })]);

    [Fact]
    public void A_loop_survives_shuffling_reversing_splitting_duplicates_and_dimension_lines()
    {
        Gen.Select(Loops, Gen.Int[0, int.MaxValue]).Check(
            (loop, seed) =>
            {
                var found = Search(Disturbed(loop, new Random(seed), 0)).Outline;
                Assert.NotNull(found);
                Assert.Single(found.Shape.Contours);
                Assert.Equal(loop.SignedAreaMm2, found.AreaMm2, 1e-4);
                Assert.Equal(loop.PerimeterMm, found.Shape.PerimeterMm, 1e-4);
            },
            iter: Runs);
    }

    [Fact]
    public void Rounding_to_the_coarsest_common_resolution_costs_no_more_than_the_tolerance()
    {
        // 2.54 µm: inches with four decimals.
        Gen.Select(Loops, Gen.Int[0, int.MaxValue]).Check(
            (loop, seed) =>
            {
                var found = Search(Disturbed(loop, new Random(seed), 0.00254)).Outline;
                Assert.NotNull(found);
                Assert.Equal(loop.SignedAreaMm2, found.AreaMm2, loop.PerimeterMm * 0.01);
                Assert.Equal(loop.PerimeterMm, found.Shape.PerimeterMm, 0.5);
            },
            iter: Runs);
    }

    [Fact]
    public void A_small_gap_is_closed_and_reported_where_it_is()
    {
        Gen.Select(Loops, Gen.Double[0.015, 0.095], Gen.Int[0, 9]).Check(
            (loop, gap, at) =>
            {
                var search = Search(WithGap(loop, at % loop.Count, gap, out var place));
                Assert.NotNull(search.Outline);
                Assert.Equal(loop.SignedAreaMm2, search.Outline.AreaMm2, 1e-2);
                var finding = Assert.Single(search.Findings, f => f.Code == "BRD005");
                Assert.Equal(Severity.Warning, finding.Severity);
                Assert.True(Point2.Distance(place, new(finding.XMm!.Value, finding.YMm!.Value)) < 0.1);
            },
            iter: Runs);
    }

    [Fact]
    public void A_wide_gap_is_refused_and_reported_where_it_is()
    {
        Gen.Select(Loops, Gen.Double[0.15, 2.5], Gen.Int[0, 9]).Check(
            (loop, gap, at) =>
            {
                var search = Search(WithGap(loop, at % loop.Count, gap, out var place));
                Assert.Null(search.Outline);
                var finding = Assert.Single(search.Findings, f => f.Severity == Severity.Error);
                Assert.Equal("BRD004", finding.Code);
                Assert.True(Point2.Distance(place, new(finding.XMm!.Value, finding.YMm!.Value)) < 0.1);
            },
            iter: Runs);
    }

    [Fact]
    public void The_order_of_the_strokes_does_not_matter_to_the_shape()
    {
        Gen.Select(Loops, Gen.Int[0, int.MaxValue]).Check(
            (loop, seed) =>
            {
                var pieces = Disturbed(loop, new Random(seed), 0);
                var mixed = pieces.ToArray();
                new Random(seed + 1).Shuffle(mixed);
                Assert.Equal(Search(pieces).Outline!.AreaMm2, Search(mixed).Outline!.AreaMm2, 1e-6);
                var turned = pieces.Select(s => s.Reversed).ToArray();
                Assert.Equal(Search(pieces).Outline!.AreaMm2, Search(turned).Outline!.AreaMm2, 1e-6);
            },
            iter: 50);
    }

    private static OutlineSearch Search(IEnumerable<Segment> pieces)
    {
        var outline = new LayerSketch();
        foreach (var piece in pieces)
        {
            outline.Stroke(piece);
        }

        return OutlineFinder.Find(outline.Image("outline.gbr"), [new LayerSketch().Pads(92, 42, 108, 58).Image("paste.gbr")], 0.1);
    }

    private static List<Segment> WithGap(Contour loop, int at, double gap, out Point2 place)
    {
        var pieces = Enumerable.Range(0, loop.Count).Select(loop.SegmentAt).ToList();
        var s = pieces[at];
        var from = 0.5 - (gap / 2 / s.Length);
        pieces[at] = Part(s, 0, from);
        pieces.Add(Part(s, 1 - from, 1));
        place = s.Middle;
        return pieces;
    }

    private static List<Segment> Disturbed(Contour loop, Random random, double resolution)
    {
        var pieces = new List<Segment>();
        for (var i = 0; i < loop.Count; i++)
        {
            var s = loop.SegmentAt(i);
            var n = random.Next(1, 5);
            for (var k = 0; k < n; k++)
            {
                pieces.Add(Part(s, (double)k / n, (k + 1.0) / n));
            }

            if (random.Next(3) == 0)
            {
                pieces.Add(Part(s, random.NextDouble() * 0.4, 0.5 + (random.NextDouble() * 0.4)));
            }

            if (random.Next(3) == 0)
            {
                // A spur: a leader line that ends on the edge.
                var p = s.PointAt(0.3);
                pieces.Add(new Segment(p, p + ((p - new Point2(100, 50)).Unit * 15), 0));
            }
        }

        for (var k = 0; k < 5; k++)
        {
            var y = 90 + k;
            pieces.Add(new Segment(new(60, y), new(140, y), 0));
        }

        var result = pieces.Select(s => Rounded(random.Next(2) == 0 ? s : s.Reversed, resolution)).ToArray();
        random.Shuffle(result);
        return [.. result];
    }

    private static Segment Part(Segment s, double from, double to) =>
        new(s.PointAt(from), s.PointAt(to), s.IsLine ? 0 : Math.Tan(s.SweepRad * (to - from) / 4));

    private static Segment Rounded(Segment s, double resolution) => resolution == 0
        ? s
        : new(Rounded(s.Start, resolution), Rounded(s.End, resolution), s.Bulge);

    private static Point2 Rounded(Point2 p, double resolution) =>
        new(Math.Round(p.X / resolution) * resolution, Math.Round(p.Y / resolution) * resolution);
}
