namespace Stencilwright.Geometry;

/// <summary>Makes lines and circular arcs of curves that are neither, within a stated tolerance.</summary>
public static class ArcFit
{
    /// <summary>Maps a contour by a map that turns circles into ellipses, and fits arcs to the ellipses.</summary>
    public static Contour TransformByFit(Contour contour, Affine2 map, double toleranceMm) => throw new NotImplementedException();
}
