using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Svg;

/// <summary>The codes of what the SVG reader says; <c>docs/diagnostics.md</c> explains each.</summary>
internal static class SvgCodes
{
    public const string NotWellFormed = "ART100";
    public const string NoSvgRoot = "ART101";
    public const string UnitAssumed = "ART102";
    public const string ReferenceRefused = "ART103";
    public const string PathData = "ART104";
    public const string BadValue = "ART105";
    public const string TextIgnored = "ART106";
    public const string NotSupported = "ART107";
    public const string UseUnresolved = "ART108";
    public const string LimitReached = "ART109";
    public const string FarAway = "ART110";
    public const string HairlinePen = "ART111";
    public const string PageStretched = "ART112";
    public const string OpacityIgnored = "ART113";
    public const string DashesIgnored = "ART114";
    public const string SelectorIgnored = "ART115";
    public const string NothingPainted = "ART116";
    public const string FlatTransform = "ART117";
    public const string MoreOfTheSame = "ART118";
}

/// <summary>Collects diagnostics up to a bound, and says the once-a-file ones once.</summary>
internal sealed class SvgDiagnosticSink(SourceText source, int limit)
{
    private readonly ImmutableArray<Diagnostic>.Builder _kept = ImmutableArray.CreateBuilder<Diagnostic>();
    private readonly HashSet<string> _said = new(StringComparer.Ordinal);
    private int _dropped;

    public void Error(string code, int offset, string message) => Add(code, Severity.Error, offset, message);

    public void Warn(string code, int offset, string message) => Add(code, Severity.Warning, offset, message);

    /// <summary>Adds unless the same key has been said before.</summary>
    public void Once(string key, string code, Severity severity, int offset, string message)
    {
        if (_said.Add(key))
        {
            Add(code, severity, offset, message);
        }
    }

    public void Note(string code, int offset, string message) => Add(code, Severity.Note, offset, message);

    public ImmutableArray<Diagnostic> ToImmutable()
    {
        if (_dropped > 0)
        {
            var text = string.Create(CultureInfo.InvariantCulture, $"{_dropped} further messages about this file are not shown; correct the ones above first.");
            _kept.Add(new Diagnostic(SvgCodes.MoreOfTheSame, Severity.Warning, text, SourcePlace.Whole(source.Name)));
            _dropped = 0;
        }

        return _kept.ToImmutable();
    }

    private void Add(string code, Severity severity, int offset, string message)
    {
        // The first error of a kind is never dropped in favour of earlier warnings: it decides whether the file can be used.
        var isFirstError = severity == Severity.Error && _said.Add("error " + code);
        if (_kept.Count >= limit && !isFirstError)
        {
            _dropped++;
            return;
        }

        var place = offset < 0 ? SourcePlace.Whole(source.Name) : source.PlaceOf(offset);
        _kept.Add(new Diagnostic(code, severity, message, place));
    }
}
