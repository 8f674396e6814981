using System.Globalization;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>A step of a polygon: a corner, or an arc to the next.</summary>
/// <param name="Offset">Zero-based byte offset of its element.</param>
/// <param name="X">End point; not a number when it could not be read.</param>
/// <param name="Y">End point.</param>
/// <param name="CenterX">Centre of the arc; not a number for a straight step.</param>
/// <param name="CenterY">Centre of the arc.</param>
/// <param name="IsClockwise">Direction of the arc.</param>
/// <param name="IsCurve">True for an arc.</param>
internal readonly record struct PolyStep(int Offset, double X, double Y, double CenterX, double CenterY, bool IsClockwise, bool IsCurve);

/// <summary>An element of the file; the many steps of polygons are kept as numbers.</summary>
internal sealed class XmlItem(string name, int offset, (string Name, string Value)[] attributes)
{
    private List<XmlItem>? _children;
    private List<PolyStep>? _steps;

    /// <summary>Name without its prefix.</summary>
    public string Name => name;

    /// <summary>Zero-based byte offset in the file.</summary>
    public int Offset => offset;

    public IReadOnlyList<XmlItem> Children => (IReadOnlyList<XmlItem>?)_children ?? [];

    public IReadOnlyList<PolyStep> Steps => (IReadOnlyList<PolyStep>?)_steps ?? [];

    public void Add(XmlItem child) => (_children ??= []).Add(child);

    public void Add(in PolyStep step) => (_steps ??= []).Add(step);

    /// <summary>An attribute's text; null when absent.</summary>
    public string? Text(string attribute)
    {
        foreach (var (known, value) in attributes)
        {
            if (string.Equals(known, attribute, StringComparison.Ordinal))
            {
                return value;
            }
        }

        return null;
    }

    /// <summary>An attribute's number; not a number when absent or none.</summary>
    public double Number(string attribute) => ReadNumber(Text(attribute));

    /// <summary>Whether an attribute says yes.</summary>
    public bool IsTrue(string attribute) => Text(attribute) is "true" or "TRUE" or "True" or "1" or "YES";

    /// <summary>The first child of a name; null when there is none.</summary>
    public XmlItem? Child(string childName)
    {
        foreach (var child in Children)
        {
            if (string.Equals(child.Name, childName, StringComparison.Ordinal))
            {
                return child;
            }
        }

        return null;
    }

    /// <summary>Reads a number; not a number for anything that is none.</summary>
    public static double ReadNumber(string? text) =>
        text is { Length: <= 64 } && double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var number) && double.IsFinite(number) ? number : double.NaN;
}
