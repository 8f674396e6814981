using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Cutting.Heat;
using Stencilwright.Design;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Gathers what a person should know about a cut.</summary>
internal sealed class CutFindings
{
    // Pairs named one by one before the rest is told in one finding.
    private const int MostWebs = 50;

    private readonly StencilDesign _design;
    private readonly JobSettings _settings;
    private readonly Affine2 _toBoard;
    private readonly List<Finding> _findings = [];
    private readonly List<int> _closed = [];
    private readonly List<int> _lines = [];
    private readonly List<int> _parts = [];
    private readonly List<int> _islands = [];
    private readonly List<int> _fails = [];
    private readonly List<int> _doubtful = [];
    private readonly List<int> _coarse = [];
    private readonly List<int> _cramped = [];

    public CutFindings(StencilDesign design, JobSettings settings)
    {
        _design = design;
        _settings = settings;
        _toBoard = design.Placement.Map.Inverse();
    }

    public void SeeCut(int i, CutOpening cut)
    {
        if (cut.Opened.IsEmpty)
        {
            _closed.Add(i);
            return;
        }

        if (!cut.Lines.IsEmpty)
        {
            _lines.Add(i);
        }

        foreach (var (kind, _) in cut.Narrow)
        {
            if (kind == NarrowPart.Closed)
            {
                _parts.Add(i);
                break;
            }
        }

        if (cut.HasIsland)
        {
            _islands.Add(i);
        }
    }

    public void SeePrint(int i, PrintForecast print)
    {
        if (print.Verdict == Verdict.WillNotPrint)
        {
            _fails.Add(i);
        }
        else if ((print.Doubts & (PrintDoubts.AreaRatio | PrintDoubts.AspectRatio)) != 0)
        {
            _doubtful.Add(i);
        }

        if ((print.Doubts & PrintDoubts.Powder) != 0)
        {
            _coarse.Add(i);
        }
    }

    public void SeeWebs(Web?[] webs)
    {
        var narrow = new List<(int A, Web Web)>();
        for (var i = 0; i < webs.Length; i++)
        {
            // A pair that sees each other is told once, by its first member.
            if (webs[i] is { } web && web.WidthMm < _settings.SmallestWebMm
                && !(web.Neighbour < i && webs[web.Neighbour] is { } back && back.Neighbour == i))
            {
                narrow.Add((i, web));
            }
        }

        // The narrowest first, so that the worst are never among the rest.
        narrow.Sort((p, q) => p.Web.WidthMm != q.Web.WidthMm ? p.Web.WidthMm.CompareTo(q.Web.WidthMm) : p.A.CompareTo(q.A));
        foreach (var (a, web) in narrow.GetRange(0, Math.Min(MostWebs, narrow.Count)))
        {
            SayWeb(a, web);
        }

        if (narrow.Count > MostWebs)
        {
            var rest = narrow.GetRange(MostWebs, narrow.Count - MostWebs);
            var ids = new SortedSet<int>();
            foreach (var (a, web) in rest)
            {
                ids.Add(a);
                ids.Add(web.Neighbour);
            }

            Add("CUT002", Severity.Warning, $"{Counted.Of(rest.Count, "more web", "more webs")} of film {Counted.Word(rest.Count, "is", "are")} narrower than {_settings.SmallestWebMm:0.000} mm and may melt or tear; cut a thinner web on a coupon, use a finer beam, or make the openings narrower.", [.. ids]);
        }
    }

