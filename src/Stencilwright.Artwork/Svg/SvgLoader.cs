using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using System.Xml;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Svg;

/// <summary>Reads the XML into elements; nothing outside the file is ever fetched and no entity is expanded.</summary>
internal static class SvgLoader
{
    private const string SvgNamespace = "http://www.w3.org/2000/svg";
    private const string LinkNamespace = "http://www.w3.org/1999/xlink";

    /// <summary>Keeps everything before the first fault.</summary>
    public static SvgDocument Load(SourceText source, ReadLimits limits, SvgDiagnosticSink sink, CancellationToken cancellationToken)
    {
        var document = new SvgDocument();
        var places = new XmlPlaces(source.Bytes);
        try
        {
            using var stream = ToStream(source.Bytes);
            using var reader = XmlReader.Create(stream, Settings());
            ReadElements(reader, document, places, limits, sink, cancellationToken);
        }
        catch (XmlException fault)
        {
            Explain(fault, places, sink);
        }

        return document;
    }

    private static XmlReaderSettings Settings() => new()
    {
        DtdProcessing = DtdProcessing.Ignore,
        XmlResolver = null,
        IgnoreComments = true,
        IgnoreProcessingInstructions = true,
        MaxCharactersFromEntities = 1024,
    };

    private static MemoryStream ToStream(ReadOnlyMemory<byte> bytes) =>
        MemoryMarshal.TryGetArray(bytes, out var segment)
            ? new MemoryStream(segment.Array!, segment.Offset, segment.Count, writable: false)
            : new MemoryStream(bytes.ToArray(), writable: false);

    private static void ReadElements(
        XmlReader reader, SvgDocument document, XmlPlaces places, ReadLimits limits, SvgDiagnosticSink sink, CancellationToken cancellationToken)
    {
        var lines = (IXmlLineInfo)reader;
        var open = new Stack<SvgElement>();
        var count = 0;
        reader.Read();
        while (!reader.EOF)
        {
            if (reader.NodeType == XmlNodeType.Element)
            {
                if ((++count & 0xFFF) == 0)
                {
                    cancellationToken.ThrowIfCancellationRequested();
                }

                var offset = places.OffsetOf(lines.LineNumber, lines.LinePosition - 1);
                if (count > limits.MaxObjects)
                {
                    sink.Error(SvgCodes.LimitReached, offset, string.Create(CultureInfo.InvariantCulture, $"The file holds more than {limits.MaxObjects} elements; the rest was not read. Split the plot."));
                    return;
                }

                // The bound is on drawing; one level more is read so that the painter reports what it leaves out.
                if (open.Count > limits.MaxDepth + 1 || !IsSvg(reader.NamespaceURI))
                {
                    // Leaves the reader on the node after the element.
                    reader.Skip();
                    continue;
                }

                Open(reader, document, open, offset);
            }
            else
            {
                CloseOrKeepText(reader, open);
            }

            reader.Read();
        }
    }

    private static bool IsSvg(string uri) => uri.Length == 0 || string.Equals(uri, SvgNamespace, StringComparison.Ordinal);

    private static void Open(XmlReader reader, SvgDocument document, Stack<SvgElement> open, int offset)
    {
        var (name, isEmpty) = (reader.LocalName, reader.IsEmptyElement);
        var element = new SvgElement(name, offset, AttributesOf(reader));
        if (open.TryPeek(out var parent))
        {
            parent.Children.Add(element);
            element.Parent = parent;
        }
        else if (name == "svg")
        {
            document.Root ??= element;
        }

        if (element.Attribute("id") is { Length: > 0 } id)
        {
            document.ById.TryAdd(id, element);
        }

        if (name == "style")
        {
            document.StyleSheets.Add(element);
        }

        if (!isEmpty)
        {
            open.Push(element);
        }
    }

    private static void CloseOrKeepText(XmlReader reader, Stack<SvgElement> open)
    {
        if (reader.NodeType == XmlNodeType.EndElement)
        {
            open.TryPop(out _);
        }
        else if (reader.NodeType is XmlNodeType.Text or XmlNodeType.CDATA && open.TryPeek(out var within) && within.Name == "style")
        {
            within.Text += reader.Value;
        }
    }

    private static (string Name, string Value)[] AttributesOf(XmlReader reader)
    {
        if (!reader.HasAttributes)
        {
            return [];
        }

        var result = new List<(string Name, string Value)>(reader.AttributeCount);
        while (reader.MoveToNextAttribute())
        {
            var uri = reader.NamespaceURI;
            if (uri.Length == 0)
            {
                result.Add((reader.LocalName, reader.Value));
            }
            else if (string.Equals(uri, LinkNamespace, StringComparison.Ordinal) && reader.LocalName == "href")
            {
                // The plain attribute wins where both are given: look-up takes the first, so this one goes last.
                result.Add(("xlink:href", reader.Value));
            }
        }

        reader.MoveToElement();
        return [.. result];
    }

