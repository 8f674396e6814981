using System.Buffers.Binary;
using System.Collections.Immutable;
using System.Runtime.InteropServices;
using System.Text.Json;
using Stencilwright.Geometry;

namespace Stencilwright.App.Web.Drawing;

/// <summary>Packs a drawing for the browser: named layers of shapes made of lines and arcs, arcs as arcs.</summary>
/// <remarks>
/// Bytes: length of the header (32 bits, little-endian), the header as JSON padded with spaces to four bytes, and then
/// 32-bit floats. A shape is the number of its contours and for each the number of its vertices, negative for an open path,
/// and then x, y and bulge of each vertex, millimetres, y up. A float holds a place on a blank within 10 nm. Most areas of a
/// sheet have the same few forms: an area is the number of its form, counted from -1 downwards, and the place of its first
/// vertex; forms stand behind the layers, written like shapes, where the header says.
/// </remarks>
internal sealed class SceneBuilder
{
    // Coordinates within a form in steps of 0.06 nm: what rounding leaves of places must not tell equal forms apart.
    private const double StepsPerMm = 1 << 24;

    private readonly List<float> _numbers = [];
    private readonly List<float> _forms = [];
    private readonly List<(int Start, int Length)> _formPlaces = [];
    private readonly Dictionary<int, List<int>> _formsByHash = [];
    private readonly List<(string Name, string Style, int Start, int Count, ImmutableArray<string> Ids)> _layers = [];
    private readonly List<(string Name, ImmutableArray<double> Values)> _values = [];
    private readonly List<(Point2 From, Point2 To, double OffsetMm)> _dimensions = [];
    private readonly List<(Point2 At, string Text, string Style)> _labels = [];
    private Bounds2 _window = Bounds2.Empty;

    /// <summary>What is seen when the whole is shown.</summary>
    public SceneBuilder Window(Bounds2 window)
    {
        _window = window;
        return this;
    }

    /// <summary>A layer of areas.</summary>
    /// <param name="name">By which the page shows and hides it.</param>
    /// <param name="style">How it is drawn.</param>
    /// <param name="shapes">In the order of drawing.</param>
    /// <param name="ids">One for each shape, by which it is picked; empty when they cannot be picked.</param>
    public SceneBuilder Areas(string name, string style, IEnumerable<Region> shapes, ImmutableArray<string> ids = default)
    {
        var (start, count) = (_numbers.Count, 0);
        foreach (var shape in shapes)
        {
            AddArea(shape);
            count++;
        }

        _layers.Add((name, style, start, count, ids.IsDefault ? [] : ids));
        return this;
    }

    /// <summary>A layer of lines.</summary>
    public SceneBuilder Lines(string name, string style, IEnumerable<(ImmutableArray<PathVertex> Vertices, bool IsClosed)> lines, ImmutableArray<string> ids = default)
    {
        var (start, count) = (_numbers.Count, 0);
        foreach (var (vertices, isClosed) in lines)
        {
            _numbers.Add(1);
            AddLine(vertices.AsSpan(), isClosed);
            count++;
        }

        _layers.Add((name, style, start, count, ids.IsDefault ? [] : ids));
        return this;
    }

    /// <summary>One number for each shape of the layer that can be picked.</summary>
    public SceneBuilder Values(string name, IEnumerable<double> values)
    {
        _values.Add((name, [.. values]));
        return this;
    }

    /// <summary>A dimension between two points, drawn this far to the left of the way from one to the other.</summary>
    public SceneBuilder Dimension(Point2 from, Point2 to, double offsetMm)
    {
        _dimensions.Add((from, to, offsetMm));
        return this;
    }

    /// <summary>Words at a place.</summary>
    public SceneBuilder Label(Point2 at, string text, string style = "label")
    {
        _labels.Add((at, text, style));
        return this;
    }

    /// <summary>The bytes.</summary>
    public byte[] Build()
    {
        using var head = new MemoryStream();
        using (var json = new Utf8JsonWriter(head))
        {
            Header(json);
        }

        while (head.Length % 4 != 0)
        {
            head.WriteByte((byte)' ');
        }

        var floats = MemoryMarshal.AsBytes(CollectionsMarshal.AsSpan(_numbers));
        var forms = MemoryMarshal.AsBytes(CollectionsMarshal.AsSpan(_forms));
        var bytes = new byte[4 + head.Length + floats.Length + forms.Length];
        BinaryPrimitives.WriteInt32LittleEndian(bytes, (int)head.Length);
        head.GetBuffer().AsSpan(0, (int)head.Length).CopyTo(bytes.AsSpan(4));
        floats.CopyTo(bytes.AsSpan(4 + (int)head.Length));
        forms.CopyTo(bytes.AsSpan(4 + (int)head.Length + floats.Length));
        return bytes;
    }

