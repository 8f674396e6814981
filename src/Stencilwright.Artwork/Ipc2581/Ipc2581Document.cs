using System.Collections.Immutable;
using Stencilwright.Foundation;

namespace Stencilwright.Artwork.Ipc2581;

/// <summary>The side that a layer of an IPC-2581 file states.</summary>
public enum Ipc2581Side
{
    /// <summary>Neither, or not stated.</summary>
    None,

    /// <summary>Top.</summary>
    Top,

    /// <summary>Bottom.</summary>
    Bottom,

    /// <summary>Inside the board.</summary>
    Internal,

    /// <summary>Both sides, or through the board.</summary>
    Both,
}

/// <summary>A layer of an IPC-2581 file.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Function">Its function as the file states it, such as <c>SOLDERPASTE</c>; empty when it states none.</param>
/// <param name="Side">Its side.</param>
/// <param name="IsNegative">True when the file calls the layer negative: what is painted is left open.</param>
/// <param name="FileFunction">The same in the words of the Gerber attribute <c>.FileFunction</c>, such as <c>Paste</c>, <c>Top</c>; empty for what has none.</param>
/// <param name="HasFeatures">True when anything is painted on it.</param>
public sealed record Ipc2581Layer(
    string Name, string Function, Ipc2581Side Side, bool IsNegative, ImmutableArray<string> FileFunction, bool HasFeatures);

/// <summary>An IPC-2581 file as read: its layers, and what is needed to paint any of them.</summary>
/// <remarks>Layers are painted on request by <see cref="Ipc2581Image"/>; parts are listed by <see cref="Ipc2581Parts"/>.</remarks>
public sealed class Ipc2581Document
{
    internal Ipc2581Document(SourceText source, IpcTables tables)
    {
        Source = source;
        Tables = tables;
    }

    /// <summary>The file.</summary>
    public SourceText Source { get; }

    /// <summary>Revision of the standard, such as <c>B</c>; empty when the file states none.</summary>
    public required string Revision { get; init; }

    /// <summary>The unit of its design data. Microns count as millimetres.</summary>
    public required ArtworkUnit Unit { get; init; }

    /// <summary>Layers in the file's order.</summary>
    public required ImmutableArray<Ipc2581Layer> Layers { get; init; }

    /// <summary>Names of the steps: boards and panels.</summary>
    public required ImmutableArray<string> Steps { get; init; }

    /// <summary>The step that is painted: the one the file's content names, else the one that no other repeats.</summary>
    public required string Step { get; init; }

    /// <summary>True when the step has a profile: <see cref="Ipc2581Image.ComposeProfile"/> then gives the board's edge.</summary>
    public bool HasProfile { get; internal init; }

    /// <summary>True when the pads of the bottom's parts show that a turn comes before a mirror; otherwise the mirror comes first.</summary>
    internal bool TurnsBeforeMirroring { get; set; }

    /// <summary>True when the pads show that parts of the bottom are mirrored without being marked so.</summary>
    internal bool MirrorsBottomParts { get; set; }

    /// <summary>True when it matters which comes first and nothing shows it.</summary>
    internal bool TurnIsAssumed { get; set; }

    internal IpcTables Tables { get; }
}

/// <summary>An entry of a dictionary, with the unit of its dictionary.</summary>
/// <param name="Content">The element that holds the entry's content.</param>
/// <param name="UnitMm">Millimetres in its unit.</param>
internal readonly record struct IpcEntry(XmlItem Content, double UnitMm);

/// <summary>What the design refers to by name.</summary>
internal sealed class IpcTables
{
    public Dictionary<string, IpcEntry> Standard { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, IpcEntry> User { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, IpcEntry> Lines { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, IpcEntry> Fills { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, IpcStep> Steps { get; } = new(StringComparer.Ordinal);

    /// <summary>Values by reference designator.</summary>
    public Dictionary<string, string> Values { get; } = new(StringComparer.Ordinal);

    /// <summary>Millimetres in the unit of the design data.</summary>
    public double UnitMm { get; set; } = 1;
}

/// <summary>A board or a panel.</summary>
internal sealed class IpcStep(string name, XmlItem item)
{
    public string Name => name;

    public XmlItem Item => item;

    /// <summary>Sets of features by layer.</summary>
    public Dictionary<string, List<XmlItem>> Sets { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, XmlItem> Padstacks { get; } = new(StringComparer.Ordinal);

    public Dictionary<string, XmlItem> Packages { get; } = new(StringComparer.Ordinal);

    /// <summary>Nets by component and pin.</summary>
    public Dictionary<(string Component, string Pin), string> Nets { get; } = [];

    public List<XmlItem> Components { get; } = [];

    public List<XmlItem> Repeats { get; } = [];

    public XmlItem? Profile { get; set; }

    public double DatumX { get; set; }

    public double DatumY { get; set; }
}
