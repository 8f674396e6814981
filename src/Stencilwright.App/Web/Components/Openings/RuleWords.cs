using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Output;

namespace Stencilwright.App.Web.Components.Openings;

/// <summary>Says in words what an aperture rule is for and what it does.</summary>
internal static class RuleWords
{
    /// <summary>Which openings a rule is for.</summary>
    public static string Of(Words w, RuleMatch match, LengthUnit unit)
    {
        var said = new List<string>();
        Add(match.Classes.Select(PartWords.Plural), "openingRules.match.class");
        Add(match.Functions.Select(f => w["openingRules.function." + f]), "openingRules.match.function");
        Add(match.SizesImperial.Concat(match.SizesMetric), "openingRules.match.size");
        Between(match.PitchMm, "openingRules.match.pitch", unit.MillimetresEach, unit.Name);
        Between(match.WidthMm, "openingRules.match.width", unit.MillimetresEach, unit.Name);
        Between(match.LengthMm, "openingRules.match.length", unit.MillimetresEach, unit.Name);
        Between(match.AreaMm2, "openingRules.match.area", 1, "mm²");
        Add(match.Shapes.Select(s => w["openingRules.shape." + s]), "openingRules.match.shape");
        Add(match.References, "openingRules.match.reference");
        if (match.Side is { } side)
        {
            said.Add(w[side == BoardSide.Top ? "openingRules.match.top" : "openingRules.match.bottom"]);
        }

        if (match.IsPaned is { } paned)
        {
            said.Add(w[paned ? "openingRules.match.paned" : "openingRules.match.notPaned"]);
        }

        return w.Format("openingRules.isFor", said.Count == 0 ? w["openingRules.match.all"] : string.Join("; ", said));

        void Add(IEnumerable<string> words, string key)
        {
            var all = string.Join(", ", words);
            if (all.Length > 0)
            {
                said.Add(w.Format(key, all));
            }
        }

        void Between(NumberRange? range, string key, double each, string name)
        {
            if (range is { } r)
            {
                said.Add(w.Format(key, Figure(r.Least / each), Figure(r.Most / each), name));
            }
        }
    }

    /// <summary>What a rule does that is no number; empty when there is nothing.</summary>
    public static string Shape(Words w, RuleChange change)
    {
        var said = new List<string>();
        if (change.Skip)
        {
            said.Add(w["openingRules.does.skip"]);
        }

        if (change.Keep)
        {
            said.Add(w["openingRules.does.keep"]);
        }

        if (change.Reshape != Reshaping.None)
        {
            said.Add(w["openingRules.does." + change.Reshape]);
        }

        if (change.Panes is { } panes)
        {
            said.Add(w[panes.Edges == PaneEdges.Flush ? "openingRules.does.panesFlush" : "openingRules.does.panes"]);
        }

        if (change.MayGrow)
        {
            said.Add(w["openingRules.does.mayGrow"]);
        }

        return string.Join("; ", said);
    }

    /// <summary>What a number of a rule means.</summary>
    public static string Label(Words w, RuleNumber number)
    {
        var isRange = number.Key.StartsWith("match.", StringComparison.Ordinal);
        return isRange ? w.Format(number.End == 0 ? "openingRules.from.least" : "openingRules.to.most", w["openingRules.key." + number.Name]) : w["openingRules.key." + number.Name];
    }

    private static string Figure(double value) => value.ToString("0.####", System.Globalization.CultureInfo.InvariantCulture);
}
