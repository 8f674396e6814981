using System.Globalization;
using System.Text;

namespace Stencilwright.App.Cli;

/// <summary>Makes text from outside safe to show on a terminal.</summary>
internal static class Printable
{
    /// <summary>Replaces control characters, and those that turn the reading direction, by their code in braces.</summary>
    /// <remarks>A file name in a package is chosen by whoever made the package; printed raw it could rewrite the screen.</remarks>
    public static string Text(string text)
    {
        var first = 0;
        while (first < text.Length && !IsUnsafe(text[first]))
        {
            first++;
        }

        if (first == text.Length)
        {
            return text;
        }

        var safe = new StringBuilder(text.Length + 16).Append(text, 0, first);
        foreach (var c in text.AsSpan(first))
        {
            if (IsUnsafe(c))
            {
                safe.Append(CultureInfo.InvariantCulture, $"\\u{{{(int)c:X}}}");
            }
            else
            {
                safe.Append(c);
            }
        }

        return safe.ToString();
    }

    private static bool IsUnsafe(char c) =>
        char.IsControl(c) || c is (>= '\u202a' and <= '\u202e') or (>= '\u2066' and <= '\u2069') or '\u2028' or '\u2029' or '\u200e' or '\u200f';
}
