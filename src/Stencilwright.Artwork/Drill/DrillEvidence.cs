using System.Globalization;
using System.Text;

namespace Stencilwright.Artwork.Drill;

/// <summary>What the header, the comments and the look of the numbers say, gathered in one pass before anything is carried out.</summary>
internal sealed class DrillEvidence
{
    // Operations of a kind needed by nobody are not counted further.
    private const int MostNotedTools = 10_000;

    /// <summary>The unit by METRIC, INCH, M71 or M72, with its place.</summary>
    public (ArtworkUnit Unit, int Offset)? Unit { get; private set; }

    /// <summary>Another statement of the unit that contradicts the first, before any coordinate.</summary>
    public int ContradictionOffset { get; private set; } = -1;

    /// <summary>The unit that a comment names.</summary>
    public (ArtworkUnit Unit, int Offset)? CommentUnit { get; private set; }

    /// <summary>LZ or TZ, or a comment's word for it.</summary>
    public DrillZeros? Zeros { get; private set; }

    /// <summary>Digits before and after the point as a statement or a comment gives them.</summary>
    public (int Integers, int Decimals, int Offset, bool IsComment)? Digits { get; private set; }

    /// <summary>The digits of a tool's diameter written with filled up zeros, such as <c>C000.01600</c>.</summary>
    public (int Integers, int Decimals)? ToolDigits { get; private set; }

    /// <summary>The smallest diameter that has a decimal point; 0 when there is none.</summary>
    public double SmallestTool { get; private set; }

    /// <summary>Tool sizes and plating told in comments, by their number there.</summary>
    public SortedDictionary<int, (double DiameterMm, DrillPlating Plating, int Offset)> CommentTools { get; } = [];

    public bool HasToolNumbers { get; private set; }

    public bool HasPlunge { get; private set; }

    public bool HasEnd { get; private set; }

    /// <summary>Statements, codes and tools that only drill data has.</summary>
    public int Signs { get; private set; }

    /// <summary>Coordinates with a decimal point, and without one.</summary>
    public int WithPoint { get; private set; }

    public int WithoutPoint { get; private set; }

    public int FewestDigits { get; private set; } = int.MaxValue;

    public int MostDigits { get; private set; }

    /// <summary>Coordinates without a point, of two digits and more, that begin or end with a zero.</summary>
    public int WithLeadingZero { get; private set; }

    public int WithTrailingZero { get; private set; }

    /// <summary>True when every coordinate without a point has the same number of digits, more than one.</summary>
    public bool IsFixedLength => WithoutPoint > 1 && FewestDigits == MostDigits && MostDigits > 3;

    public static DrillEvidence Gather(ReadOnlySpan<byte> bytes, CancellationToken cancellationToken)
    {
        var evidence = new DrillEvidence();
        var lines = new DrillLines(bytes);
        var count = 0;
        while (lines.Read())
        {
            if ((++count & 0x3FFF) == 0)
            {
                cancellationToken.ThrowIfCancellationRequested();
            }

            switch (lines.Kind)
            {
                case DrillLineKind.Comment:
                    evidence.Comment(lines.Text, lines.Start);
                    break;
                case DrillLineKind.Statement:
                    evidence.Statement(lines.Text, lines.Start);
                    break;
                case DrillLineKind.Words:
                    evidence.Count(lines.Words);
                    break;
                default:
                    break;
            }
        }

        return evidence;
    }

    private void Statement(ReadOnlySpan<byte> text, int offset)
    {
        var fields = Fields(text);
        if (fields[0] is not ("METRIC" or "INCH"))
        {
            Signs += fields[0] is "FMAT" or "ICI" or "ATC" or "DETECT" or "VER" ? 1 : 0;
            return;
        }

        Signs++;
        State(fields[0] == "INCH" ? ArtworkUnit.Inch : ArtworkUnit.Millimetre, offset);
        foreach (var field in fields.AsSpan(1))
        {
            if (field is "LZ" or "TZ")
            {
                Zeros ??= field == "LZ" ? DrillZeros.LeadingKept : DrillZeros.TrailingKept;
            }
            else if (field.Length is > 2 and < 12 && field.Trim('0') == ".")
            {
                Digits ??= (field.IndexOf('.', StringComparison.Ordinal), field.Length - field.IndexOf('.', StringComparison.Ordinal) - 1, offset, false);
            }
        }
    }

    private static string[] Fields(ReadOnlySpan<byte> text)
    {
        var fields = Encoding.Latin1.GetString(text[..Math.Min(text.Length, 200)]).ToUpperInvariant().Split(',');
        for (var i = 0; i < fields.Length; i++)
        {
            fields[i] = fields[i].Trim();
        }

        return fields;
    }

    private void State(ArtworkUnit unit, int offset)
    {
        if (Unit is null)
        {
            Unit = (unit, offset);
        }
        else if (Unit.Value.Unit != unit && ContradictionOffset < 0 && WithPoint + WithoutPoint == 0)
        {
            ContradictionOffset = offset;
        }
    }

