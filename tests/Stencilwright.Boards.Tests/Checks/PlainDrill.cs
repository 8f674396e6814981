using System.Globalization;
using Stencilwright.Boards.Checks;
using Stencilwright.Foundation;

namespace Stencilwright.Boards.Tests.Checks;

/// <summary>Reads the round holes of a drill file whose number format is known beforehand: only to have real holes under the checks.</summary>
internal static class PlainDrill
{
    /// <summary>Reads.</summary>
    /// <param name="path">The file.</param>
    /// <param name="unitMm">Length of the file's unit.</param>
    /// <param name="decimals">Digits after the point where none is written.</param>
    /// <param name="integers">Digits before it when trailing zeros are left out; 0 when leading ones are.</param>
    /// <param name="isPlated">Said of every hole.</param>
    public static IEnumerable<BoardHole> Read(string path, double unitMm, int decimals, int integers, bool? isPlated)
    {
        var tools = new SortedDictionary<int, double>();
        var (tool, x, y, number) = (0, 0.0, 0.0, 0);
        foreach (var line in File.ReadLines(path))
        {
            number++;
            if (line.StartsWith('T'))
            {
                var digits = line.Skip(1).TakeWhile(char.IsAsciiDigit).Count();
                tool = int.Parse(line.AsSpan(1, digits), CultureInfo.InvariantCulture);
                if (line.IndexOf('C', StringComparison.Ordinal) is > 0 and var c)
                {
                    tools[tool] = unitMm * double.Parse(line.AsSpan(c + 1), CultureInfo.InvariantCulture);
                }
            }
            else if (line.StartsWith('G') && line.Contains('X', StringComparison.Ordinal))
            {
                // A route, not a hole.
                yield break;
            }
            else if (line.StartsWith('X') || line.StartsWith('Y'))
            {
                (x, y) = (Coordinate(line, 'X', x), Coordinate(line, 'Y', y));
                yield return new BoardHole(new(x, y), tools[tool], isPlated, new SourcePlace(Path.GetFileName(path), number, 1));
            }
        }

        double Coordinate(string line, char axis, double before)
        {
            var at = line.IndexOf(axis, StringComparison.Ordinal);
            if (at < 0)
            {
                return before;
            }

            var text = string.Concat(line.Skip(at + 1).TakeWhile(ch => char.IsAsciiDigit(ch) || ch is '+' or '-' or '.'));
            if (text.Contains('.', StringComparison.Ordinal))
            {
                return unitMm * double.Parse(text, CultureInfo.InvariantCulture);
            }

            var digits = text.TrimStart('+', '-');
            var scale = integers > 0 ? Math.Pow(10, digits.Length - integers) : Math.Pow(10, decimals);
            return (text.StartsWith('-') ? -unitMm : unitMm) * double.Parse(digits, CultureInfo.InvariantCulture) / scale;
        }
    }
}
