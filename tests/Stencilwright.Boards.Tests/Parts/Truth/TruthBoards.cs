using Stencilwright.Artwork;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Testing;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>A part as it is known to be.</summary>
/// <param name="Name">Reference, or a running name.</param>
/// <param name="Openings">Its openings, ascending.</param>
/// <param name="Class">Its kind; null when nobody could say.</param>
/// <param name="Size">Its size code, imperial; empty when it has none; null when nobody could say.</param>
public sealed record TruthPart(string Name, int[] Openings, PartClass? Class, string? Size);

/// <summary>A paste layer whose openings name nothing, and what they are for.</summary>
public sealed record TruthBoard(string Name, PasteLayer Paste, IReadOnlyList<TruthPart> Parts);

/// <summary>Boards whose parts are known from attributes in their artwork, with kinds written down by a person (truth.txt).</summary>
public static class TruthBoards
{
    /// <summary>The project's own samples.</summary>
    public static IEnumerable<TruthBoard> Samples() => SampleLayers().Select(s => Named(s.Name, s.Paste));

    /// <summary>The samples' paste layers with the names that their artwork gives.</summary>
    public static IEnumerable<(string Name, PasteLayer Paste)> SampleLayers() =>
    [
        ("blinky", Sample("blinky", "blinky-top-paste.gbr")),
        ("dense", Sample("dense", "dense-top-paste.gbr")),
        ("twoside-top", Sample("twoside", "twoside-top-paste.gbr")),
        ("twoside-bottom", Sample("twoside", "twoside-bottom-paste.gbr")),
    ];

    /// <summary>Boards that others made; nothing when they are not there.</summary>
    public static IEnumerable<TruthBoard> Real() => RealBoards.Folder is null ? [] :
    [
        Named("page-frame", Real("page-frame", "esp-rust-board-F_Paste.gbr", "esp-rust-board-Edge_Cuts.gbr")),
        Named("paired-svg", Real("paired-svg", "icezum-F.Paste.gbr", "icezum-Edge.Cuts.gbr")),
    ];

    /// <summary>A layer of a real board, sorted with its outline.</summary>
    public static PasteLayer Real(string folder, string paste, string? outline)
    {
        var root = Path.Combine(RealBoards.Folder!, folder);
        var image = Read(Path.Combine(root, paste));
        var edge = outline is null ? null : OutlineFinder.Find(Read(Path.Combine(root, outline)), [image]).Outline;
        return PasteSorter.Sort(image, edge);
    }

    /// <summary>The same layer as if its artwork named nothing.</summary>
    public static PasteLayer WithoutNames(PasteLayer paste) =>
        paste with { Openings = [.. paste.Openings.Select(o => o with { Component = null, Pin = null })] };

    private static TruthBoard Named(string name, PasteLayer paste)
    {
        var known = Lines(name);
        var parts = paste.Openings
            .Select((o, i) => (o.Component, Index: i))
            .Where(o => o.Component is not null)
            .GroupBy(o => o.Component!, StringComparer.Ordinal)
            .Select(g =>
            {
                var line = known.FirstOrDefault(k => Matches(k.Pattern, g.Key));
                return new TruthPart(g.Key, [.. g.Select(o => o.Index)], line.Class, line.Pattern is null ? null : line.Size);
            });
        return new(name, WithoutNames(paste), [.. parts]);
    }

    private static bool Matches(string pattern, string reference) => pattern.EndsWith('*')
        ? reference.StartsWith(pattern[..^1], StringComparison.Ordinal)
        : pattern == reference;

    private static List<(string Pattern, PartClass? Class, string Size)> Lines(string board)
    {
        var path = Path.Combine(RealBoards.CheckoutRoot, "tests", "Stencilwright.Boards.Tests", "Parts", "Truth", "truth.txt");
        var lines = new List<(string, PartClass?, string)>();
        foreach (var line in File.ReadLines(path))
        {
            var words = line.Split(' ', StringSplitOptions.RemoveEmptyEntries);
            if (words.Length >= 3 && words[0] == board)
            {
                foreach (var pattern in words[1].Split(','))
                {
                    lines.Add((pattern, words[2] == "?" ? null : Enum.Parse<PartClass>(words[2]), words.Length > 3 ? words[3] : ""));
                }
            }
        }

        return lines;
    }

    private static PasteLayer Sample(string folder, string paste) => PasteSorter.Sort(Read(Path.Combine(RealBoards.CheckoutRoot, "samples", folder, paste)), null);

    private static LayerImage Read(string path)
    {
        var source = new SourceText(Path.GetFileName(path), File.ReadAllBytes(path));
        var document = GerberReader.Read(source, ReadLimits.Default, default).Value!;
        return GerberImage.Compose(document, ReadLimits.Default, default).Value!;
    }
}
