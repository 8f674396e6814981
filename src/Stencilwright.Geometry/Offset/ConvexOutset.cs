namespace Stencilwright.Geometry;

/// <summary>Whether a contour turns left everywhere, so that its outset needs no intersecting.</summary>
internal static class ConvexOutset
{
    /// <summary>True when the raw outset curve of the contour is the outset itself: all arcs and corners turn left.</summary>
    /// <param name="v">A simple contour without short segments.</param>
    /// <param name="mostReflexRad">Turning to the right that passes for noise, in all.</param>
    public static bool IsConvex(ReadOnlySpan<PathVertex> v, double mostReflexRad)
    {
        var reflex = 0.0;
        Corner.Tangents(v[^1], v[0], out _, out var before);
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var next = ref v[i + 1 == v.Length ? 0 : i + 1];
            Corner.Tangents(v[i], next, out var after, out var end);
            var cross = Vector2.Cross(before, after);
            if (v[i].Bulge < 0 || Vector2.Dot(before, after) < -0.999999)
            {
                return false;
            }

            if (cross < 0)
            {
                reflex -= cross;
                if (reflex > mostReflexRad)
                {
                    return false;
                }
            }

            before = end;
        }

        return true;
    }
}
