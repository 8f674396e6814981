using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <content>Commands of two letters, usually between per-cent signs.</content>
internal ref partial struct GerberParser
{
    private void ParseExtended()
    {
        var at = _pos;
        var first = (byte)(_bytes[at] & 0xDF);
        var second = (byte)(_bytes[at + 1] & 0xDF);
        _pos += 2;
        switch (first, second)
        {
            case ((byte)'F', (byte)'S'):
                SetFormat(TakeBlock(), at);
                break;
            case ((byte)'M', (byte)'O'):
                SetUnit(TakeBlock(), at);
                break;
            case ((byte)'A', (byte)'D'):
                DefineAperture(TakeBlock(), at);
                break;
            case ((byte)'A', (byte)'M'):
                DefineMacro(at);
                break;
            case ((byte)'A', (byte)'B'):
                OpenOrCloseBlock(TakeBlock(), at);
                break;
            case ((byte)'S', (byte)'R'):
                StepAndRepeat(TakeBlock(), at);
                break;
            case ((byte)'L', (byte)'P' or (byte)'M' or (byte)'R' or (byte)'S'):
                SetTransformation(second, TakeBlock().Trim((byte)' '), at);
                break;
            case ((byte)'T', (byte)'F' or (byte)'A' or (byte)'O' or (byte)'D'):
                SetAttribute(second, TakeBlock(), at);
                break;
            case ((byte)'I', (byte)'N') or ((byte)'L', (byte)'N'):
                TakeBlock();
                Deprecated(at, second == 'N' && first == 'I' ? "IN" : "LN");
                break;
            case ((byte)'I', (byte)'P' or (byte)'R') or ((byte)'A', (byte)'S') or ((byte)'M', (byte)'I') or ((byte)'O' or (byte)'S', (byte)'F'):
                SetImageOption(first, second, TakeBlock(), at);
                break;
            default:
                TakeBlock();
                _diagnostics.Warn(GerberCodes.UnknownCommand, at, Text(
                    $"The command {(char)_bytes[at]}{(char)_bytes[at + 1]} is not one of Gerber's and was skipped; check the image against the design."));
                break;
        }
    }

    private void SetFormat(ReadOnlySpan<byte> text, int at)
    {
        if (_hasFormat)
        {
            _diagnostics.Warn(GerberCodes.OddFormat, at, "The number format is stated a second time and the repetition was skipped; if the file holds several images, split it.");
            return;
        }

        var odd = false;
        var (hasX, hasY) = (false, false);
        for (var i = 0; i < text.Length; i++)
        {
            switch ((char)(text[i] & 0xDF))
            {
                case 'L':
                    break;
                case 'T':
                    _trailingOmitted = true;
                    Deprecated(at, "FS with trailing zeros omitted");
                    break;
                case 'A':
                    break;
                case 'I':
                    _incremental = true;
                    Deprecated(at, "FS with incremental coordinates");
                    break;
                case 'X' when i + 2 < text.Length && IsDigit(text[i + 1]) && IsDigit(text[i + 2]):
                    (_integersX, _decimalsX, hasX) = (text[i + 1] - '0', text[i + 2] - '0', true);
                    i += 2;
                    break;
                case 'Y' when i + 2 < text.Length && IsDigit(text[i + 1]) && IsDigit(text[i + 2]):
                    (_integersY, _decimalsY, hasY) = (text[i + 1] - '0', text[i + 2] - '0', true);
                    i += 2;
                    break;
                case 'N' or 'G' or 'D' or 'M':
                    odd = true;
                    while (i + 1 < text.Length && IsDigit(text[i + 1]))
                    {
                        i++;
                    }

                    break;
                default:
                    odd |= text[i] > ' ';
                    break;
            }
        }

        if (!hasX && !hasY)
        {
            _diagnostics.Error(GerberCodes.NoFormat, at, "The format statement has no digits for X and Y, so the size of the image is unknown; export the file again.");
            return;
        }

        CompleteFormat(hasX, hasY, odd, at);
    }

    private static bool IsDigit(byte b) => (uint)(b - '0') <= 9;

    private void CompleteFormat(bool hasX, bool hasY, bool odd, int at)
    {
        _hasFormat = true;
        if (!hasX)
        {
            (_integersX, _decimalsX) = (_integersY, _decimalsY);
        }
        else if (!hasY)
        {
            (_integersY, _decimalsY) = (_integersX, _decimalsX);
        }

        if (odd || !hasX || !hasY)
        {
            _diagnostics.Warn(GerberCodes.OddFormat, at, "The format statement has parts that Gerber does not have; its digits for X and Y were used, so check the size of the image.");
        }

        if (_decimalsX != _decimalsY || _integersX != _integersY)
        {
            _diagnostics.Warn(GerberCodes.OddFormat, at, "The format statement has different digits for X and Y, which Gerber does not allow; both were used as written, so check the image's proportions.");
        }

        if (_frame.List.Count > 0)
        {
            _diagnostics.Warn(GerberCodes.OddFormat, at, "The format statement comes after coordinates; it was applied to all of them, so check the image.");
        }
    }

    private void SetUnit(ReadOnlySpan<byte> text, int at)
    {
        text = text.Trim((byte)' ');
        ArtworkUnit unit;
        if (text.SequenceEqual("MM"u8) || text.SequenceEqual("mm"u8))
        {
            unit = ArtworkUnit.Millimetre;
        }
        else if (text.SequenceEqual("IN"u8) || text.SequenceEqual("in"u8))
        {
            unit = ArtworkUnit.Inch;
        }
        else
        {
            _diagnostics.Warn(GerberCodes.BadParameter, at, "The unit is neither MM nor IN and was skipped; check the size of the image.");
            return;
        }

        if ((_unit ?? _oldUnit ?? unit) != unit)
        {
            UnitConflict(at, _unit is null ? unit : _unit.Value);
        }

        _unit ??= unit;
    }

    private void SetOldUnit(ArtworkUnit unit, int at)
    {
        if ((_unit ?? _oldUnit ?? unit) != unit)
        {
            UnitConflict(at, _unit ?? _oldUnit!.Value);
        }

        _oldUnit ??= unit;
    }

    private void UnitConflict(int at, ArtworkUnit used) => _diagnostics.Warn(GerberCodes.UnitConflict, at, Text(
        $"Two statements of the unit contradict each other; {(used == ArtworkUnit.Inch ? "inches" : "millimetres")} were used for the whole file, so check the size of the image."));

    private void SetTransformation(byte which, ReadOnlySpan<byte> text, int at)
    {
        _stateIndex = -1;
        switch (which, text.Length == 1 ? (char)(text[0] & 0xDF) : '\0')
        {
            case ((byte)'P', 'D'):
                _state = _state with { IsDark = true };
                return;
            case ((byte)'P', 'C'):
                _state = _state with { IsDark = false };
                return;
            case ((byte)'M', 'N'):
                _state = _state with { MirrorX = false, MirrorY = false };
                return;
            case ((byte)'M', 'X'):
                _state = _state with { MirrorX = true, MirrorY = false };
                return;
            case ((byte)'M', 'Y'):
                _state = _state with { MirrorX = false, MirrorY = true };
                return;
        }

        if (which == 'M' && text.SequenceEqual("XY"u8))
        {
            _state = _state with { MirrorX = true, MirrorY = true };
        }
        else if (which == 'R' && TryNumber(text, out var degrees))
        {
            _state = _state with { RotationDeg = degrees };
        }
        else if (which == 'S' && TryNumber(text, out var scale) && scale is > 0 and <= 1e6)
        {
            _state = _state with { Scale = scale };
        }
        else
        {
            _diagnostics.Warn(GerberCodes.BadParameter, at, Text($"The command L{(char)which} has a value that Gerber does not allow and was skipped; check the image."));
        }
    }

    private static bool TryNumber(ReadOnlySpan<byte> text, out double value) =>
        double.TryParse(text.Trim((byte)' '), NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);

    private void SetImageOption(byte first, byte second, ReadOnlySpan<byte> text, int at)
    {
        text = text.Trim((byte)' ');
        var name = Text($"{(char)first}{(char)second}");
        switch (name)
        {
            case "IP":
                if (text.SequenceEqual("NEG"u8))
                {
                    _diagnostics.Warn(GerberCodes.NegativeImage, at, "The image is declared negative (IPNEG); it was painted as positive because a negative has no edge, so check that dark means open.");
                }
                else if (!text.SequenceEqual("POS"u8))
                {
                    OptionSkipped(name, at);
                }

                return;
            case "IR" when TryNumber(text, out var degrees) && degrees % 90 == 0:
                _image = _image with { RotationDeg = degrees };
                break;
            case "AS" when text.SequenceEqual("AXBY"u8) || text.SequenceEqual("AYBX"u8):
                _image = _image with { SwapAxes = text[1] == 'Y' };
                break;
            case "MI" when TryPair(text, 0, out var mirrorA, out var mirrorB) && mirrorA is 0 or 1 && mirrorB is 0 or 1:
                _image = _image with { MirrorA = mirrorA == 1, MirrorB = mirrorB == 1 };
                break;
            case "SF" when TryPair(text, 1, out var scaleA, out var scaleB) && scaleA is >= 0.0001 and < 1000 && scaleB is >= 0.0001 and < 1000:
                _image = _image with { ScaleA = scaleA, ScaleB = scaleB };
                break;
            case "OF" when TryPair(text, 0, out var offsetA, out var offsetB) && Math.Abs(offsetA) < 100_000 && Math.Abs(offsetB) < 100_000:
                _image = _image with { OffsetA = offsetA, OffsetB = offsetB };
                break;
            default:
                OptionSkipped(name, at);
                return;
        }

        Deprecated(at, name);
        if (_image != new ImageOptions())
        {
            _diagnostics.Once(
                GerberCodes.ImageTransform, Severity.Warning, at, "Deprecated commands mirror, scale, move or turn the whole image (MI, SF, OF, IR, AS) and were carried out; check the layer against the others.");
        }
    }

    private void OptionSkipped(string name, int at) => _diagnostics.Warn(
        GerberCodes.BadParameter, at, Text($"The deprecated command {name} has a value that cannot be used and was skipped; check the image."));

    // A1.5B-2 with either part absent.
    private static bool TryPair(ReadOnlySpan<byte> text, double absent, out double a, out double b)
    {
        (a, b) = (absent, absent);
        var splitAt = text.IndexOf((byte)'B');
        var left = splitAt < 0 ? text : text[..splitAt];
        if (!left.IsEmpty && (left[0] != 'A' || !TryNumber(left[1..], out a)))
        {
            return false;
        }

        return splitAt < 0 || TryNumber(text[(splitAt + 1)..], out b);
    }

    private void StepAndRepeat(ReadOnlySpan<byte> text, int at)
    {
        double countX = 1, countY = 1, stepX = 0, stepY = 0;
        var good = true;
        while (!text.IsEmpty)
        {
            var length = text[1..].IndexOfAny("XYIJ"u8) + 1;
            length = length == 0 ? text.Length : length;
            good &= TryNumber(text[1..length], out var value);
            switch (text[0])
            {
                case (byte)'X':
                    countX = value;
                    break;
                case (byte)'Y':
                    countY = value;
                    break;
                case (byte)'I':
                    stepX = value;
                    break;
                case (byte)'J':
                    stepY = value;
                    break;
                default:
                    good = false;
                    break;
            }

            text = text[length..];
        }

        if (!good || countX is < 1 or > int.MaxValue || countY is < 1 or > int.MaxValue || countX % 1 != 0 || countY % 1 != 0)
        {
            _diagnostics.Warn(GerberCodes.StepRepeat, at, "A step-and-repeat command has values that cannot be used and was skipped; check how often the image is repeated.");
            return;
        }

        OpenRepeat(new GerberRepeat((int)countX, (int)countY, stepX, stepY), at);
    }

    private void OpenRepeat(GerberRepeat repeat, int at)
    {
        if (_inRegion)
        {
            _diagnostics.Warn(GerberCodes.LeftOpen, at, "A step-and-repeat command stands inside a region; the region was ended first, so check the image.");
            EndRegion(at);
        }

        var isClose = repeat is { CountX: 1, CountY: 1 };
        if (_frame.RepeatItem >= 0)
        {
            if (!isClose)
            {
                _diagnostics.Warn(GerberCodes.StepRepeat, at, "A step-and-repeat starts inside another one; the first was ended here, so check how often the image is repeated.");
            }

            CloseRepeat(at);
        }

        if (isClose)
        {
            return;
        }

        (_frame.RepeatItem, _frame.ObjectsBeforeRepeat, _frame.WorkBeforeRepeat) = (_frame.List.Count, _frame.List.ObjectCount, _frame.List.Work);
        _tables.Repeats.Add(repeat);
        Emit(ItemKind.BeginRepeat, at, _tables.Repeats.Count - 1, 0);
    }

    private void CloseRepeat(int at)
    {
        var list = _frame.List;
        if (_frame.RepeatItem < 0 || _frame.RepeatItem >= list.Count)
        {
            return;
        }

        var begin = list.Span[_frame.RepeatItem];
        var repeat = _tables.Repeats[begin.X];
        var times = (long)repeat.CountX * repeat.CountY;
        list.ObjectCount = Saturating(_frame.ObjectsBeforeRepeat, SaturatingProduct(times, list.ObjectCount - _frame.ObjectsBeforeRepeat));
        list.Work = Saturating(_frame.WorkBeforeRepeat, SaturatingProduct(times, list.Work - _frame.WorkBeforeRepeat));
        list.Set(_frame.RepeatItem, new GerberItem(ItemKind.BeginRepeat, begin.Offset, begin.State, begin.X, list.Count));
        _frame.RepeatItem = -1;
        Emit(ItemKind.EndRepeat, at, 0, 0);
    }

    // Ends what is still open in the list being filled.
    private void CloseFrame(int at)
    {
        if (_inRegion)
        {
            _diagnostics.Warn(GerberCodes.LeftOpen, at, "A region is not ended (G37); it was ended here, so check the image.");
            EndRegion(at);
        }

        if (_frame.RepeatItem >= 0)
        {
            _diagnostics.Add(GerberCodes.LeftOpen, Severity.Note, at, "A step-and-repeat is not ended (%SR*%); it was ended here, as readers do; nothing to do.");
            CloseRepeat(at);
        }
    }

    private void SetAttribute(byte which, ReadOnlySpan<byte> text, int at)
    {
        var fields = Encoding.UTF8.GetString(text).Trim().Split(',');
        var name = fields[0];
        if (which == 'D')
        {
            DeleteAttribute(name);
            return;
        }

        if (name.Length is 0 or > 127)
        {
            _diagnostics.Warn(GerberCodes.BadAttribute, at, "An attribute has no usable name and was skipped; the image is not affected.");
            return;
        }

        switch (which)
        {
            case (byte)'F':
                _fileAttributes[name] = [.. fields[1..]];
                break;
            case (byte)'A':
                if (name == ".AperFunction")
                {
                    _apertureFunction = string.Join(',', fields[1..]);
                }

                break;
            default:
                SetObjectAttribute(name, fields);
                break;
        }
    }

    private void SetObjectAttribute(string name, string[] fields)
    {
        var value = fields.Length > 1 && fields[1].Length > 0 ? fields[1] : null;
        _stateIndex = -1;
        switch (name)
        {
            case ".P":
                _pinComponent = value;
                _state = _state with { Pin = fields.Length > 2 && fields[2].Length > 0 ? fields[2] : null };
                break;
            case ".C":
                _component = value;
                break;
            case ".N":
                _state = _state with { Net = value };
                break;
            case ['.', 'C', _, ..]:
                var known = _state.ComponentAttributes ?? ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);
                _state = _state with { ComponentAttributes = known.SetItem(name, string.Join(',', fields[1..])) };
                break;
        }

        _state = _state with { Component = _pinComponent ?? _component };
    }

    private void DeleteAttribute(string name)
    {
        _stateIndex = -1;
        var all = name.Length == 0;
        if (all || name == ".AperFunction")
        {
            _apertureFunction = null;
        }

        if (all || name == ".P")
        {
            _pinComponent = null;
            _state = _state with { Pin = null };
        }

        if (all || name == ".C")
        {
            _component = null;
        }

        if (all || name == ".N")
        {
            _state = _state with { Net = null };
        }

        if (all || name.StartsWith(".C", StringComparison.Ordinal))
        {
            var rest = all ? null : _state.ComponentAttributes?.Remove(name);
            _state = _state with { ComponentAttributes = rest is { IsEmpty: false } ? rest : null };
        }

        _state = _state with { Component = _pinComponent ?? _component };
    }
}
