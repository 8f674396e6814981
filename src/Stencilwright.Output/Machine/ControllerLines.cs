using System.Collections.Immutable;

namespace Stencilwright.Output.Machine;

/// <summary>Lines of G-code that the user's controller wants, written as they are.</summary>
public static class ControllerLines
{
    // A line that long is taken by every controller; ISO 6983-1 sets no length, 80 is common practice (no source).
    private const int LongestLine = 80;
    private const int MostLines = 40;

    // What the coordinates mean is the program's to say: unit, absolute, plane of arcs, and that centres are relative.
    private static readonly string[] _notBefore = ["G18", "G19", "G20", "G21", "G90.1", "G91", "M2", "M30"];

    /// <summary>The lines of a setting: between | or line ends, without blanks round them, empty ones left out.</summary>
    public static ImmutableArray<string> Of(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return [.. text.Split(['|', '\n', '\r'], StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries)];
    }

    /// <summary>What the lines should have been, or null when they can be written.</summary>
    /// <param name="text">The setting.</param>
    /// <param name="isPreamble">True before the first move, where words that change what coordinates mean are refused.</param>
    public static string? Fault(string text, bool isPreamble)
    {
        var lines = Of(text);
        if (lines.Length > MostLines)
        {
            return "at most 40 lines of G-code";
        }

        foreach (var line in lines)
        {
            if (line.Length > LongestLine || line.AsSpan().ContainsAnyExceptInRange(' ', '~') || line.Contains('%', StringComparison.Ordinal) || !HasWholeComments(line))
            {
                return "lines of G-code with | between, each of at most 80 plain characters without %, and with every comment closed";
            }

            if (isPreamble && Words(line).Find(w => Array.IndexOf(_notBefore, w) >= 0) is { } word)
            {
                return $"lines without {word}: gcode_units says what the unit is, coordinates are absolute and in the plane of x and y, and the program ends after the cuts";
            }
        }

        return null;
    }

    /// <summary>True when one of the lines switches the beam on by itself with any power.</summary>
    internal static bool SwitchesOn(string text, string beamOn)
    {
        var wanted = Words(beamOn);
        foreach (var line in Of(text))
        {
            var words = Words(line);
            if (wanted.Count > 0 && wanted.TrueForAll(words.Contains) && !words.Contains("S0"))
            {
                return true;
            }
        }

        return false;
    }

    private static bool HasWholeComments(string line)
    {
        var isOpen = false;
        foreach (var c in line)
        {
            if (c is '(' or ')')
            {
                if (isOpen == (c == '('))
                {
                    return false;
                }

                isOpen = !isOpen;
            }
        }

        return !isOpen;
    }

    // Words as a controller reads them: blanks, letter case and leading zeros do not count, nor does what stands in brackets or behind a semicolon.
    private static List<string> Words(string line)
    {
        var words = new List<string>();
        for (var i = 0; i < line.Length && line[i] != ';'; i++)
        {
            if (line[i] == '(')
            {
                i = line.IndexOf(')', i);
                if (i < 0)
                {
                    break;
                }
            }
            else if (char.IsAsciiLetter(line[i]))
            {
                var digits = new System.Text.StringBuilder();
                var letter = char.ToUpperInvariant(line[i]);
                while (i + 1 < line.Length && (line[i + 1] == ' ' || line[i + 1] == '.' || char.IsAsciiDigit(line[i + 1])))
                {
                    i++;
                    if (line[i] != ' ')
                    {
                        digits.Append(line[i]);
                    }
                }

                var number = digits.ToString();
                if (number.Contains('.', StringComparison.Ordinal))
                {
                    number = number.TrimEnd('0').TrimEnd('.');
                }

                number = number.TrimStart('0');
                words.Add(letter + (number.Length == 0 ? "0" : number));
            }
        }

        return words;
    }
}
