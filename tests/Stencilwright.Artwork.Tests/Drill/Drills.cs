using System.Text;
using Stencilwright.Artwork.Drill;
using Stencilwright.Foundation;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Artwork.Tests.Drill;

/// <summary>Short ways to read drill text in tests.</summary>
internal static class Drills
{
    public static Outcome<DrillDocument> Read(string text, DrillHints? hints = null, ReadLimits? limits = null) =>
        Read(Encoding.UTF8.GetBytes(text), hints, limits);

    public static Outcome<DrillDocument> Read(byte[] bytes, DrillHints? hints = null, ReadLimits? limits = null) =>
        DrillReader.Read(new SourceText("board.drl", bytes), limits ?? ReadLimits.Default, TestContext.Current.CancellationToken, hints);

    /// <summary>The document of a file that must read without a word.</summary>
    public static DrillDocument Clean(string text)
    {
        var outcome = Read(text);
        Assert.Empty(outcome.Diagnostics);
        return outcome.Value!;
    }

    /// <summary>One of the real boards' files.</summary>
    public static Outcome<DrillDocument> Real(string file, DrillHints? hints = null) =>
        Read(File.ReadAllBytes(Path.Combine(RealBoards.Folder!, file)), hints);

    public static LayerImage Image(DrillDocument document)
    {
        var composed = DrillImage.Compose(document, ReadLimits.Default, TestContext.Current.CancellationToken);
        Assert.Empty(composed.Diagnostics);
        return composed.Value!;
    }

    public static string[] Codes<T>(Outcome<T> outcome)
        where T : class => [.. outcome.Diagnostics.Select(d => d.Code)];

    /// <summary>Centres in micrometres, rounded, in the order of the file.</summary>
    public static string Places(DrillDocument document) =>
        string.Join(' ', document.Items.Select(i => FormattableString.Invariant($"{Math.Round(i.At.X * 1000)},{Math.Round(i.At.Y * 1000)}")));
}
