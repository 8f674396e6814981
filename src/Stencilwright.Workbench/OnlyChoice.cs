using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Workbench;

/// <summary>Which part of a board a small stencil is for: some parts by name, or a rectangle of board coordinates.</summary>
public sealed record OnlyChoice
{
    private OnlyChoice()
    {
    }

    /// <summary>Reference designators in capitals; empty when a rectangle was given.</summary>
    public ImmutableSortedSet<string> References { get; private init; } = [];

    /// <summary>The rectangle, millimetres; null when parts were named.</summary>
    public Bounds2? Box { get; private init; }

    /// <summary>Reads <c>U3,C12</c>, or <c>x0,y0,x1,y1</c> with lengths that may name a unit.</summary>
    /// <returns>Null when the text is neither.</returns>
    public static OnlyChoice? Parse(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        var items = text.Split(',', StringSplitOptions.TrimEntries);
        if (items.Length == 0 || items.Any(i => i.Length == 0))
        {
            return null;
        }

        if (!Lengths.TryParse(items[0], out _))
        {
            return new() { References = [.. items.Select(i => i.ToUpperInvariant())] };
        }

        var sides = new double[4];
        if (items.Length != 4)
        {
            return null;
        }

        for (var i = 0; i < 4; i++)
        {
            if (!Lengths.TryParse(items[i], out sides[i]))
            {
                return null;
            }
        }

        return new()
        {
            Box = new(Math.Min(sides[0], sides[2]), Math.Min(sides[1], sides[3]), Math.Max(sides[0], sides[2]), Math.Max(sides[1], sides[3])),
        };
    }

    /// <summary>What of a side is chosen.</summary>
    internal (PasteLayer Paste, PartList Parts) Of(PasteLayer paste, PartList parts) =>
        Box is { } box ? PartSelection.Inside(paste, parts, box) : PartSelection.Named(paste, parts, References);
}
