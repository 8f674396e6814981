using System.Globalization;
using Stencilwright.Boards.Parts;
using Stencilwright.Geometry;
using Xunit;

namespace Stencilwright.Design.Tests.Rules;

/// <summary>Figures from outside the project; the source stands beside each.</summary>
public sealed class PublishedFiguresTests
{
    // IPC-7525A, table of example apertures (believed 3-1/3-2), land and aperture values from memory.
    [Theory]
    [InlineData(PartClass.SmallOutline, 1.25, 0.65, 2.00, 0.60, 1.95, "leads")]
    [InlineData(PartClass.QuadFlat, 0.65, 0.35, 1.50, 0.30, 1.45, "leads")]
    [InlineData(PartClass.QuadFlat, 0.50, 0.30, 1.25, 0.25, 1.20, "leads-fine")]
    [InlineData(PartClass.QuadFlat, 0.40, 0.25, 1.25, 0.20, 1.20, "leads-fine")]
    public void Openings_for_leads_follow_the_table_from_land_to_aperture(
        PartClass kind, double pitch, double landWidth, double landLength, double width, double length, string rule)
    {
        var sketch = new Sketch();
        var pad = sketch.Box(landLength, landWidth, new(0, 5), 90);
        sketch.Part(kind, new(0, 0), PadFunction.Terminal, [pad], pitch);
        var shaped = sketch.Shape(RuleSet.Default).Openings[pad];
        Assert.Equal(rule, shaped.Rule);
        SameSize(width, length, shaped.Parts[0].Design);
    }

    // The same table, QFP of 0.30 pitch, for its own foil of 0.075 mm (from memory); in film of 0.1016 mm its width would be less
    // than 1.5 times the film (IPC-7525, 3.2), so the rule stops at 0.1524.
    [Fact]
    public void The_finest_row_of_the_table_is_for_thinner_foil_and_is_held_back_in_film()
    {
        var sketch = new Sketch { FilmThicknessMm = 0.075 };
        var pad = sketch.Box(1.00, 0.20, new(0, 5), 90);
        sketch.Part(PartClass.QuadFlat, new(0, 0), PadFunction.Terminal, [pad], 0.30);
        SameSize(0.15, 0.95, sketch.Shape(RuleSet.Default).Openings[pad].Parts[0].Design);

        sketch.FilmThicknessMm = 0.1016;
        var layer = sketch.Shape(RuleSet.Default);
        var design = layer.Openings[pad].Parts[0].Design;
        Assert.InRange(Sketch.AreaRatio(design, 0.1016), 0.66, 0.67);
        Assert.InRange(design.Bounds.Width, 0.1524 - 1e-9, 0.1525);
        Assert.Contains(layer.Findings, f => f.Code == "DSN105");
    }

    // The same table, chips, from memory.
    [Theory]
    [InlineData("0402", 0.50, 0.65, 0.45, 0.60)]
    [InlineData("0201", 0.25, 0.40, 0.23, 0.35)]
    public void Openings_for_small_chips_follow_the_table(string size, double landWidth, double landLength, double width, double length)
    {
        var sketch = new Sketch { FilmThicknessMm = 0.1 };
        var (pad, _) = sketch.Chip(landLength, landWidth, 1.2, default, 0, size);
        SameSize(width, length, sketch.Shape(RuleSet.Default).Openings[pad].Parts[0].Design);
    }

    // The same table, grid arrays, from memory.
    [Theory]
    [InlineData(1.25, 0.80, 0.75, "grid", "circle")]
    [InlineData(1.00, 0.38, 0.35, "grid-small-balls", "rounded-square")]
    [InlineData(0.50, 0.30, 0.28, "grid-fine", "rounded-square")]
    public void Openings_for_grid_arrays_follow_the_table(double pitch, double land, double opening, string rule, string shape)
    {
        var sketch = new Sketch();
        var balls = Enumerable.Range(0, 9).Select(i => sketch.Disc(land, new(i % 3 * pitch, i / 3 * pitch))).ToList();
        sketch.Part(PartClass.GridArray, new(pitch, pitch), PadFunction.Terminal, balls, pitch);
        var shaped = sketch.Shape(RuleSet.Default).Openings[4];
        Assert.Equal(rule, shaped.Rule);
        Assert.Contains($" to {shape} ", shaped.Change, StringComparison.Ordinal);
        SameSize(opening, opening, shaped.Parts[0].Design);
    }

    // IPC-7525A: corner radius 0.06 for a square of 0.25 and 0.09 for one of 0.35, from memory; areas and area ratios computed.
    [Theory]
    [InlineData(0.25, 0.06, 0.0594097, 0.65189)]
    [InlineData(0.35, 0.09, 0.115547, 0.91312)]
    public void A_rounded_square_has_the_area_and_area_ratio_computed_for_it(double side, double radius, double area, double ratio)
    {
        var sketch = new Sketch();
        var ball = sketch.Disc(side, default);
        var rules = Sketch.Rule(string.Create(CultureInfo.InvariantCulture, $"reshape = \"rounded-square\"\ncorner_radius_mm = {radius}\nmay_grow = true"), more: "keep_area_ratio = 0.6");
        var design = sketch.Shape(rules).Openings[ball].Parts[0].Design;
        Assert.Equal(area, design.AreaMm2, 6);
        Assert.Equal(ratio, Sketch.AreaRatio(design, 0.1016), 5);
    }

