namespace Stencilwright.Artwork.Svg;

/// <summary>An element of the document, with its place.</summary>
internal sealed class SvgElement(string name, int offset, (string Name, string Value)[] attributes)
{
    /// <summary>Local name.</summary>
    public string Name { get; } = name;

    /// <summary>Byte offset of its opening angle bracket.</summary>
    public int Offset { get; } = offset;

    /// <summary>The element round it; null for the outermost.</summary>
    public SvgElement? Parent { get; set; }

    /// <summary>Children in order.</summary>
    public List<SvgElement> Children { get; } = [];

    /// <summary>Character data, kept for style sheets only.</summary>
    public string Text { get; set; } = "";

    /// <summary>The attribute's value, or null. Links are found under <c>href</c> whichever way they are written.</summary>
    public string? Attribute(string wanted)
    {
        foreach (var (name, value) in attributes)
        {
            if (string.Equals(name, wanted, StringComparison.Ordinal))
            {
                return value;
            }
        }

        return null;
    }

    /// <summary>Every attribute in order.</summary>
    public ReadOnlySpan<(string Name, string Value)> Attributes => attributes;
}

/// <summary>What was found in the file before anything is drawn.</summary>
internal sealed class SvgDocument
{
    /// <summary>The outermost svg element; null when there is none.</summary>
    public SvgElement? Root { get; set; }

    /// <summary>Elements by id; the first of equal ids wins.</summary>
    public Dictionary<string, SvgElement> ById { get; } = new(StringComparer.Ordinal);

    /// <summary>Texts of style elements, in order.</summary>
    public List<SvgElement> StyleSheets { get; } = [];
}
