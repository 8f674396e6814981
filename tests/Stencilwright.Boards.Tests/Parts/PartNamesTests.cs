using System.Collections.Immutable;
using System.Globalization;
using CsCheck;
using Stencilwright.Artwork;
using Stencilwright.Artwork.Placement;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Boards.Tests.Parts;

public sealed class PartNamesTests
{
    // Unit factor, mirror, quarter turns, offset: every way a list was ever seen to be off.
    private static readonly Gen<(double Scale, bool IsMirrored, int Quarters, double X, double Y, int Seed)> _ways = Gen.Select(
        Gen.Int[0, 4].Select(i => new[] { 1, 25.4, 1 / 25.4, 0.0254, 1 / 0.0254 }[i]), Gen.Bool, Gen.Int[0, 3], Gen.Double[-200, 200], Gen.Double[-200, 200], Gen.Int[1, 50],
        (s, m, q, x, y, seed) => (s, m, q, x, y, seed));

    [Fact]
    public void A_list_that_is_turned_mirrored_moved_or_in_another_unit_is_set_right() => _ways.Check(
        way =>
        {
            var board = RandomBoards.Make(new BoardOrder(way.Seed, 60, 0, 0, 0, 1.5, 0));
            var parts = FootprintFinder.Find(board.Paste);
            var map = Affine2.Translation(way.X, way.Y) * Affine2.RotationDegrees(90 * way.Quarters) * Affine2.Scale(way.IsMirrored ? -way.Scale : way.Scale, way.Scale);
            var joined = PartNames.Join(parts, board.Paste, true, [List([.. board.Parts.Select(p => Row(p.Name, map.Apply(Middle(board.Paste, p))))])]);
            AssertNamed(board, joined, 0.98);
            Assert.Contains(joined.Findings, f => f.Code == "BRD140");
        },
        iter: 40);

    [Fact]
    public void Through_hole_rows_rounding_and_unlisted_parts_do_no_harm()
    {
        var random = new Random(9);
        for (var seed = 1; seed <= 10; seed++)
        {
            var board = RandomBoards.Make(new BoardOrder(seed, 80, 0, 0, 0, 1.2, 0));
            var map = Affine2.Translation(31, -12) * Affine2.RotationDegrees(90);
            var rows = board.Parts.Where((_, i) => i % 5 > 0).Select(p => Row(p.Name, Rounded(map.Apply(Middle(board.Paste, p)))))
                .Concat(Enumerable.Range(0, 20).Select(i => Row($"H{i}", new(random.NextDouble() * 60, random.NextDouble() * 60))));
            var joined = PartNames.Join(FootprintFinder.Find(board.Paste), board.Paste, true, [List([.. rows])]);
            AssertNamed(board with { Parts = [.. board.Parts.Where((_, i) => i % 5 > 0)] }, joined, 0.95);
            Assert.Contains(joined.Findings, f => f is { Code: "BRD145", Severity: Severity.Note });
            Assert.Contains(joined.Findings, f => f is { Code: "BRD146", Severity: Severity.Note });
        }
    }

    [Fact]
    public void A_list_that_lies_right_is_taken_as_it_stands()
    {
        var board = RandomBoards.Make(new BoardOrder(4, 50, 0, 0, 0, 1, 0));
        var rows = board.Parts.Select(p => Row(p.Name, Middle(board.Paste, p)) with { RotationDeg = 270, Value = "v" }).ToArray();
        var joined = PartNames.Join(FootprintFinder.Find(board.Paste), board.Paste, true, [List(rows)]);
        AssertNamed(board, joined, 0.98);
        Assert.DoesNotContain(joined.Findings, f => f.Code is "BRD140" or "BRD141" or "BRD142");
        Assert.All(joined.Parts.Where(p => p.Reference is not null), p => Assert.Equal((-90, "v"), (p.RotationDeg, p.Value)));
    }

