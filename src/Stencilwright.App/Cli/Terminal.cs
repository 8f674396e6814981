using Stencilwright.Foundation;

namespace Stencilwright.App.Cli;

/// <summary>What the program speaks through; tests give it writers of their own.</summary>
internal sealed record Terminal
{
    /// <summary>Results.</summary>
    public required TextWriter Out { get; init; }

    /// <summary>Diagnostics and progress.</summary>
    public required TextWriter Error { get; init; }

    /// <summary>Opens standard input; called only when a path is <c>-</c>.</summary>
    public Func<Stream> OpenInput { get; init; } = static () => Stream.Null;

    /// <summary>Whether a person is looking at <see cref="Error"/>.</summary>
    public bool ErrorIsTerminal { get; init; }

    /// <summary>False when the person asked for plain text.</summary>
    public bool ColorAllowed { get; init; } = true;

    /// <summary>Whether a fault of the program shows where it happened.</summary>
    public bool Trace { get; init; }

    /// <summary>The process's own console.</summary>
    public static Terminal OfProcess() => new()
    {
        Out = Console.Out,
        Error = Console.Error,
        OpenInput = Console.OpenStandardInput,
        ErrorIsTerminal = !Console.IsErrorRedirected,
        ColorAllowed = string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR")),
        Trace = !string.IsNullOrEmpty(Environment.GetEnvironmentVariable("STENCILWRIGHT_TRACE")),
    };

    /// <summary>Writes one diagnostic as <c>file:line:column: severity: code: text</c>.</summary>
    public void Say(Diagnostic diagnostic)
    {
        var (word, color) = Words(diagnostic.Severity);
        Error.WriteLine(
            $"{Printable.Text(diagnostic.Place.ToString())}: {Colored(word, color)}: {diagnostic.Code}: {Printable.Text(diagnostic.Message)}");
    }

    /// <summary>Writes one finding; its place in the artwork stands in front when it has one.</summary>
    public void Say(Finding finding)
    {
        var (word, color) = Words(finding.Severity);
        var place = finding.Source is { } source ? Printable.Text(source.ToString()) : "board";
        Error.WriteLine($"{place}: {Colored(word, color)}: {finding.Code}: {Printable.Text(finding.Message)}");
    }

    /// <summary>Writes one error about the command line itself.</summary>
    public void SayUsage(string message)
    {
        Error.WriteLine($"stencilwright: {Colored("error", 31)}: {Printable.Text(message)}");
        Error.WriteLine("Run `stencilwright --help` for the commands and their options.");
    }

    private static (string Word, int Color) Words(Severity severity) => severity switch
    {
        Severity.Error => ("error", 31),
        Severity.Warning => ("warning", 33),
        _ => ("note", 36),
    };

    private string Colored(string text, int color) => ErrorIsTerminal && ColorAllowed ? $"\u001b[{color}m{text}\u001b[0m" : text;
}
