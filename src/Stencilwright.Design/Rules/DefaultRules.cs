using Stencilwright.Foundation;

namespace Stencilwright.Design.Rules;

/// <summary>The rule file carried inside the program.</summary>
public static class DefaultRules
{
    /// <summary>Its name in messages and in the documents.</summary>
    public const string FileName = "default-rules.toml";

    /// <summary>The file as it is, to be shown or saved as a start for one's own.</summary>
    public static SourceText Text()
    {
        using var stream = typeof(DefaultRules).Assembly.GetManifestResourceStream(FileName)
            ?? throw new InvalidOperationException("The rule file is not in the assembly.");
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        return new SourceText(FileName, bytes);
    }

    internal static RuleSet Read()
    {
        var outcome = RuleSetReader.Read(Text());
        return outcome.Failed
            ? throw new InvalidOperationException("The rule file in the assembly is not valid: " + outcome.Diagnostics[0])
            : outcome.Value!;
    }
}
