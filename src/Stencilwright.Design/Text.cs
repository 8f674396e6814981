using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Design;

/// <summary>Short cuts for findings.</summary>
internal static class Text
{
    public static CultureInfo Invariant => CultureInfo.InvariantCulture;

    public static Finding Note(string code, string message) =>
        new() { Code = code, Severity = Severity.Note, Message = message };

    public static Finding Warning(string code, string message) =>
        new() { Code = code, Severity = Severity.Warning, Message = message };

    public static Finding Error(string code, string message) =>
        new() { Code = code, Severity = Severity.Error, Message = message };
}
