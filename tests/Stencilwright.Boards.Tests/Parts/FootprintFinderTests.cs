using CsCheck;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Parts;

public sealed class FootprintFinderTests
{
    private static readonly Gen<BoardOrder> _orders = Gen.Select(
        Gen.Int[1, 100_000], Gen.Int[1, 60], Gen.Double[0, 360], Gen.Double[0, 0.5], Gen.Double[0, 0.01], Gen.Double[0.1, 1], Gen.Double[0, 0.5],
        (seed, count, turn, odd, jitter, clearance, runs) => new BoardOrder(seed, count, turn, odd, jitter, clearance, runs));

    [Fact]
    public void Each_opening_belongs_to_exactly_one_part() => _orders.Check(
        order =>
        {
            var paste = RandomBoards.Make(order).Paste;
            var list = FootprintFinder.Find(paste);
            Assert.Equal(Enumerable.Range(0, paste.Openings.Length), list.Parts.SelectMany(p => p.Pads).Select(p => p.Index).Order());
            Assert.All(list.Parts, p => Assert.InRange(p.Confidence, 0, 1));
            Assert.All(list.Parts, p => Assert.Equal(p.Pads.Select(x => x.Index).Order(), p.Pads.Select(x => x.Index)));
            Assert.Equal(list.Parts.Select(p => p.Pads[0].Index).Order(), list.Parts.Select(p => p.Pads[0].Index));
        },
        iter: 40);

    [Theory]
    [InlineData(90)]
    [InlineData(180)]
    [InlineData(45)]
    [InlineData(17.3)]
    public void Turning_the_board_turns_the_parts_and_changes_no_group(double degrees)
    {
        var straight = RandomBoards.Make(new BoardOrder(11, 80, 0, 0, 0, 1.2, 0));
        var turned = RandomBoards.Make(new BoardOrder(11, 80, degrees, 0, 0, 1.2, 0));
        var (a, b) = (FootprintFinder.Find(straight.Paste), FootprintFinder.Find(turned.Paste));
        Assert.Equal(Groups(a), Groups(b));
        var map = Affine2.RotationDegrees(degrees);
        foreach (var (before, after) in a.Parts.Zip(b.Parts))
        {
            Assert.Equal(before.Class, after.Class);
            var expected = map.Apply(before.Center);
            Assert.Equal(expected.X, after.Center.X, 1e-3);
            Assert.Equal(expected.Y, after.Center.Y, 1e-3);
            if (before.Class is PartClass.Chip or PartClass.SmallOutline or PartClass.Connector)
            {
                // A line turned by half a turn is the same line.
                Assert.Equal(0, Math.IEEERemainder(after.RotationDeg - before.RotationDeg - degrees, 180), 0.06);
            }
        }
    }

    [Fact]
    public void The_order_of_openings_does_not_matter_for_what_is_sure()
    {
        var board = RandomBoards.Make(new BoardOrder(21, 120, 0, 0.1, 0.002, 0.5, 0.1));
        var order = Enumerable.Range(0, board.Paste.Openings.Length).ToArray();
        new Random(5).Shuffle(order);
        var shuffled = board.Paste with { Openings = [.. order.Select(i => board.Paste.Openings[i])] };
        var first = FootprintFinder.Find(board.Paste).Parts.Where(p => p.Confidence >= BoardPart.SureFrom)
            .Select(p => string.Join(',', p.Pads.Select(x => x.Index))).Order(StringComparer.Ordinal);
        var second = FootprintFinder.Find(shuffled).Parts.Where(p => p.Confidence >= BoardPart.SureFrom)
            .Select(p => string.Join(',', p.Pads.Select(x => order[x.Index]).Order())).Order(StringComparer.Ordinal);
        Assert.Equal(first, second);
    }

