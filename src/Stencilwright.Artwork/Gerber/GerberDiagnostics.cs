using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Codes of what can be said about a Gerber file; each has a row in <c>docs/diagnostics.md</c>.</summary>
internal static class GerberCodes
{
    public const string NotGerber = "ART001";
    public const string NoEnd = "ART002";
    public const string AfterEnd = "ART003";
    public const string NoFormat = "ART004";
    public const string OddFormat = "ART005";
    public const string NoUnit = "ART006";
    public const string UnitConflict = "ART007";
    public const string Deprecated = "ART008";
    public const string UnknownCommand = "ART009";
    public const string BadNumber = "ART010";
    public const string FarCoordinate = "ART011";
    public const string ModalOperation = "ART012";
    public const string UndefinedAperture = "ART013";
    public const string BadAperture = "ART014";
    public const string ApertureRedefined = "ART015";
    public const string BadMacro = "ART016";
    public const string MacroArithmetic = "ART017";
    public const string MacroOutline = "ART018";
    public const string ArcRepaired = "ART019";
    public const string ArcWithoutCenter = "ART020";
    public const string OpenContour = "ART021";
    public const string NotInRegion = "ART022";
    public const string LeftOpen = "ART023";
    public const string TooDeep = "ART024";
    public const string TooMany = "ART025";
    public const string NegativeImage = "ART026";
    public const string ImageTransform = "ART027";
    public const string PenShape = "ART028";
    public const string StepRepeat = "ART029";
    public const string BadParameter = "ART030";
    public const string BadAttribute = "ART031";
    public const string MoreLeftOut = "ART032";
    public const string ShapeUnresolved = "ART033";
}

/// <summary>Collects diagnostics up to a bound and counts the rest.</summary>
internal sealed class GerberDiagnostics(SourceText source, int limit, string moreCode = GerberCodes.MoreLeftOut)
{
    private readonly ImmutableArray<Diagnostic>.Builder _kept = ImmutableArray.CreateBuilder<Diagnostic>();
    private readonly HashSet<string> _saidOnce = new(StringComparer.Ordinal);
    private Diagnostic? _firstErrorLeftOut;
    private int _leftOut;
    private bool _hasError;

    public void Add(string code, Severity severity, int offset, string message)
    {
        if (_kept.Count >= limit)
        {
            _leftOut++;
            if (severity == Severity.Error && !_hasError && _firstErrorLeftOut is null)
            {
                _firstErrorLeftOut = new Diagnostic(code, severity, message, source.PlaceOf(offset));
            }

            return;
        }

        _hasError |= severity == Severity.Error;
        _kept.Add(new Diagnostic(code, severity, message, source.PlaceOf(offset)));
    }

    public void Error(string code, int offset, string message) => Add(code, Severity.Error, offset, message);

    public void Warn(string code, int offset, string message) => Add(code, Severity.Warning, offset, message);

    /// <summary>Says a thing once for the whole file, at its first place.</summary>
    public void Once(string code, Severity severity, int offset, string message)
    {
        if (IsFirst(message))
        {
            Add(code, severity, offset, message);
        }
    }

    /// <summary>True the first time that a key is met; lets a caller make its message only then.</summary>
    public bool IsFirst(string key) => _saidOnce.Add(key);

    public ImmutableArray<Diagnostic> ToImmutable()
    {
        var all = _kept.ToImmutable();
        if (_firstErrorLeftOut is { } error)
        {
            all = all.Add(error);
        }

        return _leftOut == 0 ? all : all.Add(new Diagnostic(
            moreCode,
            Severity.Note,
            string.Create(CultureInfo.InvariantCulture, $"{_leftOut} more messages about this file were left out; mend the first ones and read it again."),
            SourcePlace.Whole(source.Name)));
    }
}
