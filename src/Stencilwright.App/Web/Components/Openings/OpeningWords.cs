using Stencilwright.Foundation;

namespace Stencilwright.App.Web.Components.Openings;

/// <summary>Keys of words for values of the engine.</summary>
internal static class OpeningWords
{
    /// <summary>Key of a verdict's word.</summary>
    public static string Key(Verdict verdict) => verdict switch
    {
        Verdict.Prints => "verdict.prints",
        Verdict.Marginal => "verdict.marginal",
        _ => "verdict.willNotPrint",
    };

    /// <summary>A percentage with its sign and one decimal.</summary>
    public static string Signed(double percent, int decimals = 1) => (Math.Round(percent, decimals) > 0 ? "+" : "") + Figures.Of(percent, decimals);
}