    [Fact]
    public void A_list_of_another_board_is_refused()
    {
        var board = RandomBoards.Make(new BoardOrder(5, 60, 0, 0, 0, 1, 0));
        var random = new Random(3);
        var rows = Enumerable.Range(0, 60).Select(i => Row($"R{i}", new(random.NextDouble() * 40, random.NextDouble() * 40))).ToArray();
        var joined = PartNames.Join(FootprintFinder.Find(board.Paste), board.Paste, true, [List(rows)]);
        Assert.Contains(joined.Findings, f => f is { Code: "BRD141", Severity: Severity.Warning });
        Assert.All(joined.Parts, p => Assert.Null(p.Reference));
    }

    [Fact]
    public void Rows_of_the_other_side_are_left_out()
    {
        var board = RandomBoards.Make(new BoardOrder(6, 20, 0, 0, 0, 1, 0));
        var rows = board.Parts.Select((p, i) => Row(p.Name, Middle(board.Paste, p)) with { IsTop = i % 2 == 0 }).ToArray();
        var joined = PartNames.Join(FootprintFinder.Find(board.Paste), board.Paste, true, [List(rows)]);
        Assert.All(joined.Parts.Where(p => p.Reference is not null), p => Assert.True(rows.Single(r => r.Reference == p.Reference).IsTop));
        Assert.Equal(10, joined.Parts.Count(p => p.Reference is not null));
    }

    [Fact]
    public void A_board_that_looks_alike_when_turned_is_said_to_be_doubtful()
    {
        // A square of four chips, turned by a quarter, lies on itself.
        var pads = new List<(double, double, double, double)>();
        var rows = new List<PlacedPart>();
        foreach (var (x, y) in ((double, double)[])[(0, 0), (10, 0), (0, 10), (10, 10)])
        {
            pads.AddRange([(x - 0.48, y, 0.56, 0.62), (x + 0.48, y, 0.56, 0.62)]);
            rows.Add(Row($"R{rows.Count}", new(100 + x, y)));
        }

        var paste = FootprintFinderTests.Pads(0, [.. pads]);
        var joined = PartNames.Join(FootprintFinder.Find(paste), paste, true, [List([.. rows])]);
        Assert.Contains(joined.Findings, f => f is { Code: "BRD142", Severity: Severity.Warning });
        Assert.Equal(["R0", "R1", "R2", "R3"], joined.Parts.Select(p => p.Reference));
    }

    [Fact]
    public void Pins_of_a_source_group_what_geometry_could_not()
    {
        // A five-legged thing that no outline fits, and a chip beside it.
        var paste = FootprintFinderTests.Pads(
            0, (0, 0, 2.4, 1.1), (4, 0.3, 0.9, 2), (1.5, 3.2, 0.7, 0.7), (6.1, 3, 1.5, 1.3), (3, -4, 3, 0.8), (20, 0, 0.56, 0.62), (20.96, 0, 0.56, 0.62));
        ImmutableArray<PlacedPin> pins = [new("A", new(0, 0)), new("B", new(4, 0.3)), new("C", new(1.5, 3.2)), new("D", new(6.1, 3)), new("E", new(3, -4))];
        PlacedPart[] rows =
        [
            Row("J1", new(3, 0)) with { Pins = pins },
            Row("R1", new(20.48, 0)) with { Pins = [new("1", new(20, 0)), new("2", new(20.96, 0))], Value = "10k" },
            Row("R2", new(20.48, 0.1)),
        ];
        var source = List(rows) with { Format = ArtworkFormat.Ipc2581 };
        var joined = PartNames.Join(FootprintFinder.Find(paste), paste, true, [source]);
        var connector = Assert.Single(joined.Parts, p => p.Reference == "J1");
        Assert.Equal(["A", "B", "C", "D", "E"], connector.Pads.Select(p => p.Pin));
        var chip = Assert.Single(joined.Parts, p => p.Reference == "R1");
        Assert.Equal(["1", "2"], chip.Pads.Select(p => p.Pin));
        Assert.Equal(2, joined.Parts.Length);
    }

