using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <summary>A macro primitive with its numbers worked out.</summary>
/// <param name="Code">1, 20, 21, 22, 4, 5, 6 or 7 (2 has become 20).</param>
/// <param name="IsDark">Exposure.</param>
/// <param name="Values">The modifiers after the exposure, in the file's unit and degrees, as many as the primitive takes.</param>
internal readonly record struct MacroPrimitive(int Code, bool IsDark, ImmutableArray<double> Values);

/// <summary>Carries out a macro's body for one aperture, straight from the bytes.</summary>
/// <remarks>
/// Expressions: numbers, <c>$n</c>, unary + and -, then x (or X) and /, then + and -, with brackets (Gerber Layer Format
/// Specification, aperture macros). Unset variables are 0.
/// </remarks>
internal ref struct MacroEvaluator
{
    private const int MaxOutlinePoints = 5000;
    private const int AcceptedOutlinePoints = 1_000_000;
    private const int MaxVariables = 100_000;

    private readonly ReadOnlySpan<byte> _bytes;
    private readonly GerberAperture _aperture;
    private readonly ReadLimits _limits;
    private readonly GerberDiagnostics _diagnostics;
    private readonly Dictionary<int, double> _variables;
    private readonly int _end;
    private int _pos;
    private string? _problem;

    public MacroEvaluator(ReadOnlySpan<byte> bytes, int start, int length, GerberAperture aperture, ReadLimits limits, GerberDiagnostics diagnostics)
    {
        _bytes = bytes;
        _pos = start;
        _end = start + length;
        _aperture = aperture;
        _limits = limits;
        _diagnostics = diagnostics;
        _variables = [];
        for (var i = 0; i < aperture.Parameters.Length; i++)
        {
            _variables[i + 1] = aperture.Parameters[i];
        }
    }

    /// <summary>The primitives, or null when the macro cannot be used.</summary>
    public ImmutableArray<MacroPrimitive>? Run()
    {
        var primitives = ImmutableArray.CreateBuilder<MacroPrimitive>();
        while (SkipSpace())
        {
            var b = _bytes[_pos];
            if (b == '*')
            {
                _pos++;
            }
            else if (b == '$')
            {
                Assign();
            }
            else if (b == '0' && (_pos + 1 >= _end || !IsDigit(_bytes[_pos + 1])))
            {
                SkipBlock();
            }
            else
            {
                Primitive(primitives);
            }

            if (_problem is { } problem)
            {
                _diagnostics.Error(
                    problem == DividedByZero || problem == NestedTooDeep ? GerberCodes.MacroArithmetic : GerberCodes.BadMacro,
                    _pos,
                    FormattableString.Invariant($"The macro of aperture D{_aperture.Number} {problem}, so the aperture paints nothing; export the file again."));
                return null;
            }
        }

        return primitives.ToImmutable();
    }

    private const string DividedByZero = "divides by zero or makes a number that is not finite";
    private const string NestedTooDeep = "nests brackets too deeply";

    private static bool IsDigit(byte b) => (uint)(b - '0') <= 9;

    private bool SkipSpace()
    {
        while (_pos < _end && _bytes[_pos] <= ' ')
        {
            _pos++;
        }

        return _pos < _end;
    }

    private void SkipBlock()
    {
        var length = _bytes[_pos.._end].IndexOf((byte)'*');
        _pos = length < 0 ? _end : _pos + length + 1;
    }

    private void Assign()
    {
        _pos++;
        var variable = VariableNumber();
        if (!SkipSpace() || _bytes[_pos] != '=')
        {
            _problem ??= "has an assignment without an equals sign";
            return;
        }

        _pos++;
        var value = Expression(0);
        if (_problem is null && _variables.Count < MaxVariables)
        {
            _variables[variable] = value;
        }

        EndBlock();
    }

    private void EndBlock()
    {
        if (SkipSpace() && _bytes[_pos] != '*')
        {
            _problem ??= "has an expression that cannot be read";
        }
        else
        {
            _pos++;
        }
    }

    private void Primitive(ImmutableArray<MacroPrimitive>.Builder primitives)
    {
        var at = _pos;
        var code = (int)Math.Clamp(Expression(0), -1, 1000);
        var values = ImmutableArray.CreateBuilder<double>();
        while (_problem is null && SkipSpace() && _bytes[_pos] == ',')
        {
            _pos++;
            values.Add(Expression(0));
        }

        if (_problem is not null)
        {
            return;
        }

        EndBlock();
        if (_problem is null && Check(code, values, at) is { } primitive)
        {
            primitives.Add(primitive);
        }
    }

    private MacroPrimitive? Check(int code, ImmutableArray<double>.Builder values, int at)
    {
        // Modifiers after the exposure, the last of them the rotation, which old files leave out.
        var (count, hasExposure) = code switch
        {
            1 => (4, true),
            2 or 20 => (6, true),
            21 or 22 => (5, true),
            4 => (0, true),
            5 => (5, true),
            6 => (9, false),
            7 => (6, false),
            _ => (-1, false),
        };
        if (count < 0)
        {
            _diagnostics.Once(
                GerberCodes.BadMacro, Severity.Warning, at, FormattableString.Invariant($"A macro uses primitive {code}, which Gerber does not have; it was left out, so check the pads made from it."));
            return null;
        }

        if (code is 2 or 22 or 6)
        {
            _diagnostics.Once(
                GerberCodes.Deprecated, Severity.Note, at, FormattableString.Invariant($"Macro primitive {code} is deprecated and was read with its old meaning; nothing to do."));
        }

        var first = hasExposure ? 1 : 0;
        if (code == 4)
        {
            return Outline(values, at);
        }

        if (values.Count < first + count - 1)
        {
            _problem = FormattableString.Invariant($"gives too few numbers to primitive {code}");
            return null;
        }

        var kept = ImmutableArray.CreateBuilder<double>(count);
        for (var i = 0; i < count; i++)
        {
            kept.Add(first + i < values.Count ? values[first + i] : 0);
        }

        return Plausible(code, kept) ? new MacroPrimitive(code == 2 ? 20 : code, !hasExposure || values[0] != 0, kept.MoveToImmutable()) : null;
    }

    private bool Plausible(int code, ImmutableArray<double>.Builder values)
    {
        for (var i = 0; i < values.Count; i++)
        {
            if (Math.Abs(values[i]) > 1e6)
            {
                _problem = "makes a number far larger than any pad";
                return false;
            }
        }

        var sizesBad = code switch
        {
            1 or 2 or 20 => values[0] < 0,
            21 or 22 => values[0] < 0 || values[1] < 0,
            5 => values[0] is < 3 or > 12 || values[0] % 1 != 0 || values[3] < 0,
            6 => values[2] < 0 || values[3] < 0 || values[4] < 0 || values[6] < 0 || values[7] < 0,
            7 => values[2] <= values[3] || values[3] < 0 || values[4] < 0,
            _ => false,
        };
        if (sizesBad)
        {
            _problem = FormattableString.Invariant($"gives primitive {code} sizes that it does not allow");
        }

        return !sizesBad;
    }

    private MacroPrimitive? Outline(ImmutableArray<double>.Builder values, int at)
    {
        var segments = values.Count > 1 ? values[1] : -1;
        if (segments < 2 || segments % 1 != 0 || segments > AcceptedOutlinePoints || values.Count < 2 + (2 * ((int)segments + 1)))
        {
            _problem = "has an outline whose number of points is wrong";
            return null;
        }

        var n = (int)segments;
        if (n > MaxOutlinePoints)
        {
            _diagnostics.Once(GerberCodes.MacroOutline, Severity.Warning, at, "A macro's outline has more than the 5000 points that Gerber allows; it was read all the same, nothing to do.");
        }

        if (values[2] != values[2 + (2 * n)] || values[3] != values[3 + (2 * n)])
        {
            _diagnostics.Once(GerberCodes.MacroOutline, Severity.Warning, at, "A macro's outline does not end where it starts; it was closed by a straight line, so check the pads made from it.");
            n++;
        }

        var kept = ImmutableArray.CreateBuilder<double>((2 * n) + 1);
        for (var i = 0; i < 2 * n; i++)
        {
            kept.Add(values[2 + i]);
        }

        var rotationAt = 2 + (2 * ((int)segments + 1));
        kept.Add(rotationAt < values.Count ? values[rotationAt] : 0);
        return Plausible(4, kept) ? new MacroPrimitive(4, values[0] != 0, kept.MoveToImmutable()) : null;
    }

    private int VariableNumber()
    {
        var number = 0;
        while (_pos < _end && IsDigit(_bytes[_pos]) && number < 100_000_000)
        {
            number = (number * 10) + _bytes[_pos++] - '0';
        }

        return number;
    }

    private double Expression(int depth)
    {
        var sum = Term(depth);
        while (_problem is null && SkipSpace() && _bytes[_pos] is (byte)'+' or (byte)'-')
        {
            var minus = _bytes[_pos++] == '-';
            var term = Term(depth);
            sum = minus ? sum - term : sum + term;
        }

        return Finite(sum);
    }

    private double Term(int depth)
    {
        var product = Factor(depth);
        while (_problem is null && SkipSpace() && _bytes[_pos] is (byte)'x' or (byte)'X' or (byte)'/')
        {
            var divide = _bytes[_pos++] == '/';
            var factor = Factor(depth);
            product = Finite(divide ? product / factor : product * factor);
        }

        return product;
    }

    private double Factor(int depth)
    {
        var negative = false;
        while (SkipSpace() && _bytes[_pos] is (byte)'+' or (byte)'-')
        {
            negative ^= _bytes[_pos++] == '-';
        }

        var value = Operand(depth);
        return negative ? -value : value;
    }

    private double Operand(int depth)
    {
        if (_pos >= _end)
        {
            _problem ??= "ends in the middle of an expression";
            return 0;
        }

        switch (_bytes[_pos])
        {
            case (byte)'$':
                _pos++;
                return _variables.GetValueOrDefault(VariableNumber());
            case (byte)'(' when depth >= _limits.MaxDepth:
                _problem ??= NestedTooDeep;
                return 0;
            case (byte)'(':
                _pos++;
                var value = Expression(depth + 1);
                if (_problem is null && (!SkipSpace() || _bytes[_pos++] != ')'))
                {
                    _problem = "has brackets that do not match";
                }

                return value;
            default:
                return Number();
        }
    }

    private double Number()
    {
        var start = _pos;
        while (_pos < _end && (IsDigit(_bytes[_pos]) || _bytes[_pos] == '.'))
        {
            _pos++;
        }

        if (_pos == start || !double.TryParse(_bytes[start.._pos], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value))
        {
            _problem ??= "has an expression that cannot be read";
            return 0;
        }

        return Finite(value);
    }

    private double Finite(double value)
    {
        if (!double.IsFinite(value))
        {
            _problem ??= DividedByZero;
            return 0;
        }

        return value;
    }
}
