using System.Collections.Immutable;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Output;

namespace Stencilwright.Workbench.Workshop;

/// <summary>How many openings there are of each verdict.</summary>
/// <param name="Prints">Expected to print well.</param>
/// <param name="Marginal">In doubt.</param>
/// <param name="WillNotPrint">Not expected to print.</param>
public readonly record struct VerdictTally(int Prints, int Marginal, int WillNotPrint)
{
    /// <summary>All of them.</summary>
    public int All => Prints + Marginal + WillNotPrint;

    /// <summary>Those of one verdict.</summary>
    public int this[Verdict verdict] => verdict switch { Verdict.Prints => Prints, Verdict.Marginal => Marginal, _ => WillNotPrint };

    /// <summary>Counts.</summary>
    public static VerdictTally Of(IEnumerable<OpeningFigures> openings)
    {
        ArgumentNullException.ThrowIfNull(openings);
        Span<int> counts = stackalloc int[3];
        foreach (var opening in openings)
        {
            counts[(int)opening.Verdict]++;
        }

        return new(counts[0], counts[1], counts[2]);
    }
}

/// <summary>Paste on the openings of one kind of part.</summary>
/// <param name="Kind">As <see cref="OpeningFigures.Kind"/>.</param>
/// <param name="Openings">How many.</param>
/// <param name="Mean">Mean deposit, cubic millimetres.</param>
/// <param name="Spread">One standard deviation of a deposit: from opening to opening and from print to print together.</param>
/// <param name="Least">Smallest expected deposit.</param>
/// <param name="Most">Largest expected deposit.</param>
/// <param name="Sum">All of them, cubic millimetres.</param>
/// <param name="Tally">Verdicts of the openings.</param>
public sealed record KindVolume(string Kind, int Openings, double Mean, double Spread, double Least, double Most, double Sum, VerdictTally Tally);

/// <summary>Openings of a range of values.</summary>
/// <param name="From">Least value.</param>
/// <param name="To">Value where the next begins.</param>
/// <param name="Tally">Verdicts of those in it.</param>
public sealed record ValueBin(double From, double To, VerdictTally Tally);

/// <summary>The openings of one side with all that is said of them, and their distributions.</summary>
public sealed class SideFigures
{
    private readonly Dictionary<string, int> _places;

    private SideFigures(JobSide side, ImmutableArray<OpeningFigures> openings)
    {
        (Side, Openings, Tally) = (side, openings, VerdictTally.Of(openings));
        _places = new Dictionary<string, int>(openings.Length, StringComparer.Ordinal);
        foreach (var opening in openings)
        {
            _places[opening.Id] = opening.At;
        }
    }

    /// <summary>The side.</summary>
    public JobSide Side { get; }

    /// <summary>In the artwork's order.</summary>
    public ImmutableArray<OpeningFigures> Openings { get; }

    /// <summary>Verdicts.</summary>
    public VerdictTally Tally { get; }

    /// <summary>Works them out.</summary>
    public static SideFigures Of(JobSide side, JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(side);
        ArgumentNullException.ThrowIfNull(settings);
        var kinds = side.Design.Parts.Select(OpeningFigures.KindOf).ToArray();
        var openings = ImmutableArray.CreateBuilder<OpeningFigures>(side.Design.Openings.Length);
        for (var i = 0; i < side.Design.Openings.Length; i++)
        {
            var part = side.Design.Openings[i].Part;
            openings.Add(OpeningFigures.Of(i, side.Design, side.Plan.Openings[i], part < 0 ? PartWords.Class(default) : kinds[part], settings.FilmThicknessMm));
        }

        return new SideFigures(side, openings.MoveToImmutable());
    }

    /// <summary>The opening of that name, or null.</summary>
    public OpeningFigures? Find(string id) => _places.TryGetValue(id, out var at) ? Openings[at] : null;

    /// <summary>What will become of the print of an opening's part; null when it serves none.</summary>
    public PartPrint? PartOf(OpeningFigures opening)
    {
        ArgumentNullException.ThrowIfNull(opening);
        return opening.Design.Part < 0 ? null : Side.Parts.FirstOrDefault(p => ReferenceEquals(p.Part, Side.Design.Parts[opening.Design.Part]));
    }

    /// <summary>Paste by kind of part, the largest mean deposit first.</summary>
    public ImmutableArray<KindVolume> VolumeByKind() =>
    [
        .. Openings.GroupBy(o => o.Kind, StringComparer.Ordinal).Select(VolumeOf).OrderByDescending(k => k.Mean).ThenBy(k => k.Kind, StringComparer.Ordinal),
    ];

    /// <summary>Equal bins over the values that there are, with the verdicts in each; empty without a value.</summary>
    /// <param name="value">Null leaves an opening out.</param>
    /// <param name="low">Where the first begins; what lies below counts in it.</param>
    /// <param name="high">Where the last ends; what lies above counts in it.</param>
    /// <param name="count">How many.</param>
    public ImmutableArray<ValueBin> Bins(Func<OpeningFigures, double?> value, double low, double high, int count)
    {
        ArgumentNullException.ThrowIfNull(value);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(count);
        if (!(high > low))
        {
            return [];
        }

        var counts = new int[3 * count];
        foreach (var opening in Openings)
        {
            if (value(opening) is { } v && double.IsFinite(v))
            {
                counts[(3 * Math.Clamp((int)((v - low) / (high - low) * count), 0, count - 1)) + (int)opening.Verdict]++;
            }
        }

        var step = (high - low) / count;
        return [.. Enumerable.Range(0, count).Select(i => new ValueBin(low + (i * step), low + ((i + 1) * step), new(counts[3 * i], counts[(3 * i) + 1], counts[(3 * i) + 2])))];
    }

    private static KindVolume VolumeOf(IGrouping<string, OpeningFigures> kind)
    {
        var all = kind.ToList();
        var mean = all.Average(o => o.VolumeMm3);
        // Independent of one another: variances add up.
        var variance = all.Average(o => ((o.VolumeMm3 - mean) * (o.VolumeMm3 - mean)) + (o.VolumeSpreadMm3 * o.VolumeSpreadMm3));
        return new(kind.Key, all.Count, mean, Math.Sqrt(variance), all.Min(o => o.VolumeMm3), all.Max(o => o.VolumeMm3), all.Sum(o => o.VolumeMm3), VerdictTally.Of(all));
    }
}
