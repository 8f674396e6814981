using System.Globalization;
using System.Text;

namespace Stencilwright.Benchmarks;

/// <summary>Writes an invented package with a wanted number of openings, for timing the whole command.</summary>
/// <remarks>
/// Cells of 8 × 8 mm, each with sixteen pads as real boards mix them: rectangles, rounded rectangles by macro, circles
/// and obrounds, rows at 0.5 mm pitch among them. Deterministic: the same count gives the same bytes.
/// </remarks>
internal static class BoardMaker
{
    private const int PadsPerCell = 16;
    private const double CellMm = 8;

    /// <summary>Writes <c>board-F_Paste.gbr</c> and <c>board-Edge.gbr</c>, and prints the blanks that fit.</summary>
    public static void Write(string folder, int openingCount)
    {
        Directory.CreateDirectory(folder);
        var cells = (openingCount + PadsPerCell - 1) / PadsPerCell;
        var columns = (int)Math.Ceiling(Math.Sqrt(cells));
        var rows = (cells + columns - 1) / columns;
        File.WriteAllText(Path.Combine(folder, "board-Edge.gbr"), Outline(columns * CellMm, rows * CellMm));
        File.WriteAllText(Path.Combine(folder, "board-F_Paste.gbr"), Paste(openingCount, columns));
        var (width, height) = ((columns * CellMm) + 20, (rows * CellMm) + 20);
        File.WriteAllText(Path.Combine(folder, "board.toml"), string.Create(
            CultureInfo.InvariantCulture,
            $"film_blank_mm = [{width}, {height}]\nframe_blank_mm = [{width + 60}, {height + 60}]\n"));
    }

    private static string Outline(double width, double height)
    {
        var text = new StringBuilder("%TF.FileFunction,Profile,NP*%\n%FSLAX46Y46*%\n%MOMM*%\n%ADD10C,0.1*%\nG01*\nD10*\n");
        Point(text, 0, 0, "D02");
        Point(text, width, 0, "D01");
        Point(text, width, height, "D01");
        Point(text, 0, height, "D01");
        Point(text, 0, 0, "D01");
        return text.Append("M02*\n").ToString();
    }

    private static string Paste(int openingCount, int columns)
    {
        var text = new StringBuilder("%TF.FileFunction,Paste,Top*%\n%FSLAX46Y46*%\n%MOMM*%\n");
        text.Append("%AMROUND*21,1,$1,$2-2x$3,0,0,0*21,1,$1-2x$3,$2,0,0,0*");
        text.Append("1,1,2x$3,$1/2-$3,$2/2-$3*1,1,2x$3,$3-$1/2,$2/2-$3*1,1,2x$3,$1/2-$3,$3-$2/2*1,1,2x$3,$3-$1/2,$3-$2/2*%\n");
        text.Append("%ADD10R,0.9X1.0*%\n%ADD11ROUND,0.8X0.95X0.2*%\n%ADD12C,0.4*%\n%ADD13O,0.28X1.2*%\n");
        for (var k = 0; k < openingCount; k++)
        {
            var (cell, pad) = (k / PadsPerCell, k % PadsPerCell);
            var (left, bottom) = (cell % columns * CellMm, cell / columns * CellMm);
            var (aperture, x, y) = pad switch
            {
                < 4 => (10, 1.2 + (pad * 1.8), 1.2),
                < 8 => (11, 1.2 + ((pad - 4) * 1.8), 3.0),
                < 11 => (12, 1.2 + ((pad - 8) * 0.8), 5.2),
                _ => (13, 4.4 + ((pad - 11) * 0.5), 6.0),
            };
            if (pad is 0 or 4 or 8 or 11)
            {
                text.Append(CultureInfo.InvariantCulture, $"D{aperture}*\n");
            }

            Point(text, left + x, bottom + y, "D03");
        }

        return text.Append("M02*\n").ToString();
    }

    private static void Point(StringBuilder text, double x, double y, string operation) =>
        text.Append(CultureInfo.InvariantCulture, $"X{(long)Math.Round(x * 1e6)}Y{(long)Math.Round(y * 1e6)}{operation}*\n");
}
