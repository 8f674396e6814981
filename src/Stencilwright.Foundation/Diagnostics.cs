using System.Collections.Immutable;
using System.Globalization;

namespace Stencilwright.Foundation;

/// <summary>How much a diagnostic or finding matters.</summary>
public enum Severity
{
    /// <summary>Worth knowing; nothing to do.</summary>
    Note,

    /// <summary>Read or decided on an assumption that a person should confirm.</summary>
    Warning,

    /// <summary>Cannot be used as it stands.</summary>
    Error,
}

/// <summary>A place in an input file, as an editor shows it.</summary>
/// <param name="File">The file's name inside its package, or the path as the user gave it.</param>
/// <param name="Line">Line number counted from 1; 0 when the whole file is meant.</param>
/// <param name="Column">Byte column counted from 1; 0 when the whole line or file is meant.</param>
public readonly record struct SourcePlace(string File, int Line, int Column)
{
    /// <summary>The whole of a file.</summary>
    public static SourcePlace Whole(string file) => new(file, 0, 0);

    /// <inheritdoc/>
    public override string ToString() => Line == 0
        ? File
        : string.Create(CultureInfo.InvariantCulture, $"{File}:{Line}:{Column}");
}

/// <summary>One statement about an input: what is wrong or was assumed, where, and what to do.</summary>
/// <param name="Code">A stable code such as <c>ART012</c>, documented in <c>docs/diagnostics.md</c>.</param>
/// <param name="Severity">How much it matters.</param>
/// <param name="Message">One plain sentence with cause and remedy, without the place.</param>
/// <param name="Place">Where.</param>
public sealed record Diagnostic(string Code, Severity Severity, string Message, SourcePlace Place)
{
    /// <summary>The form printed for people: <c>file:line:column: severity: code: message</c>.</summary>
    public override string ToString()
    {
        var severity = Severity switch { Severity.Error => "error", Severity.Warning => "warning", _ => "note" };
        return $"{Place}: {severity}: {Code}: {Message}";
    }
}

/// <summary>A value as far as it could be saved, and what there is to say about it.</summary>
/// <typeparam name="T">The document.</typeparam>
/// <param name="Value">The document, or null when nothing usable could be made.</param>
/// <param name="Diagnostics">In the order in which they were met.</param>
public sealed record Outcome<T>(T? Value, ImmutableArray<Diagnostic> Diagnostics)
    where T : class
{
    /// <summary>True when there is no value or a diagnostic is an error.</summary>
    public bool Failed => Value is null || Diagnostics.Any(d => d.Severity == Severity.Error);
}
