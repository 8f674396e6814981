using CsCheck;
using Stencilwright.Geometry;
using Stencilwright.Testing;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

public sealed class ShapingPropertyTests
{
    private const double Thickness = 0.1016;

    private static readonly string[] _changes =
    [
        "reduce_width_mm = 0.05\nreduce_length_mm = 0.1",
        "reduce_width_percent = 20",
        "inset_mm = 0.04\ncorner_radius_mm = 0.05",
        "corner_radius_percent = 50",
        "heel_back_mm = 0.08\ntoe_back_mm = 0.02\ncorner_radius_beam_percent = 100",
        "reshape = \"home-plate\"\ntaper_depth_percent = 40\ntaper_flat_percent = 20\ncorner_radius_mm = 0.03",
        "reshape = \"home-plate\"\ntaper_depth_percent = 20\ntaper_flat_percent = 95",
        "reshape = \"inverted-home-plate\"\ntaper_depth_percent = 40\ntaper_flat_percent = 30\nreduce_width_mm = 0.03",
        "reshape = \"bow-tie\"\ntaper_depth_percent = 30\ntaper_flat_percent = 50",
    ];

    private static readonly Gen<string> _reducing = Gen.Int[0, 8].Select(i => _changes[i]);

    private static readonly Gen<(double Along, double Across, double Rounding, double Turn)> _pad =
        Gen.Select(Gen.Double[0.2, 2.5], Gen.Double[0.2, 2.5], Gen.OneOf(Gen.Const(0.0), Gen.Double[0.05, 0.5]), Gen.OneOf(Gen.Const(0.0), Gen.Const(90.0), Gen.Double[-90, 90]));

    [Fact]
    public void A_reducing_rule_stays_inside_the_artwork_and_never_takes_a_good_area_ratio_below_the_floor() =>
        Gen.Select(_reducing, _pad).Check(
            (change, pad) =>
            {
                var sketch = Chip(pad);
                var shaped = sketch.Shape(Sketch.Rule(change));
                foreach (var opening in shaped.Openings)
                {
                    var (design, artwork) = (opening.Parts[0].Design, opening.Parts[0].Artwork);
                    Assert.InRange(design.AreaMm2, 0, artwork.AreaMm2 + 1e-9);
                    Assert.InRange(RegionBoolean.Difference(design, artwork).AreaMm2, 0, 1e-7);
                    var (before, after) = (Sketch.AreaRatio(artwork, Thickness), Sketch.AreaRatio(design, Thickness));
                    Assert.True(after >= Math.Min(before, 0.66) - 1e-6, $"{before} became {after}");
                }
            },
            iter: 300);

    [Fact]
    public void Artwork_below_the_floor_is_not_reduced_at_all() =>
        Gen.Select(Gen.Double[0.16, 0.25], Gen.Double[0.16, 0.25]).Check(
            (a, b) =>
            {
                var sketch = new Sketch();
                var pad = sketch.Box(Math.Max(a, b), Math.Min(a, b), default);
                Assert.True(Sketch.AreaRatio(sketch.Context().Paste.Openings[pad].Shape, Thickness) < 0.66);
                var shaped = sketch.Shape(Sketch.Rule("reduce_width_mm = 0.03\nreduce_length_mm = 0.03")).Openings[pad];
                Assert.Same(sketch.Context().Paste.Openings[pad].Shape, shaped.Parts[0].Design);
                Assert.Contains("held back to 0 %", shaped.Change, StringComparison.Ordinal);
            },
            iter: 30);