    // Geometry: a square holds 4/π of the circle's volume at the same area ratio.
    [Fact]
    public void A_square_for_a_circle_holds_four_over_pi_of_its_paste_at_the_same_area_ratio()
    {
        var sketch = new Sketch();
        var ball = sketch.Disc(0.3, default);
        var shaped = sketch.Shape(Sketch.Rule("reshape = \"rounded-square\"\nmay_grow = true")).Openings[ball].Parts[0];
        Assert.Equal(4 / Math.PI, shaped.Design.AreaMm2 / shaped.Artwork.AreaMm2, 9);
        Assert.Equal(Sketch.AreaRatio(shaped.Artwork, 0.1016), Sketch.AreaRatio(shaped.Design, 0.1016), 9);
    }

    // Geometry: A = W(L - d) + d(W + f)/2 for a taper of depth d to a flat f; W = 1.0, L = 1.2.
    [Theory]
    [InlineData(1 / 3.0, 1 / 3.0, 1.08889, 90.74)]
    [InlineData(0.5, 0.0, 0.95, 79.17)]
    [InlineData(0.4, 1 / 3.0, 1.06667, 88.89)]
    public void A_home_plate_and_its_inverse_have_the_area_of_the_formula(double depth, double flat, double area, double percent)
    {
        foreach (var shape in (string[])["home-plate", "inverted-home-plate"])
        {
            var sketch = new Sketch();
            var (left, right) = sketch.Chip(1.2, 1.0, 2.0, default, 0, "0805");
            var rules = Sketch.Rule(string.Create(CultureInfo.InvariantCulture, $"reshape = \"{shape}\"\ntaper_depth_percent = {depth / 1.2 * 100:R}\ntaper_flat_percent = {flat * 100:R}"));
            var shaped = sketch.Shape(rules);
            foreach (var pad in (int[])[left, right])
            {
                var design = shaped.Openings[pad].Parts[0].Design;
                Assert.Equal(area, design.AreaMm2, 5);
                Assert.Equal(percent, design.AreaMm2 / 1.2 * 100, 2);
                Assert.Equal((1.0 * (1.2 - depth)) + (depth * (1.0 + flat) / 2), design.AreaMm2, 9);
            }

            // What is taken away lies towards the middle of the chip.
            var first = shaped.Openings[left].Parts[0];
            Assert.True(first.Design.Centroid.X < first.Artwork.Centroid.X);
            Assert.Equal(-1.6, first.Design.Bounds.MinX, 9);
        }
    }

    // Geometry: a bow-tie pinched to f over d each way loses d(W - f).
    [Fact]
    public void A_bow_tie_has_the_area_of_the_formula()
    {
        var sketch = new Sketch();
        var (pad, _) = sketch.Chip(1.2, 1.0, 2.0, default, 30, "0805");
        var design = sketch.Shape(Sketch.Rule("reshape = \"bow-tie\"\ntaper_depth_percent = 25\ntaper_flat_percent = 60")).Openings[pad].Parts[0].Design;
        Assert.Equal(1.2 - (0.3 * 0.4), design.AreaMm2, 9);
    }

    // Geometry: pad P, n panes a side, coverage c, pitch P/n: side P·√c/n, gap P/n - side.
    [Theory]
    [InlineData(3, 2, 60, 1.16190, 0.33810)]
    [InlineData(3, 3, 60, 0.77460, 0.22540)]
    [InlineData(5, 4, 65, 1.00778, 0.24222)]
    public void Even_panes_have_the_sides_and_gaps_of_the_formula(double pad, int count, double coverage, double side, double gap)
    {
        var panes = PanesOf(pad, $"pane_coverage_percent = {coverage}\npane_web_mm = 0.1\npane_most_mm = {(side + 0.01).ToString(CultureInfo.InvariantCulture)}");
        Assert.Equal(count * count, panes.Count);
        Assert.All(panes, p => SameSize(side, side, p));
        Assert.Equal(gap, panes[1].Bounds.MinX - panes[0].Bounds.MaxX, 5);
        Assert.Equal(gap / 2, panes[0].Bounds.MinX + (pad / 2), 5);
        Assert.Equal(coverage / 100, panes.Sum(p => p.AreaMm2) / (pad * pad), 9);
    }

    // Geometry: panes flush with the pad's edge, gap g: side (P - (n - 1)g)/n.
    [Theory]
    [InlineData(3, 2, 0.3, 1.35, 81.0)]
    [InlineData(3, 3, 0.25, 0.83333, 69.44)]
    [InlineData(5, 4, 0.3, 1.025, 67.24)]
    public void Flush_panes_have_the_sides_and_coverage_of_the_formula(double pad, int count, double gap, double side, double percent)
    {
        // More is wanted than the webs leave: the gaps are the webs. As many panes as it takes to stay below a side of P·√0.9/n.
        var most = (pad * Math.Sqrt(0.9) / count) + 0.001;
        var panes = PanesOf(pad, string.Create(CultureInfo.InvariantCulture, $"pane_coverage_percent = 90\npane_web_mm = {gap}\npane_most_mm = {most}\npane_edges = \"flush\""));
        Assert.Equal(count * count, panes.Count);
        Assert.All(panes, p => Assert.Equal(side, p.Bounds.Width, 5));
        Assert.Equal(percent, panes.Sum(p => p.AreaMm2) / (pad * pad) * 100, 2);
        Assert.Equal(-pad / 2, panes[0].Bounds.MinX, 9);
        Assert.Equal(pad / 2, panes[^1].Bounds.MaxY, 9);
    }

    private static List<Region> PanesOf(double pad, string change)
    {
        var sketch = new Sketch();
        var index = sketch.Box(pad, pad, default);
        return [.. sketch.Shape(Sketch.Rule(change)).Openings[index].Parts.Select(p => p.Design)];
    }

    private static void SameSize(double width, double length, Region design)
    {
        var box = design.Bounds;
        Assert.Equal(width, Math.Min(box.Width, box.Height), 5);
        Assert.Equal(length, Math.Max(box.Width, box.Height), 5);
    }
}
