using Stencilwright.Output.Drawing;

namespace Stencilwright.Output;

/// <summary>Draws a side as a sheet in the manner of a technical drawing, 1600 × 1132 pixels.</summary>
public static class PreviewPng
{
    /// <summary>Width of the picture in pixels.</summary>
    public const int WidthPx = PlatePng.WidthPx;

    /// <summary>Height of the picture in pixels, in A4's proportion.</summary>
    public const int HeightPx = PlatePng.HeightPx;

    /// <summary>Draws and packs a side.</summary>
    /// <exception cref="ArgumentException">Design and plan do not have the same openings.</exception>
    public static byte[] Write(Job job, JobSide side)
    {
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(side);
        return PlatePng.Write(pad => PreviewPlate.Draw(pad, job, side));
    }
}
