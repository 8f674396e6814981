using System.Collections.Immutable;

namespace Stencilwright.Geometry;

/// <summary>Maps contours and regions by affine maps; circles stay circles under similarities and become fitted arcs otherwise.</summary>
public static class RegionTransform
{
    /// <summary>Chord error allowed wherever an ellipse or a curve has to be made of arcs, millimetres (0.1 µm).</summary>
    public const double FitToleranceMm = 1e-4;

    /// <summary>Maps a contour. A mirroring map turns its direction round so that the signed area keeps its sign.</summary>
    public static Contour Transform(this Contour contour, Affine2 map, double toleranceMm = FitToleranceMm)
    {
        ArgumentNullException.ThrowIfNull(contour);
        if (!map.IsSimilarity)
        {
            return ArcFit.TransformByFit(contour, map, toleranceMm);
        }

        var source = contour.Vertices;
        var result = new PathVertex[source.Length];
        if (map.Determinant >= 0)
        {
            for (var i = 0; i < source.Length; i++)
            {
                var p = map.Apply(source[i].Point);
                result[i] = new(p.X, p.Y, source[i].Bulge);
            }
        }
        else
        {
            // Mirroring negates each bulge; walking backwards negates it again.
            for (var i = 0; i < source.Length; i++)
            {
                var p = map.Apply(source[(source.Length - i) % source.Length].Point);
                result[i] = new(p.X, p.Y, source[source.Length - 1 - i].Bulge);
            }
        }

        return Contour.Adopt(result);
    }

    /// <summary>Maps a region; holes stay holes.</summary>
    public static Region Transform(this Region region, Affine2 map, double toleranceMm = FitToleranceMm)
    {
        ArgumentNullException.ThrowIfNull(region);
        var contours = ImmutableArray.CreateBuilder<Contour>(region.Contours.Length);
        foreach (var contour in region.Contours)
        {
            contours.Add(contour.Transform(map, toleranceMm));
        }

        return new Region(contours.MoveToImmutable());
    }
}
