using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench.Packages;

/// <summary>A file of a package.</summary>
/// <param name="Name">Its name inside the package with forward slashes, or its bare name when it was given alone.</param>
/// <param name="Source">Its bytes, under the same name.</param>
public sealed record PackageFile(string Name, SourceText Source);

/// <summary>The files that belong to one board.</summary>
/// <param name="Name">Name of the zip, folder or first file, without its extension.</param>
/// <param name="Files">In ordinal order of their names within each path, paths in the order given.</param>
public sealed record Package(string Name, ImmutableArray<PackageFile> Files);

/// <summary>Bounds on a package, so that a hostile one ends in a message.</summary>
public readonly record struct PackageLimits()
{
    /// <summary>The bounds used when nobody says otherwise.</summary>
    public static PackageLimits Default { get; } = new();

    /// <summary>Files and folders in the package.</summary>
    public int MaxEntries { get; init; } = 5_000;

    /// <summary>Bytes of one file, unpacked.</summary>
    public long MaxFileBytes { get; init; } = 256L << 20;

    /// <summary>Bytes of all files, unpacked.</summary>
    public long MaxTotalBytes { get; init; } = 512L << 20;

    /// <summary>Largest ratio of unpacked to packed size for a file of more than <see cref="RatioFreeBytes"/>.</summary>
    public int MaxRatio { get; init; } = 200;

    /// <summary>Up to this size any ratio is harmless.</summary>
    public long RatioFreeBytes { get; init; } = 16L << 20;
}