    [Fact]
    public void Sources_that_contradict_each_other_are_told_and_the_first_is_kept()
    {
        var board = Chips(6);
        var first = List([.. board.Rows.Select(r => r with { Value = "10k", Pins = [] })], "first.csv");
        var second = List([.. board.Rows.Select((r, i) => i == 0 ? r with { Reference = "R99" } : i == 1 ? r with { Value = "22k" } : r with { Value = "10k" })], "second.csv");
        var joined = PartNames.Join(FootprintFinder.Find(board.Paste), board.Paste, true, [first, second]);
        Assert.Equal(["R0", "R1", "R2", "R3", "R4", "R5"], joined.Parts.Select(p => p.Reference));
        Assert.All(joined.Parts, p => Assert.Equal("10k", p.Value));
        var told = joined.Findings.Where(f => f.Code == "BRD144").ToArray();
        Assert.Equal(2, told.Length);
        Assert.Contains(told, f => f.Message.Contains("R99", StringComparison.Ordinal) && f.Source?.File == "second.csv");
        Assert.Contains(told, f => f.Message.Contains("22k", StringComparison.Ordinal));
    }

    [Fact]
    public void A_package_that_does_not_fit_the_openings_is_told()
    {
        var board = Chips(6);
        var rows = board.Rows.Select((r, i) => r with { Package = i == 2 ? "RES_0805" : "R_0402_1005Metric" }).ToArray();
        var joined = PartNames.Join(FootprintFinder.Find(board.Paste), board.Paste, true, [List(rows)]);
        var finding = Assert.Single(joined.Findings, f => f.Code == "BRD143");
        Assert.StartsWith("R2 is listed as RES_0805", finding.Message, StringComparison.Ordinal);
        Assert.All(joined.Parts.Where(p => p.Reference != "R2"), p => Assert.True(p.Confidence >= 0.95));
    }

    [Fact]
    public void Names_of_the_openings_come_before_those_of_a_list()
    {
        var board = Chips(4);
        var named = board.Paste with { Openings = [.. board.Paste.Openings.Select((o, i) => o with { Component = $"R{i / 2}", Pin = $"{1 + (i % 2)}" })] };
        var rows = board.Rows.Select((r, i) => i == 3 ? r with { Reference = "R7" } : r with { Value = "1k" }).ToArray();
        var joined = PartNames.Join(FootprintFinder.Find(named), named, true, [List(rows)]);
        Assert.Equal(["R0", "R1", "R2", "R3"], joined.Parts.Select(p => p.Reference));
        Assert.Contains(joined.Findings, f => f.Code == "BRD144" && f.Message.Contains("R7", StringComparison.Ordinal));
        Assert.Equal("1k", joined.Parts[0].Value);
    }

    [Fact]
    public void Halves_of_a_part_are_joined_when_a_row_lies_between_them()
    {
        // Four pads of 0.85 by 1.6 mm: two chips side by side, or a light-emitting diode with four contacts.
        var paste = FootprintFinderTests.Pads(
            0, (-1.75, -0.875, 1.6, 0.85), (-1.75, 0.875, 1.6, 0.85), (1.75, -0.875, 1.6, 0.85), (1.75, 0.875, 1.6, 0.85),
            (20, 0, 0.56, 0.62), (20.96, 0, 0.56, 0.62), (20, 9, 0.56, 0.62), (20.96, 9, 0.56, 0.62), (5, 9, 0.56, 0.62), (5.96, 9, 0.56, 0.62));
        var parts = FootprintFinder.Find(paste);
        Assert.All(parts.Parts.Where(p => p.Center.X < 3), p => Assert.True(p.Confidence < BoardPart.SureFrom));
        var joined = PartNames.Join(parts, paste, true, [List([Row("D1", new(0, 0)), Row("R1", new(20.48, 0)), Row("R2", new(20.48, 9)), Row("R3", new(5.48, 9))])]);
        Assert.Equal([0, 1, 2, 3], Assert.Single(joined.Parts, p => p.Reference == "D1").Pads.Select(p => p.Index));
        Assert.Equal(4, joined.Parts.Length);
    }

