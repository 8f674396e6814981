using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>Says from what to what an opening was shaped.</summary>
internal static class ShapeWords
{
    private const double SameMm = 5e-4;

    /// <summary>The artwork's shape with its sizes: shorter side first, diameter for a circle.</summary>
    public static string Of(LocalOpening form) => Of(RuleKeys.Word(form.Shape), form.WidthMm, form.LengthMm, form.Shape == OpeningShape.Circle);

    /// <summary>The change in one piece.</summary>
    /// <param name="form">The artwork.</param>
    /// <param name="change">The rule's change.</param>
    /// <param name="local">The result in the opening's frame.</param>
    public static string Change(LocalOpening form, RuleChange change, Region local)
    {
        var box = local.Bounds;
        var (width, length) = (Math.Min(box.Width, box.Height), Math.Max(box.Width, box.Height));
        var areaPercent = ((local.AreaMm2 / form.AreaMm2) - 1) * 100;
        var word = change.Reshape != Reshaping.None ? RuleKeys.Word(change.Reshape) : form.IsBox ? BoxWord(local.AreaMm2, width, length) : RuleKeys.Word(OpeningShape.Other);
        return string.Create(
            Text.Invariant,
            $"{Of(form)} to {Of(word, width, length, word == "circle")}, area {(areaPercent < 0 ? '−' : '+')}{Math.Abs(areaPercent):0.0} %");
    }

    /// <summary>The change to panes.</summary>
    public static string Panes(LocalOpening form, PanePlan plan, double wantedPercent) => string.Create(
        Text.Invariant,
        $"{Of(form)} to {plan.Panes.Length} panes ({plan.Columns} × {plan.Rows}{(plan.Dropped > 0 ? ", " + plan.Dropped.ToString(Text.Invariant) + " left out" : "")}), {plan.Reached * 100:0} % of it ({wantedPercent:0.#} % wanted)");

    private static string Of(string word, double width, double length, bool isRound) => isRound
        ? string.Create(Text.Invariant, $"{word} {width:0.00#}")
        : string.Create(Text.Invariant, $"{word} {width:0.00#} × {length:0.00#}");

    private static string BoxWord(double areaMm2, double width, double length)
    {
        var radius = Math.Sqrt(Math.Max(0, (width * length) - areaMm2) / (4 - Math.PI));
        return RuleKeys.Word(
            radius < SameMm ? OpeningShape.Rectangle
            : radius < (width / 2) - SameMm ? OpeningShape.RoundedRectangle
            : length - width < SameMm ? OpeningShape.Circle : OpeningShape.Obround);
    }
}
