using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Drill;

/// <summary>Carries out a file line by line, once its number format is settled.</summary>
/// <remarks>Codes: IPC-NC-349 and its common dialects, from memory; what is assumed where they differ stands in docs/formats/nc-drill.md.</remarks>
internal sealed partial class DrillParser
{
    // Even a large panel has fewer; each costs some hundred bytes once painted.
    public const int MostItems = 500_000;

    private readonly SourceText _source;
    private readonly DrillFormat _format;
    private readonly DrillEvidence _evidence;
    private readonly ReadLimits _limits;
    private readonly GerberDiagnostics _diagnostics;
    private readonly DrillTools _tools;
    private readonly List<DrillItem> _items = [];
    private readonly int _mostItems;
    private double _unitMm;
    private bool _isIncremental;
    private bool _isHeader;
    private bool _hasCoordinates;
    private bool _isFull;
    private bool _ended;
    private Point2 _at;
    private Vector2 _zero;
    private Mode _mode;
    private int _lineStart;
    private int _lineEnd;

    public DrillParser(SourceText source, DrillFormat format, DrillEvidence evidence, DrillHints hints, ReadLimits limits, GerberDiagnostics diagnostics)
    {
        (_source, _format, _evidence, _limits, _diagnostics) = (source, format, evidence, limits, diagnostics);
        _tools = new DrillTools(evidence, format, diagnostics);
        _unitMm = format.UnitMm;
        _isIncremental = hints.IsIncremental ?? false;
        _mostItems = Math.Min(MostItems, limits.MaxObjects);
    }

    private enum Mode
    {
        Drill,

        /// <summary>G00: to the start of a cut.</summary>
        Move,
        Line,
        Clockwise,
        CounterClockwise,
    }