    [Fact]
    public void The_same_input_gives_the_same_parts()
    {
        var paste = RandomBoards.Make(new BoardOrder(3, 100, 12, 0.2, 0.004, 0.4, 0.2)).Paste;
        Assert.Equal(
            FootprintFinder.Find(paste).Parts.Select(p => $"{p.Class} {p.Confidence} {p.Center} {p.Why}"),
            FootprintFinder.Find(paste).Parts.Select(p => $"{p.Class} {p.Confidence} {p.Center} {p.Why}"));
    }

    // Lands of the usual densities; codes are the body in hundredths of an inch and tenths of a millimetre (common practice).
    [Theory]
    [InlineData(0.2, 0.2, 0.38, "01005", "0402")]
    [InlineData(0.3, 0.36, 0.64, "0201", "0603")]
    [InlineData(0.56, 0.62, 0.96, "0402", "1005")]
    [InlineData(0.8, 0.95, 1.65, "0603", "1608")]
    [InlineData(1.0, 1.4, 1.95, "0805", "2012")]
    [InlineData(1.15, 1.8, 2.95, "1206", "3216")]
    [InlineData(1.15, 2.7, 2.95, "1210", "3225")]
    [InlineData(1.2, 3.4, 4.35, "1812", "4532")]
    [InlineData(1.4, 2.65, 4.7, "2010", "5025")]
    [InlineData(1.4, 3.35, 6.1, "2512", "6332")]
    public void A_chip_by_itself_has_its_size_at_any_turn(double length, double width, double pitch, string imperial, string metric)
    {
        foreach (var degrees in (double[])[0, 90, 45, 33.3, -120])
        {
            var part = Assert.Single(FootprintFinder.Find(Pads(degrees, (-pitch / 2, 0, length, width), (pitch / 2, 0, length, width))).Parts);
            Assert.Equal((PartClass.Chip, imperial, metric), (part.Class, part.SizeImperial, part.SizeMetric));
            Assert.True(part.Confidence >= BoardPart.SureFrom);
            Assert.Equal(pitch, part.PitchMm!.Value, 1e-3);
            Assert.Equal(0, Math.IEEERemainder(part.RotationDeg - degrees, 180), 0.01);
        }
    }

    [Fact]
    public void Four_pads_round_a_heat_pad_are_one_part_and_say_what_each_does()
    {
        var part = Assert.Single(FootprintFinder.Find(Pads(
            0, (-0.5, -0.95, 0.35, 0.75), (0.5, -0.95, 0.35, 0.75), (-0.5, 0.95, 0.35, 0.75), (0.5, 0.95, 0.35, 0.75), (0, 0, 1.0, 0.8))).Parts);
        Assert.Equal(PartClass.DualNoLead, part.Class);
        Assert.Equal([PadFunction.Terminal, PadFunction.Terminal, PadFunction.Terminal, PadFunction.Terminal, PadFunction.ThermalPad], part.Pads.Select(p => p.Function));
    }

    [Fact]
    public void A_memory_with_two_blocks_of_balls_is_one_grid()
    {
        var pads = new List<(double, double, double, double)>();
        for (var row = 0; row < 16; row++)
        {
            foreach (var column in (int[])[0, 1, 2, 6, 7, 8])
            {
                pads.Add((column * 0.8, row * 0.8, -0.4, 0));
            }
        }

        var part = Assert.Single(FootprintFinder.Find(Pads(0, [.. pads])).Parts);
        Assert.Equal((PartClass.GridArray, 96), (part.Class, part.Pads.Length));
        Assert.Equal((3.2, 6.0), (Math.Round(part.Center.X, 6), Math.Round(part.Center.Y, 6)));
    }

    [Fact]
    public void Anchors_of_a_connector_are_told_from_its_contacts()
    {
        var pads = Enumerable.Range(0, 6).Select(i => (i - 2.5, 0.0, 0.6, 1.55)).Append((-3.8, 2.8, 1.2, 1.8)).Append((3.8, 2.8, 1.2, 1.8)).ToArray();
        var part = Assert.Single(FootprintFinder.Find(Pads(90, pads)).Parts);
        Assert.Equal(PartClass.Connector, part.Class);
        Assert.Equal(2, part.Pads.Count(p => p.Function == PadFunction.Anchor));
        Assert.Equal(6, part.Pads.Count(p => p.Function == PadFunction.Terminal));
    }

