using System.Text;
using System.Text.Unicode;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Placement;

/// <summary>A line of a text file.</summary>
/// <param name="Number">Counted from 1.</param>
/// <param name="Text">Without its end.</param>
internal readonly record struct TextLine(int Number, string Text);

/// <summary>A file's bytes as lines of text, whatever of the usual encodings they are in.</summary>
internal sealed class TextLines
{
    private readonly string _file;
    private readonly Encoding _encoding;
    private readonly int _markBytes;

    private TextLines(string file, Encoding encoding, int markBytes, bool isGuessed)
    {
        _file = file;
        _encoding = encoding;
        _markBytes = markBytes;
        IsGuessed = isGuessed;
    }

    /// <summary>The lines, empty ones included.</summary>
    public List<TextLine> Lines { get; } = [];

    /// <summary>True when the bytes are no UTF-8 and were taken for Latin-1, which any bytes are.</summary>
    public bool IsGuessed { get; }

    /// <summary>True when the last line ends with a line end.</summary>
    public bool EndsWithLineEnd { get; private set; }

    /// <summary>True when more lines follow than were asked for.</summary>
    public bool IsCut { get; private set; }

    /// <summary>Decodes; null when the bytes are no text.</summary>
    /// <param name="source">Name and bytes.</param>
    /// <param name="mostLines">Lines to keep.</param>
    public static TextLines? Decode(SourceText source, int mostLines)
    {
        var bytes = source.Bytes.Span;
        var (encoding, mark, isGuessed) = EncodingOf(bytes);
        if (encoding is null)
        {
            return null;
        }

        var result = new TextLines(source.Name, encoding, mark, isGuessed);
        result.Split(encoding.GetString(bytes[mark..]), mostLines);
        return result;
    }

    /// <summary>A place in a line.</summary>
    /// <param name="line">The line.</param>
    /// <param name="character">Zero-based character; the column is that of its first byte.</param>
    public SourcePlace PlaceOf(in TextLine line, int character)
    {
        var before = line.Text.AsSpan(0, Math.Clamp(character, 0, line.Text.Length));
        return new SourcePlace(_file, line.Number, _encoding.GetByteCount(before) + 1 + (line.Number == 1 ? _markBytes : 0));
    }

    private static (Encoding? Encoding, int Mark, bool IsGuessed) EncodingOf(ReadOnlySpan<byte> bytes)
    {
        switch (bytes)
        {
            case [0xFF, 0xFE, ..]:
                return (Encoding.Unicode, 2, false);
            case [0xFE, 0xFF, ..]:
                return (Encoding.BigEndianUnicode, 2, false);
            case [0xEF, 0xBB, 0xBF, ..]:
                return (Encoding.UTF8, 3, false);
            default:
                break;
        }

        var head = bytes[..Math.Min(bytes.Length, 4096)];
        if (head.Contains((byte)0))
        {
            return (WideWithoutMark(head), 0, false);
        }

        return Utf8.IsValid(bytes) ? (Encoding.UTF8, 0, false) : (Encoding.Latin1, 0, true);
    }

    // Western text in two bytes a character has a zero in nearly every second place, always on the same side.
    private static Encoding? WideWithoutMark(ReadOnlySpan<byte> head)
    {
        var (even, odd) = (0, 0);
        for (var i = 0; i < head.Length; i++)
        {
            if (head[i] == 0)
            {
                (even, odd) = (i & 1) == 0 ? (even + 1, odd) : (even, odd + 1);
            }
        }

        var enough = head.Length * 2 / 5;
        return (even, odd) switch
        {
            (0, _) when odd >= enough => Encoding.Unicode,
            (_, 0) when even >= enough => Encoding.BigEndianUnicode,
            _ => null,
        };
    }

    private void Split(string text, int mostLines)
    {
        var from = 0;
        while (from < text.Length)
        {
            if (Lines.Count == mostLines)
            {
                IsCut = true;
                return;
            }

            var length = text.AsSpan(from).IndexOfAny('\r', '\n');
            EndsWithLineEnd = length >= 0;
            var end = length < 0 ? text.Length : from + length;
            Lines.Add(new TextLine(Lines.Count + 1, text[from..end]));
            from = end + 1;
            if (end < text.Length && text[end] == '\r' && from < text.Length && text[from] == '\n')
            {
                from++;
            }
        }
    }
}
