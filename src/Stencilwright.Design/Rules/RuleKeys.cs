using System.Collections.Immutable;
using Stencilwright.Boards.Parts;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Rules;

/// <summary>Every key that a rule may have, with what it takes. The table in docs/aperture-rules.md follows this one.</summary>
internal static class RuleKeys
{
    private const double MostMm = 5;

    // In the order of PartClass without its first: an uncertain part cannot be named.
    private static readonly string[] _classes =
    [
        "chip", "small-transistor", "small-outline", "dual-no-lead", "quad-flat", "quad-no-lead", "grid-array", "connector", "single",
    ];

    private static readonly string[] _functions = ["terminal", "thermal-pad", "anchor"];

    private static readonly string[] _shapes = ["other", "rectangle", "rounded-rectangle", "obround", "circle"];

    private static readonly string[] _reshapings = ["none", "home-plate", "inverted-home-plate", "bow-tie", "rounded-square"];

    /// <summary>Keys of the rule itself, of its match and of its change.</summary>
    public static ImmutableArray<RuleKey> All { get; } =
    [
        new("", "name", KeyKind.Text, (d, v) => d.Name = v.Text),
        new("", "source", KeyKind.Text, (d, v) => d.Source = v.Text),
        Number("", "keep_area_ratio", 0, 10, (d, v) => d.KeepAreaRatio = v),

        Words("part_class", _classes, (m, w) => m with { Classes = Indexed(w, _classes, i => (PartClass)(i + 1)) }),
        Words("pad_function", _functions, (m, w) => m with { Functions = Indexed(w, _functions, i => (PadFunction)i) }),
        Words("size_imperial", [], (m, w) => m with { SizesImperial = w }),
        Words("size_metric", [], (m, w) => m with { SizesMetric = w }),
        Range("pitch_mm", 100, (m, r) => m with { PitchMm = r }),
        Range("width_mm", 1000, (m, r) => m with { WidthMm = r }),
        Range("length_mm", 1000, (m, r) => m with { LengthMm = r }),
        Range("area_mm2", 1e6, (m, r) => m with { AreaMm2 = r }),
        Words("shape", _shapes, (m, w) => m with { Shapes = Indexed(w, _shapes, i => (OpeningShape)i) }),
        Words("reference", [], (m, w) => m with { References = w }),
        new("match", "side", KeyKind.Word, (d, v) => d.Match = d.Match with { Side = v.Text == "top" ? BoardSide.Top : BoardSide.Bottom }) { Known = ["top", "bottom"] },
        new("match", "paned", KeyKind.Flag, (d, v) => d.Match = d.Match with { IsPaned = v.Flag }),

        Flag("skip", (c, v) => c with { Skip = v }),
        Flag("keep", (c, v) => c with { Keep = v }),
        Flag("may_grow", (c, v) => c with { MayGrow = v }),
        Change("reduce_width_mm", -MostMm, MostMm, (c, v) => c with { ReduceWidthMm = v }),
        Change("reduce_width_percent", -100, 90, (c, v) => c with { ReduceWidthPercent = v }),
        Change("reduce_length_mm", -MostMm, MostMm, (c, v) => c with { ReduceLengthMm = v }),
        Change("reduce_length_percent", -100, 90, (c, v) => c with { ReduceLengthPercent = v }),
        Change("inset_mm", -MostMm, MostMm, (c, v) => c with { InsetMm = v }),
        Change("least_width_pitch_percent", 0, 100, (c, v) => c with { LeastWidthPitchPercent = v }),
        Change("heel_back_mm", -MostMm, MostMm, (c, v) => c with { HeelBackMm = v }),
        Change("toe_back_mm", -MostMm, MostMm, (c, v) => c with { ToeBackMm = v }),
        new("change", "reshape", KeyKind.Word, (d, v) => d.Change = d.Change with { Reshape = (Reshaping)Array.IndexOf(_reshapings, v.Text) }) { Known = [.. _reshapings] },
        Change("taper_depth_percent", 0, 100, (c, v) => c with { TaperDepthPercent = v }),
        Change("taper_flat_percent", 0, 100, (c, v) => c with { TaperFlatPercent = v }),
        Change("square_less_mm", 0, MostMm, (c, v) => c with { SquareLessMm = v }),
        Change("corner_radius_mm", 0, MostMm, (c, v) => c with { CornerRadiusMm = v }),
        Change("corner_radius_percent", 0, 50, (c, v) => c with { CornerRadiusPercent = v }),
        Change("corner_radius_beam_percent", 0, 500, (c, v) => c with { CornerRadiusBeamPercent = v }),
        Number("change", "pane_coverage_percent", 1, 99, (d, v) => d.PaneCoveragePercent = v),
        Number("change", "pane_web_mm", 0.01, MostMm, (d, v) => d.PaneWebMm = v),
        Number("change", "pane_most_mm", 0.05, 100, (d, v) => d.PaneMostMm = v),
        Number("change", "pane_least_mm", 0.01, 100, (d, v) => d.PaneLeastMm = v),
        new("change", "pane_edges", KeyKind.Word, (d, v) => d.PaneEdges = v.Text == "flush" ? PaneEdges.Flush : PaneEdges.Even) { Known = ["even", "flush"] },
        Number("change", "pane_via_clearance_mm", 0, MostMm, (d, v) => d.PaneViaClearanceMm = v),
        Change("neighbour_web_mm", 0, MostMm, (c, v) => c with { NeighbourWebMm = v }),
        Change("neighbour_loss_percent", 0, 90, (c, v) => c with { NeighbourLossPercent = v }),
    ];

    /// <summary>The word of a reshaping in files and messages.</summary>
    public static string Word(Reshaping reshaping) => _reshapings[(int)reshaping];

    /// <summary>The word of a shape in files and messages.</summary>
    public static string Word(OpeningShape shape) => _shapes[(int)shape];

    private static ImmutableArray<T> Indexed<T>(ImmutableArray<string> words, string[] known, Func<int, T> make)
    {
        var made = ImmutableArray.CreateBuilder<T>(words.Length);
        foreach (var word in words)
        {
            made.Add(make(Array.IndexOf(known, word)));
        }

        return made.MoveToImmutable();
    }

    private static RuleKey Words(string name, string[] known, Func<RuleMatch, ImmutableArray<string>, RuleMatch> with) =>
        new("match", name, KeyKind.Words, (d, v) => d.Match = with(d.Match, v.Words)) { Known = [.. known] };

    private static RuleKey Range(string name, double most, Func<RuleMatch, NumberRange, RuleMatch> with) =>
        new("match", name, KeyKind.Range, (d, v) => d.Match = with(d.Match, v.Range)) { Most = most };

    private static RuleKey Flag(string name, Func<RuleChange, bool, RuleChange> with) =>
        new("change", name, KeyKind.Flag, (d, v) => d.Change = with(d.Change, v.Flag));

    private static RuleKey Change(string name, double least, double most, Func<RuleChange, double, RuleChange> with) =>
        Number("change", name, least, most, (d, v) => d.Change = with(d.Change, v));

    private static RuleKey Number(string table, string name, double least, double most, Action<RuleDraft, double> set) =>
        new(table, name, KeyKind.Number, (d, v) => set(d, v.Number)) { Least = least, Most = most };
}
