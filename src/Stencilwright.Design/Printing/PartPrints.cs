using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Printing;

/// <summary>An opening as cut, with what it is for.</summary>
public sealed record PrintSubject
{
    /// <summary>Id of the opening.</summary>
    public required string Id { get; init; }

    /// <summary>Index of the part it serves; -1 for none.</summary>
    public required int Part { get; init; }

    /// <summary>What it does for that part.</summary>
    public required PadFunction Function { get; init; }

    /// <summary>Size and shape as cut.</summary>
    public required OpeningForm Form { get; init; }

    /// <summary>Film to its nearest neighbour; null without one.</summary>
    public double? WebMm { get; init; }

    /// <summary>Area that the artwork asks for; of a thermal pad the area of the panes as designed.</summary>
    public required double WantedAreaMm2 { get; init; }
}

/// <summary>A change that would make a part print.</summary>
public enum RemedyKind
{
    /// <summary>Openings wider by a little.</summary>
    WiderOpenings,

    /// <summary>Fewer panes and webs in a thermal pad.</summary>
    FewerWebs,

    /// <summary>Openings trimmed so that the film between them stands.</summary>
    WiderWebs,

    /// <summary>Thinner film from the shelf.</summary>
    ThinnerFilm,

    /// <summary>Paste of a finer powder from the shelf.</summary>
    FinerPowder,

    /// <summary>Both of the last two.</summary>
    ThinnerFilmAndFinerPowder,

    /// <summary>Nothing at hand: a bought steel stencil.</summary>
    SteelStencil,
}

/// <summary>The cheapest change that would make a part print.</summary>
/// <param name="Kind">What changes.</param>
/// <param name="Words">In one sentence.</param>
public sealed record Remedy(RemedyKind Kind, string Words);

/// <summary>What will become of a part's print.</summary>
public sealed record PartPrint
{
    /// <summary>The part.</summary>
    public required BoardPart Part { get; init; }

    /// <summary>Ids of its openings.</summary>
    public required ImmutableArray<string> Openings { get; init; }

    /// <summary>Ids of those in doubt.</summary>
    public required ImmutableArray<string> Doubtful { get; init; }

    /// <summary>The worst of its terminals; of a thermal pad only when less than half of its panes' area prints.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>All doubts of its openings together.</summary>
    public required PrintDoubts Doubts { get; init; }

    /// <summary>Expected paste, cubic millimetres.</summary>
    public required double VolumeMm3 { get; init; }

    /// <summary>Paste wanted, cubic millimetres; see <see cref="WantedPaste"/>.</summary>
    public required double WantedVolumeMm3 { get; init; }

    /// <summary>The cheapest change that helps; null when it prints.</summary>
    public Remedy? Remedy { get; init; }
}

/// <summary>How much paste a joint is meant to get.</summary>
/// <remarks>
/// The area that the artwork asks for times the middle of the foil range that IPC-7525A's table of example apertures gives
/// for that kind of part and pitch (values from memory); what the table does not name is taken as its 0402 chip.
/// </remarks>
public static class WantedPaste
{
    /// <summary>Foil thickness that the trade would take for such a part, millimetres.</summary>
    public static double FoilMm(BoardPart? part) => part switch
    {
        { Class: PartClass.Chip, SizeImperial: "0201" or "01005" or "008004" } => 0.0875,
        { Class: PartClass.GridArray, PitchMm: >= 1.25 - 0.01 } => 0.175,
        { Class: PartClass.GridArray, PitchMm: >= 0.8 - 0.01 } => 0.125,
        { Class: PartClass.GridArray } => 0.0875,
        { PitchMm: >= 1.25 - 0.05, Class: PartClass.SmallOutline or PartClass.QuadFlat } => 0.20,
        { PitchMm: >= 0.65 - 0.01, Class: PartClass.SmallOutline or PartClass.QuadFlat or PartClass.QuadNoLead or PartClass.DualNoLead or PartClass.Connector } => 0.1625,
        { PitchMm: >= 0.5 - 0.01, Class: PartClass.SmallOutline or PartClass.QuadFlat or PartClass.QuadNoLead or PartClass.DualNoLead or PartClass.Connector } => 0.1375,
        { PitchMm: >= 0.4 - 0.01, Class: PartClass.SmallOutline or PartClass.QuadFlat or PartClass.QuadNoLead or PartClass.DualNoLead or PartClass.Connector } => 0.1125,
        { PitchMm: < 0.4 - 0.01, Class: PartClass.SmallOutline or PartClass.QuadFlat or PartClass.QuadNoLead or PartClass.DualNoLead or PartClass.Connector } => 0.0875,
        _ => 0.1375,
    };
}

/// <summary>Judges parts by their openings, and finds what would help.</summary>
public sealed class PartJudge
{
    /// <summary>Furthest that an opening's walls may be moved outwards over its pad. Source: common practice, no source.</summary>
    public const double MostGrowthMm = 0.05;

    private const double GrowthStepMm = 0.005;

    private readonly PrintConditions _now;
    private readonly ImmutableArray<double> _films;
    private readonly ImmutableArray<Paste> _pastes;

    /// <summary>A judge for the film and paste in use who knows what else is on the shelf.</summary>
    /// <param name="now">Film, paste and limits in use.</param>
    /// <param name="films">Thicknesses at hand, millimetres.</param>
    /// <param name="pastes">Pastes at hand.</param>
    public PartJudge(PrintConditions now, IEnumerable<double> films, IEnumerable<Paste> pastes)
    {
        ArgumentNullException.ThrowIfNull(now);
        _now = now;
        // The thickest that helps leaves the most paste, and the coarsest powder costs the least.
        _films = [.. films.Where(f => f < now.FilmThicknessMm - 1e-6).Distinct().OrderDescending()];
        _pastes = [.. pastes.Where(p => p.LargestPowderUm < now.Paste.LargestPowderUm).OrderByDescending(p => p.LargestPowderUm)];
    }

