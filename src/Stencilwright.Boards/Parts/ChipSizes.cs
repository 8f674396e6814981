using System.Collections.Immutable;

namespace Stencilwright.Boards.Parts;

/// <summary>An outline with two terminals and the lands drawn for it, millimetres.</summary>
/// <param name="Imperial">Body in hundredths of an inch; null when the trade names it otherwise.</param>
/// <param name="Metric">Body in tenths of a millimetre; null when the trade names it otherwise.</param>
/// <param name="Name">The trade's name.</param>
/// <param name="LengthFrom">Pad along the line through both, least.</param>
/// <param name="LengthTo">The same, most.</param>
/// <param name="WidthFrom">Pad across that line, least.</param>
/// <param name="WidthTo">The same, most.</param>
/// <param name="PitchFrom">Middle to middle, least.</param>
/// <param name="PitchTo">The same, most.</param>
/// <param name="BodyMm">Width of the body: bodies side by side cannot be nearer.</param>
internal sealed record ChipSize(
    string? Imperial, string? Metric, string Name, double LengthFrom, double LengthTo, double WidthFrom, double WidthTo, double PitchFrom, double PitchTo, double BodyMm);

/// <summary>Lands of the usual outlines with two terminals.</summary>
/// <remarks>
/// The codes are the body's size: 0402 is 0.04 × 0.02 inch, 1005 is 1.0 × 0.5 mm (common practice). The ranges hold the lands
/// that IPC-7351 gives at its three densities (from memory), those for soldering by hand, and openings drawn a tenth smaller
/// than the land. Outlines without a code of their own keep the class and get no size.
/// </remarks>
internal static class ChipSizes
{
    public static ImmutableArray<ChipSize> All { get; } =
    [
        new("01005", "0402", "01005", 0.13, 0.26, 0.15, 0.26, 0.28, 0.46, 0.20),
        new("0201", "0603", "0201", 0.22, 0.48, 0.26, 0.46, 0.46, 0.76, 0.30),
        new("0402", "1005", "0402", 0.38, 0.75, 0.42, 0.72, 0.80, 1.18, 0.50),
        new("0603", "1608", "0603", 0.58, 1.25, 0.74, 1.15, 1.32, 1.85, 0.80),
        new("0805", "2012", "0805", 0.72, 1.60, 1.12, 1.60, 1.68, 2.45, 1.25),
        new("1206", "3216", "1206", 0.85, 1.90, 1.40, 1.95, 2.70, 3.45, 1.60),
        new("1210", "3225", "1210", 0.85, 1.90, 2.30, 2.85, 2.60, 3.45, 2.50),
        new("1812", "4532", "1812", 0.90, 1.90, 2.95, 3.60, 4.00, 4.80, 3.20),
        new("2010", "5025", "2010", 0.90, 1.90, 2.30, 2.85, 4.30, 5.25, 2.50),
        new("2220", "5750", "2220", 1.20, 2.20, 4.70, 5.60, 4.80, 5.90, 5.00),
        new("2512", "6332", "2512", 0.90, 2.40, 2.95, 3.70, 5.50, 6.70, 3.20),
        new(null, null, "SOD-523", 0.35, 0.70, 0.35, 0.72, 1.25, 1.60, 0.80),
        new(null, null, "SOD-323", 0.50, 1.05, 0.40, 0.75, 1.90, 2.60, 1.25),
        new(null, null, "SOD-123", 0.75, 1.35, 0.80, 1.38, 3.00, 3.75, 1.60),
        new(null, null, "SOD-882", 0.25, 0.50, 0.50, 0.75, 0.58, 0.80, 0.60),
        new(null, null, "MiniMELF", 1.00, 1.45, 1.45, 1.90, 3.20, 3.80, 1.60),
        new(null, null, "MELF", 1.20, 2.00, 2.35, 2.90, 4.50, 5.45, 2.50),
        new(null, null, "SMA", 1.40, 2.70, 1.35, 1.90, 3.80, 4.70, 2.60),
        new(null, null, "SMB", 1.80, 2.70, 1.95, 2.45, 4.10, 4.90, 3.60),
        new(null, null, "SMC", 2.00, 3.50, 2.70, 3.50, 6.20, 7.50, 5.90),
        new(null, null, "tantalum A", 1.10, 1.95, 1.05, 1.38, 2.40, 3.30, 1.60),
        new(null, null, "tantalum B", 1.10, 1.95, 1.95, 2.29, 2.50, 3.40, 2.80),
        new(null, null, "tantalum C", 1.80, 2.65, 1.95, 2.45, 4.50, 5.30, 3.20),
        new(null, null, "tantalum D", 2.10, 2.90, 2.20, 2.70, 5.50, 6.80, 4.30),
        new(null, null, "can of 4 to 5 mm", 2.20, 3.20, 1.30, 1.80, 3.30, 4.60, 4.30),
        new(null, null, "can of 6.3 mm", 2.80, 3.90, 1.30, 1.90, 4.70, 5.80, 6.60),
        new(null, null, "can of 8 to 10 mm", 3.20, 4.80, 1.50, 2.70, 6.00, 8.20, 8.30),
    ];

    /// <summary>How far lands lie outside the ranges of an outline: 0 inside, 1 when one measure is off by a tenth.</summary>
    public static double Misfit(ChipSize size, double lengthMm, double widthMm, double pitchMm) =>
        Outside(lengthMm, size.LengthFrom, size.LengthTo)
        + Outside(widthMm, size.WidthFrom, size.WidthTo)
        + Outside(pitchMm, size.PitchFrom, size.PitchTo);

    /// <summary>The outline that fits best and how badly; a second one with a code of its own that fits nearly as well makes the size doubtful.</summary>
    public static (ChipSize Size, double Misfit, bool IsDoubtful) Best(double lengthMm, double widthMm, double pitchMm)
    {
        var (best, least, next) = (All[0], double.PositiveInfinity, double.PositiveInfinity);
        foreach (var size in All)
        {
            // Inside several ranges the middle decides, gently; chips with a code are far commoner than outlines without.
            var misfit = Misfit(size, lengthMm, widthMm, pitchMm) + (size.Imperial is null ? 0.15 : 0)
                + (0.1 * (Apart(widthMm, size.WidthFrom, size.WidthTo) + Apart(pitchMm, size.PitchFrom, size.PitchTo)));
            if (misfit < least)
            {
                (best, next, least) = (size, least, misfit);
            }
            else
            {
                next = Math.Min(next, misfit);
            }
        }

        return (best, Misfit(best, lengthMm, widthMm, pitchMm), next - least < (lengthMm < 0.35 ? 0.6 : 0.15));
    }

    private static double Outside(double value, double from, double to) =>
        Math.Max(0, Math.Max(from - value, value - to)) / (0.05 * (from + to));

    private static double Apart(double value, double from, double to) => Math.Abs(value - ((from + to) / 2)) / ((from + to) / 2);
}
