using System.Text.RegularExpressions;
using Stencilwright.App.Web;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Web.Tests;

/// <summary>Every text stands in one file, and nothing else does.</summary>
public sealed partial class WordsTests
{
    private static string Web => Path.Combine(RealBoards.CheckoutRoot, "src", "Stencilwright.App", "Web");

    [Fact]
    public void Every_key_that_a_page_uses_is_there()
    {
        var missing = Sources().SelectMany(f => Used().Matches(File.ReadAllText(f)).Select(m => (File: Path.GetFileName(f), Key: m.Groups[2].Value, Count: m.Groups[1].Value.EndsWith("Count(", StringComparison.Ordinal))))
            .Where(u => u.Count ? !Words.English.Keys.Contains(u.Key + ".many") || !Words.English.Keys.Contains(u.Key + ".one") : !Words.English.Keys.Contains(u.Key));
        Assert.Empty(missing);
    }

    [Fact]
    public void Every_text_is_used()
    {
        var all = string.Concat(Sources().Select(File.ReadAllText));
        // Keys made at run time begin with a literal part: "role." + role, $"cut.file-{name}".
        var made = Made().Matches(all).Select(m => m.Groups[1].Value).ToList();
        var unused = Words.English.Keys.Where(k =>
            !all.Contains('"' + Stem(k) + '"', StringComparison.Ordinal) && !made.Exists(m => k.StartsWith(m, StringComparison.Ordinal)));
        Assert.Empty(unused);
    }

    [Fact]
    public void Pages_hold_no_style_or_script_of_their_own()
    {
        // A strict content policy refuses them, and the page would silently look or act otherwise.
        Assert.Empty(Sources().Where(f => f.EndsWith(".razor", StringComparison.Ordinal) && Inline().IsMatch(File.ReadAllText(f))).Select(Path.GetFileName));
    }

    private static string Stem(string key) => key.EndsWith(".one", StringComparison.Ordinal) ? key[..^4] : key.EndsWith(".many", StringComparison.Ordinal) ? key[..^5] : key;

    private static IEnumerable<string> Sources() =>
        Directory.EnumerateFiles(Web, "*", SearchOption.AllDirectories).Where(f => Path.GetExtension(f) is ".razor" or ".cs").Order(StringComparer.Ordinal);

    [GeneratedRegex("""\b(?:W|words)(\[|\.Format\(|\.Count\(|Count\()"([A-Za-z]+\.[A-Za-z.0-9-]+[A-Za-z0-9])"[\],)]""")]
    private static partial Regex Used();

    [GeneratedRegex("""\$?"([A-Za-z]+\.[A-Za-z.-]*)(?:"\s*\+|\{|"\s*,\s*"[.-])""")]
    private static partial Regex Made();

    [GeneratedRegex("""\sstyle=|<style|<script(?! src| type="module" src)|\son[a-z]+="(?!@)""")]
    private static partial Regex Inline();
}
