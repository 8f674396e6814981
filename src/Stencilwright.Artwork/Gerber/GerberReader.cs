using System.Buffers;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Gerber;

/// <summary>Reads the Gerber layer format (RS-274X and its extensions, deprecated commands included).</summary>
/// <remarks>Source of the rules: Gerber Layer Format Specification, editions 2021.02 to 2022.02.</remarks>
public static class GerberReader
{
    private const int SniffedBytes = 64 * 1024;

    private static readonly SearchValues<byte> _wordBytes = SearchValues.Create("GgXYIJDMN0123456789+-. \r\n"u8);

    /// <summary>Reads a file into a document. Never throws for anything the file contains.</summary>
    /// <param name="source">Name and bytes.</param>
    /// <param name="limits">What a file may cost.</param>
    /// <param name="cancellationToken">Looked at every few thousand commands.</param>
    /// <returns>No value when the bytes are no Gerber at all; otherwise as much as could be understood.</returns>
    /// <exception cref="OperationCanceledException">Cancelled by the caller.</exception>
    public static Outcome<GerberDocument> Read(SourceText source, ReadLimits limits, CancellationToken cancellationToken)
    {
        ArgumentNullException.ThrowIfNull(source);
        var diagnostics = new GerberDiagnostics(source, limits.MaxDiagnostics);
        var bytes = source.Bytes.Span;
        if (!LooksLikeGerber(bytes))
        {
            diagnostics.Error(GerberCodes.NotGerber, 0, Refusal(bytes));
            return new Outcome<GerberDocument>(null, diagnostics.ToImmutable());
        }

        var parser = new GerberParser(source, limits, diagnostics);
        var document = parser.Parse(cancellationToken);
        return new Outcome<GerberDocument>(document, diagnostics.ToImmutable());
    }

    /// <summary>Whether the start of a file looks like Gerber: some command of the format, ended by an asterisk, and no zero bytes.</summary>
    public static bool LooksLikeGerber(ReadOnlySpan<byte> bytes)
    {
        var head = bytes[..Math.Min(bytes.Length, SniffedBytes)];
        if (head.Contains((byte)0) || !head.Contains((byte)'*'))
        {
            return false;
        }

        return HasExtendedCommand(head) || HasWordCommand(head);
    }

    private static bool HasExtendedCommand(ReadOnlySpan<byte> head)
    {
        while (true)
        {
            var at = head.IndexOf((byte)'%');
            if (at < 0 || at + 3 > head.Length)
            {
                return false;
            }

            head = head[(at + 1)..];
            var rest = head.TrimStart("\r\n \t"u8);
            if (rest.Length >= 2 && IsExtended(rest[0], rest[1]) && rest.Contains((byte)'*'))
            {
                return true;
            }
        }
    }

    private static bool IsExtended(byte first, byte second) => (first, second) switch
    {
        ((byte)'F', (byte)'S') or ((byte)'M', (byte)'O') or ((byte)'A', (byte)'D' or (byte)'M' or (byte)'B' or (byte)'S') => true,
        ((byte)'L', (byte)'P' or (byte)'M' or (byte)'R' or (byte)'S' or (byte)'N') => true,
        ((byte)'T', (byte)'F' or (byte)'A' or (byte)'O' or (byte)'D') => true,
        ((byte)'I', (byte)'P' or (byte)'N' or (byte)'R') or ((byte)'O' or (byte)'S', (byte)'F') or ((byte)'S', (byte)'R') => true,
        _ => false,
    };

    // Without any extended command only the first block counts: G04…*, G54D10*, X…Y…D02*.
    private static bool HasWordCommand(ReadOnlySpan<byte> head)
    {
        var block = head.TrimStart("\uFEFF\r\n \t*"u8);
        var end = block.IndexOf((byte)'*');
        if (end < 2)
        {
            return false;
        }

        block = block[..end];
        if (block.StartsWith("G04"u8) || block.StartsWith("G4"u8))
        {
            return true;
        }

        return block[0] is (byte)'G' or (byte)'g' or (byte)'X' or (byte)'Y' or (byte)'D' or (byte)'M'
            && block[1] is (>= (byte)'0' and <= (byte)'9') or (byte)'-' or (byte)'+'
            && block.IndexOfAnyExcept(_wordBytes) < 0;
    }

    private static string Refusal(ReadOnlySpan<byte> bytes)
    {
        if (bytes.TrimStart("\uFEFF\r\n \t"u8).IsEmpty)
        {
            return "The file is empty, so there is no layer in it; export it again.";
        }

        return bytes[..Math.Min(bytes.Length, SniffedBytes)].Contains((byte)0)
            ? "The file holds zero bytes, so it is binary data or text saved as UTF-16 and not Gerber; export it again as plain text."
            : "No Gerber command was found in the file, so it is something else; choose the layer's Gerber file.";
    }
}
