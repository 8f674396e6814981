using Stencilwright.Foundation;

namespace Stencilwright.Workbench;

/// <summary>How a run ended, as scripts see it.</summary>
public static class ExitCodes
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>Done, but a finding reached the severity that the person set.</summary>
    public const int DoneWithFindings = 1;

    /// <summary>The command line was not understood.</summary>
    public const int Usage = 2;

    /// <summary>The input could not be read or is not usable.</summary>
    public const int BadInput = 3;

    /// <summary>The output could not be written.</summary>
    public const int NotWritten = 4;

    /// <summary>A fault in the program itself.</summary>
    public const int Fault = 5;

    /// <summary>0 or 1, by the worst finding or statement about the input.</summary>
    public static int ForFindings(IEnumerable<Finding> findings, IEnumerable<Diagnostic> diagnostics, Severity? failOn) =>
        failOn is { } least && (findings.Any(f => f.Severity >= least) || diagnostics.Any(d => d.Severity >= least)) ? DoneWithFindings : Done;
}