    private void Count(List<DrillWord> words)
    {
        var isTool = false;
        foreach (var word in words)
        {
            switch (word.Letter)
            {
                case 'T':
                    isTool = true;
                    HasToolNumbers |= word.Code > 0;
                    Signs++;
                    break;
                case 'M':
                    HasPlunge |= word.Code == 15;
                    HasEnd |= word.Code is 30 or 0;
                    Signs += word.Code is 48 or 71 or 72 or 95 or 30 or 15 or 16 or 17 ? 1 : 0;
                    if (word.Code is 71 or 72)
                    {
                        State(word.Code == 72 ? ArtworkUnit.Inch : ArtworkUnit.Millimetre, word.Offset);
                    }

                    break;
                case 'C' when isTool:
                    Tool(word.Number);
                    break;
                case 'X' or 'Y' when !isTool:
                    Coordinate(word.Number);
                    break;
                default:
                    break;
            }
        }
    }

    private void Tool(DrillNumber number)
    {
        if (!number.HasPoint || number.Plain <= 0)
        {
            return;
        }

        SmallestTool = SmallestTool == 0 ? number.Plain : Math.Min(SmallestTool, number.Plain);
        var integers = number.Count - number.Decimals;
        if (integers >= 2 && number.Decimals >= 2 && number.Plain < Math.Pow(10, integers - 1))
        {
            ToolDigits ??= (integers, number.Decimals);
        }
    }

    private void Coordinate(DrillNumber number)
    {
        if (number.Count == 0)
        {
            return;
        }

        if (number.HasPoint)
        {
            WithPoint++;
            return;
        }

        WithoutPoint++;
        (FewestDigits, MostDigits) = (Math.Min(FewestDigits, number.Count), Math.Max(MostDigits, number.Count));
        if (number.Count > 1)
        {
            WithLeadingZero += number.Digits < Math.Pow(10, number.Count - 1) ? 1 : 0;
            WithTrailingZero += number.Digits % 10 == 0 && number.Digits != 0 ? 1 : 0;
        }
    }

    private void Comment(ReadOnlySpan<byte> bytes, int offset)
    {
        // Lower case as some write it; only the first words matter.
        var text = Encoding.Latin1.GetString(bytes[..Math.Min(bytes.Length, 200)]).ToUpperInvariant();
        if (text.StartsWith("FILE_FORMAT", StringComparison.Ordinal) || text.StartsWith("FORMAT", StringComparison.Ordinal))
        {
            Format(text, offset);
        }
        else if (text.StartsWith("HOLESIZE", StringComparison.Ordinal) || (text.StartsWith('T') && text.Contains("HOLESIZE", StringComparison.Ordinal)))
        {
            Holesize(text, offset);
        }
    }

    // FILE_FORMAT=4:4, FORMAT={3:3/ absolute / metric / suppress leading zeros}, FORMAT={-:-/ absolute / inch / decimal}.
    private void Format(string text, int offset)
    {
        var equals = text.AsSpan().IndexOfAny('=', ':');
        var value = equals < 0 ? "" : text[(equals + 1)..].Trim(' ', '{', '}');
        if (value is [>= '0' and <= '9', ':' or '.', >= '0' and <= '9', ..])
        {
            Digits ??= (value[0] - '0', value[2] - '0', offset, true);
        }

        foreach (var part in value.Split('/'))
        {
            switch (part.Trim())
            {
                case "METRIC" or "MM":
                    CommentUnit ??= (ArtworkUnit.Millimetre, offset);
                    break;
                case "INCH" or "INCHES" or "IMPERIAL":
                    CommentUnit ??= (ArtworkUnit.Inch, offset);
                    break;
                case "SUPPRESS LEADING ZEROS":
                    Zeros ??= DrillZeros.TrailingKept;
                    break;
                case "SUPPRESS TRAILING ZEROS":
                    Zeros ??= DrillZeros.LeadingKept;
                    break;
                default:
                    break;
            }
        }
    }

    // "Holesize 1 = 0.301 mm", "Holesize 3. = 25.591000 … NON_PLATED MILS Quantity = 2", perhaps with T01 before it.
    private void Holesize(string text, int offset)
    {
        var words = text.Split([' ', '=', '\t'], StringSplitOptions.RemoveEmptyEntries);
        var at = Array.IndexOf(words, "HOLESIZE");
        if (at < 0 || at + 2 >= words.Length || CommentTools.Count >= MostNotedTools
            || !int.TryParse(words[at + 1].TrimEnd('.'), NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            || !double.TryParse(words[at + 2], NumberStyles.Float, CultureInfo.InvariantCulture, out var size) || !(size > 0))
        {
            return;
        }

        var factor = 0.0;
        var plating = DrillPlating.Unknown;
        foreach (var word in words.AsSpan(at + 3))
        {
            factor = word switch { "MM" => 1, "MIL" or "MILS" => 0.0254, "INCH" or "INCHES" => 25.4, _ => factor };
            plating = word switch { "PLATED" => DrillPlating.Plated, "NON_PLATED" or "NONPLATED" => DrillPlating.NonPlated, _ => plating };
        }

        if (factor > 0)
        {
            CommentTools.TryAdd(number, (size * factor, plating, offset));
            CommentUnit ??= (factor == 1 ? ArtworkUnit.Millimetre : ArtworkUnit.Inch, offset);
        }
    }
}
