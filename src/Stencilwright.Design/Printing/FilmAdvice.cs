using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Printing;

/// <summary>Expected paste of one kind of part against what it is meant to get.</summary>
/// <param name="Class">The kind.</param>
/// <param name="Share">Expected over wanted volume, 1 for all of it.</param>
public readonly record struct ClassVolume(PartClass Class, double Share);

/// <summary>What one film and one paste would do.</summary>
public sealed record FilmChoice
{
    /// <summary>The film.</summary>
    public required double FilmThicknessMm { get; init; }

    /// <summary>The paste.</summary>
    public required Paste Paste { get; init; }

    /// <summary>Openings that print.</summary>
    public required int Prints { get; init; }

    /// <summary>Openings that are marginal.</summary>
    public required int Marginal { get; init; }

    /// <summary>Openings that will not print.</summary>
    public required int WillNotPrint { get; init; }

    /// <summary>Volume by kind of part, in the order of <see cref="PartClass"/>.</summary>
    public required ImmutableArray<ClassVolume> Volumes { get; init; }

    /// <summary>Whether it is what the settings ask for.</summary>
    public required bool IsCurrent { get; init; }
}

/// <summary>A table of the films and pastes at hand, and which of them to take.</summary>
/// <param name="Choices">By film, then paste.</param>
/// <param name="Best">Index of the choice to take.</param>
/// <param name="Why">In words.</param>
public sealed record FilmAdvice(ImmutableArray<FilmChoice> Choices, int Best, string Why)
{
    /// <summary>Volume over wanted volume within which a deposit passes. Source: limits 50 to 150 %, R. Lasky, Indium Corporation.</summary>
    public const double LeastShare = 0.5;

    /// <summary>See <see cref="LeastShare"/>.</summary>
    public const double MostShare = 1.5;

    /// <summary>Thicknesses in millimetres from a list with commas; empty when it is none.</summary>
    public static ImmutableArray<double> FilmsOf(string list)
    {
        ArgumentNullException.ThrowIfNull(list);
        var films = ImmutableArray.CreateBuilder<double>();
        foreach (var item in list.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            if (!Lengths.TryParse(item, out var thickness))
            {
                return [];
            }

            films.Add(thickness);
        }

        return films.ToImmutable();
    }

