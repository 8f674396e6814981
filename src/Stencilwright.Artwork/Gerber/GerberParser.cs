using System.Collections.Immutable;
using System.Runtime.CompilerServices;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Walks once over the bytes; this part finds commands and reads words such as <c>G01X1Y2D01*</c>.</summary>
/// <remarks>
/// Nothing is allocated for an operation but its 16 bytes in the list. White space is skipped between words and, because old
/// exporters fold lines, inside numbers too.
/// </remarks>
internal ref partial struct GerberParser
{
    private const int CancellationInterval = 8192;

    private readonly ReadOnlySpan<byte> _bytes;
    private readonly SourceText _source;
    private readonly ReadLimits _limits;
    private readonly GerberDiagnostics _diagnostics;
    private int _pos;
    private bool _ended;

    // The word being read.
    private long _wordX;
    private long _wordY;
    private long _wordI;
    private long _wordJ;
    private bool _hasX;
    private bool _hasY;
    private bool _hasCenter;
    private int _operation;
    private bool _numberBad;

    private readonly GerberTables _tables = new();
    private readonly Dictionary<int, int> _apertureIndex = [];
    private readonly List<Frame> _outerFrames = [];
    private Frame _frame;

    private int _integersX = 4;
    private int _integersY = 4;
    private int _decimalsX = 6;
    private int _decimalsY = 6;
    private bool _hasFormat;
    private bool _trailingOmitted;
    private bool _incremental;
    private ArtworkUnit? _unit;
    private ArtworkUnit? _oldUnit;
    private ImageOptions _image = new();

    private ItemKind _mode = ItemKind.Line;
    private bool _singleQuadrant;
    private bool _lastNegative;
    private int _lastOperation;
    private long _x;
    private long _y;
    private GerberState _state = new() { Aperture = -1, IsDark = true, Scale = 1 };
    private int _stateIndex = -1;
    private GerberApertureKind? _pen;
    private bool _penHasHole;
    private int _reach;

    private bool _inRegion;
    private bool _contourOpen;
    private bool _contourHasSegment;
    private long _contourX;
    private long _contourY;
    private int _contourOffset;

    private readonly ImmutableSortedDictionary<string, ImmutableArray<string>>.Builder _fileAttributes =
        ImmutableSortedDictionary.CreateBuilder<string, ImmutableArray<string>>(StringComparer.Ordinal);

    private string? _apertureFunction;
    private string? _pinComponent;
    private string? _component;

    private readonly Dictionary<string, (int Start, int Length)> _macros = new(StringComparer.Ordinal);
    private long _macroBytes;

    // "X1234567Y1234567D01*" and its line end; modal files are denser and grow once.
    private const int UsualBytesPerOperation = 16;

    // 64 MB of items; pages that are never written cost nothing.
    private const int MostExpectedItems = 4_000_000;

    public GerberParser(SourceText source, ReadLimits limits, GerberDiagnostics diagnostics)
    {
        _source = source;
        _bytes = source.Bytes.Span;
        _limits = limits;
        _diagnostics = diagnostics;
        _frame = new Frame(new GerberItemList(Math.Min(_bytes.Length / UsualBytesPerOperation, MostExpectedItems)), 0, 0);
    }

    public GerberDocument Parse(CancellationToken cancellationToken)
    {
        if (_bytes.StartsWith("\uFEFF"u8))
        {
            _pos = 3;
        }

        var untilCheck = CancellationInterval;
        while (!_ended && SkipSpace())
        {
            if (--untilCheck == 0)
            {
                untilCheck = CancellationInterval;
                cancellationToken.ThrowIfCancellationRequested();
            }

            var b = _bytes[_pos];
            if (b is (byte)'%' or (byte)'*')
            {
                _pos++;
            }
            else if (IsLetter(b) && b is not ((byte)'X' or (byte)'Y') && _pos + 1 < _bytes.Length && IsLetter(_bytes[_pos + 1]))
            {
                ParseExtended();
            }
            else if (b != (byte)'X' || !TryPlainOperation())
            {
                ParseWord();
            }
        }

        return Finish();
    }

    private static bool IsLetter(byte b) => (uint)((b | 0x20) - 'a') <= 'z' - 'a';

    private bool SkipSpace()
    {
        while (_pos < _bytes.Length && _bytes[_pos] <= ' ')
        {
            _pos++;
        }

        return _pos < _bytes.Length;
    }

    private void ParseWord()
    {
        var start = _pos;
        ClearWord();
        while (true)
        {
            if (!SkipSpace())
            {
                // Cut off in the middle: its last number may be incomplete, so nothing of it is carried out.
                return;
            }

            var b = _bytes[_pos];
            switch (b)
            {
                case (byte)'*':
                    _pos++;
                    ExecuteWord(start);
                    return;
                case (byte)'%':
                    ExecuteWord(start);
                    return;
                case (byte)'X' or (byte)'x':
                    StartNextOperation(ref start);
                    _pos++;
                    _wordX = ReadCoordinate(_integersX + _decimalsX, _decimalsX);
                    _hasX = true;
                    break;
                case (byte)'Y' or (byte)'y':
                    if (!_hasX)
                    {
                        StartNextOperation(ref start);
                    }

                    _pos++;
                    _wordY = ReadCoordinate(_integersY + _decimalsY, _decimalsY);
                    _hasY = true;
                    break;
                case (byte)'I' or (byte)'i':
                    _pos++;
                    _wordI = ReadCoordinate(_integersX + _decimalsX, _decimalsX);
                    _hasCenter = true;
                    break;
                case (byte)'J' or (byte)'j':
                    _pos++;
                    _wordJ = ReadCoordinate(_integersY + _decimalsY, _decimalsY);
                    _hasCenter = true;
                    break;
                case (byte)'D' or (byte)'d':
                    _pos++;
                    ReadDCode();
                    break;
                case (byte)'G' or (byte)'g':
                    StartNextOperation(ref start);
                    if (!ReadGCode())
                    {
                        return;
                    }

                    break;
                case (byte)'M' or (byte)'m':
                    _pos++;
                    ReadMCode();
                    break;
                case (byte)'N' or (byte)'n':
                    _pos++;
                    ReadInteger(out _);
                    _diagnostics.Once(
                        GerberCodes.Deprecated, Severity.Note, start, "Line numbers (N) mean nothing in Gerber and were skipped; nothing to do.");
                    break;
                default:
                    UnknownWord(start);
                    return;
            }
        }
    }

    private void ClearWord()
    {
        (_hasX, _hasY, _hasCenter, _numberBad) = (false, false, false, false);
        (_wordI, _wordJ) = (0, 0);
        _operation = 0;
    }

    // Two operations run together without an asterisk between them.
    private void StartNextOperation(ref int start)
    {
        if (_operation != 0)
        {
            ExecuteWord(start);
            ClearWord();
            start = _pos;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private long ReadCoordinate(int totalDigits, int decimals)
    {
        var value = ReadInteger(out var digits);
        if (digits <= 0 || _trailingOmitted || (_pos < _bytes.Length && _bytes[_pos] == '.'))
        {
            return FinishOddCoordinate(value, digits, totalDigits, decimals);
        }

        return value;
    }

    private long FinishOddCoordinate(long value, int digits, int totalDigits, int decimals)
    {
        if (_pos < _bytes.Length && _bytes[_pos] == '.')
        {
            return ReadDecimalCoordinate(value, decimals);
        }

        if (digits <= 0)
        {
            _numberBad = true;
            return 0;
        }

        if (_trailingOmitted)
        {
            for (var i = digits; i < totalDigits; i++)
            {
                value *= 10;
            }
        }

        return value;
    }

    private long ReadDecimalCoordinate(long whole, int decimals)
    {
        var dot = _pos;
        _pos++;
        var negative = _lastNegative;
        var factor = Math.Pow(10, decimals);
        var fraction = 0.0;
        var place = factor;
        while (_pos < _bytes.Length && (uint)(_bytes[_pos] - '0') <= 9)
        {
            place /= 10;
            fraction += (_bytes[_pos] - '0') * place;
            _pos++;
        }

        _diagnostics.Once(
            GerberCodes.OddFormat, Severity.Warning, dot, "A coordinate has a decimal point, which Gerber does not allow; it was read as a length in the file's unit, so check the size of the image.");
        var magnitude = Math.Min((Math.Abs((double)whole) * factor) + fraction, long.MaxValue / 4);
        return (long)Math.Round(negative ? -magnitude : magnitude);
    }

    /// <summary>Reads sign and digits; a number too long to be meant becomes one that every later check refuses.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private long ReadInteger(out int digits)
    {
        var bytes = _bytes;
        var pos = _pos;
        var negative = false;
        if ((uint)pos < (uint)bytes.Length && bytes[pos] is (byte)'-' or (byte)'+')
        {
            negative = bytes[pos] == '-';
            pos++;
        }

        var value = 0L;
        var first = pos;
        uint digit;
        while ((uint)pos < (uint)bytes.Length && (digit = (uint)(bytes[pos] - '0')) <= 9)
        {
            value = (value * 10) + digit;
            pos++;
        }

        digits = pos - first;
        _pos = pos;
        _lastNegative = negative;
        if (digits > 17 || ((uint)pos < (uint)bytes.Length && bytes[pos] <= ' '))
        {
            return ReadOddInteger(first, negative, out digits);
        }

        return negative ? -value : value;
    }

    // Long or folded over a line end.
    private long ReadOddInteger(int first, bool negative, out int digits)
    {
        var value = 0L;
        digits = 0;
        _pos = first;
        while (_pos < _bytes.Length)
        {
            var digit = (uint)(_bytes[_pos] - '0');
            if (digit <= 9)
            {
                value = Math.Min((value * 10) + digit, long.MaxValue / 1000);
                digits++;
                _pos++;
            }
            else if (_bytes[_pos] <= ' ')
            {
                var next = _pos;
                while (next < _bytes.Length && _bytes[next] <= ' ')
                {
                    next++;
                }

                if (next >= _bytes.Length || (uint)(_bytes[next] - '0') > 9)
                {
                    break;
                }

                _pos = next;
            }
            else
            {
                break;
            }
        }

        return negative ? -value : value;
    }

    private void ReadDCode()
    {
        var at = _pos - 1;
        var code = ReadInteger(out var digits);
        if (digits <= 0 || code < 0 || code > int.MaxValue)
        {
            _diagnostics.Error(GerberCodes.BadNumber, at, "A D code has no usable number, so it was skipped; export the file again.");
        }
        else if (code is >= 1 and <= 3)
        {
            _operation = (int)code;
        }
        else if (code >= 10)
        {
            SelectAperture((int)code, at);
        }
        else if (code != 0)
        {
            _diagnostics.Warn(GerberCodes.UnknownCommand, at, Text($"D{code} means nothing in Gerber and was skipped; check what the exporter meant by it."));
        }
    }

    private void ReadMCode()
    {
        var at = _pos - 1;
        var code = ReadInteger(out var digits);
        if (digits > 0 && code is 0 or 2)
        {
            if (code == 0)
            {
                Deprecated(at, "M00");
            }

            _ended = true;
        }
        else if (digits > 0 && code == 1)
        {
            Deprecated(at, "M01");
        }
        else
        {
            _diagnostics.Warn(GerberCodes.UnknownCommand, at, "An M code other than M00, M01 and M02 was skipped; check that the file is Gerber and not drill data.");
        }
    }

    /// <summary>Reads a G code and acts on it; false when it was a comment, which ends the word.</summary>
    private bool ReadGCode()
    {
        var at = _pos++;
        var code = ReadInteger(out var digits);
        switch (digits > 0 ? code : -1)
        {
            case 0:
                Deprecated(at, "G00");
                _mode = ItemKind.Line;
                break;
            case 1:
                _mode = ItemKind.Line;
                break;
            case 2:
                _mode = ItemKind.Clockwise;
                break;
            case 3:
                _mode = ItemKind.CounterClockwise;
                break;
            case 4:
                ReadComment(at);
                return false;
            case 36:
                BeginRegion(at);
                break;
            case 37:
                EndRegion(at);
                break;
            case 54 or 55:
                Deprecated(at, code == 54 ? "G54" : "G55");
                break;
            case 70 or 71:
                Deprecated(at, code == 70 ? "G70" : "G71");
                SetOldUnit(code == 70 ? ArtworkUnit.Inch : ArtworkUnit.Millimetre, at);
                break;
            case 74 or 75:
                if (code == 74)
                {
                    Deprecated(at, "G74");
                }

                _singleQuadrant = code == 74;
                break;
            case 90 or 91:
                Deprecated(at, code == 90 ? "G90" : "G91");
                _incremental = code == 91;
                break;
            default:
                _diagnostics.Warn(GerberCodes.UnknownCommand, at, digits > 0
                    ? Text($"G{code} means nothing in Gerber and was skipped; check what the exporter meant by it.")
                    : "A G without a number was skipped; export the file again.");
                break;
        }

        return true;
    }

    private void ReadComment(int at)
    {
        var text = TakeBlock();
        var mark = text.IndexOf("#@!"u8);
        if (mark < 0 || text[..mark].IndexOfAnyExcept(" \t"u8) >= 0)
        {
            return;
        }

        var statement = text[(mark + 3)..].TrimStart(" \t"u8);
        if (statement.Length >= 2 && statement[0] == 'T' && statement[1] is (byte)'F' or (byte)'A' or (byte)'O' or (byte)'D')
        {
            SetAttribute(statement[1], statement[2..], at);
        }
    }

    /// <summary>The bytes up to the next asterisk, which is passed too; a per-cent sign also ends it but is left.</summary>
    private ReadOnlySpan<byte> TakeBlock()
    {
        var rest = _bytes[_pos..];
        var length = rest.IndexOfAny((byte)'*', (byte)'%');
        if (length < 0)
        {
            _pos = _bytes.Length;
            return rest;
        }

        _pos += length + (rest[length] == '*' ? 1 : 0);
        return rest[..length];
    }

    private void UnknownWord(int start)
    {
        var at = _pos;
        TakeBlock();
        _diagnostics.Warn(GerberCodes.UnknownCommand, at, at == start
            ? "A command that Gerber does not have was skipped up to its asterisk; check the image against the design."
            : "A command has characters that Gerber does not allow and was skipped; check the image against the design.");
    }

    private void Deprecated(int at, string command)
    {
        if (_diagnostics.IsFirst(command))
        {
            _diagnostics.Add(GerberCodes.Deprecated, Severity.Note, at, $"{command} is deprecated and was read with its old meaning; nothing to do.");
        }
    }
}
