using SkiaSharp;

namespace Stencilwright.Output.Drawing;

/// <summary>Colours of quantities, from paper to dark plum in steps that look even.</summary>
/// <remarks>
/// Lightness falls evenly in Oklab (Björn Ottosson, "A perceptual color space for image processing", 2020; matrices from memory),
/// hue goes by way of a dull rose so that the middle is told apart by colour as well. In grey it is still a scale.
/// </remarks>
internal static class QuantityScale
{
    private const int Steps = 256;

    // Oklab: lightness, green to red, blue to yellow. The ends are paper, and a plum as dark as ink.
    private static readonly (double L, double A, double B) _low = Oklab(Ink.Paper);
    private static readonly (double L, double A, double B) _high = (0.27, 0.075, -0.045);
    private static readonly (double A, double B) _middle = (0.105, 0.045);

    private static readonly SKColor[] _colours = [.. Enumerable.Range(0, Steps).Select(i => At((double)i / (Steps - 1)))];

    /// <summary>The colour of a share from 0 to 1; outside, that of the nearer end.</summary>
    public static SKColor Of(double share) => _colours[(int)Math.Round(Math.Clamp(share, 0, 1) * (Steps - 1))];

    /// <summary>Lightness in Oklab, 0 to 1.</summary>
    public static double Lightness(SKColor colour) => Oklab(colour).L;

    private static SKColor At(double t)
    {
        // A parabola through the three hues; lightness is a straight line.
        var (p, q, r) = ((1 - t) * (1 - t), 2 * t * (1 - t), t * t);
        return Colour(_low.L + (t * (_high.L - _low.L)), (p * _low.A) + (q * _middle.A) + (r * _high.A), (p * _low.B) + (q * _middle.B) + (r * _high.B));
    }

    private static SKColor Colour(double lightness, double a, double b)
    {
        var l = Cube(lightness + (0.3963377774 * a) + (0.2158037573 * b));
        var m = Cube(lightness - (0.1055613458 * a) - (0.0638541728 * b));
        var s = Cube(lightness - (0.0894841775 * a) - (1.2914855480 * b));
        return new(
            Byte((4.0767416621 * l) - (3.3077115913 * m) + (0.2309699292 * s)),
            Byte((-1.2684380046 * l) + (2.6097574011 * m) - (0.3413193965 * s)),
            Byte((-0.0041960863 * l) - (0.7034186147 * m) + (1.7076147010 * s)));
    }

    private static (double L, double A, double B) Oklab(SKColor colour)
    {
        var (red, green, blue) = (Linear(colour.Red), Linear(colour.Green), Linear(colour.Blue));
        var l = Math.Cbrt((0.4122214708 * red) + (0.5363325363 * green) + (0.0514459929 * blue));
        var m = Math.Cbrt((0.2119034982 * red) + (0.6806995451 * green) + (0.1073969566 * blue));
        var s = Math.Cbrt((0.0883024619 * red) + (0.2817188376 * green) + (0.6299787005 * blue));
        return (
            (0.2104542553 * l) + (0.7936177850 * m) - (0.0040720468 * s),
            (1.9779984951 * l) - (2.4285922050 * m) + (0.4505937099 * s),
            (0.0259040371 * l) + (0.7827717662 * m) - (0.8086757660 * s));
    }

    private static double Cube(double x) => x * x * x;

    private static double Linear(byte part)
    {
        var x = part / 255.0;
        return x <= 0.04045 ? x / 12.92 : Math.Pow((x + 0.055) / 1.055, 2.4);
    }

    private static byte Byte(double linear)
    {
        var x = Math.Clamp(linear, 0, 1);
        return (byte)Math.Round(255 * (x <= 0.0031308 ? 12.92 * x : (1.055 * Math.Pow(x, 1 / 2.4)) - 0.055));
    }
}
