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
        var straight = Enumerable.Range(0, path.Count).Where(i => path.SegmentAt(i).IsLine && path.SegmentAt(i).Length > 4 * gap).ToList();
        if (straight.Count < 2)
        {
            return [Stretch(path, 0, length)];
        }

        // One in the middle of the longest side, the other in the middle of the side most nearly half way round from it.
        var first = straight.MaxBy(i => Math.Round(path.SegmentAt(i).Length, 6));
        var second = straight.Where(i => i != first)
            .MinBy(i => Math.Round(Math.Abs(Math.Abs(MiddleOf(path, i) - MiddleOf(path, first)) - (length / 2)), 6));
        var (a, b) = (MiddleOf(path, Math.Min(first, second)), MiddleOf(path, Math.Max(first, second)));
        return [Stretch(path, a + (gap / 2), b - (gap / 2)), Stretch(path, b + (gap / 2), a + length - (gap / 2))];
    }

    private static double MiddleOf(Contour path, int index) =>
        Enumerable.Range(0, index).Sum(i => path.SegmentAt(i).Length) + (path.SegmentAt(index).Length / 2);

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
