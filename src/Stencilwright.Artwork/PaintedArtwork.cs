using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork;

/// <summary>A layer's objects before their painting is carried out: enough to ask what lies here or there, far cheaper than a whole image.</summary>
/// <param name="Source">The file.</param>
/// <param name="Objects">Everything painted, in order, in board coordinates (millimetres, y up).</param>
/// <param name="FileAttributes">File attributes by name with the leading dot.</param>
public sealed record PaintedArtwork(
    SourceText Source, ImmutableArray<PaintedObject> Objects, ImmutableSortedDictionary<string, ImmutableArray<string>> FileAttributes);
