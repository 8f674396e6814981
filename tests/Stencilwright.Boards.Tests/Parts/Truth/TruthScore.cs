using System.Globalization;
using Stencilwright.Boards.Parts;

namespace Stencilwright.Boards.Tests.Parts;

/// <summary>How well parts found agree with parts known.</summary>
public sealed class TruthScore
{
    private readonly List<string> _wrong = [];
    private readonly SortedDictionary<string, int> _missed = new(StringComparer.Ordinal);

    /// <summary>Parts known.</summary>
    public int Known { get; private set; }

    /// <summary>Of these, found with exactly their openings.</summary>
    public int Grouped { get; private set; }

    /// <summary>Parts known whose kind is known too.</summary>
    public int KnownClass { get; private set; }

    /// <summary>Of these, found with exactly their openings and their kind.</summary>
    public int Classed { get; private set; }

    /// <summary>Chips of known size.</summary>
    public int KnownSize { get; private set; }

    /// <summary>Of these, found with their size code.</summary>
    public int Sized { get; private set; }

    /// <summary>Size codes said.</summary>
    public int SaidSize { get; private set; }

    /// <summary>Of these, right.</summary>
    public int RightSize { get; private set; }

    /// <summary>Parts found.</summary>
    public int Found { get; private set; }

    /// <summary>Parts found and said to be sure.</summary>
    public int Sure { get; private set; }

    /// <summary>Of these, with exactly the openings of a part known, and its kind where that is known.</summary>
    public int RightSure { get; private set; }

    /// <summary>What was said to be sure and is wrong, and size codes that are wrong.</summary>
    public IReadOnlyList<string> Wrong => _wrong;

    /// <summary>Parts not found with exactly their openings, by the first word of their names.</summary>
    public string Missed => string.Join(", ", _missed.OrderByDescending(m => m.Value).Take(12).Select(m => $"{m.Key} {m.Value}"));

    /// <summary>Adds a board.</summary>
    public TruthScore Add(TruthBoard board, PartList list)
    {
        var byFirst = board.Parts.ToDictionary(p => p.Openings[0]);
        var partOf = board.Parts.SelectMany(p => p.Openings.Select(o => (o, p.Name))).ToDictionary(x => x.o, x => x.Name);
        Known += board.Parts.Count;
        KnownClass += board.Parts.Count(p => p.Class is not null);
        KnownSize += board.Parts.Count(p => p is { Class: PartClass.Chip, Size.Length: > 0 });
        var found = list.Parts.ToDictionary(p => p.Pads[0].Index);
        foreach (var truth in board.Parts)
        {
            if (!found.TryGetValue(truth.Openings[0], out var part) || !truth.Openings.SequenceEqual(part.Pads.Select(p => p.Index)))
            {
                var word = truth.Name.Split('#', '-')[0];
                _missed[word] = _missed.GetValueOrDefault(word) + 1;
            }
        }

        foreach (var part in list.Parts)
        {
            // Openings that no truth speaks of are left out of the count.
            if (!part.Pads.Any(p => partOf.ContainsKey(p.Index)))
            {
                continue;
            }

            var truth = byFirst.GetValueOrDefault(part.Pads[0].Index);
            var isGroup = truth is not null && truth.Openings.SequenceEqual(part.Pads.Select(p => p.Index));
            var isClass = isGroup && (truth!.Class is null || truth.Class == part.Class);
            Found++;
            Grouped += isGroup ? 1 : 0;
            Classed += isGroup && truth!.Class == part.Class ? 1 : 0;
            if (part.Confidence >= BoardPart.SureFrom)
            {
                Sure++;
                RightSure += isClass ? 1 : 0;
                if (!isClass)
                {
                    var names = string.Join(' ', part.Pads.Select(p => partOf.GetValueOrDefault(p.Index, "-")).Distinct().Order(StringComparer.Ordinal));
                    _wrong.Add(string.Create(CultureInfo.InvariantCulture, $"{board.Name} {part.Class} {part.Confidence:0.00} at ({part.Center.X:0.00}, {part.Center.Y:0.00}) of {names} ({truth?.Class}): {part.Why}"));
                }
            }

            Size(board, part, isGroup ? truth : null);
        }

        return this;
    }

    /// <summary>One line of the table.</summary>
    public string Line(string name) => string.Create(
        CultureInfo.InvariantCulture,
        $"| {name} | {Known} | {Share(Grouped, Known)} | {Share(Grouped, Found)} | {Share(Classed, KnownClass)} | {Share(Sized, KnownSize)} | {Share(RightSize, SaidSize)} | {Share(Sure, Found)} | {Share(RightSure, Sure)} |");

    /// <summary>Head of the table.</summary>
    public static string Head =>
        "| board | parts | grouped: recall | grouped: precision | kind right | size found | size said right | sure | sure and right |\n|---|---|---|---|---|---|---|---|---|";

    private void Size(TruthBoard board, BoardPart part, TruthPart? truth)
    {
        if (part.SizeImperial is null)
        {
            return;
        }

        Sized += truth is { Class: PartClass.Chip } && truth.Size == part.SizeImperial ? 1 : 0;
        if (truth is null or { Size: null })
        {
            return;
        }

        SaidSize++;
        RightSize += truth.Size == part.SizeImperial ? 1 : 0;
        if (truth.Size != part.SizeImperial)
        {
            _wrong.Add(string.Create(CultureInfo.InvariantCulture, $"{board.Name} size {part.SizeImperial} said of {truth.Name} ({truth.Size}): {part.Why}"));
        }
    }

    private static string Share(int part, int whole) => whole == 0 ? "–" : string.Create(CultureInfo.InvariantCulture, $"{100.0 * part / whole:0.0} % ({part}/{whole})");
}
