namespace Stencilwright.Geometry;

/// <summary>
/// The curve that the middle of an axis-parallel ellipse follows inside an arc, by the angle that both face: the arc's point less the
/// ellipse's. Between any two angles where it keeps its direction it is convex, with the support r - s.
/// </summary>
internal readonly record struct InsetArc(Point2 Center, double RadiusMm, double HalfXMm, double HalfYMm)
{
    /// <summary>Above 0 where the curve turns with the arc; below where it runs backwards and bounds nothing.</summary>
    public double CurvatureRadiusAt(double facingRad)
    {
        var s = SupportAt(Math.SinCos(facingRad));
        return RadiusMm - (HalfXMm * HalfXMm * HalfYMm * HalfYMm / (s * s * s));
    }

    /// <summary>The ellipse's point that faces the way a side with this direction does, reversed.</summary>
    public static Vector2 Inward(Vector2 direction, double halfXMm, double halfYMm)
    {
        var (x, y) = (halfXMm * direction.Y, -halfYMm * direction.X);
        var support = Math.Sqrt((x * x) + (y * y));
        return new(-halfXMm * x / support, -halfYMm * y / support);
    }

    /// <summary>The curve's point that faces an angle.</summary>
    public Point2 PointAt(double facingRad)
    {
        var (sin, cos) = Math.SinCos(facingRad);
        return Center + Relative(sin, cos);
    }

    /// <summary>The same from the arc's centre.</summary>
    public Vector2 Relative(double sin, double cos)
    {
        var s = SupportAt((sin, cos));
        return new(cos * (RadiusMm - (HalfXMm * HalfXMm / s)), sin * (RadiusMm - (HalfYMm * HalfYMm / s)));
    }

    /// <summary>How far the ellipse reaches in a direction.</summary>
    public double SupportAt((double Sin, double Cos) facing)
    {
        var (x, y) = (HalfXMm * facing.Cos, HalfYMm * facing.Sin);
        return Math.Sqrt((x * x) + (y * y));
    }

    /// <summary>How far from the axis of its greater half width the ellipse's radius of curvature comes to that of the arc; beyond, the curve runs backwards.</summary>
    /// <returns>π when nowhere, 0 when everywhere.</returns>
    public double KeptHalfRad()
    {
        // The ellipse's radius of curvature is a²b²/s³.
        var cos2 = SquareOfCosine(Math.Cbrt(HalfXMm * HalfXMm * HalfYMm * HalfYMm / RadiusMm));
        return cos2 <= 0 ? Math.PI : cos2 >= 1 ? 0 : Math.Acos(Math.Sqrt(cos2));
    }

    /// <summary>How far from that axis the curve, having turned outwards, crosses the line through the arc's centre across the axis.</summary>
    public double? CrossesMiddleRad()
    {
        var greater = Math.Max(HalfXMm, HalfYMm);
        var cos2 = SquareOfCosine(greater * greater / RadiusMm);
        return cos2 is > 0 and < 1 ? Math.Acos(Math.Sqrt(cos2)) : null;
    }

    // Of the angle off the axis of the greater half width a where the support is s: s² = a²cos²φ + b²sin²φ.
    private double SquareOfCosine(double support)
    {
        var (a2, b2) = (HalfXMm * HalfXMm, HalfYMm * HalfYMm);
        var (greater, lesser) = (Math.Max(a2, b2), Math.Min(a2, b2));
        return ((support * support) - lesser) / (greater - lesser);
    }
}
