namespace Stencilwright.App.Web;

/// <summary>Statements of the program in the words of the pages: what a command line offers as a remedy has its place on a page.</summary>
internal static class PlainWords
{
    private const string NoRules = "; --set aperture_rules=none leaves them as the artwork has them";

    /// <summary>The message with remedies of the command line named as a page names them.</summary>
    /// <param name="message">Message of a finding or a diagnostic.</param>
    public static string Of(string message)
    {
        if (!message.Contains("--", StringComparison.Ordinal))
        {
            return message;
        }

        var text = message.Replace(NoRules, "; “none” under Aperture rules on the page Openings leaves them as the artwork has them", StringComparison.Ordinal);
        text = text.Replace("name it with --role FILE=outline", "give its file the role outline on the page Artwork", StringComparison.Ordinal);
        text = Remedy(text, "use --role \"", "\"", "give it its role on the page Artwork");
        text = text.Replace("give it its role on the page Artwork or another role", "give it its role on the page Artwork", StringComparison.Ordinal);
        return text.Replace("--set ", "the setting ", StringComparison.Ordinal);
    }

    private static string Remedy(string text, string from, string to, string instead)
    {
        var start = text.IndexOf(from, StringComparison.Ordinal);
        var end = start < 0 ? -1 : text.IndexOf(to, start + from.Length, StringComparison.Ordinal);
        return end < 0 ? text : string.Concat(text.AsSpan(0, start), instead, text.AsSpan(end + to.Length));
    }
}
