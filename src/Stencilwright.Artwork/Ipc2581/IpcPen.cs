using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>A pen as a LineDesc describes it.</summary>
/// <param name="WidthMm">Width, millimetres; 0 for a line that covers nothing.</param>
/// <param name="ReachMm">0 for flat ends, half the width for square ones; not a number for round ones.</param>
internal readonly record struct IpcPen(double WidthMm, double ReachMm)
{
    public static IpcPen None { get; } = new(0, double.NaN);

    /// <summary>Reads a LineDesc.</summary>
    public static IpcPen Of(XmlItem line, double unitMm)
    {
        var width = line.Number("lineWidth") * unitMm;
        width = width > 0 ? width : 0;
        return new IpcPen(width, line.Text("lineEnd") switch { "SQUARE" => width / 2, "NONE" => 0, _ => double.NaN });
    }
}

internal enum IpcFill
{
    /// <summary>Filled.</summary>
    Solid,

    /// <summary>Only its edge is drawn.</summary>
    Hollow,

    /// <summary>Clears what lies beneath.</summary>
    Void,

    /// <summary>Filled with lines, taken as solid.</summary>
    Hatched,
}

/// <summary>What holds for the shape being painted.</summary>
internal readonly record struct IpcContext
{
    /// <summary>From the shape's own coordinates in millimetres to the board.</summary>
    public required Affine2 Map { get; init; }

    /// <summary>Millimetres in the unit of the shape's numbers.</summary>
    public required double UnitMm { get; init; }

    public required bool IsDark { get; init; }

    /// <summary>How a primitive or a contour counts: a pad is a flash.</summary>
    public required PaintKind Kind { get; init; }

    public required int Depth { get; init; }

    /// <summary>Byte offset to name as the object's place.</summary>
    public required int Offset { get; init; }

    public IpcPen Pen { get; init; }

    public IpcFill Fill { get; init; }

    public string? Net { get; init; }

    public string? Component { get; init; }

    public string? Pin { get; init; }

    public string? Function { get; init; }

    /// <summary>True inside a slot: a long hole with round ends is a stroke, as a router makes it.</summary>
    public bool IsSlot { get; init; }
}
