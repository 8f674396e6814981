using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Placement;

/// <summary>Codes of what can be said about placement lists and component layers; <c>docs/diagnostics.md</c> explains each.</summary>
internal static class PlacementCodes
{
    public const string NotPlacement = "ART300";
    public const string NoHeader = "ART301";
    public const string UnitAssumed = "ART302";
    public const string DelimiterDoubtful = "ART303";
    public const string ColumnDoubtful = "ART304";
    public const string LineLeftOut = "ART305";
    public const string CommaDoubtful = "ART306";
    public const string SideUnknown = "ART307";
    public const string UnitConflict = "ART308";
    public const string ReferenceTwice = "ART309";
    public const string FarAway = "ART310";
    public const string LimitReached = "ART311";
    public const string MoreLeftOut = "ART312";
    public const string EncodingAssumed = "ART313";
    public const string QuoteOpen = "ART314";
    public const string CutShort = "ART315";
    public const string RotationUnread = "ART316";
    public const string NoParts = "ART317";
    public const string PartWithoutCentre = "ART320";
    public const string PinWithoutPart = "ART321";
    public const string NotComponentLayer = "ART322";
}

/// <summary>Collects diagnostics up to a bound and counts the rest; the first error of a code is always kept.</summary>
internal sealed class DiagnosticSink(string file, int limit, string moreCode)
{
    private readonly ImmutableArray<Diagnostic>.Builder _kept = ImmutableArray.CreateBuilder<Diagnostic>();
    private readonly HashSet<string> _said = new(StringComparer.Ordinal);
    private int _leftOut;

    /// <summary>The whole file.</summary>
    public SourcePlace Whole => SourcePlace.Whole(file);

    public void Error(string code, SourcePlace place, string message) => Add(code, Severity.Error, place, message);

    public void Warn(string code, SourcePlace place, string message) => Add(code, Severity.Warning, place, message);

    public void Note(string code, SourcePlace place, string message) => Add(code, Severity.Note, place, message);

    /// <summary>True the first time that a key is met.</summary>
    public bool IsFirst(string key) => _said.Add(key);

    public void Add(string code, Severity severity, SourcePlace place, string message)
    {
        var isFirstError = severity == Severity.Error && _said.Add("error " + code);
        if (_kept.Count >= limit && !isFirstError)
        {
            _leftOut++;
            return;
        }

        _kept.Add(new Diagnostic(code, severity, message, place));
    }

    public ImmutableArray<Diagnostic> ToImmutable()
    {
        var all = _kept.ToImmutable();
        return _leftOut == 0 ? all : all.Add(new Diagnostic(
            moreCode,
            Severity.Note,
            string.Create(CultureInfo.InvariantCulture, $"{_leftOut} more messages about this file were left out; mend the first ones and read it again."),
            SourcePlace.Whole(file)));
    }

    /// <summary>Text of the file as it may stand in a message: short and without control characters.</summary>
    public static string Shown(string text, int longest = 40)
    {
        var cut = text.Length > longest ? string.Concat(text.AsSpan(0, longest), "…") : text;
        return string.Create(cut.Length, cut, static (shown, from) =>
        {
            for (var i = 0; i < shown.Length; i++)
            {
                shown[i] = char.IsControl(from[i]) ? '\uFFFD' : from[i];
            }
        });
    }
}
