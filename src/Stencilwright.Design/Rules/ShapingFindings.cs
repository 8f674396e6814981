using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Foundation;

namespace Stencilwright.Design.Rules;

/// <summary>Collects what there is to say about shaping, and says it by rule rather than by opening.</summary>
internal sealed class ShapingFindings(PasteLayer paste)
{
    private readonly List<Finding> _single = [];
    private readonly List<(string Rule, int Opening)> _skipped = [];
    private readonly List<(string Rule, int Opening)> _held = [];
    private readonly List<(string Rule, int Opening)> _passedOver = [];
    private readonly List<int> _uncertain = [];
    private readonly List<(int A, int B, double GapMm)> _close = [];

    public void Skipped(int opening, ApertureRule rule) => _skipped.Add((rule.Name, opening));

    public void Held(int opening, ApertureRule rule) => _held.Add((rule.Name, opening));

    public void PassedOver(int opening, ApertureRule rule) => _passedOver.Add((rule.Name, opening));

    public void Uncertain(int opening) => _uncertain.Add(opening);

    public void TooClose(int a, int b, double gapMm) => _close.Add((a, b, gapMm));

    public void NoPanes(int opening, ApertureRule rule) => _single.Add(At(opening, Text.Warning(
        "DSN104",
        $"{Name(opening)} stays in one piece: rule {rule.Name} found no room for a pane between its holes and webs; give it smaller panes (pane_least_mm), or plug the holes and leave pane_via_clearance_mm out.")));

    public void Coverage(int opening, ApertureRule rule, double reached, double wanted) => _single.Add(At(opening, Text.Warning(
        "DSN103",
        string.Create(Text.Invariant, $"The panes of {Name(opening)} cover {reached * 100:0} % of the pad instead of the {wanted * 100:0} % that rule {rule.Name} wants, because holes and webs take the room; change pane_web_mm, pane_most_mm or pane_via_clearance_mm if that is not enough paste."))));

    /// <summary>All findings in a stable order.</summary>
    public ImmutableArray<Finding> Finish(RuleSet rules, ShapedOpening[] shaped)
    {
        var all = ImmutableArray.CreateBuilder<Finding>();
        if (Summary(rules, shaped) is { } summary)
        {
            all.Add(summary);
        }

        AddByRule(all, _skipped, (rule, count) => Text.Warning("DSN102", $"Rule {rule} leaves out {count}, which will get no paste from this stencil; change the rule if that is not meant."));
        all.AddRange(_single);
        AddByRule(all, _held, (rule, count) => Text.Note("DSN105", $"Rule {rule} would have made {count} print badly and was held back where the area ratio (keep_area_ratio) or the width (1.5 times the film) would have become too small."));
        foreach (var (a, b, gap) in _close)
        {
            all.Add(At(a, Text.Warning(
                "DSN106",
                string.Create(Text.Invariant, $"{Name(a)} and {Name(b)} stay {gap:0.000} mm apart, less than their rule's neighbour_web_mm, because neither may lose more (neighbour_loss_percent, keep_area_ratio); check that film between them survives."))) with
            {
                Apertures = [Id(a), Id(b)],
            });
        }

        AddByRule(all, _passedOver, (rule, count) => Text.Note("DSN107", $"Rule {rule} passed over {count}, whose shape it cannot change; a later rule or none shaped them."));
        if (_uncertain.Count > 0)
        {
            all.Add(Text.Note("DSN108", $"{Count(_uncertain.Count)} of parts whose kind is uncertain got only rules that name no kind of part (BRD120 and BRD121 say which parts and what would name them).") with { Apertures = Ids(_uncertain) });
        }

        return all.ToImmutable();
    }

    private Finding? Summary(RuleSet rules, ShapedOpening[] shaped)
    {
        var counts = new Dictionary<string, int>(StringComparer.Ordinal);
        var changed = 0;
        for (var i = 0; i < shaped.Length; i++)
        {
            var parts = shaped[i].Parts;
            if (parts.Length != 1 || !ReferenceEquals(parts[0].Design, paste.Openings[i].Shape))
            {
                changed++;
                counts[shaped[i].Rule] = counts.GetValueOrDefault(shaped[i].Rule) + 1;
            }
        }

        if (changed == 0)
        {
            return null;
        }

        var words = new List<string>();
        foreach (var rule in rules.Rules)
        {
            if (counts.TryGetValue(rule.Name, out var count))
            {
                words.Add($"{rule.Name} {count.ToString(Text.Invariant)}");
            }
        }

        return Text.Note("DSN101", string.Create(Text.Invariant, $"Aperture rules ({rules.Name}) shaped {changed} of {Counted.Of(shaped.Length, "opening")}: {string.Join(", ", words)}; --set aperture_rules=none leaves them as the artwork has them."));
    }

    private void AddByRule(ImmutableArray<Finding>.Builder all, List<(string Rule, int Opening)> met, Func<string, string, Finding> say)
    {
        var order = new List<string>();
        var byRule = new Dictionary<string, List<int>>(StringComparer.Ordinal);
        foreach (var (rule, opening) in met)
        {
            if (!byRule.TryGetValue(rule, out var openings))
            {
                order.Add(rule);
                byRule[rule] = openings = [];
            }

            openings.Add(opening);
        }

        foreach (var rule in order)
        {
            var openings = byRule[rule];
            all.Add(At(openings[0], say(rule, Count(openings.Count))) with { Apertures = Ids(openings) });
        }
    }

    private static string Count(int count) => count == 1 ? "one opening" : count.ToString(Text.Invariant) + " openings";

    private ImmutableArray<string> Ids(List<int> openings)
    {
        var ids = ImmutableArray.CreateBuilder<string>(openings.Count);
        foreach (var opening in openings)
        {
            ids.Add(Id(opening));
        }

        return ids.MoveToImmutable();
    }

    private string Id(int opening) => ShapedOpenings.IdOf(opening, paste.Openings.Length);

    private string Name(int opening) => paste.Openings[opening].Component is { } component ? $"{Id(opening)} ({component})" : Id(opening);

    private Finding At(int opening, Finding finding)
    {
        var center = paste.Openings[opening].Shape.Bounds.Center;
        return finding with { XMm = center.X, YMm = center.Y, Source = paste.Openings[opening].Place, Apertures = [Id(opening)] };
    }
}
