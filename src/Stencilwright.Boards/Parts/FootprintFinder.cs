using System.Collections.Immutable;

namespace Stencilwright.Boards.Parts;

/// <summary>Tells from the arrangement of openings alone which of them serve one part, and what kind of part it is.</summary>
/// <remarks>
/// Most paste layers name nothing. Where openings carry a component from the artwork's attributes that grouping is taken and only
/// the kind is told. See docs/algorithms/footprints.md for the method, its limits and what was measured.
/// </remarks>
public static class FootprintFinder
{
    /// <summary>Finds the parts of one side. Each opening belongs to exactly one.</summary>
    /// <param name="paste">The openings, in board coordinates.</param>
    public static PartList Find(PasteLayer paste)
    {
        ArgumentNullException.ThrowIfNull(paste);
        var openings = paste.Openings;
        var pads = new Pad[openings.Length];
        for (var i = 0; i < pads.Length; i++)
        {
            pads[i] = Pad.Of(openings[i]);
        }

        var (unnamed, named) = ByName(openings);
        var parts = new List<BoardPart>();
        Geometric(pads, unnamed, parts);
        foreach (var (reference, group) in named)
        {
            parts.Add(GroupJudge.Judge(pads, group) with { Reference = reference });
        }

        parts.Sort((a, b) => a.Pads[0].Index.CompareTo(b.Pads[0].Index));
        for (var i = 0; i < parts.Count; i++)
        {
            parts[i] = WithPins(parts[i], openings);
        }

        return new PartList([.. parts], PartFindings.Of(parts));
    }

    /// <summary>Parts among some of the pads by arrangement alone.</summary>
    internal static List<Draft> Drafts(Pad[] pads)
    {
        var drafts = new List<Draft>();
        if (pads.Length == 0)
        {
            return drafts;
        }

        var field = new PadField(pads);
        var rows = RowFinder.Find(field);
        QuadFinder.Find(field, rows, drafts);
        GridFinder.Find(field, drafts);
        DualFinder.Find(field, rows, drafts);
        PartialRowFinder.Find(field, rows, drafts);
        new TripleFinder(field).Find(drafts);
        var habits = LandHabits.Learn(field);
        new FourFinder(field, habits).Find(drafts);
        ChipFinder.Find(field, drafts, habits, onlyUsual: true);
        new ConnectorFinder(field).Find(rows, drafts);
        ChipFinder.Find(field, drafts, habits, onlyUsual: false);
        Leftovers.Claim(field, drafts);
        Doubts.Spread(pads, drafts);
        return drafts;
    }

    internal static BoardPart Part(Draft draft, IReadOnlyList<int> indices) => new()
    {
        Class = draft.Class,
        SizeImperial = draft.Size?.Imperial,
        SizeMetric = draft.Size?.Metric,
        PitchMm = draft.PitchMm is { } pitch ? Math.Round(pitch, 4) : null,
        Center = draft.Center,
        RotationDeg = draft.RotationDeg,
        Confidence = Math.Round(draft.Confidence, 3),
        Pads = [.. draft.Pads.Select(p => new PartPad(indices[p.Pad], p.Function, null)).OrderBy(p => p.Index)],
        Why = draft.Why,
    };

    private static void Geometric(Pad[] pads, List<int> members, List<BoardPart> parts)
    {
        // In order of place, so that ties fall the same way however the artwork orders its openings.
        members.Sort((a, b) => (pads[a].At.X, pads[a].At.Y, a).CompareTo((pads[b].At.X, pads[b].At.Y, b)));
        var own = new Pad[members.Count];
        for (var k = 0; k < own.Length; k++)
        {
            own[k] = pads[members[k]];
        }

        foreach (var draft in Drafts(own))
        {
            parts.Add(Part(draft, members));
        }
    }

    private static (List<int> Unnamed, List<(string Reference, List<int> Members)> Named) ByName(ImmutableArray<PasteOpening> openings)
    {
        var unnamed = new List<int>();
        var named = new List<(string Reference, List<int> Members)>();
        var at = new Dictionary<string, int>(StringComparer.Ordinal);
        for (var i = 0; i < openings.Length; i++)
        {
            if (openings[i].Component is not { Length: > 0 } component)
            {
                unnamed.Add(i);
            }
            else if (at.TryGetValue(component, out var k))
            {
                named[k].Members.Add(i);
            }
            else
            {
                at.Add(component, named.Count);
                named.Add((component, [i]));
            }
        }

        return (unnamed, named);
    }

    private static BoardPart WithPins(BoardPart part, ImmutableArray<PasteOpening> openings)
    {
        foreach (var pad in part.Pads)
        {
            if (openings[pad.Index].Pin is not null)
            {
                return part with { Pads = [.. part.Pads.Select(p => p with { Pin = openings[p.Index].Pin })] };
            }
        }

        return part;
    }
}