    public DrillDocument Parse(CancellationToken cancellationToken)
    {
        var lines = new DrillLines(_source.Bytes.Span);
        var count = 0;
        while (!_isFull && lines.Read())
        {
            if ((++count & 0xFFF) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            if (_ended)
            {
                if (lines.Kind is DrillLineKind.Words or DrillLineKind.Statement && lines.Text[0] is not ((byte)'M' or 0x1A))
                {
                    _diagnostics.Warn(DrillCodes.AfterEnd, lines.Start, "There is more after the end command (M30) and it was not read; if the file holds several programs, split it.");
                    break;
                }

                continue;
            }

            (_lineStart, _lineEnd) = (lines.Start, lines.End);
            Carry(ref lines);
        }

        FinishRout();
        if (!_ended && !_isFull)
        {
            _diagnostics.Warn(DrillCodes.NoEnd, _source.Bytes.Length, "The file has no end command (M30), so it may be truncated; compare it with the original or export it again.");
        }

        return Finish();
    }

    private DrillDocument Finish()
    {
        var attributes = ImmutableSortedDictionary.CreateBuilder<string, ImmutableArray<string>>(StringComparer.Ordinal);
        foreach (var (name, values) in _tools.FileAttributes)
        {
            attributes[name] = [.. values];
        }

        return new DrillDocument
        {
            Source = _source,
            Format = _format,
            Tools = [.. _tools.All],
            Items = [.. _items],
            FileAttributes = attributes.ToImmutable(),
        };
    }

    private void Carry(ref DrillLines lines)
    {
        switch (lines.Kind)
        {
            case DrillLineKind.Comment:
                _tools.Comment(lines.Text);
                break;
            case DrillLineKind.Stop:
                _isHeader = false;
                FinishRout();
                break;
            case DrillLineKind.Statement:
                Statement(lines.Text);
                break;
            case DrillLineKind.Words:
                Words(ref lines);
                break;
            default:
                break;
        }
    }

    private void Statement(ReadOnlySpan<byte> text)
    {
        var end = text.IndexOf((byte)',');
        var word = end < 0 ? text : text[..end];
        var value = end < 0 ? default : text[(end + 1)..].Trim((byte)' ');
        if (word.SequenceEqual("ICI"u8))
        {
            _isIncremental = value.StartsWith("ON"u8);
        }
        else if (word.SequenceEqual("FMAT"u8) && value.StartsWith("1"u8))
        {
            _diagnostics.Once(DrillCodes.UnknownCommand, Severity.Warning, _lineStart, "The file is of format 1 (FMAT,1), the oldest; its holes were read like those of format 2, so check that none is missing.");
        }
        else if (!_isHeader && !IsHarmless(word))
        {
            _diagnostics.Once(DrillCodes.UnknownCommand, Severity.Warning, _lineStart, "A statement is none of drill data's and was skipped (perhaps others too); check that no hole is missing.");
        }
    }

    private static bool IsHarmless(ReadOnlySpan<byte> word) =>
        word.SequenceEqual("METRIC"u8) || word.SequenceEqual("INCH"u8) || word.SequenceEqual("FMAT"u8) || word.SequenceEqual("VER"u8)
        || word.SequenceEqual("DETECT"u8) || word.SequenceEqual("ATC"u8) || word.SequenceEqual("TCST"u8) || word.SequenceEqual("AFS"u8)
        || word.StartsWith("M47"u8) || word.StartsWith("M97"u8) || word.StartsWith("M98"u8) || (word.Length == 1 && word[0] is (byte)'R' or (byte)'S');

    private void Words(ref DrillLines lines)
    {
        if (lines.Fault >= 0 && (lines.Text[0] & 0xDF) is ('X' or 'Y'))
        {
            _diagnostics.Error(DrillCodes.BadNumber, lines.Fault, "A place has characters that drill data does not have, so the line was skipped and a hole is missing; export the file again.");
            return;
        }

        if (lines.Fault >= 0)
        {
            _diagnostics.Once(DrillCodes.UnknownCommand, Severity.Warning, lines.Fault, "A line has characters that drill data does not have and was skipped (perhaps others too); check that no hole is missing.");
            return;
        }

        if (lines.HasComma)
        {
            _diagnostics.Once(DrillCodes.BadNumber, Severity.Warning, lines.Start, "A number has a comma where drill data has a decimal point; it was read as a point, so check a known distance.");
        }

        Line(lines.Words);
        if (!lines.Remark.IsEmpty)
        {
            _tools.Comment(lines.Remark);
        }
    }

    // The numbers of one line, by their letters.
    private struct Numbers
    {
        public DrillNumber? X;
        public DrillNumber? Y;
        public DrillNumber? EndX;
        public DrillNumber? EndY;
        public DrillNumber? I;
        public DrillNumber? J;
        public DrillNumber? Radius;
        public DrillNumber? ToolSize;
        public int Repeat;
        public bool IsSlot;
        public int Tool;
        public int ToolDigits;

        public readonly bool HasPlace => X is not null || Y is not null;
    }

    private void Line(List<DrillWord> words)
    {
        var numbers = new Numbers { Tool = -1, Repeat = -1 };
        foreach (var word in words)
        {
            if (word.Number.Count == 0 && word.Letter is not ('F' or 'S' or 'N'))
            {
                _diagnostics.Error(DrillCodes.BadNumber, word.Offset, "A letter has no usable number behind it, so the line was skipped; export the file again.");
                return;
            }

            switch (word.Letter)
            {
                case 'X' when numbers.IsSlot:
                    numbers.EndX = word.Number;
                    break;
                case 'Y' when numbers.IsSlot:
                    numbers.EndY = word.Number;
                    break;
                case 'X':
                    numbers.X = word.Number;
                    break;
                case 'Y':
                    numbers.Y = word.Number;
                    break;
                case 'I':
                    numbers.I = word.Number;
                    break;
                case 'J':
                    numbers.J = word.Number;
                    break;
                case 'A':
                    numbers.Radius = word.Number;
                    break;
                case 'C':
                    numbers.ToolSize = word.Number;
                    break;
                case 'R':
                    // Too many to be meant is refused where it is carried out.
                    numbers.Repeat = word.Code >= 0 ? word.Code : int.MaxValue;
                    break;
                case 'T':
                    (numbers.Tool, numbers.ToolDigits) = (word.Code, word.Number.Count);
                    break;
                case 'G':
                    numbers.IsSlot |= word.Code == 85;
                    break;
                default:
                    break;
            }
        }

        Codes(words, ref numbers);
    }

    // Tools first, then codes; what a line places comes last, or before an M code that stands behind it.
    private void Codes(List<DrillWord> words, ref Numbers numbers)
    {
        if (numbers.Tool >= 0)
        {
            Tool(numbers);
        }

        var isPlaced = !numbers.HasPlace && numbers.Repeat < 0 && numbers is { EndX: null, EndY: null };
        var seenPlace = false;
        foreach (var word in words)
        {
            seenPlace |= word.Letter is 'X' or 'Y';
            if (word.Letter == 'G')
            {
                isPlaced |= !Prepare(word, numbers);
            }
            else if (word.Letter == 'M')
            {
                if (word.Code == 2 && (numbers.HasPlace || _patternStart >= 0))
                {
                    RepeatPattern(words, numbers);
                    isPlaced = true;
                    continue;
                }

                if (seenPlace && !isPlaced)
                {
                    Place(numbers);
                    isPlaced = true;
                }

                Miscellaneous(word);
            }
        }

        if (!isPlaced && !_ended)
        {
            Place(numbers);
        }
    }

    private void Tool(in Numbers numbers)
    {
        FinishRout();
        if (numbers.ToolSize is { } size)
        {
            _tools.Define(numbers.Tool, size, _unitMm, _lineStart);
        }

        if (!_isHeader || (numbers.ToolSize is null && _tools.Has(numbers.Tool)))
        {
            _tools.Select(numbers.Tool, numbers.ToolDigits, _lineStart);
        }
    }

    /// <summary>Acts on a G code; false when the line's numbers are then no place to go to.</summary>
    private bool Prepare(DrillWord word, in Numbers numbers)
    {
        switch (word.Code)
        {
            case 0:
                FinishRout();
                _mode = Mode.Move;
                return true;
            case 1:
                _mode = Mode.Line;
                return true;
            case 2:
                _mode = Mode.Clockwise;
                return true;
            case 3:
                _mode = Mode.CounterClockwise;
                return true;
            case 4:
                // The numbers of a pause are a time.
                return false;
            case 5 or 81:
                FinishRout();
                _mode = Mode.Drill;
                return true;
            case 32 or 33:
                RoutCircle(word, numbers);
                return false;
            case 40 or 85:
                return true;
            case 41 or 42:
                _diagnostics.Once(DrillCodes.Rout, Severity.Warning, word.Offset, "Cutter compensation (G41, G42) is not applied, so routed paths are those of the tool's edge; check them against the outline.");
                return true;
            case 90 or 91:
                _isIncremental = word.Code == 91;
                return true;
            case 93:
                SetZero(word, numbers);
                return false;
            default:
                _diagnostics.Once(DrillCodes.UnknownCommand, Severity.Warning, word.Offset, string.Create(
                    CultureInfo.InvariantCulture, $"G{word.Code:00} is not understood (perhaps others too) and was passed over; check the holes round it."));
                return true;
        }
    }

    private void SetZero(DrillWord word, in Numbers numbers)
    {
        _zero = new Vector2(Length(numbers.X), Length(numbers.Y));
        if (_zero != default)
        {
            _diagnostics.Once(DrillCodes.FormatTold, Severity.Note, word.Offset, "The zero is moved (G93), and what follows was moved with it; check that holes and layers lie on one another.");
        }
    }

    private void Miscellaneous(DrillWord word)
    {
        switch (word.Code)
        {
            case 0 when !_evidence.HasToolNumbers:
                FinishRout();
                _tools.Ensure(word.Offset);
                _tools.Next(word.Offset);
                break;
            case 1:
                EndPattern(word.Offset);
                break;
            case 2 or 30:
                FinishRout();
                _ended = true;
                break;
            case 8:
                ClosePatterns();
                break;
            case 15:
                Plunge();
                break;
            case 16 or 17:
                FinishRout();
                break;
            case 25:
                BeginPattern(word.Offset);
                break;
            case 48:
                _isHeader = true;
                break;
            case 71 or 72:
                SwitchUnit(word.Code == 72 ? ArtworkUnit.Inch : ArtworkUnit.Millimetre, word.Offset);
                break;
            case 95:
                _isHeader = false;
                break;
            case 0 or 6 or 9 or 14 or 18 or 70 or 80 or 90:
                break;
            default:
                _diagnostics.Once(DrillCodes.UnknownCommand, Severity.Warning, word.Offset, string.Create(
                    CultureInfo.InvariantCulture, $"M{word.Code:00} is not understood (perhaps others too) and was passed over; check the holes round it."));
                break;
        }
    }

    private void SwitchUnit(ArtworkUnit unit, int offset)
    {
        if (!_hasCoordinates || (unit == ArtworkUnit.Inch) == (_unitMm != 1))
        {
            return;
        }

        _unitMm = unit == ArtworkUnit.Inch ? Lengths.MillimetresPerInch : 1;
        _diagnostics.Once(DrillCodes.Contradiction, Severity.Warning, offset, "The unit changes in the middle of the file (M71, M72), and what follows was read in the new one; check that all holes lie on the board.");
    }

    private double Length(DrillNumber? number) => number is { } given ? given.By(_format) * _unitMm : 0;

    // The place that numbers of a line mean; what is not given stays.
    private Point2 Target(DrillNumber? x, DrillNumber? y, Point2 from)
    {
        _hasCoordinates = true;
        if (_isIncremental)
        {
            return new Point2(from.X + Length(x), from.Y + Length(y));
        }

        return new Point2(x is null ? from.X : _zero.X + Length(x), y is null ? from.Y : _zero.Y + Length(y));
    }

    private void Place(in Numbers numbers)
    {
        _isHeader = false;
        if (numbers.Repeat >= 0)
        {
            RepeatLast(numbers);
            return;
        }

        var from = _at;
        var to = Target(numbers.X, numbers.Y, from);
        var end = numbers.IsSlot ? Target(numbers.EndX, numbers.EndY, to) : to;
        if (!IsNear(to) || !IsNear(end))
        {
            return;
        }

        _at = end;
        if (numbers.IsSlot)
        {
            _tools.Ensure(_lineStart);
            AddPath([new(to.X, to.Y), new(end.X, end.Y)], _lineStart);
        }
        else if (_mode == Mode.Drill)
        {
            _tools.Ensure(_lineStart);
            Add(new DrillItem(to, null, _tools.Current, _lineStart, _lineEnd - _lineStart));
        }
        else
        {
            Rout(from, to, numbers);
        }
    }

    private bool IsNear(Point2 p)
    {
        var far = Math.Max(Math.Abs(p.X), Math.Abs(p.Y));
        if (!(far <= _limits.MaxCoordinateMm))
        {
            _diagnostics.Error(DrillCodes.FarCoordinate, _lineStart, "A coordinate lies further out than any board, so the hole was left out; check the unit and the number format, or export again.");
            return false;
        }

        if (far > _limits.DoubtfulCoordinateMm)
        {
            _diagnostics.Once(DrillCodes.FarCoordinate, Severity.Warning, _lineStart, "A coordinate lies more than a metre from the origin (perhaps others too), which few boards reach; the unit or the number format may be wrong, so check a known distance.");
        }

        return true;
    }

    private void Add(DrillItem item)
    {
        if (_items.Count >= _mostItems)
        {
            TooMany(_lineStart);
            return;
        }

        _items.Add(item);
    }

    private void TooMany(int offset)
    {
        _isFull = true;
        _diagnostics.Once(DrillCodes.TooMany, Severity.Error, offset, string.Create(
            CultureInfo.InvariantCulture, $"The file drills more than the {_mostItems} holes that this program accepts, so reading stopped here; check its repetitions, or split the panel."));
    }
}
