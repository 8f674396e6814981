using System.Collections.Immutable;
using System.IO.Compression;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web;

/// <summary>Invented boards that come with the program, for a first look.</summary>
internal sealed class Samples(JobStore store)
{
    private static readonly ImmutableSortedDictionary<string, ImmutableArray<string>> _resources = Find();

    /// <summary>Their names.</summary>
    public static ImmutableArray<string> Names { get; } = [.. _resources.Keys];

    /// <summary>Makes a job of one.</summary>
    public JobEntry Open(string name) => store.Create(name, [.. _resources[name].Select(r => (r[(r.LastIndexOf('/') + 1)..], (ReadOnlyMemory<byte>)Read(r)))]);

    /// <summary>The files of one in a zip.</summary>
    public static byte[] Package(string name)
    {
        using var bytes = new MemoryStream();
        using (var zip = new ZipArchive(bytes, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var resource in _resources[name])
            {
                using var entry = zip.CreateEntry(resource[(resource.LastIndexOf('/') + 1)..], CompressionLevel.NoCompression).Open();
                entry.Write(Read(resource));
            }
        }

        return bytes.ToArray();
    }

    // Resources are named samples/NAME/FILE.
    private static ImmutableSortedDictionary<string, ImmutableArray<string>> Find() => typeof(Samples).Assembly.GetManifestResourceNames()
        .Where(n => n.StartsWith("samples/", StringComparison.Ordinal))
        .GroupBy(n => n.Split('/')[1])
        .ToImmutableSortedDictionary(g => g.Key, g => g.Order(StringComparer.Ordinal).ToImmutableArray(), StringComparer.Ordinal);

    private static byte[] Read(string resource)
    {
        using var stream = typeof(Samples).Assembly.GetManifestResourceStream(resource)!;
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return bytes;
    }
}
