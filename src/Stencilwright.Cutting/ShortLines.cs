using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>Short lines in place of arcs, for controllers that know no arcs.</summary>
public static class ShortLines
{
    /// <summary>How many lines stand for an arc: n chords over a sweep θ leave it by r(1 - cos(θ/2n)).</summary>
    /// <param name="radius">Of the arc, in any unit.</param>
    /// <param name="sweepRad">Angle turned through, of either sign.</param>
    /// <param name="error">How far the lines may leave the arc, in the same unit.</param>
    public static int Count(double radius, double sweepRad, double error)
    {
        var half = Math.Acos(Math.Max(-1, 1 - (error / radius)));
        return Math.Max(1, (int)Math.Ceiling(Math.Abs(sweepRad) / (2 * half)));
    }

    /// <summary>The path as it is run where arcs are written as short lines.</summary>
    /// <param name="path">Any path.</param>
    /// <param name="errorMm">How far the lines may leave an arc.</param>
    internal static CutPath Of(CutPath path, double errorMm)
    {
        var vertices = ImmutableArray.CreateBuilder<PathVertex>(path.Vertices.Length);
        for (var i = 0; i < path.SegmentCount; i++)
        {
            var segment = path.SegmentAt(i);
            vertices.Add(path.Vertices[i] with { Bulge = 0 });
            var count = segment.IsLine ? 1 : Count(segment.Radius, segment.SweepRad, errorMm);
            for (var k = 1; k < count; k++)
            {
                var p = segment.PointAt((double)k / count);
                vertices.Add(new(p.X, p.Y));
            }
        }

        if (!path.IsClosed)
        {
            vertices.Add(path.Vertices[^1]);
        }

        return path with { Vertices = vertices.ToImmutable() };
    }
}