    private static void Explain(XmlException fault, XmlPlaces places, SvgDiagnosticSink sink)
    {
        var offset = places.OffsetOf(fault.LineNumber, fault.LinePosition);
        // The reader has no kinds of fault but its text; an ampersand at the place tells an entity from all else.
        if (places.IsEntityAt(offset))
        {
            sink.Error(SvgCodes.ReferenceRefused, offset, "An entity that the file defines for itself is used here, and such entities are not expanded; save the plot with plain values instead. What follows was not read.");
            return;
        }

        sink.Error(SvgCodes.NotWellFormed, offset, $"The file is not well-formed XML from here on ({FirstSentence(fault.Message)}); what follows was not read. Export the plot again.");
    }

    private static string FirstSentence(string message)
    {
        // The reader's text ends with its own "Line 3, position 7." which the place already gives.
        var end = message.IndexOf(" Line ", StringComparison.Ordinal);
        return (end > 0 ? message[..end] : message).TrimEnd('.', ' ');
    }
}

/// <summary>Turns the XML reader's lines and character columns into byte offsets, walking forwards only once.</summary>
internal sealed class XmlPlaces(ReadOnlyMemory<byte> bytes)
{
    private readonly int _unit = WidthOf(bytes.Span);
    private readonly bool _isUtf8 = !SaysSingleByte(bytes.Span);
    private int _line = 1;
    private int _column = 1;
    private int _offset = BomOf(bytes.Span);

    /// <summary>The offset of a line and column, both from 1; earlier places than the last asked start again from the top.</summary>
    public int OffsetOf(int line, int column)
    {
        if (line < _line || (line == _line && column < _column))
        {
            (_line, _column, _offset) = (1, 1, BomOf(bytes.Span));
        }

        var span = bytes.Span;
        while (_offset < span.Length && (_line < line || _column < column))
        {
            Step(span);
        }

        return _offset;
    }

    /// <summary>True when the text just before or at the offset is a reference to an entity.</summary>
    public bool IsEntityAt(int offset)
    {
        var span = bytes.Span;
        for (var i = Math.Min(offset, span.Length - 1); i >= 0 && i >= offset - (2 * _unit); i--)
        {
            if (span[i] == (byte)'&')
            {
                return i + _unit < span.Length && span[i + _unit] != (byte)'#';
            }
        }

        return false;
    }

    private void Step(ReadOnlySpan<byte> span)
    {
        var character = Character(span, _offset);
        var length = _unit;
        if (_unit == 1 && _isUtf8)
        {
            // A four-byte sequence is two characters of the reader's.
            length = character switch { < 0x80 => 1, < 0xE0 => 2, < 0xF0 => 3, _ => 4 };
        }

        _offset = Math.Min(_offset + length, span.Length);
        if (character is not ('\n' or '\r'))
        {
            _column += length == 4 && _unit == 1 ? 2 : 1;
            return;
        }

        if (character == '\r' && _offset < span.Length && Character(span, _offset) == '\n')
        {
            _offset += _unit;
        }

        (_line, _column) = (_line + 1, 1);
    }

    private int Character(ReadOnlySpan<byte> span, int at)
    {
        if (_unit == 1 || at + 1 >= span.Length)
        {
            return span[at];
        }

        return bytes.Span[0] == 0xFE ? (span[at] << 8) | span[at + 1] : span[at] | (span[at + 1] << 8);
    }

    private static int WidthOf(ReadOnlySpan<byte> span) => span is [0xFE, 0xFF, ..] or [0xFF, 0xFE, ..] ? 2 : 1;

    private static int BomOf(ReadOnlySpan<byte> span) => span switch
    {
        [0xEF, 0xBB, 0xBF, ..] => 3,
        [0xFE, 0xFF, ..] or [0xFF, 0xFE, ..] => 2,
        _ => 0,
    };

    private static bool SaysSingleByte(ReadOnlySpan<byte> span)
    {
        var head = Encoding.ASCII.GetString(span[..Math.Min(span.Length, 120)]);
        return head.Contains("encoding=\"iso-8859", StringComparison.OrdinalIgnoreCase)
            || head.Contains("encoding='iso-8859", StringComparison.OrdinalIgnoreCase)
            || head.Contains("encoding=\"us-ascii", StringComparison.OrdinalIgnoreCase);
    }
}
