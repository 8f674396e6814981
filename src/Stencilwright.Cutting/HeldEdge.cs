using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A closed cut with two short bridges left standing, so that what it frees stays in its sheet until a knife frees it.</summary>
internal static class HeldEdge
{
    /// <summary>Length of a bridge after cutting. Source: common practice, no source.</summary>
    public const double BridgeMm = 0.5;

    /// <summary>The path's two parts, bridges half a perimeter apart; the whole contour when it is too short for them.</summary>
    /// <param name="path">The beam's closed path.</param>
    /// <param name="kerfMm">Full width of the cut, which eats into a bridge.</param>
    public static ImmutableArray<OpenPath> PathsOf(Contour path, double kerfMm)
    {
        var length = path.PerimeterMm;
        var gap = BridgeMm + kerfMm;
        if (length < 10 * gap)
        {
            return [Stretch(path, 0, length)];
        }

        // A quarter of the way along the first side keeps bridges off the corners of the usual cross shape.
        var at = path.SegmentAt(0).Length / 4;
        return [Stretch(path, at + (gap / 2), at + (length / 2) - (gap / 2)), Stretch(path, at + (length / 2) + (gap / 2), at + length - (gap / 2))];
    }

    private static OpenPath Stretch(Contour path, double from, double to)
    {
        var vertices = new List<PathVertex>();
        var (at, end) = (0.0, path.SegmentAt(0).Start);
        for (var i = 0; at < to; i++)
        {
            var s = path.SegmentAt(i % path.Count);
            var next = at + s.Length;
            if (next > from)
            {
                var (a, b) = (Math.Max(0, (from - at) / s.Length), Math.Min(1, (to - at) / s.Length));
                var start = s.PointAt(a);
                vertices.Add(new(start.X, start.Y, s.IsLine ? 0 : Math.Tan(Math.Atan(s.Bulge) * (b - a))));
                end = s.PointAt(b);
            }

            at = next;
        }

        vertices.Add(new(end.X, end.Y));
        return new OpenPath([.. vertices]);
    }
}