    [Fact]
    public void Chips_that_could_pair_either_way_are_paired_as_the_rows_say()
    {
        // Square pads on a square: R1 above R2, each lying, where standing would do as well.
        var paste = FootprintFinderTests.Pads(
            0, (0, 0, 0.9, 0.9), (1.6, 0, 0.9, 0.9), (0, 1.7, 0.9, 0.9), (1.6, 1.7, 0.9, 0.9), (20, 0, 0.56, 0.62), (20.96, 0, 0.56, 0.62), (20, 9, 0.56, 0.62), (20.96, 9, 0.56, 0.62), (7, 9, 0.56, 0.62), (7.96, 9, 0.56, 0.62));
        foreach (var isLying in (bool[])[true, false])
        {
            PlacedPart[] rows = isLying ? [Row("R1", new(0.8, 1.7)), Row("R2", new(0.8, 0))] : [Row("R1", new(0, 0.85)), Row("R2", new(1.6, 0.85))];
            var joined = PartNames.Join(FootprintFinder.Find(paste), paste, true, [List([.. rows, Row("R3", new(20.48, 0)), Row("R4", new(20.48, 9)), Row("R5", new(7.48, 9))])]);
            Assert.Equal(isLying ? [2, 3] : [0, 2], Assert.Single(joined.Parts, p => p.Reference == "R1").Pads.Select(p => p.Index));
            Assert.Equal(isLying ? [0, 1] : [1, 3], Assert.Single(joined.Parts, p => p.Reference == "R2").Pads.Select(p => p.Index));
            Assert.Equal(5, joined.Parts.Length);
        }
    }

    [Fact]
    public void Without_sources_nothing_changes()
    {
        var board = RandomBoards.Make(new BoardOrder(8, 30, 0, 0, 0, 1, 0));
        var parts = FootprintFinder.Find(board.Paste);
        var joined = PartNames.Join(parts, board.Paste, true, []);
        Assert.Equal(parts.Parts.Select(p => p.Why), joined.Parts.Select(p => p.Why));
        Assert.Equal(parts.Findings.Select(f => f.Message), joined.Findings.Select(f => f.Message));
    }

    // Of the parts that geometry grouped rightly, a share must have its name; whether geometry does is measured elsewhere.
    private static void AssertNamed(TruthBoard board, PartList joined, double share)
    {
        var found = joined.Parts.ToDictionary(p => string.Join(',', p.Pads.Select(x => x.Index)), p => p.Reference);
        var grouped = board.Parts.Where(t => found.ContainsKey(string.Join(',', t.Openings))).ToArray();
        var right = grouped.Count(t => found[string.Join(',', t.Openings)] == t.Name);
        Assert.True(grouped.Length >= 0.9 * board.Parts.Count);
        Assert.True(right >= share * grouped.Length, string.Create(CultureInfo.InvariantCulture, $"{right} of {grouped.Length} named, {string.Join(" | ", joined.Findings.Where(f => f.Code.StartsWith("BRD14", StringComparison.Ordinal)).Select(f => f.Message))}"));
    }

    private static (PasteLayer Paste, PlacedPart[] Rows) Chips(int count)
    {
        var random = new Random(count);
        var places = Enumerable.Range(0, count).Select(i => new Point2(i * 5, random.NextDouble() * 20)).ToArray();
        var paste = FootprintFinderTests.Pads(0, [.. places.SelectMany(p => ((double, double, double, double)[])[(p.X - 0.48, p.Y, 0.56, 0.62), (p.X + 0.48, p.Y, 0.56, 0.62)])]);
        return (paste, [.. places.Select((p, i) => Row($"R{i}", p))]);
    }

    private static Point2 Middle(PasteLayer paste, TruthPart part)
    {
        var box = Bounds2.Empty;
        foreach (var i in part.Openings)
        {
            box = Bounds2.Union(box, paste.Openings[i].Shape.Bounds);
        }

        return box.Center;
    }

    // To a tenth of a mil, as lists in inches are.
    private static Point2 Rounded(Point2 p) => new(Math.Round(p.X / 0.00254) * 0.00254, Math.Round(p.Y / 0.00254) * 0.00254);

    private static PlacedPart Row(string reference, Point2 at) => new() { Reference = reference, At = at, Place = new SourcePlace("list.csv", 1, 1) };

    private static PlacementList List(PlacedPart[] rows, string file = "list.csv") => new()
    {
        Source = new SourceText(file, Array.Empty<byte>()),
        Format = ArtworkFormat.Placement,
        Unit = ArtworkUnit.Millimetre,
        Parts = [.. rows.Select(r => r with { Place = new SourcePlace(file, r.Place.Line, r.Place.Column) })],
    };
}
