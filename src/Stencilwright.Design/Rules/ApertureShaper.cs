using System.Collections.Immutable;
using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>Shapes openings by aperture rules.</summary>
public static class ApertureShaper
{
    /// <summary>Applies to each opening the first rule that is for it.</summary>
    /// <param name="rules">The rules; <see cref="RuleSet.None"/> leaves every opening as the artwork has it.</param>
    /// <param name="context">The side's openings and what is known of them.</param>
    /// <exception cref="ArgumentOutOfRangeException">A film thickness, web or beam width that is not above 0.</exception>
    public static ShapedLayer Shape(RuleSet rules, ShapingContext context)
    {
        ArgumentNullException.ThrowIfNull(rules);
        ArgumentNullException.ThrowIfNull(context);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(context.FilmThicknessMm);
        ArgumentOutOfRangeException.ThrowIfNegative(context.SmallestWebMm);
        ArgumentOutOfRangeException.ThrowIfNegative(context.BeamWidthMm);
        return new Shaping(rules, context).Run();
    }

    private sealed class Shaping(RuleSet rules, ShapingContext context)
    {
        private readonly ImmutableArray<Boards.PasteOpening> _openings = context.Paste.Openings;
        private readonly ShapedOpening[] _shaped = new ShapedOpening[context.Paste.Openings.Length];
        private readonly LocalOpening?[] _forms = new LocalOpening?[context.Paste.Openings.Length];
        private readonly ApertureRule?[] _rules = new ApertureRule?[context.Paste.Openings.Length];
        private readonly ShapingFindings _findings = new(context.Paste);

        public ShapedLayer Run()
        {
            if (rules.Rules.IsEmpty)
            {
                for (var i = 0; i < _shaped.Length; i++)
                {
                    _shaped[i] = AsDrawn(i, "none", "");
                }

                return new([.. _shaped], []);
            }

            var facts = FactsOfParts();
            for (var i = 0; i < _shaped.Length; i++)
            {
                _shaped[i] = ShapeOne(i, facts[i]);
            }

            KeepApart();
            return new([.. _shaped], _findings.Finish(rules, _shaped));
        }

        private OpeningFacts[] FactsOfParts()
        {
            var facts = new OpeningFacts[_openings.Length];
            Array.Fill(facts, new OpeningFacts { Side = context.Side });
            foreach (var part in context.Parts.Parts)
            {
                var thermal = 0;
                foreach (var pad in part.Pads)
                {
                    thermal += pad.Function == PadFunction.ThermalPad ? 1 : 0;
                }

                foreach (var pad in part.Pads)
                {
                    if (pad.Index >= 0 && pad.Index < facts.Length)
                    {
                        facts[pad.Index] = facts[pad.Index] with { Part = part, Function = pad.Function, IsPaned = thermal > 1 };
                    }
                }
            }

            return facts;
        }

        private ShapedOpening ShapeOne(int i, OpeningFacts facts)
        {
            var opening = _openings[i];
            if (opening.Shape.IsEmpty || opening.Shape.AreaMm2 <= 0)
            {
                return AsDrawn(i, "none", "");
            }

            var form = LocalOpening.Of(opening.Shape, opening.RotationDeg);
            _forms[i] = form;
            facts = facts with { Reference = opening.Component ?? facts.Part?.Reference, Heel = Heel(form, facts) };
            var rule = RuleMatcher.Find(rules, form, facts, out var passedOver);
            _rules[i] = rule;
            if (passedOver is not null)
            {
                _findings.PassedOver(i, passedOver);
            }

            if (facts.Part is not null && !facts.IsSure)
            {
                _findings.Uncertain(i);
            }

            var shaped = rule is null ? AsDrawn(i, "none", "") : Apply(i, form, rule, facts);
            return passedOver is null
                ? shaped
                : shaped with { Change = $"{(shaped.Change.Length > 0 ? shaped.Change : ShapeWords.Of(form) + ", as drawn")}; {passedOver.Name} passed over, it needs {Needs(passedOver.Change)}" };
        }

        private static Vector2 Heel(LocalOpening form, in OpeningFacts facts) =>
            facts is { Part: { } part, Function: PadFunction.Terminal } && part.Class is not (PartClass.GridArray or PartClass.Single)
                ? form.AxisTowards(part.Center, part.Class == PartClass.Chip)
                : default;

        private static string Needs(RuleChange change) =>
            change.Reshape == Reshaping.RoundedSquare ? "a circle"
            : change.NeedsHeel ? "a rectangle whose end towards the part's middle is plain" : "a rectangle";

