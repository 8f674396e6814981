namespace Stencilwright.Foundation;

/// <summary>A file's name and bytes, with line and column worked out only when somebody asks.</summary>
/// <remarks>Lines end at LF, CR, or CR LF, mixed freely as real artwork does. Safe to read from several threads.</remarks>
public sealed class SourceText
{
    private readonly Lazy<int[]> _lineStarts;

    /// <summary>Wraps bytes; they are not copied and must not change afterwards.</summary>
    /// <param name="name">The name to show in messages.</param>
    /// <param name="bytes">The whole file, byte-order mark included, so that offsets are the file's own.</param>
    public SourceText(string name, ReadOnlyMemory<byte> bytes)
    {
        ArgumentNullException.ThrowIfNull(name);
        Name = name;
        Bytes = bytes;
        _lineStarts = new Lazy<int[]>(() => FindLineStarts(Bytes.Span));
    }

    /// <summary>The name to show in messages.</summary>
    public string Name { get; }

    /// <summary>The whole file.</summary>
    public ReadOnlyMemory<byte> Bytes { get; }

    /// <summary>Turns a byte offset into a line and a column, both from 1.</summary>
    /// <param name="offset">Zero-based; values outside the file are moved to its nearest end.</param>
    public SourcePlace PlaceOf(int offset)
    {
        var at = Math.Clamp(offset, 0, Bytes.Length);
        var starts = _lineStarts.Value;
        var index = Array.BinarySearch(starts, at);
        if (index < 0)
        {
            index = ~index - 1;
        }

        return new SourcePlace(Name, index + 1, at - starts[index] + 1);
    }

    private static int[] FindLineStarts(ReadOnlySpan<byte> bytes)
    {
        var starts = new List<int> { 0 };
        var from = 0;
        while (from < bytes.Length)
        {
            var found = bytes[from..].IndexOfAny((byte)'\n', (byte)'\r');
            if (found < 0)
            {
                break;
            }

            from += found + 1;
            if (bytes[from - 1] == (byte)'\r' && from < bytes.Length && bytes[from] == (byte)'\n')
            {
                from++;
            }

            starts.Add(from);
        }

        return [.. starts];
    }
}
