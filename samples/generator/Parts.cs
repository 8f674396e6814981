using System.Globalization;

namespace Stencilwright.Samples;

/// <summary>Land patterns, invented round common body sizes.</summary>
internal static class Parts
{
    /// <summary>A two-terminal chip turned by any angle.</summary>
    public static void Chip(Board.Side side, string part, double x, double y, double degrees, double padLength, double padWidth, double pitch)
    {
        var (sin, cos) = SinCos(degrees);
        for (var i = 0; i < 2; i++)
        {
            var along = (i == 0 ? -pitch : pitch) / 2;
            side.Pad(part, Text(i + 1), x + (along * cos), y + (along * sin), padLength, padWidth, 0.25 * Math.Min(padLength, padWidth), degrees);
        }
    }

    public static void Chip0402(Board.Side side, string part, double x, double y, double degrees) =>
        Chip(side, part, x, y, degrees, 0.56, 0.62, 0.96);

    public static void Chip0603(Board.Side side, string part, double x, double y, double degrees) =>
        Chip(side, part, x, y, degrees, 0.8, 0.95, 1.65);

    public static void Chip0805(Board.Side side, string part, double x, double y, double degrees) =>
        Chip(side, part, x, y, degrees, 1.0, 1.4, 1.95);

    /// <summary>Three pins, two below and one above.</summary>
    public static void Sot23(Board.Side side, string part, double x, double y)
    {
        side.Pad(part, "1", x - 0.95, y - 1.0, 0.6, 1.1, 0.1);
        side.Pad(part, "2", x + 0.95, y - 1.0, 0.6, 1.1, 0.1);
        side.Pad(part, "3", x, y + 1.0, 0.6, 1.1, 0.1);
    }

    /// <summary>Five pins at 0.95 mm.</summary>
    public static void Sot23Five(Board.Side side, string part, double x, double y)
    {
        for (var i = 0; i < 3; i++)
        {
            side.Pad(part, Text(i + 1), x + ((i - 1) * 0.95), y - 1.3, 0.55, 1.1, 0.1);
        }

        side.Pad(part, "4", x + 0.95, y + 1.3, 0.55, 1.1, 0.1);
        side.Pad(part, "5", x - 0.95, y + 1.3, 0.55, 1.1, 0.1);
    }

    /// <summary>Two rows of pins.</summary>
    public static void SmallOutline(Board.Side side, string part, double x, double y, int pins, double pitch, double span, double padLength, double padWidth)
    {
        var perSide = pins / 2;
        for (var i = 0; i < pins; i++)
        {
            var left = i < perSide;
            var row = left ? i : pins - 1 - i;
            side.Pad(part, Text(i + 1), x + ((left ? -span : span) / 2), y + ((((perSide - 1) / 2.0) - row) * pitch), padLength, padWidth);
        }
    }

    /// <summary>Four rows of pins and a thermal pad, whose paste is a grid of panes.</summary>
    public static void QuadFlat(
        Board.Side side, string part, double x, double y, int perSide, double pitch, double span, double padLength, double padWidth, double thermalMm, int panes)
    {
        for (var i = 0; i < 4 * perSide; i++)
        {
            // 1 is the upper pin of the left row; counting goes counter-clockwise.
            var row = i / perSide;
            var along = ((i % perSide) - ((perSide - 1) / 2.0)) * pitch;
            var (dx, dy) = row switch
            {
                0 => (-span / 2, -along),
                1 => (along, -span / 2),
                2 => (span / 2, along),
                _ => (-along, span / 2),
            };
            side.Pad(part, Text(i + 1), x + dx, y + dy, padLength, padWidth, padWidth / 4, row % 2 == 0 ? 0 : 90);
        }

        if (thermalMm <= 0)
        {
            return;
        }

        var pin = Text((4 * perSide) + 1);
        side.CopperAndMask(part, pin, x, y, thermalMm, thermalMm);
        side.Paste.Pad(part, pin);
        if (panes == 0)
        {
            side.Paste.Rectangle(x, y, thermalMm, thermalMm, "Material");
            return;
        }

        // Panes cover about 60 % of the pad: 0.775² of each cell.
        var cell = thermalMm / panes;
        for (var i = 0; i < panes * panes; i++)
        {
            var (column, line) = (i % panes, i / panes);
            var offset = (panes - 1) / 2.0;
            side.Paste.Rectangle(x + ((column - offset) * cell), y + ((line - offset) * cell), 0.775 * cell, 0.775 * cell, "Material");
        }
    }

    /// <summary>A grid of balls, without those in the corners when asked.</summary>
    public static void BallGrid(Board.Side side, string part, double x, double y, int count, double pitch, double diameter)
    {
        for (var row = 0; row < count; row++)
        {
            for (var column = 0; column < count; column++)
            {
                var pin = $"{"ABCDEFGHJKLMNPRT"[row]}{Text(column + 1)}";
                var offset = (count - 1) / 2.0;
                side.Ball(part, pin, x + ((column - offset) * pitch), y + ((offset - row) * pitch), diameter);
            }
        }
    }

    /// <summary>A row of contacts with two holding tabs.</summary>
    public static void Connector(Board.Side side, string part, double x, double y, int pins, double pitch, double padWidth, double padLength)
    {
        for (var i = 0; i < pins; i++)
        {
            side.Pad(part, Text(i + 1), x + ((i - ((pins - 1) / 2.0)) * pitch), y, padWidth, padLength);
        }

        var reach = ((pins - 1) / 2.0 * pitch) + 1.6;
        side.Pad(part, "MP1", x - reach, y - 2.2, 1.6, 2.2, 0.2);
        side.Pad(part, "MP2", x + reach, y - 2.2, 1.6, 2.2, 0.2);
    }

    // Exact at quarter turns, so that pads on the grid stay on it.
    private static (double Sin, double Cos) SinCos(double degrees) => degrees switch
    {
        0 => (0, 1),
        90 => (1, 0),
        180 => (0, -1),
        270 => (-1, 0),
        _ => Math.SinCos(degrees * Math.PI / 180),
    };

    private static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