    /// <summary>Webs that get hot, told by how hot.</summary>
    public void SeeHeat(HeatReading?[] readings, Web?[] webs)
    {
        var (melting, shrinking, soft, warm) = (new List<int>(), new List<int>(), new List<int>(), new List<int>());
        for (var i = 0; i < readings.Length; i++)
        {
            if (readings[i] is not { } heat || webs[i] is not { WidthMm: > 0 })
            {
                continue;
            }

            var list = heat.PeakC >= FilmConditions.MeltC ? melting : heat.PeakC >= FilmConditions.ShrinkC ? shrinking
                : heat.PeakC >= FilmConditions.GlassC ? soft : null;
            list?.Add(i);
            if (heat.PeakC >= FilmConditions.ShrinkC && heat.ResidualRiseK > heat.PeakRiseK / 4)
            {
                warm.Add(i);
            }
        }

        var cure = (_settings.FilmLiesOn == "wet_paper" ? "" : "cut between wet paper, ") + "lower the power or go faster as far as the cut goes through";
        HottestFirst(readings, melting);
        HottestFirst(readings, shrinking);
        HottestFirst(readings, soft);
        HottestFirst(readings, warm);
        AddIfAny(melting, "CUT020", Severity.Warning, n => $"{Have(n)} a web whose middle is predicted to reach {UpTo(n)}{Peak(readings, melting)}, where film melts (255 °C); {cure}, and look at these webs after the cut. The prediction is good to a factor of two.");
        AddIfAny(shrinking, "CUT021", Severity.Warning, n => $"{Have(n)} a web whose middle is predicted to reach {UpTo(n)}{Peak(readings, shrinking)}, where film shrinks (150 °C); {cure}. The prediction is good to a factor of two.");
        AddIfAny(soft, "CUT022", Severity.Note, n => $"{Have(n)} a web whose middle is predicted to reach {UpTo(n)}{Peak(readings, soft)}, above the film's glass transition (78 °C): the web softens for a moment; keep the film flat and the paper wet. The prediction is good to a factor of two.");
        AddIfAny(warm, "CUT023", Severity.Note, n => $"{Have(n)} a web that is still warm from its first cut when the second begins; raise the order's weight of heat (reheat_weight) or its effort (order_effort).");
    }

    /// <summary>Openings whose slugs had no room for the lead-in, by their ids.</summary>
    public void SeeCramped(List<string> owners)
    {
        var cramped = new HashSet<string>(owners, StringComparer.Ordinal);
        for (var i = 0; cramped.Count > 0 && i < _design.Openings.Length; i++)
        {
            if (cramped.Contains(_design.Openings[i].Id))
            {
                _cramped.Add(i);
            }
        }
    }

    public void SayUnknownEffort(string effort) => _findings.Add(new Finding
    {
        Code = "CUT010",
        Severity = Severity.Warning,
        Message = $"The order effort \"{effort}\" is not known and is taken as normal; write quick, normal, high or a whole number of steps per opening up to 1000000 (order_effort).",
    });

    public void SayNoPocket() => _findings.Add(new Finding
    {
        Code = "CUT009",
        Severity = Severity.Error,
        Message = "The frame's pocket is narrower than the cut itself, so no pocket is cut; check the outline and the frame's kerf (frame_kerf_mm).",
    });

