using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>A part while it is being put together.</summary>
internal sealed class Draft(PartClass kind, double confidence, string why)
{
    public PartClass Class { get; set; } = kind;

    /// <summary>From 0 to 1.</summary>
    public double Confidence { get; set; } = confidence;

    public string Why { get; set; } = why;

    public List<(int Pad, PadFunction Function)> Pads { get; } = [];

    public Point2 Center { get; set; }

    public double RotationDeg { get; set; }

    public double? PitchMm { get; set; }

    public ChipSize? Size { get; set; }

    public void Add(IEnumerable<int> pads, PadFunction function)
    {
        foreach (var pad in pads)
        {
            Pads.Add((pad, function));
        }
    }
}
