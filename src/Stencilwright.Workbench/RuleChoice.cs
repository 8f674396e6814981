using Stencilwright.Design.Rules;
using Stencilwright.Foundation;

namespace Stencilwright.Workbench;

/// <summary>Finds the aperture rules that a setting names.</summary>
internal static class RuleChoice
{
    private static readonly string[] _words = ["default", "none"];

    /// <summary>The rules of <c>default</c>, of <c>none</c>, or of a rule file.</summary>
    /// <param name="name">The setting.</param>
    public static Outcome<RuleSet> Load(string name)
    {
        switch (name)
        {
            case "default":
                return new Outcome<RuleSet>(RuleSet.Default, []);
            case "none":
                return new Outcome<RuleSet>(RuleSet.None, []);
            default:
                try
                {
                    return RuleSetReader.Read(new SourceText(name, File.ReadAllBytes(name)));
                }
                catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
                {
                    var near = Suggestion.For(name, _words);
                    var remedy = near is null ? "write default, none, or the name of a rule file" : $"did you mean {near}?";
                    return new Outcome<RuleSet>(null, [new Diagnostic(
                        "SET010", Severity.Error, $"this rule file cannot be read ({failure.Message.TrimEnd('.')}); {remedy.TrimEnd('.')}{(near is null ? "." : "")}", SourcePlace.Whole(name))]);
                }
        }
    }
}