        private ShapedOpening Apply(int i, LocalOpening form, ApertureRule rule, in OpeningFacts facts)
        {
            var change = rule.Change;
            if (change.Skip)
            {
                _findings.Skipped(i, rule);
                return new() { Rule = rule.Name, Change = ShapeWords.Of(form) + " to nothing: not cut", Parts = [] };
            }

            if (change.Keep)
            {
                return AsDrawn(i, rule.Name, ShapeWords.Of(form) + ", kept as drawn");
            }

            var copper = i < context.Copper.Length ? context.Copper[i] : null;
            var size = SizeChange.Of(form, change, facts.Heel, facts.Part?.PitchMm, copper, context.BeamWidthMm);
            if (change.Panes is not null)
            {
                return Split(i, form, rule, size);
            }

            var (local, share) = Reshaper.Strongest(form, rule, size, context.FilmThicknessMm);
            var held = "";
            if (share < 0.999)
            {
                _findings.Held(i, rule);
                held = string.Create(Text.Invariant, $", held back to {share * 100:0} % of the change for its area ratio");
            }

            if (local is null || IsSame(form, local))
            {
                return AsDrawn(i, rule.Name, ShapeWords.Of(form) + ", as drawn" + held);
            }

            return new() { Rule = rule.Name, Change = ShapeWords.Change(form, change, local) + held, Parts = [new(local.Transform(form.ToBoard), form.Artwork)] };
        }

        private ShapedOpening Split(int i, LocalOpening form, ApertureRule rule, SizeChange size)
        {
            var wish = rule.Change.Panes! with { WebMm = Math.Max(rule.Change.Panes!.WebMm, context.SmallestWebMm) };
            var (hx, hy) = (form.HalfLengthMm - (Math.Max(0, size.OffLengthMm) / 2), form.HalfWidthMm - (Math.Max(0, size.OffWidthMm) / 2));
            var plan = PaneLayout.Find(hx, hy, KeepOut(form, wish), wish, rule.KeepAreaRatio * context.FilmThicknessMm);
            if (plan.Panes.IsEmpty)
            {
                _findings.NoPanes(i, rule);
                return AsDrawn(i, rule.Name, ShapeWords.Of(form) + ", as drawn: no pane found room");
            }

            var wanted = wish.CoveragePercent / 100;
            if (Math.Abs(plan.Reached - wanted) > 0.02)
            {
                _findings.Coverage(i, rule, plan.Reached, wanted);
            }

            return new()
            {
                Rule = rule.Name,
                Change = ShapeWords.Panes(form, plan, wish.CoveragePercent),
                Parts = PaneShapes.Of(form, plan, hx, hy, size.RadiusMm),
            };
        }

        private (Point2, double)[] KeepOut(LocalOpening form, PaneWish wish)
        {
            if (wish.ViaClearanceMm is not { } clearance || context.Holes.IsEmpty)
            {
                return [];
            }

            var toLocal = form.ToBoard.Inverse();
            var near = new List<(Point2, double)>();
            var box = form.Artwork.Bounds;
            foreach (var hole in context.Holes)
            {
                var radius = (hole.DiameterMm / 2) + clearance;
                if (box.Inflate(radius).Contains(hole.Center))
                {
                    near.Add((toLocal.Apply(hole.Center), radius));
                }
            }

            return [.. near];
        }

        private void KeepApart()
        {
            var wantsWeb = false;
            foreach (var rule in _rules)
            {
                wantsWeb |= rule is { Change.NeighbourWebMm: > 0 };
            }

            if (!wantsWeb)
            {
                return;
            }

            var entries = new List<NeighbourEntry>(_shaped.Length);
            var places = new List<(int Opening, int Part)>(_shaped.Length);
            for (var i = 0; i < _shaped.Length; i++)
            {
                for (var k = 0; _forms[i] is { } form && k < _shaped[i].Parts.Length; k++)
                {
                    entries.Add(new NeighbourEntry(i, form, _rules[i], _shaped[i].Parts[k].Design));
                    places.Add((i, k));
                }
            }

            foreach (var (a, b, gap) in NeighbourLimit.Apply(entries, context.FilmThicknessMm))
            {
                _findings.TooClose(places[a].Opening, places[b].Opening, gap);
            }

            for (var e = 0; e < entries.Count; e++)
            {
                if (entries[e].HasMoved)
                {
                    var (i, k) = places[e];
                    var parts = _shaped[i].Parts;
                    _shaped[i] = _shaped[i] with
                    {
                        Parts = parts.SetItem(k, parts[k] with { Design = entries[e].Design }),
                        Change = _shaped[i].Change + string.Create(Text.Invariant, $"; moved back from a neighbour, area {entries[e].Design.AreaMm2:0.000#}"),
                    };
                }
            }
        }

        private ShapedOpening AsDrawn(int i, string rule, string change) =>
            new() { Rule = rule, Change = change, Parts = [new(_openings[i].Shape, _openings[i].Shape)] };

        private static bool IsSame(LocalOpening form, Region local)
        {
            var box = local.Bounds;
            return Math.Abs(local.AreaMm2 - form.AreaMm2) < 1e-7
                && Math.Abs(box.Width - form.LengthMm) < 1e-6 && Math.Abs(box.Height - form.WidthMm) < 1e-6;
        }
    }
}
