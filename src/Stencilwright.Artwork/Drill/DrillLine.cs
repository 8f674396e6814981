namespace Stencilwright.Artwork.Drill;

/// <summary>A number as it is written; what it means depends on a format that may only be known at the end of the file.</summary>
/// <param name="Digits">All digits as one whole number, without sign and point.</param>
/// <param name="Count">How many digits, leading zeros included; 0 when there is none.</param>
/// <param name="Decimals">Digits after the point; -1 without a point.</param>
/// <param name="IsNegative">True after a minus sign.</param>
internal readonly record struct DrillNumber(long Digits, int Count, int Decimals, bool IsNegative)
{
    // More digits than a double can tell apart.
    private const int MostDigits = 17;

    public bool HasPoint => Decimals >= 0;

    /// <summary>The number with its point where it stands, or as a whole number.</summary>
    public double Plain => Signed(Digits / Math.Pow(10, Math.Max(0, Decimals)));

    /// <summary>The number by a format, in the file's unit.</summary>
    public double By(DrillFormat format)
    {
        if (HasPoint)
        {
            return Plain;
        }

        var decimals = format.Zeros == DrillZeros.TrailingKept ? format.DecimalDigits : Count - format.IntegerDigits;
        return Signed(decimals >= 0 ? Digits / Math.Pow(10, decimals) : Digits * Math.Pow(10, -decimals));
    }

    private double Signed(double magnitude) => IsNegative ? -magnitude : magnitude;

    /// <summary>Reads sign, digits and point at a place; digits past the seventeenth make the number unusable (no digits).</summary>
    public static DrillNumber Read(ReadOnlySpan<byte> text, ref int at, out bool hasComma)
    {
        var isNegative = at < text.Length && text[at] == (byte)'-';
        at += at < text.Length && text[at] is (byte)'-' or (byte)'+' ? 1 : 0;
        hasComma = false;
        var (digits, count, point) = (0L, 0, -1);
        for (; at < text.Length; at++)
        {
            var digit = (uint)(text[at] - '0');
            if (digit <= 9)
            {
                digits = count < MostDigits ? (digits * 10) + digit : digits;
                count++;
            }
            else if (point < 0 && text[at] is (byte)'.' or (byte)',')
            {
                hasComma |= text[at] == (byte)',';
                point = count;
            }
            else
            {
                break;
            }
        }

        return count > MostDigits ? default : new DrillNumber(digits, count, point < 0 ? -1 : count - point, isNegative);
    }
}

/// <summary>A letter and its number, such as <c>X-1250</c>.</summary>
internal readonly record struct DrillWord(char Letter, DrillNumber Number, int Offset)
{
    public int Code => Number is { Count: > 0, HasPoint: false, IsNegative: false, Digits: <= 99_999_999 } ? (int)Number.Digits : -1;
}

internal enum DrillLineKind
{
    Blank,

    /// <summary>Text of a comment, its mark left off.</summary>
    Comment,

    /// <summary>A statement that begins with a word, such as <c>METRIC,TZ</c>.</summary>
    Statement,

    /// <summary>Words of a letter and a number each.</summary>
    Words,

    /// <summary>The per-cent sign: end of the header, or rewind.</summary>
    Stop,
}

/// <summary>Cuts a file into lines and lines into words. Lines end at LF, CR or both; a star at a line's end is passed over.</summary>
internal ref struct DrillLines(ReadOnlySpan<byte> bytes)
{
    private readonly ReadOnlySpan<byte> _bytes = bytes;
    private readonly List<DrillWord> _words = [];
    private int _next = bytes.StartsWith("\uFEFF"u8) ? 3 : 0;

    public DrillLineKind Kind { get; private set; }

    /// <summary>Where the line's text begins and ends.</summary>
    public int Start { get; private set; }

    public int End { get; private set; }

    /// <summary>The statement or the comment's text.</summary>
    public ReadOnlySpan<byte> Text { get; private set; }

    /// <summary>What stands behind a semicolon on a line of words; empty otherwise.</summary>
    public ReadOnlySpan<byte> Remark { get; private set; }

    public readonly List<DrillWord> Words => _words;

    /// <summary>Offset of the first byte that fits no word; -1 when all fit.</summary>
    public int Fault { get; private set; }

    /// <summary>True when a number had a comma for its point.</summary>
    public bool HasComma { get; private set; }

    public bool Read()
    {
        if (_next >= _bytes.Length)
        {
            return false;
        }

        var from = _next;
        var length = _bytes[from..].IndexOfAny((byte)'\n', (byte)'\r');
        var to = length < 0 ? _bytes.Length : from + length;
        _next = to + 1;
        while (from < to && IsSpace(_bytes[from]))
        {
            from++;
        }

        while (to > from && (IsSpace(_bytes[to - 1]) || _bytes[to - 1] == (byte)'*'))
        {
            to--;
        }

        (Start, End, Fault, HasComma) = (from, to, -1, false);
        Text = _bytes[from..to];
        Remark = default;
        Kind = Classify();
        if (Kind == DrillLineKind.Words)
        {
            Split();
        }

        return true;
    }

    private static bool IsSpace(byte b) => b <= ' ';

    private static bool IsLetter(byte b) => (uint)((b | 0x20) - 'a') <= 'z' - 'a';

    private DrillLineKind Classify()
    {
        var text = Text;
        if (text.IsEmpty)
        {
            return DrillLineKind.Blank;
        }

        switch (text[0])
        {
            case (byte)';':
                Text = text[1..].TrimStart(" \t;"u8);
                return DrillLineKind.Comment;
            case (byte)'(':
                Text = text[1..].TrimEnd(" )"u8);
                return DrillLineKind.Comment;
            case (byte)'%':
                return DrillLineKind.Stop;
        }

        // A letter followed by a letter or a comma is a word of the header; M47 and its like carry text for people.
        var isStatement = (text[0] & 0xDF) is not ('X' or 'Y') && IsLetter(text[0]) && text.Length > 1 && (IsLetter(text[1]) || text[1] == (byte)',');
        return isStatement || text.StartsWith("M47"u8) || text.StartsWith("M97"u8) || text.StartsWith("M98"u8)
            ? DrillLineKind.Statement
            : DrillLineKind.Words;
    }

    private void Split()
    {
        _words.Clear();
        var text = Text;
        var at = text[0] == (byte)'/' ? 1 : 0;
        while (at < text.Length)
        {
            if (text[at] == (byte)';')
            {
                Remark = text[(at + 1)..].TrimStart(" \t;"u8);
                return;
            }

            if (IsSpace(text[at]) || text[at] is (byte)',' or (byte)'*')
            {
                at++;
                continue;
            }

            if (!IsLetter(text[at]))
            {
                Fault = Start + at;
                return;
            }

            var (letter, offset) = ((char)(text[at] & 0xDF), Start + at);
            at++;
            while (at < text.Length && text[at] == (byte)' ')
            {
                at++;
            }

            var number = DrillNumber.Read(text, ref at, out var hasComma);
            HasComma |= hasComma && number.Decimals > 0;
            _words.Add(new DrillWord(letter, number, offset));
        }
    }
}
