using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>A pad of a random part in the part's own frame; the corner radius is a share of the shorter side, 0.5 for round.</summary>
public readonly record struct RandomPad(double X, double Y, double WidthMm, double HeightMm, double RadiusShare);

/// <summary>A part drawn at random.</summary>
public sealed record RandomPart(string Name, PartClass Class, string Size, IReadOnlyList<RandomPad> Pads)
{
    /// <summary>Width of the body across x, where it is wider than the pads: parts do not lie on each other.</summary>
    public double BodyMm { get; init; }

    /// <summary>Box of the pads and the body when the part is turned.</summary>
    public Bounds2 BoxAt(double degrees)
    {
        var map = Affine2.RotationDegrees(degrees);
        var box = Bounds2.Empty.Include(map.Apply(new Point2(0, -BodyMm / 2))).Include(map.Apply(new Point2(0, BodyMm / 2)));
        foreach (var pad in Pads)
        {
            foreach (var (sx, sy) in ((int, int)[])[(-1, -1), (1, -1), (1, 1), (-1, 1)])
            {
                box = box.Include(map.Apply(new Point2(pad.X + (sx * pad.WidthMm / 2), pad.Y + (sy * pad.HeightMm / 2))));
            }
        }

        return box;
    }
}

/// <summary>
/// Draws parts as boards have them: half chips, then small transistors, outlines with leads and lands, grids, connectors.
/// Lands are reckoned from the body (length plus a toe at each end) and not taken from the finder's table.
/// </summary>
internal static class RandomParts
{
    // Code, body length, body width, terminal length: common practice; weights as boards have them.
    private static readonly (string Code, double Length, double Width, double Terminal, int Weight)[] _chips =
    [
        ("01005", 0.4, 0.2, 0.1, 1), ("0201", 0.6, 0.3, 0.15, 3), ("0402", 1.0, 0.5, 0.25, 10), ("0603", 1.6, 0.8, 0.35, 8),
        ("0805", 2.0, 1.25, 0.45, 4), ("1206", 3.2, 1.6, 0.5, 2), ("1210", 3.2, 2.5, 0.5, 1), ("1812", 4.5, 3.2, 0.6, 1),
        ("2010", 5.0, 2.5, 0.6, 1), ("2512", 6.3, 3.2, 0.6, 1),
    ];

    public static RandomPart Draw(Random r)
    {
        var kind = r.Next(100);
        return kind switch
        {
            < 52 => Chip(r),
            < 58 => Diode(r),
            < 64 => Triple(r),
            < 69 => FiveOrSix(r),
            < 71 => Sot223(r),
            < 77 => SmallOutline(r),
            < 81 => Dfn(r),
            < 86 => Qfn(r),
            < 89 => Qfp(r),
            < 92 => Grid(r),
            < 96 => Connector(r),
            _ => new RandomPart("single", PartClass.Single, "", [new(0, 0, 1.2, 1.2, r.Next(2) * 0.5)]),
        };
    }

    private static RandomPart Chip(Random r)
    {
        var total = _chips.Sum(c => c.Weight);
        var pick = r.Next(total);
        var chip = _chips.First(c => (pick -= c.Weight) < 0);
        // Toe, heel and side as the densities give them: from next to nothing to room for an iron.
        var toe = chip.Length * 0.05 + (chip.Length < 0.7 ? 0.05 + (0.1 * r.NextDouble()) : 0.1 + (0.3 * r.NextDouble()));
        var heel = chip.Length < 0.7 ? 0.02 : 0.05 * r.NextDouble();
        var length = toe + chip.Terminal + heel;
        var width = chip.Width * (0.97 + (0.18 * r.NextDouble())) + (chip.Length < 0.7 ? 0.03 : 0.02);
        var pitch = chip.Length + (2 * toe) - length;
        return Two("chip" + chip.Code, chip.Code, length, width, pitch, Radius(r));
    }

    private static RandomPart Diode(Random r) => r.Next(4) switch
    {
        0 => Two("sod523", "", 0.6, 0.7, 1.4, Radius(r)) with { BodyMm = 0.8 },
        1 => Two("sod323", "", 0.6, 0.45, 2.1, Radius(r)) with { BodyMm = 1.25 },
        2 => Two("sod123", "", 0.9, 1.2, 3.3, Radius(r)) with { BodyMm = 1.6 },
        _ => Two("sma", "", 2.5, 1.8, 4.0, Radius(r)) with { BodyMm = 2.6 },
    };

