using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Some parts or a rectangle of a side, for a small stencil.</summary>
public static class PartSelection
{
    /// <summary>Keeps the openings of named parts.</summary>
    /// <param name="paste">All openings of the side.</param>
    /// <param name="parts">Their parts.</param>
    /// <param name="references">Reference designators, in any case.</param>
    public static (PasteLayer Paste, PartList Parts) Named(PasteLayer paste, PartList parts, IReadOnlySet<string> references)
    {
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(parts);
        ArgumentNullException.ThrowIfNull(references);
        var keep = new bool[paste.Openings.Length];
        for (var i = 0; i < keep.Length; i++)
        {
            keep[i] = paste.Openings[i].Component is { } name && references.Contains(name.ToUpperInvariant());
        }

        foreach (var part in parts.Parts)
        {
            if (part.Reference is { } name && references.Contains(name.ToUpperInvariant()))
            {
                foreach (var pad in part.Pads)
                {
                    keep[pad.Index] = true;
                }
            }
        }

        return Keep(paste, parts, keep);
    }

    /// <summary>Keeps the openings whose middle lies in a box, board coordinates.</summary>
    public static (PasteLayer Paste, PartList Parts) Inside(PasteLayer paste, PartList parts, Bounds2 box)
    {
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(parts);
        return Keep(paste, parts, [.. paste.Openings.Select(o => box.Contains(o.Shape.Bounds.Center))]);
    }

    private static (PasteLayer Paste, PartList Parts) Keep(PasteLayer paste, PartList parts, bool[] keep)
    {
        var moved = new int[keep.Length];
        var openings = ImmutableArray.CreateBuilder<PasteOpening>();
        for (var i = 0; i < keep.Length; i++)
        {
            moved[i] = keep[i] ? openings.Count : -1;
            if (keep[i])
            {
                openings.Add(paste.Openings[i]);
            }
        }

        var kept = parts.Parts
            .Select(p => p with { Pads = [.. p.Pads.Where(d => moved[d.Index] >= 0).Select(d => d with { Index = moved[d.Index] })] })
            .Where(p => !p.Pads.IsEmpty);
        return (paste with { Openings = openings.ToImmutable() }, parts with { Parts = [.. kept] });
    }
}
