using Stencilwright.Foundation;

namespace Stencilwright.Design.Printing;

/// <summary>An opening's size and shape, as far as its print depends on them.</summary>
/// <param name="AreaMm2">Open area.</param>
/// <param name="PerimeterMm">Length of its walls in plan.</param>
/// <param name="WidthMm">Its true narrowest width.</param>
/// <param name="LengthMm">Its greatest length.</param>
public readonly record struct OpeningForm(double AreaMm2, double PerimeterMm, double WidthMm, double LengthMm)
{
    /// <summary>Nothing is open.</summary>
    public bool IsClosed => !(AreaMm2 > 0);

    /// <summary>A slot: so long that its width over thickness governs. Source: IPC-7525, section 3.2 (L &gt; 5 W), from memory.</summary>
    public bool IsSlot => LengthMm > 5 * WidthMm;

    /// <summary>About as wide as long: round or square.</summary>
    public bool IsCompact => LengthMm <= 1.2 * WidthMm;

    /// <summary>Opening area over wall area, A/(P·T). Source: IPC-7525, section 3.2.</summary>
    public double AreaRatio(double filmThicknessMm) => IsClosed ? 0 : AreaMm2 / (PerimeterMm * filmThicknessMm);

    /// <summary>Narrowest width over film thickness, W/T. Source: IPC-7525, section 3.2.</summary>
    public double AspectRatio(double filmThicknessMm) => IsClosed ? 0 : WidthMm / filmThicknessMm;

    /// <summary>Area after moving the walls outwards round its corners: A + P r + π r², exact for convex shapes. Source: Steiner's formula (1840), textbook.</summary>
    public double AreaOutMm2(double outwardsMm) => IsClosed ? 0 : AreaMm2 + (outwardsMm * (PerimeterMm + (Math.PI * outwardsMm)));

    /// <summary>Mean of the area over the film's thickness, where the opening is wider at one face than at the other by the taper.</summary>
    public double MeanAreaMm2(double taperMm) => IsClosed ? 0 : AreaMm2 + (taperMm * ((PerimeterMm / 4) + (Math.PI * taperMm / 12)));

    /// <summary>Area of the walls, which lean by half the taper: their mean length times their height along the lean.</summary>
    public double WallAreaMm2(double filmThicknessMm, double taperMm) => IsClosed
        ? 0
        : (PerimeterMm + (Math.PI * taperMm / 2)) * Math.Sqrt((filmThicknessMm * filmThicknessMm) + (taperMm * taperMm / 4));

    /// <summary>The same shape with its walls moved outwards, to first order exact for a rectangle.</summary>
    public OpeningForm Grown(double outwardsMm) => new(
        AreaMm2 + (PerimeterMm * outwardsMm) + (4 * outwardsMm * outwardsMm), PerimeterMm + (8 * outwardsMm), WidthMm + (2 * outwardsMm), LengthMm + (2 * outwardsMm));
}

/// <summary>Why an opening's print is doubtful.</summary>
[Flags]
public enum PrintDoubts
{
    /// <summary>It is not.</summary>
    None = 0,

    /// <summary>The beam leaves nothing open.</summary>
    Closed = 1,

    /// <summary>Too much wall for its area.</summary>
    AreaRatio = 2,

    /// <summary>A slot too narrow for the film's thickness.</summary>
    AspectRatio = 4,

    /// <summary>Too few balls of powder side by side.</summary>
    Powder = 8,

    /// <summary>The film to the next opening is too narrow to survive.</summary>
    Web = 16,
}

/// <summary>What an opening's shape says about its print.</summary>
public readonly record struct PrintForecast
{
    /// <summary>Opening area over wall area.</summary>
    public double AreaRatio { get; init; }

    /// <summary>Narrowest width over thickness.</summary>
    public double AspectRatio { get; init; }

    /// <summary>Balls of the powder's largest usual size that fit side by side.</summary>
    public double PowderBalls { get; init; }

    /// <summary>Expected deposit over opening volume, 0 to 1.</summary>
    public double TransferEfficiency { get; init; }

    /// <summary>One standard deviation of <see cref="TransferEfficiency"/>.</summary>
    public double TransferSpread { get; init; }

    /// <summary>Expected deposit, cubic millimetres.</summary>
    public double PasteVolumeMm3 { get; init; }

    /// <summary>Expected deposit, grams.</summary>
    public double PasteMassG { get; init; }

    /// <summary>Metal left of the deposit after reflow, cubic millimetres.</summary>
    public double MetalVolumeMm3 { get; init; }

    /// <summary>What to expect.</summary>
    public Verdict Verdict { get; init; }

    /// <summary>Why not the best.</summary>
    public PrintDoubts Doubts { get; init; }
}

