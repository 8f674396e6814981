using System.Globalization;
using System.Runtime.InteropServices;
using System.Xml;
using Stencilwright.Artwork.Placement;
using Stencilwright.Artwork.Svg;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>Reads the XML; nothing outside the file is fetched, no document type is accepted and no entity expanded.</summary>
internal static class XmlItemLoader
{
    private const int CancellationInterval = 4096;
    private const int LongestAttribute = 4096;
    private const int LongestReason = 120;

    // Branches that say nothing about artwork; some are long.
    private static readonly HashSet<string> _passedOver = new(StringComparer.Ordinal)
    {
        "LogisticHeader", "HistoryRecord", "Avl", "Spec", "Stackup", "PhyNetGroup", "DictionaryColor", "DictionaryFont", "DictionaryFirmware", "NonstandardAttribute", "DfxMeasurementList", "DfxMeasurement",
        "ChangeRec", "BomHeader", "Color", "ColorRef", "Marking", "Hole3D", "Model",
    };

    /// <summary>The root element with all that was read before the first fault; null when there is none.</summary>
    public static XmlItem? Load(SourceText source, ReadLimits limits, DiagnosticSink sink, CancellationToken cancellationToken)
    {
        var places = new XmlPlaces(source.Bytes);
        var reading = new Reading(source, places, limits, sink);
        try
        {
            using var stream = MemoryMarshal.TryGetArray(source.Bytes, out var segment)
                ? new MemoryStream(segment.Array!, segment.Offset, segment.Count, writable: false)
                : new MemoryStream(source.Bytes.ToArray(), writable: false);
            using var reader = XmlReader.Create(stream, Settings());
            reading.Read(reader, cancellationToken);
        }
        catch (XmlException fault)
        {
            Explain(fault, source, places, reading.Root is null, sink);
        }

        return reading.Root;
    }

    private static XmlReaderSettings Settings() => new()
    {
        DtdProcessing = DtdProcessing.Prohibit,
        XmlResolver = null,
        IgnoreComments = true,
        IgnoreProcessingInstructions = true,
        IgnoreWhitespace = true,
        MaxCharactersFromEntities = 1024,
    };

    private static void Explain(XmlException fault, SourceText source, XmlPlaces places, bool isBeforeRoot, DiagnosticSink sink)
    {
        var offset = places.OffsetOf(Math.Max(1, fault.LineNumber), Math.Max(1, fault.LinePosition));
        var documentType = isBeforeRoot ? source.Bytes.Span.IndexOf("<!DOCTYPE"u8) : -1;
        if (documentType >= 0 || places.IsEntityAt(offset))
        {
            sink.Error(Ipc2581Codes.ReferenceRefused, source.PlaceOf(documentType >= 0 ? documentType : offset),
                "The file defines a document type or uses an entity of its own, and neither is accepted, so nothing was read from here on; save the file with plain values.");
            return;
        }

        var end = fault.Message.IndexOf(" Line ", StringComparison.Ordinal);
        var why = DiagnosticSink.Shown((end > 0 ? fault.Message[..end] : fault.Message).TrimEnd('.', ' '), LongestReason);
        sink.Error(Ipc2581Codes.NotWellFormed, source.PlaceOf(offset), $"The file is not well-formed XML from here on ({why}), so what follows was not read; it may be cut short. Export it again.");
    }

    private sealed class Reading(SourceText source, XmlPlaces places, ReadLimits limits, DiagnosticSink sink)
    {
        private readonly Stack<XmlItem> _open = new();
        private int _items;
        private int _steps;

        public XmlItem? Root { get; private set; }

        public void Read(XmlReader reader, CancellationToken cancellationToken)
        {
            var lines = (IXmlLineInfo)reader;
            var untilCheck = CancellationInterval;
            reader.Read();
            while (!reader.EOF)
            {
                if (--untilCheck == 0)
                {
                    untilCheck = CancellationInterval;
                    cancellationToken.ThrowIfCancellationRequested();
                }

                if (reader.NodeType == XmlNodeType.Element)
                {
                    if (_passedOver.Contains(reader.LocalName))
                    {
                        // Leaves the reader on the node after the element.
                        reader.Skip();
                        continue;
                    }

                    var offset = places.OffsetOf(lines.LineNumber, lines.LinePosition - 1);
                    if (_open.Count >= limits.MaxDepth)
                    {
                        SayTooDeep(offset);
                        reader.Skip();
                        continue;
                    }

                    if (!Open(reader, offset))
                    {
                        return;
                    }
                }
                else if (reader.NodeType == XmlNodeType.EndElement)
                {
                    _open.TryPop(out _);
                }

                reader.Read();
            }
        }

        private bool Open(XmlReader reader, int offset)
        {
            var (name, isEmpty) = (reader.LocalName, reader.IsEmptyElement);
            if (name is "PolyBegin" or "PolyStepSegment" or "PolyStepCurve" && _open.TryPeek(out var polygon))
            {
                polygon.Add(Step(reader, name, offset));
                if (++_steps > limits.MaxVertices)
                {
                    return SayTooMany(offset);
                }

                if (!isEmpty)
                {
                    _open.Push(new XmlItem(name, offset, []));
                }

                return true;
            }

            var item = new XmlItem(name, offset, Attributes(reader, offset));
            if (_open.TryPeek(out var parent))
            {
                parent.Add(item);
            }
            else
            {
                Root ??= item;
            }

            if (!isEmpty)
            {
                _open.Push(item);
            }

            return ++_items <= limits.MaxObjects || SayTooMany(offset);
        }

        private static PolyStep Step(XmlReader reader, string name, int offset)
        {
            double Number(string attribute) => XmlItem.ReadNumber(reader.GetAttribute(attribute));
            var isCurve = name == "PolyStepCurve";
            return new PolyStep(
                offset,
                Number("x"),
                Number("y"),
                isCurve ? Number("centerX") : double.NaN,
                isCurve ? Number("centerY") : double.NaN,
                isCurve && reader.GetAttribute("clockwise") is "true" or "TRUE" or "True" or "1" or "YES",
                isCurve);
        }

        private (string Name, string Value)[] Attributes(XmlReader reader, int offset)
        {
            if (!reader.HasAttributes)
            {
                return [];
            }

            var result = new (string, string)[reader.AttributeCount];
            for (var i = 0; reader.MoveToNextAttribute(); i++)
            {
                var value = reader.Value;
                if (value.Length > LongestAttribute)
                {
                    value = value[..LongestAttribute];
                    sink.Error(Ipc2581Codes.LimitReached, source.PlaceOf(offset), string.Create(CultureInfo.InvariantCulture,
                        $"The attribute '{DiagnosticSink.Shown(reader.LocalName)}' is longer than {LongestAttribute} characters and was cut; the file may be damaged, so export it again."));
                }

                result[i] = (reader.LocalName, value);
            }

            reader.MoveToElement();
            return result;
        }

        private void SayTooDeep(int offset)
        {
            if (sink.IsFirst("too deep"))
            {
                sink.Error(Ipc2581Codes.LimitReached, source.PlaceOf(offset), string.Create(CultureInfo.InvariantCulture,
                    $"Elements nest more than {limits.MaxDepth} deep, which no such file needs; deeper ones were left out. Export the file again."));
            }
        }

        private bool SayTooMany(int offset)
        {
            sink.Error(Ipc2581Codes.LimitReached, source.PlaceOf(offset), "The file holds more elements than this program accepts; the rest was not read. Export the layers needed, or one copy of the board.");
            return false;
        }
    }
}