    /// <summary>The pastes named in a list with commas; for an empty list every powder type known of the alloy of <paramref name="inUse"/>.</summary>
    public static ImmutableArray<Paste> PastesOf(string list, string inUse)
    {
        ArgumentNullException.ThrowIfNull(list);
        ArgumentNullException.ThrowIfNull(inUse);
        var names = list.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries);
        return names.Length > 0
            ? [.. names.Select(Pastes.Find).OfType<Paste>()]
            : [.. Pastes.All.Where(p => p.Name.Split('-')[0].Equals(inUse.Trim().Split('-')[0], StringComparison.OrdinalIgnoreCase))];
    }

    /// <summary>Works the table out. The kerf is taken not to depend on the film's thickness, so the openings stay as cut.</summary>
    /// <param name="parts">The parts; subjects point into them.</param>
    /// <param name="subjects">Openings as cut.</param>
    /// <param name="now">What the settings ask for; always in the table.</param>
    /// <param name="films">Thicknesses at hand, millimetres.</param>
    /// <param name="pastes">Pastes at hand.</param>
    public static FilmAdvice Of(
        ImmutableArray<BoardPart> parts, IReadOnlyList<PrintSubject> subjects, PrintConditions now, IEnumerable<double> films, IEnumerable<Paste> pastes)
    {
        ArgumentNullException.ThrowIfNull(subjects);
        ArgumentNullException.ThrowIfNull(now);
        var choices = ImmutableArray.CreateBuilder<FilmChoice>();
        var thicknesses = films.Where(f => Math.Abs(f - now.FilmThicknessMm) > 1e-6).Append(now.FilmThicknessMm).Distinct().Order();
        var kinds = pastes.Where(p => p.Name != now.Paste.Name).Append(now.Paste).OrderByDescending(p => p.LargestPowderUm).ThenBy(p => p.Name, StringComparer.Ordinal).ToList();
        foreach (var film in thicknesses)
        {
            foreach (var paste in kinds)
            {
                choices.Add(Choice(parts, subjects, now with { FilmThicknessMm = film, Paste = paste }, film == now.FilmThicknessMm && paste == now.Paste));
            }
        }

        var table = choices.ToImmutable();
        var best = 0;
        for (var i = 1; i < table.Length; i++)
        {
            best = IsBetter(table[i], table[best]) ? i : best;
        }

        return new FilmAdvice(table, best, WhyOf(table, best));
    }

    private static FilmChoice Choice(ImmutableArray<BoardPart> parts, IReadOnlyList<PrintSubject> subjects, PrintConditions conditions, bool isCurrent)
    {
        Span<int> counts = stackalloc int[3];
        var kinds = Enum.GetValues<PartClass>().Length;
        var (expected, wanted) = (new double[kinds], new double[kinds]);
        foreach (var subject in subjects)
        {
            var print = Printability.Judge(subject.Form, subject.WebMm, conditions);
            counts[(int)print.Verdict]++;
            var part = subject.Part < 0 ? null : parts[subject.Part];
            var kind = (int)(part?.Class ?? PartClass.Unknown);
            expected[kind] += print.PasteVolumeMm3;
            wanted[kind] += subject.WantedAreaMm2 * WantedPaste.FoilMm(part);
        }

        return new()
        {
            FilmThicknessMm = conditions.FilmThicknessMm,
            Paste = conditions.Paste,
            Prints = counts[(int)Verdict.Prints],
            Marginal = counts[(int)Verdict.Marginal],
            WillNotPrint = counts[(int)Verdict.WillNotPrint],
            Volumes = [.. Enumerable.Range(0, kinds).Where(k => wanted[k] > 0).Select(k => new ClassVolume((PartClass)k, expected[k] / wanted[k]))],
            IsCurrent = isCurrent,
        };
    }

    // Openings that print nothing are the worst, then kinds of parts with far too much or too little paste, then doubt; among
    // equals what is on the bench already, then the film nearer to the wanted volume, then the coarser powder, which keeps longer.
    private static bool IsBetter(FilmChoice a, FilmChoice b)
    {
        var order = a.WillNotPrint.CompareTo(b.WillNotPrint);
        order = order != 0 ? order : OutOfWindow(a).CompareTo(OutOfWindow(b));
        order = order != 0 ? order : a.Marginal.CompareTo(b.Marginal);
        order = order != 0 ? order : b.IsCurrent.CompareTo(a.IsCurrent);
        order = order != 0 ? order : Math.Round(Off(a), 3).CompareTo(Math.Round(Off(b), 3));
        order = order != 0 ? order : b.Paste.LargestPowderUm.CompareTo(a.Paste.LargestPowderUm);
        return order < 0;
    }

    private static int OutOfWindow(FilmChoice choice) => choice.Volumes.Count(v => v.Share is < LeastShare or > MostShare);

    private static double Off(FilmChoice choice) => choice.Volumes.Length == 0 ? 0 : choice.Volumes.Average(v => Math.Abs(v.Share - 1));

    private static string WhyOf(ImmutableArray<FilmChoice> table, int best)
    {
        var chosen = table[best];
        var current = table.First(c => c.IsCurrent);
        var name = string.Create(CultureInfo.InvariantCulture, $"film of {chosen.FilmThicknessMm * 1000:0.#} µm with {chosen.Paste.Name}");
        var rest = chosen.WillNotPrint > 0
            ? $"; {Openings(chosen.WillNotPrint)} will not print with anything at hand and {(chosen.WillNotPrint == 1 ? "needs" : "need")} a bought steel stencil"
            : "";
        if (chosen.IsCurrent)
        {
            return $"Keep {name}: nothing else at hand prints more of the {Openings(chosen.Prints + chosen.Marginal + chosen.WillNotPrint)}{rest}.";
        }

        var gains = new List<string>();
        Gain(current.WillNotPrint - chosen.WillNotPrint, "that would not print", gains);
        Gain(current.Marginal - chosen.Marginal, "that would be marginal", gains);
        var why = gains.Count == 0 ? "" : $"it saves {string.Join(" and ", gains)}";
        if (OutOfWindow(current) > OutOfWindow(chosen) || gains.Count == 0)
        {
            why += $"{(gains.Count == 0 ? "" : ", and ")}the parts get nearer to the paste they want";
        }

        return $"Take {name}: {why}{rest}.";
    }

    private static void Gain(int count, string words, List<string> gains)
    {
        if (count > 0)
        {
            gains.Add($"{Openings(count)} {words} now");
        }
    }

    private static string Openings(int count) => count == 1 ? "1 opening" : string.Create(CultureInfo.InvariantCulture, $"{count} openings");
}
