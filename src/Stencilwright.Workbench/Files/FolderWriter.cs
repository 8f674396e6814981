using System.Collections.Immutable;
using System.Security;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Files;

/// <summary>Writes a job's files so that each is complete or absent, and an existing file is kept unless its successor is complete.</summary>
/// <remarks>
/// Every file is first written beside its target under a temporary name and flushed to the disk; only when all of them are
/// complete are they renamed into place, which the file system does in one step each. What they replace is copied aside
/// before the first is renamed, and put back when one cannot be. Files that are not part of the job are never touched: a laser file left from a former run may be the only copy of what somebody means to cut.
/// </remarks>
public static class FolderWriter
{
    private const string TemporarySuffix = ".stencilwright-part";
    private const string KeptSuffix = ".stencilwright-kept";

    /// <summary>Writes all files, or none.</summary>
    /// <param name="directory">Made when it does not exist.</param>
    /// <param name="files">Paths below the directory with <c>/</c> between folders, and bytes.</param>
    /// <returns>Empty when everything is in place; otherwise one error that says what to do.</returns>
    /// <exception cref="ArgumentException">A path is absolute or leaves the directory.</exception>
    public static ImmutableArray<Diagnostic> WriteAll(string directory, IReadOnlyList<(string RelativePath, byte[] Bytes)> files) =>
        WriteAll(directory, files, static path => new FileStream(path, FileMode.Create, FileAccess.Write, FileShare.None));

    internal static ImmutableArray<Diagnostic> WriteAll(
        string directory, IReadOnlyList<(string RelativePath, byte[] Bytes)> files, Func<string, Stream> create)
    {
        ArgumentException.ThrowIfNullOrEmpty(directory);
        ArgumentNullException.ThrowIfNull(files);
        var targets = files.Select(f => Target(directory, f.RelativePath)).ToArray();
        var undo = new Undo();
        var at = directory;
        try
        {
            undo.MakeDirectory(directory);
            for (var i = 0; i < targets.Length; i++)
            {
                at = targets[i];
                undo.MakeDirectory(Path.GetDirectoryName(at)!);
                if (Directory.Exists(at))
                {
                    throw new IOException("a folder of that name is in the way");
                }

                WriteOne(undo, at + TemporarySuffix, files[i].Bytes, create);
            }

            for (var i = 0; i < targets.Length; i++)
            {
                at = targets[i];
                undo.Keep(at);
            }

            for (var i = 0; i < targets.Length; i++)
            {
                at = targets[i];
                File.Move(at + TemporarySuffix, at, overwrite: true);
                undo.Moved(at);
            }

            undo.Forget();
            return [];
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or SecurityException or NotSupportedException)
        {
            var lost = undo.Run();
            return [new Diagnostic("PKG090", Severity.Error, Sentence(failure, at == directory ? at : Path.GetDirectoryName(at), lost), SourcePlace.Whole(at))];
        }
    }

    /// <summary>Names, of those given, that exist in the directory although this run did not write them.</summary>
    /// <param name="directory">Where the job was written.</param>
    /// <param name="possible">Paths that some run of the program writes.</param>
    /// <param name="written">Paths that this run wrote.</param>
    public static ImmutableArray<string> LeftFromBefore(string directory, IEnumerable<string> possible, IEnumerable<string> written)
    {
        var now = written.ToHashSet(StringComparer.Ordinal);
        return [.. possible.Where(p => !now.Contains(p) && File.Exists(Target(directory, p)))];
    }

    private static void WriteOne(Undo undo, string temporary, byte[] bytes, Func<string, Stream> create)
    {
        undo.Temporary(temporary);
        using var stream = create(temporary);
        stream.Write(bytes);
        if (stream is FileStream file)
        {
            file.Flush(flushToDisk: true);
        }
    }