    [Fact]
    public void Turning_mirroring_and_moving_the_board_turns_mirrors_and_moves_the_result() =>
        Gen.Select(_reducing, _pad, Gen.OneOf(Gen.Const(90.0), Gen.Const(180.0), Gen.Double[-180, 180]), Gen.Bool, Gen.Double[-50, 50]).Check(
            (change, pad, turn, mirrored, by) =>
            {
                var sketch = Chip(pad);
                sketch.Box(3, 2.4, new(8, 3), pad.Turn);
                sketch.Holes = [new(new(8.2, 3.1), 0.3), new(new(7.1, 2.6), 0.3)];
                var rules = Sketch.Rules(
                    $"[[rule]]\nname = \"panes\"\nsource = \"test\"\n[rule.match]\narea_mm2 = [6.5, 100]\n[rule.change]\npane_coverage_percent = 60\npane_via_clearance_mm = 0.1\n"
                    + $"[[rule]]\nname = \"it\"\nsource = \"test\"\n[rule.change]\n{change}\n");
                var map = Sketch.MapOf(turn, mirrored, new(by, -by));
                var (before, after) = (sketch.Shape(rules), sketch.Moved(turn, mirrored, new(by, -by)).Shape(rules));
                for (var i = 0; i < before.Openings.Length; i++)
                {
                    var (a, b) = (before.Openings[i], after.Openings[i]);
                    Assert.Equal((a.Rule, a.Parts.Length), (b.Rule, b.Parts.Length));
                    var (one, other) = (Joined(a).Transform(map), Joined(b));
                    Assert.Equal(one.AreaMm2, other.AreaMm2, 6);
                    Assert.InRange(RegionBoolean.Difference(one, other).AreaMm2, 0, 1e-5);
                }
            },
            iter: 150);

    [Fact]
    public void Panes_share_out_the_whole_artwork_keep_their_webs_and_reach_the_coverage() =>
        Gen.Select(Gen.Double[1.2, 8], Gen.Double[1.2, 8], Gen.Double[0, 0.4], Gen.Double[40, 80], Gen.Double[0.15, 0.4], Gen.Bool).Check(
            (length, width, radius, coverage, web, flush) =>
            {
                var sketch = new Sketch();
                var pad = sketch.Box(Math.Max(length, width), Math.Min(length, width), new(3, -2), 27, radius);
                var rules = Sketch.Rule(FormattableString.Invariant(
                    $"pane_coverage_percent = {coverage}\npane_web_mm = {web}\npane_edges = \"{(flush ? "flush" : "even")}\"\nreduce_width_mm = 0.02"));
                var layer = sketch.Shape(rules);
                var opening = layer.Openings[pad];
                var whole = sketch.Context().Paste.Openings[pad].Shape;
                SharesAddUp(opening, whole);
                WebsHold(opening, web);
                var reached = opening.Parts.Sum(p => p.Design.AreaMm2) / whole.AreaMm2;
                Assert.True(Math.Abs(reached - (coverage / 100)) < 0.06 || layer.Findings.Any(f => f.Code is "DSN103" or "DSN104"), $"{reached} of {coverage}");
            },
            iter: 150);

    [Fact]
    public void No_pane_lies_over_a_hole_and_a_coverage_that_is_missed_is_said() =>
        Gen.Select(Gen.Double[2, 6], Gen.Double[2, 6], Gen.Select(Gen.Double[-3, 3], Gen.Double[-3, 3], Gen.Double[0.15, 0.5]).Array[1, 14], Gen.Double[0, 0.15], Gen.Double[-90, 90]).Check(
            (length, width, holes, clearance, turn) =>
            {
                var sketch = new Sketch();
                var pad = sketch.Box(Math.Max(length, width), Math.Min(length, width), default, turn);
                sketch.Holes = [.. holes.Select(h => new HoleCircle(new(h.Item1, h.Item2), h.Item3))];
                var rules = Sketch.Rule(FormattableString.Invariant($"pane_coverage_percent = 60\npane_web_mm = 0.2\npane_via_clearance_mm = {clearance}"));
                var layer = sketch.Shape(rules);
                var opening = layer.Openings[pad];
                var whole = sketch.Context().Paste.Openings[pad].Shape;
                SharesAddUp(opening, whole);
                if (opening.Parts.Length == 1 && ReferenceEquals(opening.Parts[0].Design, whole))
                {
                    Assert.Contains(layer.Findings, f => f.Code == "DSN104");
                    return;
                }

                WebsHold(opening, 0.2);
                foreach (var part in opening.Parts)
                {
                    Assert.InRange(RegionBoolean.Difference(part.Design, whole).AreaMm2, 0, 1e-7);
                    foreach (var hole in sketch.Holes)
                    {
                        Assert.False(part.Design.Contains(hole.Center));
                        Assert.True(RegionDistance.ToBoundary(part.Design, hole.Center).DistanceMm >= (hole.DiameterMm / 2) + clearance - 1e-6);
                    }
                }

                var reached = opening.Parts.Sum(p => p.Design.AreaMm2) / whole.AreaMm2;
                Assert.True(Math.Abs(reached - 0.6) < 0.0205 || layer.Findings.Any(f => f.Code == "DSN103"), $"{reached}");
            },
            iter: 150);

