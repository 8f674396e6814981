using System.Globalization;

namespace Stencilwright.Output.Drawing;

/// <summary>Times for people.</summary>
public static class Durations
{
    /// <summary>Seconds as <c>48 s</c>, <c>3 min 20 s</c> or <c>1 h 05 min</c>, rounded up: nobody minds waiting less.</summary>
    public static string Of(double seconds)
    {
        if (!(seconds >= 0 && seconds < 1e9))
        {
            return "–";
        }

        var whole = (long)Math.Ceiling(seconds);
        return whole < 60
            ? string.Create(CultureInfo.InvariantCulture, $"{whole} s")
            : whole < 3600
                ? string.Create(CultureInfo.InvariantCulture, $"{whole / 60} min {whole % 60:00} s")
                : string.Create(CultureInfo.InvariantCulture, $"{(whole + 59) / 3600} h {(whole + 59) % 3600 / 60:00} min");
    }
}