/// <summary>What a print is judged against.</summary>
/// <param name="FilmThicknessMm">Film thickness, above 0.</param>
/// <param name="Paste">The paste.</param>
/// <param name="Release">How paste leaves openings.</param>
/// <param name="SmallestWebMm">Narrowest film that survives.</param>
public sealed record PrintConditions(double FilmThicknessMm, Paste Paste, ReleaseModel Release, double SmallestWebMm)
{
    /// <summary>How much wider an opening is at the face where the beam went in than at the other, full width.</summary>
    public double TaperMm { get; init; }

    /// <summary>The conditions that settings ask for; a paste that nobody knows is the first one.</summary>
    public static PrintConditions Of(JobSettings settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        var release = new ReleaseModel
        {
            MiddleRatio = settings.ReleaseMiddleRatio,
            Slope = settings.ReleaseSlope,
            SpreadLarge = settings.ReleaseSpreadPercent / 100,
            SpreadSmall = settings.ReleaseSmallSpreadPercent / 100,
        };
        return new(settings.FilmThicknessMm, Pastes.Find(settings.Paste) ?? Pastes.All[0], release, settings.SmallestWebMm) { TaperMm = settings.TaperMm };
    }
}

/// <summary>The trade's limits for openings.</summary>
public static class Printability
{
    /// <summary>Least area ratio for good release. Source: IPC-7525, section 3.2.</summary>
    public const double LeastAreaRatio = 0.66;

    /// <summary>Least aspect ratio for good release. Source: IPC-7525, section 3.2.</summary>
    public const double LeastAspectRatio = 1.5;

    /// <summary>Area ratio down to which very smooth walls still release. Source: trade papers, from memory.</summary>
    public const double MarginalAreaRatio = 0.5;

    /// <summary>Balls of the largest usual size side by side in any opening. Source: five-ball rule, T. Lentz, SMT007, July 2019, who ascribes it to IPC-7525.</summary>
    public const double LeastBalls = 5;

    /// <summary>Balls across a round or square opening. Source: common practice, no source.</summary>
    public const double LeastBallsCompact = 8;

    // Widths come from exact shapes by search; a limit met within this is met.
    private const double Slack = 1e-9;

    /// <summary>Judges the shape that the beam leaves open.</summary>
    /// <param name="form">The opening as cut.</param>
    /// <param name="webMm">Film to the nearest neighbour; null without one.</param>
    /// <param name="conditions">Film, paste and limits.</param>
    public static PrintForecast Judge(OpeningForm form, double? webMm, PrintConditions conditions)
    {
        ArgumentNullException.ThrowIfNull(conditions);
        var thickness = conditions.FilmThicknessMm;
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(thickness, nameof(conditions));
        if (form.IsClosed)
        {
            return new() { Verdict = Verdict.WillNotPrint, Doubts = PrintDoubts.Closed };
        }

        var (areaRatio, aspectRatio) = (form.AreaRatio(thickness), form.AspectRatio(thickness));
        var balls = form.WidthMm * 1000 / conditions.Paste.LargestPowderUm;
        var doubts = PrintDoubts.None;
        if (form.IsSlot)
        {
            doubts |= areaRatio > LeastAreaRatio - Slack || aspectRatio > LeastAspectRatio - Slack ? PrintDoubts.None : PrintDoubts.AspectRatio;
        }
        else if (areaRatio < LeastAreaRatio - Slack)
        {
            doubts |= PrintDoubts.AreaRatio;
        }

        if (balls < (form.IsCompact ? LeastBallsCompact : LeastBalls) - Slack)
        {
            doubts |= PrintDoubts.Powder;
        }

        if (webMm < conditions.SmallestWebMm - Slack)
        {
            doubts |= PrintDoubts.Web;
        }

        var efficiency = conditions.Release.Efficiency(areaRatio);
        var volume = form.MeanAreaMm2(conditions.TaperMm) * thickness * efficiency;
        return new()
        {
            AreaRatio = areaRatio,
            AspectRatio = aspectRatio,
            PowderBalls = balls,
            TransferEfficiency = efficiency,
            TransferSpread = conditions.Release.Spread(areaRatio),
            PasteVolumeMm3 = volume,
            PasteMassG = conditions.Paste.MassG(volume),
            MetalVolumeMm3 = volume * conditions.Paste.MetalVolumeFraction,
            Doubts = doubts,
            Verdict = doubts == PrintDoubts.None ? Verdict.Prints : Fails(doubts, areaRatio) ? Verdict.WillNotPrint : Verdict.Marginal,
        };
    }

    private static bool Fails(PrintDoubts doubts, double areaRatio) =>
        (doubts & (PrintDoubts.AreaRatio | PrintDoubts.AspectRatio)) != 0 && areaRatio < MarginalAreaRatio;
}