    /// <summary>Judges every part that has an opening among <paramref name="subjects"/>, in the parts' order.</summary>
    public ImmutableArray<PartPrint> Judge(ImmutableArray<BoardPart> parts, IReadOnlyList<PrintSubject> subjects)
    {
        ArgumentNullException.ThrowIfNull(subjects);
        var members = new List<PrintSubject>?[parts.Length];
        foreach (var subject in subjects)
        {
            if (subject.Part >= 0)
            {
                (members[subject.Part] ??= []).Add(subject);
            }
        }

        var prints = ImmutableArray.CreateBuilder<PartPrint>();
        for (var i = 0; i < parts.Length; i++)
        {
            if (members[i] is { } own)
            {
                prints.Add(Judge(parts[i], own));
            }
        }

        return prints.ToImmutable();
    }

    /// <summary>The worst of a part's openings under some conditions; panes of a thermal pad count together.</summary>
    internal static Verdict VerdictOf(List<PrintSubject> own, PrintConditions conditions, double growthMm = 0)
    {
        var worst = Verdict.Prints;
        double panes = 0, printing = 0, failing = 0;
        foreach (var subject in own)
        {
            var verdict = Printability.Judge(Grown(subject.Form, growthMm), subject.WebMm - (2 * growthMm), conditions).Verdict;
            if (subject.Function == PadFunction.ThermalPad)
            {
                panes += subject.Form.AreaMm2;
                printing += verdict == Verdict.Prints ? subject.Form.AreaMm2 : 0;
                failing += verdict == Verdict.WillNotPrint ? subject.Form.AreaMm2 : 0;
            }
            else
            {
                worst = verdict > worst ? verdict : worst;
            }
        }

        var pad = failing > panes / 2 ? Verdict.WillNotPrint : printing < panes / 2 ? Verdict.Marginal : Verdict.Prints;
        return panes > 0 && pad > worst ? pad : worst;
    }

    private static OpeningForm Grown(OpeningForm form, double growthMm) => growthMm == 0 || form.IsClosed ? form : form.Grown(growthMm);

    private PartPrint Judge(BoardPart part, List<PrintSubject> own)
    {
        var doubts = PrintDoubts.None;
        var doubtful = ImmutableArray.CreateBuilder<string>();
        double volume = 0, wanted = 0;
        var foil = WantedPaste.FoilMm(part);
        foreach (var subject in own)
        {
            var print = Printability.Judge(subject.Form, subject.WebMm, _now);
            doubts |= print.Doubts;
            volume += print.PasteVolumeMm3;
            wanted += subject.WantedAreaMm2 * foil;
            if (print.Verdict != Verdict.Prints)
            {
                doubtful.Add(subject.Id);
            }
        }

        var verdict = VerdictOf(own, _now);
        return new()
        {
            Part = part,
            Openings = [.. own.Select(s => s.Id)],
            Doubtful = doubtful.ToImmutable(),
            Verdict = verdict,
            Doubts = verdict == Verdict.Prints ? PrintDoubts.None : doubts,
            VolumeMm3 = volume,
            WantedVolumeMm3 = wanted,
            Remedy = verdict == Verdict.Prints ? null : RemedyFor(own, doubts),
        };
    }

    // From what costs nothing to what must be bought.
    private Remedy RemedyFor(List<PrintSubject> own, PrintDoubts doubts)
    {
        if (doubts == PrintDoubts.Web)
        {
            return new(RemedyKind.WiderWebs, $"trim its openings so that {Um(_now.SmallestWebMm)} of film stays between them (thin_webs = \"trim\")");
        }

        for (var growth = GrowthStepMm; growth <= MostGrowthMm + 1e-9; growth += GrowthStepMm)
        {
            if (VerdictOf(own, _now, growth) == Verdict.Prints)
            {
                return new(RemedyKind.WiderOpenings, $"make its openings wider by {Um(2 * growth)}");
            }
        }

        if (own.TrueForAll(s => s.Function == PadFunction.ThermalPad || Printability.Judge(s.Form, s.WebMm, _now).Verdict == Verdict.Prints)
            && own.Exists(s => s.Function == PadFunction.ThermalPad))
        {
            return new(RemedyKind.FewerWebs, "give its thermal pad fewer and larger panes");
        }

        foreach (var paste in _pastes)
        {
            if (VerdictOf(own, _now with { Paste = paste }) == Verdict.Prints)
            {
                return new(RemedyKind.FinerPowder, $"take {paste.Name}, whose powder is finer");
            }
        }

        foreach (var film in _films)
        {
            if (VerdictOf(own, _now with { FilmThicknessMm = film }) == Verdict.Prints)
            {
                return new(RemedyKind.ThinnerFilm, $"take film of {Um(film)}");
            }
        }

        foreach (var film in _films)
        {
            foreach (var paste in _pastes)
            {
                if (VerdictOf(own, _now with { FilmThicknessMm = film, Paste = paste }) == Verdict.Prints)
                {
                    return new(RemedyKind.ThinnerFilmAndFinerPowder, $"take film of {Um(film)} and {paste.Name}");
                }
            }
        }

        return new(RemedyKind.SteelStencil, "nothing at hand makes it print well: this one needs a bought steel stencil");
    }

    private static string Um(double mm) => string.Create(CultureInfo.InvariantCulture, $"{mm * 1000:0.#} µm");
}
