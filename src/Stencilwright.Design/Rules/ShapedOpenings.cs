using System.Collections.Immutable;

namespace Stencilwright.Design.Rules;

/// <summary>Puts what the rules made into the design's openings.</summary>
internal static class ShapedOpenings
{
    /// <summary>The openings with their shapes, rules and changes; panes become openings of their own, skipped ones are left out.</summary>
    /// <param name="openings">As the artwork has them, one for each of the paste layer's.</param>
    /// <param name="shaped">What became of each.</param>
    /// <exception cref="ArgumentException">The two do not belong together.</exception>
    public static ImmutableArray<DesignedOpening> Apply(ImmutableArray<DesignedOpening> openings, ShapedLayer shaped)
    {
        if (openings.Length != shaped.Openings.Length)
        {
            throw new ArgumentException("The shaped openings are not those of the paste layer.", nameof(shaped));
        }

        var result = ImmutableArray.CreateBuilder<DesignedOpening>(openings.Length);
        for (var i = 0; i < openings.Length; i++)
        {
            var (opening, became) = (openings[i], shaped.Openings[i]);
            for (var k = 0; k < became.Parts.Length; k++)
            {
                result.Add(opening with
                {
                    Id = became.Parts.Length == 1 ? opening.Id : PaneId(opening.Id, k),
                    Artwork = became.Parts[k].Artwork,
                    Design = became.Parts[k].Design,
                    Rule = became.Rule,
                    Change = became.Change,
                });
            }
        }

        return result.ToImmutable();
    }

    /// <summary>
    /// The name of an opening of the artwork, such as <c>a0012</c>: it counts the artwork's order, whatever the rules do to others.
    /// </summary>
    /// <param name="index">Its index in the paste layer.</param>
    /// <param name="count">How many the layer has; decides the digits.</param>
    public static string IdOf(int index, int count) =>
        "a" + (index + 1).ToString("D" + Math.Max(4, count.ToString(Text.Invariant).Length).ToString(Text.Invariant), Text.Invariant);

    /// <summary>The name of a pane, such as <c>a0012p1</c>.</summary>
    /// <param name="id">Its opening's name.</param>
    /// <param name="pane">Its index among the opening's panes.</param>
    public static string PaneId(string id, int pane) => id + "p" + (pane + 1).ToString(Text.Invariant);
}
