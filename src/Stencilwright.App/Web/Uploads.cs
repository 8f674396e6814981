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
        var names = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        var done = 0L;
        foreach (var file in files)
        {
            var bytes = new byte[file.Size];
            await using var stream = file.OpenReadStream(MostBytes, cancellation);
            await stream.ReadExactlyAsync(bytes, cancellation);
            taken.Add((Unique(Bare(file.Name), names), bytes));
            done += file.Size;
            progress?.Report(total == 0 ? 1 : (double)done / total);
        }

        return (store.Create(TitleOf(taken), taken), "");
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

    private static string TitleOf(List<(string Name, ReadOnlyMemory<byte>)> files)
    {
        var first = Path.GetFileNameWithoutExtension(files[0].Name);
        if (files.Count == 1)
        {
            return first;
        }

        // What the names of a board's layers have in common is the board's.
        var common = files.Select(f => f.Name).Aggregate((a, b) => a[..a.Zip(b).TakeWhile(p => p.First == p.Second).Count()]).TrimEnd('-', '_', '.', ' ');
        return common.Length >= 3 ? common : first;
    }
}