    [Fact]
    public void Pairs_that_cross_each_other_are_not_two_sure_chips()
    {
        var list = FootprintFinder.Find(Pads(0, (-1.375, 0, 0.85, 2.2), (1.375, 0, 0.85, 2.2), (0, -1.525, 1, 1.05), (0, 1.525, 1, 1.05)));
        Assert.All(list.Parts, p => Assert.True(p.Confidence < BoardPart.SureFrom));
    }

    [Fact]
    public void What_fits_nothing_is_doubted_and_the_doubt_is_told()
    {
        var list = FootprintFinder.Find(Pads(0, (0, 0, 5, 1.3), (9, 4, 2.2, 3)));
        Assert.All(list.Parts, p => Assert.True(p.Confidence < BoardPart.SureFrom));
        Assert.Equal(list.Parts.Length, list.Findings.Count(f => f is { Code: "BRD120", Severity: Severity.Note, XMm: not null }));
    }

    [Fact]
    public void Many_doubts_are_told_together()
    {
        var list = FootprintFinder.Find(Pads(0, [.. Enumerable.Range(0, 30).Select(i => (i * 12.0, i % 2 * 20.0, 1.0 + (0.1 * i), 0.7))]));
        Assert.Equal(20, list.Findings.Count(f => f.Code == "BRD120"));
        Assert.Contains("30 of 30", Assert.Single(list.Findings, f => f.Code == "BRD121").Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Names_of_the_artwork_make_the_groups()
    {
        // Two chips so close and square that either way of pairing would do.
        var bare = Pads(0, (0, 0, 0.5, 0.5), (1, 0, 0.5, 0.5), (0, 1, 0.5, 0.5), (1, 1, 0.5, 0.5));
        string[] names = ["R1", "R2", "R1", "R2"];
        var named = bare with { Openings = [.. bare.Openings.Select((o, i) => o with { Component = names[i], Pin = i < 2 ? "1" : "2" })] };
        var list = FootprintFinder.Find(named);
        Assert.Equal(["R1", "R2"], list.Parts.Select(p => p.Reference));
        Assert.Equal([0, 2], list.Parts[0].Pads.Select(p => p.Index));
        Assert.Equal(["1", "2"], list.Parts[0].Pads.Select(p => p.Pin));
        Assert.All(list.Parts, p => Assert.Equal((PartClass.Chip, "0402"), (p.Class, p.SizeImperial)));
        Assert.All(FootprintFinder.Find(bare).Parts, p => Assert.True(p.Confidence < BoardPart.SureFrom));
    }

    [Fact]
    public void Nothing_gives_nothing()
    {
        var list = FootprintFinder.Find(Pads(0));
        Assert.Empty(list.Parts);
        Assert.Empty(list.Findings);
    }

    private static IEnumerable<string> Groups(PartList list) => list.Parts.Select(p => string.Join(',', p.Pads.Select(x => x.Index)));

    /// <summary>Rectangles turned together about the origin; a negative width is the diameter of a circle.</summary>
    internal static PasteLayer Pads(double degrees, params (double X, double Y, double Width, double Height)[] pads)
    {
        var map = Affine2.RotationDegrees(degrees);
        var openings = pads.Select(p =>
        {
            var contour = p.Width < 0
                ? Contour.Circle(new(p.X, p.Y), -p.Width / 2)
                : Contour.Rectangle(new(p.X - (p.Width / 2), p.Y - (p.Height / 2), p.X + (p.Width / 2), p.Y + (p.Height / 2)));
            var shape = Region.Of(contour).Transform(map);
            return new PasteOpening { Shape = shape, Place = SourcePlace.Whole("drawn"), RotationDeg = LongSide.DirectionDeg(shape) };
        });
        return new PasteLayer { Openings = [.. openings], SetAside = [], Findings = [] };
    }
}