    private static RandomPart Two(string name, string size, double length, double width, double pitch, double radius) =>
        new(name, PartClass.Chip, size, [new(-pitch / 2, 0, length, width, radius), new(pitch / 2, 0, length, width, radius)]);

    private static RandomPart Triple(Random r)
    {
        var (name, half, height, deep, wide) = r.Next(4) switch
        {
            0 => ("sot23", 0.95, 2.0, 1.1, 0.6),
            1 => ("sot23", 0.95, 1.9, 1.45, 0.6),
            2 => ("sot23", 0.95, 2.0, 0.9, 0.8),
            _ => ("sc70", 0.65, 1.9, 0.8, 0.45),
        };
        var radius = Radius(r);
        return new(name, PartClass.SmallTransistor, "", [
            new(-half, -height / 2, wide, deep, radius), new(half, -height / 2, wide, deep, radius), new(0, height / 2, wide, deep, radius)]);
    }

    private static RandomPart FiveOrSix(Random r)
    {
        var (pitch, height, deep, wide) = r.Next(3) == 0 ? (0.65, 1.9, 0.8, 0.4) : (0.95, 2.5, 1.1, 0.55);
        var pads = Row(3, pitch, -height / 2, deep, wide, Radius(r));
        var isSix = r.Next(2) == 0;
        pads.AddRange(Row(3, pitch, height / 2, deep, wide, pads[0].RadiusShare).Where(p => isSix || Math.Abs(p.X) > 0.1));
        return new(isSix ? "sot-6" : "sot-5", PartClass.SmallTransistor, "", pads);
    }

    private static RandomPart Sot223(Random r) =>
        new("sot223", PartClass.SmallTransistor, "", [.. Row(3, 2.3, -3.15, 2.0, 1.5, Radius(r)), new(0, 3.15, 3.8, 2.0, 0)]);

    private static RandomPart SmallOutline(Random r)
    {
        var (pins, pitch, span, deep, wide) = r.Next(5) switch
        {
            0 => (8, 1.27, 5.0 + (0.5 * r.NextDouble()), 1.6 + (0.4 * r.NextDouble()), 0.6),
            1 => (2 * r.Next(7, 9), 1.27, 5.2, 1.7, 0.6),
            2 => (2 * r.Next(4, 15), 0.65, 5.8, 1.5, 0.4),
            3 => (8, 0.65, 4.4, 1.5, 0.42),
            _ => (2 * r.Next(8, 11), 0.65, 5.8, 1.5, 0.4),
        };
        var pads = TwoRows(pins / 2, pitch, span, deep, wide, Radius(r));
        if (r.Next(4) == 0)
        {
            Thermal(pads, 0.8 * (pins / 2) * pitch * 0.8, 0.45 * span, r);
        }

        return new($"so-{pins}", PartClass.SmallOutline, "", pads);
    }

    private static RandomPart Dfn(Random r)
    {
        var perRow = r.Next(3, 7);
        var (pitch, span) = r.Next(2) == 0 ? (0.5, 2.9) : (0.65, 2.9);
        var pads = TwoRows(perRow, pitch, span, 0.75, pitch * 0.55, Radius(r));
        Thermal(pads, 0.75 * perRow * pitch, 1.5, r);
        return new($"dfn-{2 * perRow}", PartClass.DualNoLead, "", pads);
    }

    private static RandomPart Qfn(Random r)
    {
        var pitch = r.Next(3) switch { 0 => 0.4, 1 => 0.5, _ => 0.65 };
        var (across, up) = (r.Next(3, 15), 0);
        up = r.Next(4) == 0 ? r.Next(3, 15) : across;
        var pads = FourRows(across, up, pitch, 1.35, 0.7 + (0.2 * r.NextDouble()), pitch * 0.55, Radius(r));
        Thermal(pads, (across * pitch) - 0.3, (up * pitch) - 0.3, r);
        return new($"qfn-{2 * (across + up)}", PartClass.QuadNoLead, "", pads);
    }

