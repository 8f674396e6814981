using System.Globalization;
using System.Text;
using Stencilwright.Workbench.Settings;

namespace Stencilwright.App.Web;

/// <summary>Statements of the program in the words of the pages: what files and the command line name in their way has a name and a place on a page.</summary>
internal static class PlainWords
{
    private const string Millimetres = " mm";
    private const string Times = " × ";
    private const string NoRules = "; --set aperture_rules=none leaves them as the artwork has them";

    /// <summary>The message as a page says it.</summary>
    /// <param name="words">Names of the settings.</param>
    /// <param name="message">Message of a finding or a diagnostic.</param>
    /// <param name="unit">Unit in which lengths are shown.</param>
    public static string Of(Words words, string message, LengthUnit unit)
    {
        var text = new StringBuilder(message.Length + 32);
        foreach (var (part, _) in Parts(words, message, unit))
        {
            text.Append(part);
        }

        return text.ToString();
    }

    /// <summary>The message in pieces: plain text, and names of settings each with the setting that it names.</summary>
    public static List<(string Text, Setting? Setting)> Parts(Words words, string message, LengthUnit unit)
    {
        var text = InUnit(Remedies(message), unit);
        var parts = new List<(string, Setting?)>();
        var (done, at) = (0, 0);
        while (at < text.Length)
        {
            var end = at;
            while (end < text.Length && (char.IsAsciiLetterLower(text[end]) || char.IsAsciiDigit(text[end]) || text[end] == '_'))
            {
                end++;
            }

            // Names of one word (paste, title, frame) are words of the sentence.
            if (end > at && (at == 0 || !char.IsLetterOrDigit(text[at - 1])) && text.AsSpan(at, end - at).Contains('_') && SettingsCatalogue.Find(text[at..end]) is { } setting)
            {
                var value = ValueBehind(text, ref end);
                var read = value is null ? default : SettingText.Read(setting, value);
                if (value is null && text.AsSpan(0, at).EndsWith(" (") && end < text.Length && text[end] == ')')
                {
                    // In brackets for those who write files; a page has a way to the field.
                    parts.Add((text[done..(at - 2)], null));
                    parts.Add(("", setting));
                    at = done = end + 1;
                    continue;
                }

                parts.Add((text[done..at], null));
                parts.Add((words.Label(setting) + (value is null ? "" : ": " + (read.Value is { } known ? words.Value(setting, known, unit) : value)), setting));
                done = end;
            }

            else if (end > at && words.Has("openingRules.key." + text[at..end]))
            {
                parts.Add(($"{text[done..at]}“{words["openingRules.key." + text[at..end]]}”", null));
                done = end;
            }

            at = Math.Max(end, at + 1);
        }

        parts.Add((text[done..], null));
        return parts;
    }

    // What stands behind a name as `name = "value"`, `name = value` or `name=value`.
    private static string? ValueBehind(string text, ref int end)
    {
        var at = end;
        while (at < text.Length && text[at] == ' ')
        {
            at++;
        }

        if (at >= text.Length || text[at] != '=')
        {
            return null;
        }

        at++;
        while (at < text.Length && text[at] == ' ')
        {
            at++;
        }

        var quoted = at < text.Length && text[at] == '"';
        var from = quoted ? at + 1 : at;
        var to = quoted ? text.IndexOf('"', from) : text.AsSpan(from).IndexOfAny(" ;,)") is var n && n < 0 ? text.Length : from + n;
        if (to <= from)
        {
            return null;
        }

        end = quoted ? to + 1 : to;
        if (!quoted && text[to - 1] == '.')
        {
            to--;
            end = to;
        }

        return text[from..to];
    }

    // Lengths in sentences are millimetres: `0.05 mm`, `60 × 80 mm`; areas and speeds stay what they are.
    private static string InUnit(string text, LengthUnit unit)
    {
        if (unit.MillimetresEach == 1)
        {
            return text;
        }

        var made = new StringBuilder(text.Length);
        var done = 0;
        for (var at = text.IndexOf(Millimetres, StringComparison.Ordinal); at >= 0; at = text.IndexOf(Millimetres, at + 1, StringComparison.Ordinal))
        {
            var end = at + Millimetres.Length;
            var from = NumberBefore(text, at);
            if (from == at || (end < text.Length && (char.IsLetterOrDigit(text[end]) || text[end] is '²' or '³' or '/')))
            {
                continue;
            }

            var first = text.AsSpan(0, from).EndsWith(Times) ? NumberBefore(text, from - Times.Length) : from;
            made.Append(text, done, first - done);
            if (first < from - Times.Length)
            {
                made.Append(Converted(text[first..(from - Times.Length)], unit)).Append(Times);
            }
            else
            {
                made.Append(text, first, from - first);
            }

            made.Append(Converted(text[from..at], unit)).Append(' ').Append(unit.Name);
            done = end;
        }

        return made.Append(text, done, text.Length - done).ToString();
    }

    private static int NumberBefore(string text, int end)
    {
        var at = end;
        while (at > 0 && (char.IsAsciiDigit(text[at - 1]) || (text[at - 1] == '.' && at < end)))
        {
            at--;
        }

        return at > 0 && at < end && text[at - 1] is '-' or '−' ? at - 1 : at;
    }

    private static string Converted(string number, LengthUnit unit) =>
        double.TryParse(number.Replace('−', '-'), NumberStyles.Float, CultureInfo.InvariantCulture, out var mm) ? unit.Figure(mm) : number;

    private static string Remedies(string message)
    {
        if (!message.Contains("--", StringComparison.Ordinal) && !message.Contains('`', StringComparison.Ordinal))
        {
            return message;
        }

        var text = message.Replace(NoRules, "; “none” under Aperture rules on the page Openings leaves them as the artwork has them", StringComparison.Ordinal);
        text = text.Replace("name it with --role FILE=outline", "give its file the role outline on the page Artwork", StringComparison.Ordinal);
        text = Remedy(text, "use --role \"", "\"", "give it its role on the page Artwork");
        text = text.Replace("give it its role on the page Artwork or another role", "give it its role on the page Artwork", StringComparison.Ordinal);
        text = text.Replace(", or a TOML file that describes one (`stencilwright shop list` shows what there is)", "", StringComparison.Ordinal);
        text = Remedy(text, "`stencilwright shop list", "`", "the page Shop");
        return text.Replace("--set ", "", StringComparison.Ordinal).Replace("`", "", StringComparison.Ordinal);
    }

    private static string Remedy(string text, string from, string to, string instead)
    {
        var start = text.IndexOf(from, StringComparison.Ordinal);
        var end = start < 0 ? -1 : text.IndexOf(to, start + from.Length, StringComparison.Ordinal);
        return end < 0 ? text : string.Concat(text.AsSpan(0, start), instead, text.AsSpan(end + to.Length));
    }
}
