using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Packages;

/// <summary>Reads zip packages, folders, single files and standard input into memory; nothing is ever unpacked to disk.</summary>
public static class PackageReader
{
    /// <summary>Stands for standard input among the paths.</summary>
    public const string StandardInput = "-";

    /// <summary>Reads every path into one package; never throws for what is found there.</summary>
    /// <param name="paths">Zip files, folders, single files, or <c>-</c>.</param>
    /// <param name="standardInput">What <c>-</c> reads; null when there is none.</param>
    /// <param name="limits">Bounds.</param>
    /// <param name="cancellationToken">Ends the reading early.</param>
    /// <returns>The files that could be read, and diagnostics PKG001 to PKG010; no package when not one could.</returns>
    /// <exception cref="OperationCanceledException">Asked for.</exception>
    public static Outcome<Package> Read(
        IEnumerable<string> paths, Stream? standardInput, PackageLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(paths);
        var intake = new PackageIntake(limits);
        string? name = null;
        foreach (var path in paths)
        {
            cancellationToken.ThrowIfCancellationRequested();
            name ??= NameOf(path);
            ReadPath(path, standardInput, intake, cancellationToken);
        }

        if (intake.Files.Count == 0 && !intake.HasErrors)
        {
            intake.Error("PKG010", name ?? "", "There is no file in the package; name a zip, a folder or files that hold artwork.");
        }

        var package = intake.Files.Count == 0 ? null : new Package(name ?? "", [.. intake.Files]);
        return new Outcome<Package>(package, intake.Diagnostics);
    }

    private static string NameOf(string path)
    {
        if (path == StandardInput)
        {
            return "stdin";
        }

        var bare = Path.GetFileName(path.TrimEnd('/', '\\'));
        var stem = Path.GetFileNameWithoutExtension(bare);
        return PackageIntake.Shown(stem.Length == 0 ? bare : stem);
    }

    private static void ReadPath(string path, Stream? standardInput, PackageIntake intake, CancellationToken cancellationToken)
    {
        try
        {
            if (path == StandardInput)
            {
                ReadStandardInput(standardInput, intake, cancellationToken);
            }
            else if (Directory.Exists(path))
            {
                ReadFolder(path, "", intake, 0, cancellationToken);
            }
            else if (File.Exists(path))
            {
                ReadFile(path, PackageIntake.Shown(Path.GetFileName(path)), intake, mayBePackage: true, cancellationToken);
            }
            else
            {
                intake.Error("PKG001", path, "There is no such file or folder; check the path.");
            }
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or System.Security.SecurityException)
        {
            intake.Error("PKG002", path, $"It cannot be read ({Reason(fault)}); check that it is yours to read and not in use.");
        }
    }

    private static void ReadStandardInput(Stream? standardInput, PackageIntake intake, CancellationToken cancellationToken)
    {
        const string Name = "stdin";
        if (standardInput is null)
        {
            intake.Error("PKG002", Name, "Standard input was asked for, but nothing is connected to it; pipe a file in or give a path.");
            return;
        }

        if (intake.ReadBounded(standardInput, 0, Name, cancellationToken) is not { } bytes)
        {
            return;
        }

        if (ZipIntake.IsZip(bytes.Span))
        {
            using var stream = new MemoryStream(bytes.ToArray(), writable: false);
            ZipIntake.Read(stream, Name, intake, cancellationToken);
        }
        else
        {
            intake.Add(Name, bytes);
        }
    }

    private static void ReadFolder(string folder, string prefix, PackageIntake intake, int depth, CancellationToken cancellationToken)
    {
        // Links to folders are not followed, so the depth is the disk's own; the bound is for disks that lie.
        if (depth > 64)
        {
            intake.Error("PKG007", folder, "Folders nest more than 64 deep; deeper ones were left out.");
            return;
        }

        var entries = new List<string>(Directory.EnumerateFileSystemEntries(folder));
        entries.Sort(StringComparer.Ordinal);
        foreach (var entry in entries)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var bare = Path.GetFileName(entry);
            if (bare.StartsWith('.'))
            {
                continue;
            }

            if (!intake.Count(folder))
            {
                return;
            }

            var name = prefix + PackageIntake.Shown(bare);
            try
            {
                var attributes = File.GetAttributes(entry);
                if (!attributes.HasFlag(FileAttributes.Directory))
                {
                    ReadFile(entry, name, intake, mayBePackage: false, cancellationToken);
                }
                else if (!attributes.HasFlag(FileAttributes.ReparsePoint))
                {
                    ReadFolder(entry, name + "/", intake, depth + 1, cancellationToken);
                }
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or System.Security.SecurityException)
            {
                intake.Error("PKG002", name, $"It cannot be read ({Reason(fault)}); check that it is yours to read and not in use.");
            }
        }
    }

    private static void ReadFile(string path, string name, PackageIntake intake, bool mayBePackage, CancellationToken cancellationToken)
    {
        if (new FileInfo(path).Length == 0 && !(mayBePackage && name.EndsWith(".zip", StringComparison.OrdinalIgnoreCase)))
        {
            // An empty file; or a pipe, which would never end.
            intake.Add(name, ReadOnlyMemory<byte>.Empty);
            return;
        }

        using var stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
        Span<byte> magic = stackalloc byte[4];
        var isZip = false;
        if (stream.CanSeek)
        {
            isZip = ZipIntake.IsZip(magic[..stream.ReadAtLeast(magic, 4, throwOnEndOfStream: false)]);
            stream.Position = 0;
        }

        if (isZip && mayBePackage)
        {
            ZipIntake.Read(stream, name, intake, cancellationToken);
        }
        else if (isZip)
        {
            intake.NestedZip(name);
        }
        else if (mayBePackage && name.EndsWith(".zip", StringComparison.OrdinalIgnoreCase))
        {
            intake.Error("PKG003", name, "It is named as a zip but its content is none; it may be damaged or only partly downloaded. Fetch it again.");
        }
        else if (intake.ReadBounded(stream, stream.CanSeek ? stream.Length : 0, name, cancellationToken) is { } bytes)
        {
            intake.Add(name, bytes);
        }
    }

    private static string Reason(Exception fault) => fault switch
    {
        UnauthorizedAccessException or System.Security.SecurityException => "permission was refused",
        FileNotFoundException or DirectoryNotFoundException => "it went away",
        PathTooLongException => "its path is too long",
        _ => "the disk reported a fault",
    };
}

