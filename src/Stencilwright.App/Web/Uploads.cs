using System.Collections.Frozen;
using System.Collections.Immutable;
using Microsoft.AspNetCore.Components.Forms;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>Takes files from a browser and makes a job of them.</summary>
internal sealed class Uploads(JobStore store, Words words)
{
    /// <summary>Bytes of all files of one upload.</summary>
    public const long MostBytes = 128L << 20;

    /// <summary>Files of one upload.</summary>
    public const int MostFiles = 200;

    private const int LongestName = 120;

    /// <summary>A job made of uploaded files, or words that say why not.</summary>
    /// <param name="files">As the browser sent them; only the last part of each name counts.</param>
    /// <param name="progress">Takes the share done.</param>
    /// <param name="cancellation">Stops it; nothing is kept then.</param>
    public async Task<(JobEntry? Job, string Wrong)> TakeAsync(IReadOnlyList<IBrowserFile> files, IProgress<double>? progress, CancellationToken cancellation)
    {
        if (files.Count == 0)
        {
            return (null, words["upload.none"]);
        }

        if (files.Count > MostFiles)
        {
            return (null, words.Format("upload.tooMany", MostFiles));
        }

        var total = files.Sum(f => f.Size);
        if (total > MostBytes)
        {
            return (null, words.Format("upload.large", MostBytes >> 20));
        }

        var taken = new List<(string, ReadOnlyMemory<byte>)>();
        var sent = files.Select(f => f.Name).ToList();
        var names = NamesOf(sent);
        var done = 0L;
        foreach (var (file, name) in files.Zip(names))
        {
            var bytes = new byte[file.Size];
            await using var stream = file.OpenReadStream(MostBytes, cancellation);
            await stream.ReadExactlyAsync(bytes, cancellation);
            taken.Add((name, bytes));
            done += file.Size;
            progress?.Report(total == 0 ? 1 : (double)done / total);
        }

        return (store.Create(TitleOf(sent, names), taken), "");
    }

    /// <summary>The last part of a name, without what file systems or shells take amiss.</summary>
    internal static string Bare(string name)
    {
        var last = name[(name.LastIndexOfAny(['/', '\\']) + 1)..];
        var safe = new string([.. last.Where(c => !IsDirection(c)).Select(c => char.IsControl(c) || c is ':' or '*' or '?' or '"' or '<' or '>' or '|' ? '_' : c)]).TrimStart('.').Trim();
        return safe.Length == 0 ? "file" : safe.Length > LongestName ? safe[^LongestName..] : safe;
    }

    /// <summary>Whether a character turns the direction of what is written after it, so that a name could pass for another.</summary>
    /// <remarks>Source: Unicode Standard Annex 9, section 2 (from memory).</remarks>
    internal static bool IsDirection(char c) => c is (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069');

    private static string Unique(string name, HashSet<string> names)
    {
        var unique = name;
        for (var i = 2; !names.Add(unique); i++)
        {
            unique = FormattableString.Invariant($"{Path.GetFileNameWithoutExtension(name)}-{i}{Path.GetExtension(name)}");
        }

        return unique;
    }

    /// <summary>Bare names for files that may come with the folders they lay in: those of the same name take their folder's in front.</summary>
    /// <param name="names">As the browser sent them.</param>
    internal static ImmutableArray<string> NamesOf(IReadOnlyList<string> names)
    {
        var bare = names.Select(Bare).ToList();
        var twice = bare.GroupBy(n => n, StringComparer.OrdinalIgnoreCase).Where(g => g.Count() > 1).Select(g => g.Key).ToHashSet(StringComparer.OrdinalIgnoreCase);
        var taken = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        return
        [
            .. names.Select((name, i) =>
            {
                var parts = name.Split('/', '\\');
                return Unique(twice.Contains(bare[i]) && parts.Length > 1 ? Bare(parts[^2] + "-" + parts[^1]) : bare[i], taken);
            }),
        ];
    }

    private static readonly FrozenSet<string> _layerWords = new[]
    {
        "TOP", "BOT", "BOTTOM", "FRONT", "BACK", "PASTE", "PAST", "CREAM", "MASK", "RESIST", "COPPER", "CU", "LAYER", "LEGEND", "SILK", "OUTLINE", "EDGE", "BOARD", "DRILL", "HOLE", "PTH", "NPTH", "PLACEMENT", "POSITION",
    }.ToFrozenSet(StringComparer.Ordinal);

    /// <summary>What a job is called at first: its folder, its only file, or what its files' names have in common.</summary>
    /// <param name="sent">Names as the browser sent them.</param>
    /// <param name="names">The same as bare names.</param>
    internal static string TitleOf(IReadOnlyList<string> sent, ImmutableArray<string> names)
    {
        var folder = sent[0].Split('/', '\\') is [var top, _, ..] ? top : "";
        if (folder.Length > 0 && sent.All(n => n.StartsWith(folder, StringComparison.Ordinal) && n.AsSpan(folder.Length) is ['/' or '\\', ..]))
        {
            return Bare(folder);
        }

        // A licence or a note beside the artwork does not name the board.
        var artwork = names.Where(n => Path.GetExtension(n).ToUpperInvariant() is not (".TXT" or ".MD" or ".PDF")).ToList();
        var telling = artwork.Count > 0 ? artwork : [.. names];
        var first = Path.GetFileNameWithoutExtension(telling[0]);
        if (telling.Count == 1)
        {
            return first;
        }

        // What the names of a board's layers have in common is the board's.
        var common = telling.Aggregate((a, b) => a[..a.Zip(b).TakeWhile(p => p.First == p.Second).Count()]).TrimEnd('-', '_', '.', ' ');
        return common.Length >= 3 ? common : telling.Select(n => Path.GetFileNameWithoutExtension(n)).FirstOrDefault(n => !IsOfLayer(n)) ?? first;
    }

    // Whether a name says no more than which layer the file is: such a title, scored into a film, would mislead.
    private static bool IsOfLayer(string name) =>
        name.Split('-', '_', '.', ' ').Any(word => _layerWords.Contains(word.TrimEnd('1', '2', '3', '4').ToUpperInvariant().TrimEnd('S')));
}
