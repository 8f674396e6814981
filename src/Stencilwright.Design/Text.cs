using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Design;

/// <summary>Short cuts for findings.</summary>
internal static class Text
{
    public static CultureInfo Invariant => CultureInfo.InvariantCulture;

    /// <summary>The other remedy where a person moved the board on its sheet; nothing where nobody did.</summary>
    public static string OrPutBack(double offsetXMm, double offsetYMm, string setting) =>
        offsetXMm == 0 && offsetYMm == 0 ? "" : $", or put the board back ({setting}_x_mm, {setting}_y_mm)";

    public static Finding Note(string code, string message) =>
        new() { Code = code, Severity = Severity.Note, Message = message };

    public static Finding Warning(string code, string message) =>
        new() { Code = code, Severity = Severity.Warning, Message = message };

    public static Finding Error(string code, string message) =>
        new() { Code = code, Severity = Severity.Error, Message = message };
}