/// <summary>Collects files within the bounds.</summary>
internal sealed class PackageIntake(PackageLimits limits)
{
    private readonly ImmutableArray<Diagnostic>.Builder _diagnostics = ImmutableArray.CreateBuilder<Diagnostic>();
    private readonly HashSet<string> _names = new(StringComparer.OrdinalIgnoreCase);
    private long _bytes;
    private int _entries;
    private bool _isFull;

    /// <summary>What has been read.</summary>
    public List<PackageFile> Files { get; } = [];

    /// <summary>True when something was refused or could not be read.</summary>
    public bool HasErrors { get; private set; }

    /// <summary>The bounds.</summary>
    public PackageLimits Limits => limits;

    /// <summary>What there is to say.</summary>
    public ImmutableArray<Diagnostic> Diagnostics => _diagnostics.ToImmutable();

    /// <summary>A name as it may be shown: control characters, which could forge lines of output, and those that turn the direction of what follows, so that a name passes for another, are replaced.</summary>
    public static string Shown(string name)
    {
        if (!name.AsSpan().ContainsAnyInRange('\0', '\u001F') && !name.AsSpan().ContainsAnyInRange('\u007F', '\u009F')
            && !name.AsSpan().ContainsAnyInRange('\u202A', '\u202E') && !name.AsSpan().ContainsAnyInRange('\u2066', '\u2069'))
        {
            return name;
        }

        return string.Create(name.Length, name, static (shown, from) =>
        {
            for (var i = 0; i < shown.Length; i++)
            {
                shown[i] = char.IsControl(from[i]) || from[i] is (>= '\u202A' and <= '\u202E') or (>= '\u2066' and <= '\u2069') ? '\uFFFD' : from[i];
            }
        });
    }

    public void Error(string code, string name, string message)
    {
        HasErrors = true;
        _diagnostics.Add(new Diagnostic(code, Severity.Error, message, SourcePlace.Whole(Shown(name))));
    }

    public void NestedZip(string name) => _diagnostics.Add(new Diagnostic(
        "PKG009", Severity.Note, "A zip inside the package was not opened; unpack it and give it by itself if it holds artwork.", SourcePlace.Whole(Shown(name))));

    /// <summary>Counts an entry.</summary>
    /// <returns>False when there are too many, which is said once.</returns>
    public bool Count(string name)
    {
        if (++_entries > limits.MaxEntries)
        {
            Full(name, string.Create(CultureInfo.InvariantCulture, $"It holds more than {limits.MaxEntries} files and folders; the rest was not read. Give only the files of this board."));
        }

        return !_isFull;
    }

    /// <summary>Takes a file in; a name that is there already is reported and passed over.</summary>
    public void Add(string name, ReadOnlyMemory<byte> bytes)
    {
        if (!_names.Add(name))
        {
            _diagnostics.Add(new Diagnostic("PKG008", Severity.Warning, "There are two files of this name; the first was taken. Rename one of them.", SourcePlace.Whole(name)));
            return;
        }

        Files.Add(new PackageFile(name, new SourceText(name, bytes)));
    }

    /// <summary>Reads a stream to its end; null, and said why, when a bound is met.</summary>
    /// <param name="stream">What to read.</param>
    /// <param name="expected">Its likely length, which is not relied on.</param>
    /// <param name="name">For messages.</param>
    /// <param name="cancellationToken">Ends the reading early.</param>
    public ReadOnlyMemory<byte>? ReadBounded(Stream stream, long expected, string name, CancellationToken cancellationToken)
    {
        if (_isFull)
        {
            return null;
        }

        var room = Math.Min(limits.MaxFileBytes, limits.MaxTotalBytes - _bytes);
        var kept = new MemoryStream((int)Math.Clamp(expected, 0, Math.Min(room, 1L << 20)));
        var block = new byte[64 * 1024];
        int count;
        while ((count = stream.Read(block, 0, block.Length)) > 0)
        {
            cancellationToken.ThrowIfCancellationRequested();
            kept.Write(block, 0, count);
            if (kept.Length > room)
            {
                TooLarge(name, kept.Length);
                return null;
            }
        }

        _bytes += kept.Length;
        return new ReadOnlyMemory<byte>(kept.GetBuffer(), 0, (int)kept.Length);
    }

    private void TooLarge(string name, long length)
    {
        if (length > limits.MaxFileBytes)
        {
            Error("PKG007", name, string.Create(CultureInfo.InvariantCulture, $"It is larger than {limits.MaxFileBytes >> 20} MB and was not read; a layer is never that large."));
        }
        else
        {
            Full(name, string.Create(CultureInfo.InvariantCulture, $"The files together are larger than {limits.MaxTotalBytes >> 20} MB; the rest was not read. Give only the files of this board."));
        }
    }

    private void Full(string name, string message)
    {
        if (!_isFull)
        {
            _isFull = true;
            Error("PKG007", name, message);
        }
    }
}
