using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>The film between an opening and its nearest neighbour.</summary>
/// <param name="WidthMm">Exact distance between their boundaries; 0 where they overlap.</param>
/// <param name="Neighbour">Index of the neighbour.</param>
/// <param name="Middle">The middle of the web where it is narrowest.</param>
internal readonly record struct Web(double WidthMm, int Neighbour, Point2 Middle);

/// <summary>Finds each opening's nearest neighbour.</summary>
internal static class WebFinder
{
    /// <summary>Neighbours further away than this are none.</summary>
    public const double FurthestMm = 5;

    public static Web?[] Find(ImmutableArray<Region> shapes, CancellationToken cancellation)
    {
        using var field = new WebField(shapes.AsMemory());
        return Find(field, cancellation);
    }

    public static Web?[] Find(WebField shapes, CancellationToken cancellation)
    {
        var nearest = shapes.Nearest(FurthestMm, cancellation);
        var webs = new Web?[nearest.Length];
        for (var i = 0; i < webs.Length; i++)
        {
            webs[i] = nearest[i] is { } near ? new Web(near.WidthMm, near.Neighbour, near.Middle) : null;
        }

        return webs;
    }
}
