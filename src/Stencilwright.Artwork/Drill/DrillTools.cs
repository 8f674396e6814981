using System.Globalization;
using System.Text;
using Stencilwright.Artwork.Gerber;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Drill;

/// <summary>The tools of a file while it is read, with what comments and attributes say about those defined next.</summary>
internal sealed class DrillTools(DrillEvidence evidence, DrillFormat format, GerberDiagnostics diagnostics)
{
    private const double ThinnestMm = 0.02;
    private const double ThickestMm = 50;

    private readonly List<DrillTool> _tools = [];
    private readonly Dictionary<int, int> _index = [];
    private DrillPlating _typePlating;
    private DrillPlating _filePlating;
    private string? _function;
    private int _ordinal;

    /// <summary>Index of the tool in use; -1 for none.</summary>
    public int Current { get; private set; } = -1;

    public SortedDictionary<string, string[]> FileAttributes { get; } = new(StringComparer.Ordinal);

    public List<DrillTool> All => _tools;

    /// <summary>What a comment says: attributes, and the plating of the tools that follow.</summary>
    public void Comment(ReadOnlySpan<byte> bytes)
    {
        var text = Encoding.UTF8.GetString(bytes[..Math.Min(bytes.Length, 1000)]).Trim();
        if (text.StartsWith("#@!", StringComparison.Ordinal))
        {
            Attribute(text[3..].Trim());
            return;
        }

        var plain = text.Replace(" ", "", StringComparison.Ordinal).ToUpperInvariant();
        _typePlating = plain switch
        {
            "TYPE=PLATED" => DrillPlating.Plated,
            "TYPE=NON_PLATED" or "TYPE=NONPLATED" or "TYPE=NON-PLATED" => DrillPlating.NonPlated,
            _ => _typePlating,
        };
    }

    private void Attribute(string text)
    {
        var fields = text.Split(',');
        var name = fields[0].Length > 2 ? fields[0][2..] : "";
        if (text.StartsWith("TF.", StringComparison.Ordinal))
        {
            FileAttributes[name] = fields[1..];
            if (name == ".FileFunction" && fields.Length > 1)
            {
                _filePlating = PlatingOf(fields[1]);
            }
        }
        else if (text.StartsWith("TA.AperFunction,", StringComparison.Ordinal))
        {
            _function = string.Join(',', fields[1..]);
        }
        else if (text.StartsWith("TD", StringComparison.Ordinal) && name is "" or ".AperFunction")
        {
            _function = null;
        }
    }

    private static DrillPlating PlatingOf(string word) => word switch
    {
        "Plated" => DrillPlating.Plated,
        "NonPlated" => DrillPlating.NonPlated,
        _ => DrillPlating.Unknown,
    };

    /// <summary>Defines a tool.</summary>
    public void Define(int number, DrillNumber size, double unitMm, int offset)
    {
        var diameterMm = DiameterOf(size, unitMm, offset);
        if (diameterMm is not (>= ThinnestMm and <= ThickestMm))
        {
            diagnostics.Warn(DrillCodes.OddTool, offset, string.Create(
                CultureInfo.InvariantCulture, $"Tool {number} has a diameter of {diameterMm:0.####} mm, which no drill has; check the unit and the file's tool list."));
        }

        if (_index.TryGetValue(number, out var known))
        {
            var before = _tools[known];
            if (Math.Abs(before.DiameterMm - diameterMm) < 1e-9)
            {
                return;
            }

            if (before.DiameterMm > 0)
            {
                diagnostics.Warn(DrillCodes.OddTool, offset, string.Create(
                    CultureInfo.InvariantCulture, $"Tool {number} is defined a second time, with {diameterMm:0.####} mm instead of {before.DiameterMm:0.####} mm; holes from here on have the new size, so check the tool list."));
            }
        }

        Register(number, diameterMm, offset);
    }

    private double DiameterOf(DrillNumber size, double unitMm, int offset)
    {
        if (size.HasPoint)
        {
            return size.Plain * unitMm;
        }

        // Without a point: by the file's own decimals, in thousandths, or as a whole number; the first that a drill can have.
        ReadOnlySpan<int> decimals = [format.DecimalDigits, 3, 4, 0];
        var chosen = decimals[0];
        foreach (var candidate in decimals)
        {
            if (size.Digits / Math.Pow(10, candidate) * unitMm is >= 0.1 and <= 8)
            {
                chosen = candidate;
                break;
            }
        }

        var diameterMm = size.Digits / Math.Pow(10, chosen) * unitMm;
        diagnostics.Once(DrillCodes.OddTool, Severity.Warning, offset, string.Create(
            CultureInfo.InvariantCulture, $"A tool's diameter has no decimal point; {diameterMm:0.####} mm was taken from its digits because a drill can have that size, so check the tool list."));
        return diameterMm;
    }

    private void Register(int number, double diameterMm, int offset)
    {
        var plating = _function is not null && PlatingOf(_function.Split(',')[0]) is var told && told != DrillPlating.Unknown ? told : _typePlating;
        if (plating == DrillPlating.Unknown && evidence.CommentTools.TryGetValue(number, out var comment))
        {
            plating = comment.Plating;
        }

        plating = plating == DrillPlating.Unknown ? _filePlating : plating;
        _index[number] = _tools.Count;
        _tools.Add(new DrillTool(number, diameterMm, plating, _function, offset));
    }

    public bool Has(int number) => _index.ContainsKey(number);

    /// <summary>Takes a tool; 0 puts the tool away.</summary>
    public void Select(int number, int digits, int offset)
    {
        if (number == 0)
        {
            Current = -1;
            return;
        }

        // T0203 is tool 2 with offset register 3 where no tool has the whole number.
        if (!_index.ContainsKey(number) && digits == 4 && _index.ContainsKey(number / 100))
        {
            number /= 100;
        }

        if (!_index.ContainsKey(number))
        {
            FromComment(number, offset);
        }

        Current = _index[number];
    }

    private void FromComment(int number, int offset)
    {
        var size = 0.0;
        if (evidence.CommentTools.TryGetValue(number, out var comment))
        {
            size = comment.DiameterMm;
            diagnostics.Once(DrillCodes.FormatTold, Severity.Note, comment.Offset, "Tool sizes were taken from the comments, because the tool list does not give them; nothing to do.");
        }
        else
        {
            diagnostics.Once(DrillCodes.NoDiameter, Severity.Warning, offset, string.Create(
                CultureInfo.InvariantCulture, $"Tool {number} has no diameter in this file (perhaps others too), so its holes have a place but no size; export the file with its tool list."));
        }

        Register(number, size, size > 0 ? comment.Offset : offset);
    }

    /// <summary>A file without tool numbers stops (M00) for each new tool.</summary>
    public void Next(int offset)
    {
        _ordinal++;
        Select(_ordinal, 0, offset);
    }

    /// <summary>Makes sure that there is a tool to drill with.</summary>
    public void Ensure(int offset)
    {
        if (Current >= 0)
        {
            return;
        }

        if (!evidence.HasToolNumbers)
        {
            Next(offset);
            return;
        }

        diagnostics.Once(DrillCodes.NoDiameter, Severity.Warning, offset, "Something is drilled before any tool was taken, so it has a place but no size; export the file again.");
        if (!_index.ContainsKey(0))
        {
            Register(0, 0, offset);
        }

        Current = _index[0];
    }
}