    private static string Target(string directory, string relativePath)
    {
        var parts = relativePath.Split('/');
        if (parts.Any(p => p is "" or "." or "..") || Path.IsPathRooted(relativePath) || relativePath.Contains('\\', StringComparison.Ordinal))
        {
            throw new ArgumentException("A path must stay below the directory.", nameof(relativePath));
        }

        return Path.Combine([directory, .. parts]);
    }

    private static string Sentence(Exception failure, string? folder, string? lost)
    {
        if (lost is null && FileInTheWay(folder) is { } file)
        {
            return $"cannot be written: {file} is a file, not a folder; nothing was changed; give another folder with --out.";
        }

        var reason = failure switch
        {
            UnauthorizedAccessException => "it may not be written by you",
            _ => failure.Message.TrimEnd('.'),
        };
        return lost is null
            ? $"cannot be written: {reason}; nothing was changed; make room or give another folder with --out."
            : $"cannot be written: {reason}; the former file could not be put back and is kept as {lost}; move it back, and make room or give another folder with --out.";
    }

    // A folder is wanted where a file is, there or above.
    private static string? FileInTheWay(string? folder)
    {
        for (; !string.IsNullOrEmpty(folder); folder = Path.GetDirectoryName(folder))
        {
            if (File.Exists(folder))
            {
                return folder;
            }
        }

        return null;
    }

    // What has to be taken back when a later step fails.
    private sealed class Undo
    {
        private readonly List<string> _madeDirectories = [];
        private readonly List<string> _temporaries = [];
        private readonly HashSet<string> _kept = [];
        private readonly List<string> _moved = [];

        public void MakeDirectory(string path)
        {
            var missing = new Stack<string>();
            for (var at = path; !string.IsNullOrEmpty(at) && !Directory.Exists(at); at = Path.GetDirectoryName(at))
            {
                missing.Push(at);
            }

            foreach (var one in missing)
            {
                Directory.CreateDirectory(one);
                _madeDirectories.Add(one);
            }
        }

        public void Temporary(string path) => _temporaries.Add(path);

        /// <summary>Copies what will be replaced aside; a copy, so that the file is never missing from its place.</summary>
        public void Keep(string target)
        {
            if (new FileInfo(target).LinkTarget is not null)
            {
                // What a link leads to may be no file at all, and without an end.
                throw new IOException("it is a link to another place; remove it");
            }

            if (File.Exists(target))
            {
                _temporaries.Add(target + KeptSuffix);
                File.Copy(target, target + KeptSuffix, overwrite: true);
                _kept.Add(target);
            }
        }

        public void Moved(string target) => _moved.Add(target);

        /// <summary>All is in place: what was kept aside is no longer needed.</summary>
        public void Forget()
        {
            foreach (var target in _kept)
            {
                Quietly(() => File.Delete(target + KeptSuffix));
            }
        }

        /// <summary>Takes everything back; gives the copy of a file that could not be put back, or null.</summary>
        public string? Run()
        {
            string? lost = null;
            foreach (var target in _moved)
            {
                if (!Quietly(() => PutBack(target)) && _kept.Contains(target))
                {
                    lost ??= target + KeptSuffix;
                    _temporaries.Remove(target + KeptSuffix);
                }
            }

            foreach (var path in _temporaries)
            {
                Quietly(() => File.Delete(path));
            }

            for (var i = _madeDirectories.Count - 1; i >= 0; i--)
            {
                var made = _madeDirectories[i];
                Quietly(() => Directory.Delete(made));
            }

            return lost;
        }

        private void PutBack(string target)
        {
            if (_kept.Contains(target))
            {
                File.Move(target + KeptSuffix, target, overwrite: true);
            }
            else
            {
                File.Delete(target);
            }
        }

        // The first failure is the one to report; one while tidying up adds nothing that a person could act on.
        private static bool Quietly(Action tidy)
        {
            try
            {
                tidy();
                return true;
            }
            catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
            {
                System.Diagnostics.Debug.WriteLine(failure.Message);
                return false;
            }
        }
    }
}
