using System.Collections.Immutable;
using System.Text;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <content>Definitions of apertures, macros and blocks.</content>
internal ref partial struct GerberParser
{
    // A macro's body is read again for every aperture made from it; this bounds the bytes read that way in one file.
    private const long MacroByteBudget = 64_000_000;

    private void DefineAperture(ReadOnlySpan<byte> text, int at)
    {
        if (!text.IsEmpty && (text[0] | 0x20) == 'd')
        {
            text = text[1..];
        }

        var digits = 0;
        var number = 0L;
        while (digits < text.Length && IsDigit(text[digits]) && digits < 12)
        {
            number = (number * 10) + text[digits++] - '0';
        }

        if (digits == 0 || number > int.MaxValue)
        {
            _diagnostics.Error(GerberCodes.BadAperture, at, "An aperture definition has no usable number and was skipped; export the file again.");
            return;
        }

        if (number < 10)
        {
            _diagnostics.Warn(GerberCodes.BadAperture, at, "An aperture has a number below 10, which no command can select; check the apertures.");
        }

        text = text[digits..];
        var comma = text.IndexOf((byte)',');
        var name = Encoding.UTF8.GetString(comma < 0 ? text : text[..comma]).Trim();
        var parameters = comma < 0 ? [] : ReadParameters(text[(comma + 1)..], at);
        Register(MakeAperture((int)number, name, parameters, at));
    }

    private ImmutableArray<double>? ReadParameters(ReadOnlySpan<byte> text, int at)
    {
        var values = ImmutableArray.CreateBuilder<double>();
        while (true)
        {
            var end = text.IndexOfAny((byte)'X', (byte)'x');
            var part = end < 0 ? text : text[..end];
            if (!TryNumber(part, out var value) || Math.Abs(value) > 1e6)
            {
                if (end < 0 && part.Trim((byte)' ').IsEmpty)
                {
                    return values.ToImmutable();
                }

                _diagnostics.Error(GerberCodes.BadAperture, at, "An aperture has a parameter that is no usable number, so the aperture paints nothing; export the file again.");
                return null;
            }

            values.Add(value);
            if (end < 0)
            {
                return values.ToImmutable();
            }

            text = text[(end + 1)..];
        }
    }

    private GerberAperture MakeAperture(int number, string name, ImmutableArray<double>? parameters, int at)
    {
        var aperture = new GerberAperture
        {
            Number = number,
            Kind = GerberApertureKind.Unusable,
            Template = name,
            Parameters = parameters ?? [],
            Function = _apertureFunction,
            SourceOffset = at,
        };
        if (parameters is null)
        {
            return aperture;
        }

        // A macro may not be named like a standard template, so those come first.
        return name switch
        {
            "C" => Standard(aperture, GerberApertureKind.Circle, 1),
            "R" => Standard(aperture, GerberApertureKind.Rectangle, 2),
            "O" => Standard(aperture, GerberApertureKind.Obround, 2),
            "P" => Standard(aperture, GerberApertureKind.Polygon, 2),
            _ => FromMacro(aperture),
        };
    }

    private GerberAperture Standard(GerberAperture aperture, GerberApertureKind kind, int needed)
    {
        var p = aperture.Parameters;
        var sizes = kind is GerberApertureKind.Circle or GerberApertureKind.Polygon ? 1 : 2;
        var good = p.Length >= needed;
        for (var i = 0; good && i < sizes; i++)
        {
            good = p[i] >= 0;
        }

        if (good && kind == GerberApertureKind.Polygon)
        {
            good = p[1] is >= 3 and <= 12 && p[1] % 1 == 0;
        }

        var firstHole = kind == GerberApertureKind.Polygon ? 3 : needed;
        for (var i = firstHole; good && i < p.Length; i++)
        {
            good = p[i] >= 0;
        }

        if (!good)
        {
            _diagnostics.Error(GerberCodes.BadAperture, aperture.SourceOffset, Text(
                $"Aperture D{aperture.Number} has too few parameters or values that {aperture.Template} does not allow, so it paints nothing; export the file again."));
            return aperture;
        }

        if (kind != GerberApertureKind.Circle && (p[0] == 0 || (sizes == 2 && p[1] == 0)))
        {
            _diagnostics.Warn(GerberCodes.BadAperture, aperture.SourceOffset, Text($"Aperture D{aperture.Number} has no size, so it paints nothing; check the pads that use it."));
        }

        if (p.Length > firstHole + 1)
        {
            Deprecated(aperture.SourceOffset, "A rectangular hole in an aperture");
        }

        return aperture with { Kind = kind };
    }

    private GerberAperture FromMacro(GerberAperture aperture)
    {
        if (!_macros.TryGetValue(aperture.Template, out var body))
        {
            _diagnostics.Error(GerberCodes.BadMacro, aperture.SourceOffset, Text(
                $"Aperture D{aperture.Number} is made from a macro that is not defined, so it paints nothing; export the file again."));
            return aperture;
        }

        _macroBytes += body.Length;
        if (_macroBytes > MacroByteBudget)
        {
            _diagnostics.Once(GerberCodes.TooMany, Severity.Error, aperture.SourceOffset, "The macros of this file take more work than this program accepts, so further apertures paint nothing; export the file again.");
            return aperture;
        }

        var evaluator = new MacroEvaluator(_bytes, body.Start, body.Length, aperture, _limits, _diagnostics);
        return evaluator.Run() is { } primitives ? aperture with { Kind = GerberApertureKind.Macro, Primitives = primitives } : aperture;
    }

    private void Register(GerberAperture aperture)
    {
        if (_apertureIndex.ContainsKey(aperture.Number))
        {
            _diagnostics.Warn(GerberCodes.ApertureRedefined, aperture.SourceOffset, Text(
                $"Aperture D{aperture.Number} is defined a second time; later operations use the new one, so check the image."));
        }

        _apertureIndex[aperture.Number] = _tables.Apertures.Count;
        _tables.Apertures.Add(aperture);
    }

    private void DefineMacro(int at)
    {
        var name = Encoding.UTF8.GetString(TakeBlock()).Trim();
        var start = _pos;
        var length = _bytes[_pos..].IndexOf((byte)'%');
        length = length < 0 ? _bytes.Length - _pos : length;
        _pos += length;
        if (name.Length is 0 or > 127)
        {
            _diagnostics.Error(GerberCodes.BadMacro, at, "A macro has no usable name and was skipped; export the file again.");
            return;
        }

        _macros[name] = (start, length);
    }

    private void OpenOrCloseBlock(ReadOnlySpan<byte> text, int at)
    {
        text = text.Trim((byte)' ');
        if (text.IsEmpty)
        {
            if (_outerFrames.Count == 0)
            {
                _diagnostics.Warn(GerberCodes.BadParameter, at, "A block aperture is closed (%AB*%) that was never opened; the command was skipped, so check the image.");
                return;
            }

            CloseFrame(at);
            CloseBlock(at);
            return;
        }

        if (!TryNumber((text[0] | 0x20) == 'd' ? text[1..] : text, out var number) || number is < 10 or > int.MaxValue || number % 1 != 0)
        {
            _diagnostics.Error(GerberCodes.BadAperture, at, "A block aperture has no usable number; its objects were left out, so export the file again.");
            number = -1;
        }

        if (_inRegion)
        {
            CloseFrame(at);
        }

        if (_outerFrames.Count >= _limits.MaxDepth)
        {
            TooDeep(at);
            _ended = true;
            return;
        }

        _outerFrames.Add(_frame);
        _frame = new Frame(new GerberItemList(), (int)number, at);
    }

    private void CloseBlock(int at)
    {
        var block = _frame;
        _frame = _outerFrames[^1];
        _outerFrames.RemoveAt(_outerFrames.Count - 1);
        var kind = GerberApertureKind.Block;
        if (block.List.Depth > _limits.MaxDepth)
        {
            TooDeep(at);
            kind = GerberApertureKind.Unusable;
        }

        if (block.Number < 0)
        {
            return;
        }

        Register(new GerberAperture
        {
            Number = block.Number,
            Kind = kind,
            Template = string.Empty,
            Function = _apertureFunction,
            SourceOffset = block.Offset,
            Block = kind == GerberApertureKind.Block ? block.List : null,
        });
    }

    private void TooDeep(int at) => _diagnostics.Once(GerberCodes.TooDeep, Severity.Error, at, Text(
        $"Block apertures are nested more than {_limits.MaxDepth} deep, so the innermost were left out; export the file without nested blocks."));
}
