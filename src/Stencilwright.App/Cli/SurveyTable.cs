using System.Globalization;
using Stencilwright.Workbench;

namespace Stencilwright.App.Cli;

/// <summary>Writes a survey for people: one aligned row a file, then the board.</summary>
internal static class SurveyTable
{
    private static readonly string[] _titles = ["File", "Role", "Format", "x (mm)", "y (mm)", "Islands", "Area (mm²)", "Why"];

    // Numbers align to the right, words to the left.
    private static readonly bool[] _right = [false, false, false, false, false, true, true, false];

    public static void Write(SurveyResult result, TextWriter output)
    {
        if (result.Files.IsEmpty)
        {
            output.WriteLine("No files.");
            return;
        }

        var rows = new List<string[]> { _titles };
        foreach (var file in result.Files)
        {
            rows.Add(Row(file));
        }

        var widths = Enumerable.Range(0, _titles.Length).Select(i => rows.Max(r => r[i].Length)).ToArray();
        foreach (var row in rows)
        {
            var line = string.Join("  ", row.Select((cell, i) => _right[i] ? cell.PadLeft(widths[i]) : cell.PadRight(widths[i])));
            output.WriteLine(line.TrimEnd());
        }

        foreach (var file in result.Files.Where(f => f.SetAside is { Count: > 0 }))
        {
            var aside = file.SetAside!;
            output.WriteLine(Invariant(
                $"{Printable.Text(file.File)}: {aside.Count} {(aside.Count == 1 ? "part" : "parts")} ({aside.AreaMm2:0.###} mm²) will not be cut: {Printable.Text(aside.Why)}"));
        }

        output.WriteLine();
        output.WriteLine(result.Board is { } board
            ? Invariant($"Board: {board.WidthMm:0.###} × {board.HeightMm:0.###} mm, {board.AreaMm2:0.###} mm², {Cutouts(board.CutoutCount)}; {Printable.Text(board.Why)} ({Printable.Text(board.File)})")
            : "Board: no outline found.");
    }

    private static string[] Row(SurveyFile file)
    {
        var box = file.BoundsMm;
        return
        [
            Printable.Text(file.File),
            file.Role,
            file.Format.Length == 0 ? "-" : file.Format,
            box.IsEmpty ? "-" : Invariant($"{box.MinX:0.00} … {box.MaxX:0.00}"),
            box.IsEmpty ? "-" : Invariant($"{box.MinY:0.00} … {box.MaxY:0.00}"),
            file.IslandCount.ToString(CultureInfo.InvariantCulture),
            Invariant($"{file.PaintedAreaMm2:0.000}"),
            Printable.Text(file.Why),
        ];
    }

    private static string Cutouts(int count) => count switch { 0 => "no cut-outs", 1 => "1 cut-out", _ => Invariant($"{count} cut-outs") };

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