    private static RandomPart Qfp(Random r)
    {
        var pitch = r.Next(2) == 0 ? 0.5 : 0.8;
        var perSide = r.Next(pitch < 0.6 ? 12 : 8, pitch < 0.6 ? 26 : 13);
        return new($"qfp-{4 * perSide}", PartClass.QuadFlat, "", FourRows(perSide, perSide, pitch, 2.9, 1.5, pitch * 0.55, Radius(r)));
    }

    private static RandomPart Grid(Random r)
    {
        var pitch = r.Next(4) switch { 0 => 0.4, 1 => 0.5, 2 => 0.8, _ => 1.0 };
        var (columns, rows) = (r.Next(3, 17), r.Next(3, 17));
        var hollow = columns > 9 && rows > 9 && r.Next(2) == 0;
        var pads = new List<RandomPad>();
        for (var i = 0; i < columns; i++)
        {
            for (var j = 0; j < rows; j++)
            {
                var (fromEdge, isCorner) = (Math.Min(Math.Min(i, columns - 1 - i), Math.Min(j, rows - 1 - j)), i == 0 && j == 0);
                if (!(hollow && fromEdge == 3) && !isCorner && (r.Next(40) > 0 || columns * rows < 30))
                {
                    pads.Add(new((i - ((columns - 1) / 2.0)) * pitch, (j - ((rows - 1) / 2.0)) * pitch, pitch * 0.5, pitch * 0.5, 0.5));
                }
            }
        }

        return new($"bga-{pads.Count}", PartClass.GridArray, "", pads);
    }

    private static RandomPart Connector(Random r)
    {
        var pitch = r.Next(3) switch { 0 => 0.5, 1 => 1.0, _ => 1.25 };
        var pins = r.Next(4, 31);
        if (r.Next(4) == 0)
        {
            return new($"header-2x{pins}", PartClass.Connector, "", TwoRows(Math.Max(5, pins), 1.27, 4.0, 2.6, 0.75, 0));
        }

        var pads = Row(pins, pitch, 0, 1.55, pitch * 0.58, Radius(r));
        var reach = ((pins - 1) / 2.0 * pitch) + 1.8;
        pads.Add(new(-reach, 2.6, 1.2, 1.8, 0));
        pads.Add(new(reach, 2.6, 1.2, 1.8, 0));
        return new($"conn-{pins}", PartClass.Connector, "", pads);
    }

    private static void Thermal(List<RandomPad> pads, double width, double height, Random r)
    {
        var (columns, rows) = r.Next(3) == 0 ? (1, 1) : (Math.Max(1, (int)(width / 1.1)), Math.Max(1, (int)(height / 1.1)));
        for (var k = 0; k < columns * rows; k++)
        {
            var (i, j) = (k % columns, k / columns);
            pads.Add(new(
                (i - ((columns - 1) / 2.0)) * width / columns, (j - ((rows - 1) / 2.0)) * height / rows, 0.78 * width / columns, 0.78 * height / rows, 0));
        }
    }

    // Pads in a row along x at a height.
    private static List<RandomPad> Row(int count, double pitch, double y, double deep, double wide, double radius) =>
        [.. Enumerable.Range(0, count).Select(i => new RandomPad((i - ((count - 1) / 2.0)) * pitch, y, wide, deep, radius))];

    private static List<RandomPad> TwoRows(int perRow, double pitch, double span, double deep, double wide, double radius) =>
        [.. Row(perRow, pitch, -span / 2, deep, wide, radius), .. Row(perRow, pitch, span / 2, deep, wide, radius)];

    private static List<RandomPad> FourRows(int across, int up, double pitch, double margin, double deep, double wide, double radius)
    {
        // The margin reaches from the last pad's middle to the perpendicular rows' middle line.
        var (halfX, halfY) = (((across - 1) * pitch / 2) + (margin * 0.62), ((up - 1) * pitch / 2) + (margin * 0.62));
        var pads = TwoRows(across, pitch, 2 * halfY, deep, wide, radius);
        pads.AddRange(TwoRows(up, pitch, 2 * halfX, deep, wide, radius).Select(p => new RandomPad(p.Y, p.X, p.HeightMm, p.WidthMm, p.RadiusShare)));
        return pads;
    }

    // Square corners, corners rounded by a quarter, or ends rounded off.
    private static double Radius(Random r) => r.Next(4) switch { 0 => 0, 1 => 0.1, 2 => 0.25, _ => 0.45 };
}