    [Fact]
    public void No_rule_changes_nothing() =>
        _pad.Check(
            pad =>
            {
                var sketch = Chip(pad);
                var layer = sketch.Shape(RuleSet.None);
                Assert.Empty(layer.Findings);
                Assert.All(layer.Openings.Zip(sketch.Context().Paste.Openings), p => Assert.Same(p.Second.Shape, p.First.Parts[0].Design));
                Assert.All(layer.Openings, o => Assert.Equal(("none", ""), (o.Rule, o.Change)));
            },
            iter: 20);

    [Fact]
    public void Enlarging_happens_only_where_the_rule_says_so() =>
        _pad.Check(
            pad =>
            {
                var sketch = new Sketch();
                var box = sketch.Box(Math.Max(pad.Along, pad.Across), Math.Min(pad.Along, pad.Across), default, pad.Turn);
                var shaped = sketch.Shape(Sketch.Rule("reduce_width_mm = -0.05\nreduce_length_mm = -0.05\nmay_grow = true")).Openings[box].Parts[0];
                Assert.Equal((Math.Max(pad.Along, pad.Across) + 0.05) * (Math.Min(pad.Along, pad.Across) + 0.05), shaped.Design.AreaMm2, 9);
            },
            iter: 40);

    // The model: the framework's regular expressions, with the pattern's letters escaped.
    [Fact]
    public void Patterns_of_designators_match_as_wildcards_do() =>
        Gen.Select(Gen.Char["ab*?"].Array[0, 6], Gen.Char["aAb"].Array[0, 7]).Check(
            (pattern, name) =>
            {
                var text = new string(pattern);
                var model = "^" + System.Text.RegularExpressions.Regex.Escape(text).Replace("\\*", ".*", StringComparison.Ordinal).Replace("\\?", ".", StringComparison.Ordinal) + "$";
                Assert.Equal(
                    System.Text.RegularExpressions.Regex.IsMatch(new string(name), model, System.Text.RegularExpressions.RegexOptions.IgnoreCase | System.Text.RegularExpressions.RegexOptions.CultureInvariant),
                    RuleMatcher.Fits(text, new string(name)));
            },
            iter: 2000);

    private static Sketch Chip((double Along, double Across, double Rounding, double Turn) pad)
    {
        var sketch = new Sketch();
        sketch.Chip(pad.Along, pad.Across, (2 * pad.Along) + 0.5, new(1, 2), pad.Turn, "0805", pad.Rounding * Math.Min(pad.Along, pad.Across));
        return sketch;
    }

    private static Region Joined(ShapedOpening opening) => RegionBoolean.Union([.. opening.Parts.Select(p => p.Design)]);

    private static void SharesAddUp(ShapedOpening opening, Region whole)
    {
        Assert.Equal(whole.AreaMm2, opening.Parts.Sum(p => p.Artwork.AreaMm2), 6);
        var joined = RegionBoolean.Union([.. opening.Parts.Select(p => p.Artwork)]);
        Assert.InRange(RegionBoolean.Difference(whole, joined).AreaMm2, 0, 1e-6);
    }

    private static void WebsHold(ShapedOpening opening, double web)
    {
        for (var i = 0; i < opening.Parts.Length; i++)
        {
            for (var j = i + 1; j < opening.Parts.Length; j++)
            {
                var apart = RegionDistance.Between(opening.Parts[i].Design, opening.Parts[j].Design).DistanceMm;
                Assert.True(apart >= web - 1e-6, $"panes {i} and {j}: {apart} < {web}");
            }
        }
    }
}
