using System.Globalization;

namespace Stencilwright.Samples;

/// <summary>Three invented boards.</summary>
internal static class SampleBoards
{
    /// <summary>All of them.</summary>
    public static IEnumerable<Board> All() => [Blinky(), Dense(), TwoSide()];

    // A flasher with two light-emitting diodes: what a first stencil is made for.
    private static Board Blinky()
    {
        var board = new Board("blinky", hasBottom: false);
        RoundedOutline(board.Outline, 0, 0, 24, 16, 2);
        var top = board.Top;
        Parts.SmallOutline(top, "U1", 12, 8, 8, 1.27, 5.4, 1.6, 0.6);
        Parts.Sot23(top, "Q1", 6, 11.5);
        Parts.Sot23(top, "Q2", 18, 11.5);
        Parts.Sot23Five(top, "U2", 6, 4.5);
        Parts.Chip0805(top, "D1", 2.6, 8, 90);
        Parts.Chip0805(top, "D2", 21.4, 8, 90);
        Parts.Chip0603(top, "R1", 12, 13.6, 0);
        Parts.Chip0603(top, "R2", 16.8, 7, 90);
        Parts.Chip0603(top, "R3", 18.4, 3.2, 0);
        Parts.Chip0603(top, "C1", 12, 2.6, 0);
        Parts.Chip0603(top, "C2", 2.6, 3.2, 90);
        return board;
    }

    // What film and a small laser can just do, and what they cannot: 0.4 mm pitch, 0.5 mm pitch, a grid of balls, many chips.
    private static Board Dense()
    {
        var board = new Board("dense", hasBottom: false);
        RoundedOutline(board.Outline, 0, 0, 60, 45, 3);
        var top = board.Top;
        Parts.QuadFlat(top, "U1", 16, 28, 12, 0.4, 6.0, 0.8, 0.2, 4.4, 3);
        Parts.QuadFlat(top, "U2", 46, 34, 8, 0.5, 5.0, 0.85, 0.28, 3.3, 0);
        Parts.BallGrid(top, "U3", 34, 20, 10, 0.8, 0.4);
        Parts.SmallOutline(top, "U4", 52, 18, 16, 0.65, 5.8, 1.5, 0.4);
        Parts.Connector(top, "J1", 14, 7, 30, 0.5, 0.3, 1.3);
        Parts.Connector(top, "J2", 44, 7, 10, 1.0, 0.6, 1.6);
        for (var i = 0; i < 24; i++)
        {
            // Two rows above the processor, every third one turned by 30° as round-the-corner decoupling is.
            var degrees = i % 3 == 2 ? 30 : 90;
            Parts.Chip0402(top, Named("C", i + 1), 5 + (i % 12 * 2), 36 + (i / 12 * 3.2), degrees);
        }

        for (var i = 0; i < 16; i++)
        {
            Parts.Chip0402(top, Named("R", i + 1), 26 + (i % 8 * 2), 27.5 + (i / 8 * 2), 0);
        }

        for (var i = 0; i < 6; i++)
        {
            Parts.Chip0603(top, Named("L", i + 1), 40 + (i * 3), 41.5, 90);
        }

        Parts.Sot23(top, "Q1", 32, 36);
        Parts.Sot23(top, "Q2", 37, 36);
        Parts.Sot23Five(top, "U5", 32.5, 41);
        return board;
    }

    // A ring-shaped corner, an edge of arcs, a slot and a round hole; parts on both sides.
    private static Board TwoSide()
    {
        var board = new Board("twoside", hasBottom: true);
        var edge = board.Outline;
        // A stadium of 50 × 30 with a bay of radius 4 in its lower edge.
        edge.Move(15, 0);
        edge.Draw(21, 0);
        edge.Arc(29, 0, 4, 0, counterClockwise: false);
        edge.Draw(35, 0);
        edge.Arc(35, 30, 0, 15, counterClockwise: true);
        edge.Draw(15, 30);
        edge.Arc(15, 0, 0, -15, counterClockwise: true);
        // A round hole and a slot.
        edge.Move(10, 15);
        edge.Arc(10, 15, -2.5, 0, counterClockwise: true);
        edge.Move(38, 13.5);
        edge.Draw(44, 13.5);
        edge.Arc(44, 16.5, 0, 1.5, counterClockwise: true);
        edge.Draw(38, 16.5);
        edge.Arc(38, 13.5, 0, -1.5, counterClockwise: true);

        var top = board.Top;
        Parts.QuadFlat(top, "U1", 25, 17, 8, 0.65, 6.6, 1.0, 0.35, 3.0, 2);
        Parts.Connector(top, "J1", 25, 27, 8, 1.25, 0.7, 1.5);
        for (var i = 0; i < 8; i++)
        {
            Parts.Chip0603(top, Named("R", i + 1), 15.5 + (i % 4 * 6.2), i < 4 ? 8 : 22.4, i % 2 == 0 ? 0 : 90);
        }

        Parts.Sot23(top, "Q1", 33, 15);
        var bottom = board.Bottom!;
        for (var i = 0; i < 10; i++)
        {
            Parts.Chip0402(bottom, Named("C", i + 1), 16 + (i % 5 * 4), i < 5 ? 13 : 20, 45);
        }

        Parts.SmallOutline(bottom, "U2", 25, 16.5, 8, 1.27, 5.4, 1.6, 0.6);
        return board;
    }

    private static void RoundedOutline(Layer edge, double x, double y, double width, double height, double radius)
    {
        edge.Move(x + radius, y);
        edge.Draw(x + width - radius, y);
        edge.Arc(x + width, y + radius, 0, radius, counterClockwise: true);
        edge.Draw(x + width, y + height - radius);
        edge.Arc(x + width - radius, y + height, -radius, 0, counterClockwise: true);
        edge.Draw(x + radius, y + height);
        edge.Arc(x, y + height - radius, 0, -radius, counterClockwise: true);
        edge.Draw(x, y + radius);
        edge.Arc(x + radius, y, radius, 0, counterClockwise: true);
    }

    private static string Named(string letter, int number) => letter + number.ToString(CultureInfo.InvariantCulture);
}
