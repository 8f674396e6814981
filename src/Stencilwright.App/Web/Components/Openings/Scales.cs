using System.Collections.Immutable;
using Stencilwright.Design.Printing;
using Stencilwright.Foundation;
using Stencilwright.Workbench.Workshop;

namespace Stencilwright.App.Web.Components.Openings;

/// <summary>A quantity by which openings are coloured: one even scale from paper to plum, with its distribution and limits.</summary>
/// <param name="Name">Of the values in the scene.</param>
/// <param name="Low">Value at paper.</param>
/// <param name="High">Value at plum.</param>
/// <param name="Limits">Where openings begin to be in doubt.</param>
/// <param name="Bins">Distribution over the scale.</param>
public sealed record Scale(string Name, double Low, double High, ImmutableArray<double> Limits, ImmutableArray<ValueBin> Bins);

/// <summary>What openings can be coloured by.</summary>
internal static class Scales
{
    public const string Verdict = "verdict";

    private const int Bins = 40;

    public static ImmutableArray<string> Names { get; } = [Verdict, "ratio", "web", "volume", "change"];

    /// <summary>The quantity of an opening; null where it has none.</summary>
    public static double? Value(string name, OpeningFigures opening) => name switch
    {
        "ratio" => opening.AsCut.AreaRatio,
        "web" => opening.AsCut.WebMm,
        "volume" => opening.VolumeMm3,
        _ => Math.Abs(opening.ChangePercent),
    };

    /// <summary>The scale for a side; null for verdicts, which are no quantity, and where no opening has a value.</summary>
    public static Scale? Of(string name, SideFigures figures, JobSettings settings)
    {
        if (name == Verdict)
        {
            return null;
        }

        var known = figures.Openings.Select(o => Value(name, o)).OfType<double>().Order().ToArray();
        if (known.Length == 0)
        {
            return null;
        }

        ImmutableArray<double> limits = name switch
        {
            "ratio" => [Printability.MarginalAreaRatio, Printability.LeastAreaRatio],
            "web" => [settings.SmallestWebMm],
            _ => [],
        };
        // The outermost hundredth would squeeze all others together; the limits are always on the scale.
        var low = name is "ratio" ? Math.Min(known[known.Length / 100], limits[0]) : 0;
        var high = known[Math.Min(known.Length - 1, known.Length * 99 / 100)];
        high = limits.Aggregate(high, Math.Max);
        high = high > low ? high : low + 1;
        return new Scale(name, low, high, limits, figures.Bins(o => Value(name, o), low, high, Bins));
    }
}