    public ImmutableArray<Finding> ToImmutable()
    {
        var kerf = string.Create(CultureInfo.InvariantCulture, $"{Math.Max(_settings.KerfXMm, _settings.KerfYMm):0.000} mm");
        AddIfAny(_closed, "CUT003", Severity.Warning, n => $"{Counted.Of(n, "opening")} {Counted.Word(n, "is", "are")} too small for a cut of {kerf} and will not open at all; use a finer beam, a finer kerf setting if the coupon allows it, or put paste on by hand there.");
        AddIfAny(_lines, "CUT004", Severity.Warning, n => $"{Have(n)} parts narrower than the cut; those parts are cut as a single line along their middle and come out as wide as the cut, {kerf}, so wider than drawn.");
        AddIfAny(_parts, "CUT005", Severity.Warning, n => $"{Have(n)} parts narrower than the cut of {kerf} that are too short for a single line along their middle; those parts stay closed.");
        AddIfAny(_islands, "CUT006", Severity.Warning, n => $"{Have(n)} an island of film inside, which nothing holds: it falls out with the slug and the whole area opens; join it to the film by bridges in the artwork or accept the larger opening.");
        AddIfAny(_fails, "CUT007", Severity.Warning, n => $"{Counted.Of(n, "opening")} will not print through film of {_settings.FilmThicknessMm.ToString("0.000", CultureInfo.InvariantCulture)} mm (area ratio below 0.50); take thinner film, larger openings, or a bought metal stencil.");
        AddIfAny(_doubtful, "CUT008", Severity.Note, n => $"{Counted.Of(n, "opening")} may print too little (area ratio 0.50 to 0.66, or a slot narrower than 1.5 times the film); look at these pads after printing, or take thinner film.");
        AddIfAny(_coarse, "CUT011", Severity.Note, n => $"{Counted.Of(n, "opening")} may clog with {_settings.Paste}: fewer than five balls of its powder (eight in a round or square opening) fit across; take a finer powder.");
        AddIfAny(_cramped, "CUT012", Severity.Note, n => $"{Have(n)} no room in the slug for the lead-in of {_settings.LeadInMm.ToString("0.000", CultureInfo.InvariantCulture)} mm (lead_in_mm) and {Counted.Word(n, "is begun on its", "are begun on their")} outline; take a shorter one if the start shows.");
        if (_settings.TaperMm > 0 && !_settings.CutFromBoardSide)
        {
            _findings.Add(new Finding
            {
                Code = "CUT013",
                Severity = Severity.Note,
                Message = "Openings are wider where the beam goes in (taper_mm), and that side faces the squeegee; paste leaves more easily towards the wider side, so cut from the board's side (cut_from_board_side).",
            });
        }

        return [.. _findings];
    }

    private static void HottestFirst(HeatReading?[] readings, List<int> openings) => openings.Sort((a, b) =>
    {
        var order = readings[b]!.Value.PeakRiseK.CompareTo(readings[a]!.Value.PeakRiseK);
        return order != 0 ? order : a.CompareTo(b);
    });

    private static string Peak(HeatReading?[] readings, List<int> openings) =>
        readings[openings[0]]!.Value.PeakC.ToString("0", CultureInfo.InvariantCulture) + " °C";

    private void SayWeb(int a, Web web)
    {
        var at = _toBoard.Apply(web.Middle);
        var (first, second) = (_design.Openings[a].Id, _design.Openings[web.Neighbour].Id);
        _findings.Add(new Finding
        {
            Code = "CUT001",
            Severity = Severity.Warning,
            Message = string.Create(CultureInfo.InvariantCulture, $"Only {web.WidthMm:0.000} mm of film stays between {first} and {second}, less than the {_settings.SmallestWebMm:0.000} mm that survive (smallest_web_mm): they may become one opening; make them narrower, or use a finer beam."),
            Apertures = [first, second],
            XMm = at.X,
            YMm = at.Y,
            Source = _design.Openings[a].Place,
        });
    }

    private static string Have(int openings) => $"{Counted.Of(openings, "opening")} {Counted.Word(openings, "has", "have")}";

    // What is told is the hottest of several.
    private static string UpTo(int openings) => Counted.Word(openings, "", "up to ");

    private void AddIfAny(List<int> openings, string code, Severity severity, Func<int, string> message)
    {
        if (openings.Count > 0)
        {
            Add(code, severity, $"{message(openings.Count)}", openings);
        }
    }

    private void Add(string code, Severity severity, FormattableString message, List<int> openings)
    {
        var ids = ImmutableArray.CreateBuilder<string>(openings.Count);
        foreach (var i in openings)
        {
            ids.Add(_design.Openings[i].Id);
        }

        var first = _design.Openings[openings[0]];
        var at = first.Design.Bounds.Center;
        _findings.Add(new Finding
        {
            Code = code,
            Severity = severity,
            Message = FormattableString.Invariant(message),
            Apertures = ids.MoveToImmutable(),
            XMm = at.X,
            YMm = at.Y,
            Source = first.Place,
        });
    }
}