    private void Header(Utf8JsonWriter json)
    {
        json.WriteStartObject();
        Numbers(json, "window", _window.IsEmpty ? [0, 0, 100, 100] : [_window.MinX, _window.MinY, _window.MaxX, _window.MaxY]);
        json.WriteStartArray("layers");
        foreach (var (name, style, start, count, ids) in _layers)
        {
            json.WriteStartObject();
            json.WriteString("name", name);
            json.WriteString("style", style);
            json.WriteNumber("start", start);
            json.WriteNumber("count", count);
            if (!ids.IsEmpty)
            {
                json.WriteStartArray("ids");
                foreach (var id in ids)
                {
                    json.WriteStringValue(id);
                }

                json.WriteEndArray();
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteStartArray("forms");
        foreach (var (start, _) in _formPlaces)
        {
            json.WriteNumberValue(_numbers.Count + start);
        }

        json.WriteEndArray();
        json.WriteStartObject("values");
        foreach (var (name, values) in _values)
        {
            Numbers(json, name, values.AsSpan());
        }

        json.WriteEndObject();
        json.WriteStartArray("dimensions");
        foreach (var (from, to, offset) in _dimensions)
        {
            json.WriteStartArray();
            foreach (var number in (ReadOnlySpan<double>)[from.X, from.Y, to.X, to.Y, offset])
            {
                json.WriteNumberValue(number);
            }

            json.WriteEndArray();
        }

        json.WriteEndArray();
        json.WriteStartArray("labels");
        foreach (var (at, text, style) in _labels)
        {
            json.WriteStartObject();
            json.WriteNumber("x", at.X);
            json.WriteNumber("y", at.Y);
            json.WriteString("text", text);
            json.WriteString("style", style);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private void AddArea(Region shape)
    {
        if (shape.IsEmpty)
        {
            _numbers.Add(0);
            return;
        }

        var first = shape.Contours[0].Vertices[0];
        _numbers.Add(-1 - FormOf(shape, first));
        _numbers.Add((float)first.X);
        _numbers.Add((float)first.Y);
    }

    // The form's index; it is written behind the others, and taken back when it is among them.
    private int FormOf(Region shape, PathVertex first)
    {
        var start = _forms.Count;
        _forms.Add(shape.Contours.Length);
        foreach (var contour in shape.Contours)
        {
            _forms.Add(contour.Count);
            foreach (var v in contour.Vertices)
            {
                _forms.Add((float)(Math.Round((v.X - first.X) * StepsPerMm) / StepsPerMm));
                _forms.Add((float)(Math.Round((v.Y - first.Y) * StepsPerMm) / StepsPerMm));
                _forms.Add((float)v.Bulge);
            }
        }

        var all = CollectionsMarshal.AsSpan(_forms);
        var form = all[start..];
        var hash = new HashCode();
        hash.AddBytes(MemoryMarshal.AsBytes(form));
        ref var known = ref CollectionsMarshal.GetValueRefOrAddDefault(_formsByHash, hash.ToHashCode(), out _);
        foreach (var index in known ??= [])
        {
            var (at, length) = _formPlaces[index];
            if (form.SequenceEqual(all.Slice(at, length)))
            {
                CollectionsMarshal.SetCount(_forms, start);
                return index;
            }
        }

        known.Add(_formPlaces.Count);
        _formPlaces.Add((start, form.Length));
        return _formPlaces.Count - 1;
    }

    private void AddLine(ReadOnlySpan<PathVertex> vertices, bool isClosed)
    {
        _numbers.Add(isClosed ? vertices.Length : -vertices.Length);
        foreach (var v in vertices)
        {
            _numbers.Add((float)v.X);
            _numbers.Add((float)v.Y);
            _numbers.Add((float)v.Bulge);
        }
    }

    // JSON has no word for what is no number: null stands for it.
    private static void Numbers(Utf8JsonWriter json, string name, ReadOnlySpan<double> values)
    {
        json.WriteStartArray(name);
        foreach (var value in values)
        {
            if (double.IsFinite(value))
            {
                json.WriteNumberValue(Math.Round(value, 6));
            }
            else
            {
                json.WriteNullValue();
            }
        }

        json.WriteEndArray();
    }
}
