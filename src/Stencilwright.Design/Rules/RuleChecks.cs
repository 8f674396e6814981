namespace Stencilwright.Design.Rules;

/// <summary>What must hold between the keys of one rule.</summary>
internal static class RuleChecks
{
    private static readonly string[] _growing =
        ["change.reduce_width_mm", "change.reduce_width_percent", "change.reduce_length_mm", "change.reduce_length_percent", "change.inset_mm", "change.heel_back_mm", "change.toe_back_mm"];

    /// <summary>Code, message and the key it is about, null for the rule itself.</summary>
    public static IEnumerable<(string Code, string Message, string? Key)> Of(RuleDraft draft)
    {
        if (draft.Name is null && !draft.Given.ContainsKey("name"))
        {
            yield return ("SET107", "this rule has no name; add name = \"…\".", null);
        }

        if (draft.Source is null && !draft.Given.ContainsKey("source"))
        {
            yield return ("SET107", "this rule does not say where it comes from; add source = \"…\", even if it is \"my own trial\".", null);
        }

        var changes = draft.Given.Keys.Where(k => k.StartsWith("change.", StringComparison.Ordinal)).ToList();
        if (changes.Count == 0 && !draft.IsSpoilt)
        {
            yield return ("SET107", "this rule changes nothing; add a key under [rule.change], or keep = true when that is what you mean.", null);
        }

        foreach (var fault in OfChange(draft, changes))
        {
            yield return fault;
        }
    }

    private static IEnumerable<(string Code, string Message, string? Key)> OfChange(RuleDraft draft, List<string> changes)
    {
        bool Has(string key) => draft.Given.ContainsKey(key);
        var change = draft.Change;
        if ((change.Keep || change.Skip) && changes.Count > 1)
        {
            var which = change.Keep ? "keep" : "skip";
            yield return ("SET108", $"{which} leaves nothing for the rule's other changes to do; take one or the other out.", "change." + which);
        }

        if (change.Reshape != Reshaping.None && draft.PaneCoveragePercent > 0)
        {
            yield return ("SET108", "one rule cannot both reshape an opening and split it into panes; make two rules.", "change.reshape");
        }

        if (change.Reshape is Reshaping.HomePlate or Reshaping.InvertedHomePlate or Reshaping.BowTie)
        {
            if (!Has("change.taper_depth_percent") || !Has("change.taper_flat_percent"))
            {
                yield return ("SET107", "this shape needs its proportions; add taper_depth_percent and taper_flat_percent.", "change.reshape");
            }

            if (change.Reshape == Reshaping.BowTie && change.TaperDepthPercent > 50)
            {
                yield return ("SET104", "change.taper_depth_percent is at most 50 for a bow-tie, which tapers both ways from its waist.", "change.taper_depth_percent");
            }

            if (change.Reshape == Reshaping.BowTie && Has("change.taper_flat_percent") && change.TaperFlatPercent < 5)
            {
                yield return ("SET104", "change.taper_flat_percent is at least 5 for a bow-tie, or its halves hardly hang together.", "change.taper_flat_percent");
            }
        }
        else if (Has("change.taper_depth_percent") || Has("change.taper_flat_percent"))
        {
            yield return ("SET108", "a taper belongs to reshape = \"home-plate\", \"inverted-home-plate\" or \"bow-tie\"; add one of them.", Has("change.taper_depth_percent") ? "change.taper_depth_percent" : "change.taper_flat_percent");
        }

        if (Has("change.square_less_mm") && change.Reshape != Reshaping.RoundedSquare)
        {
            yield return ("SET108", "square_less_mm belongs to reshape = \"rounded-square\"; add it.", "change.square_less_mm");
        }

        if (draft.PaneCoveragePercent == 0 && changes.Find(k => k.StartsWith("change.pane_", StringComparison.Ordinal)) is { } pane && !Has("change.pane_coverage_percent"))
        {
            yield return ("SET107", "panes need a coverage; add pane_coverage_percent.", pane);
        }

        if (draft.PaneCoveragePercent > 0 && draft.PaneLeastMm > draft.PaneMostMm)
        {
            yield return ("SET108", "pane_least_mm is more than pane_most_mm, so no pane can fit; make it smaller.", Has("change.pane_least_mm") ? "change.pane_least_mm" : "change.pane_most_mm");
        }

        foreach (var key in _growing)
        {
            if (!change.MayGrow && Has(key) && ValueOf(change, key) < 0)
            {
                yield return ("SET108", $"{key} is negative, which enlarges the opening; add may_grow = true if that is meant.", key);
            }
        }
    }

    private static double ValueOf(RuleChange change, string key) => key switch
    {
        "change.reduce_width_mm" => change.ReduceWidthMm,
        "change.reduce_width_percent" => change.ReduceWidthPercent,
        "change.reduce_length_mm" => change.ReduceLengthMm,
        "change.reduce_length_percent" => change.ReduceLengthPercent,
        "change.inset_mm" => change.InsetMm,
        "change.heel_back_mm" => change.HeelBackMm,
        _ => change.ToeBackMm,
    };
}
