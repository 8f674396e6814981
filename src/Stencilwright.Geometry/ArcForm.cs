namespace Stencilwright.Geometry;

/// <summary>
/// The circle of an arc, written from its chord: κ/2·(|x - m|² - h²) + w·n·(x - m) = 0 with m the chord's middle, h half its length,
/// n the unit normal towards the arc, κ = 1/radius and w = 1 - κ·sagitta. Unlike the centre, which is lost to rounding as the
/// arc flattens, every coefficient keeps its digits; κ = 0 is the chord's line.
/// </summary>
internal readonly struct ArcForm
{
    private readonly double _mx, _my, _nx, _ny, _w, _h2;

    public ArcForm(double x0, double y0, double x1, double y1, double bulge)
    {
        var (dx, dy) = (x1 - x0, y1 - y0);
        var chord = Math.Sqrt((dx * dx) + (dy * dy));
        var (b, sign) = (Math.Abs(bulge), bulge < 0 ? -1 : 1);
        (_mx, _my) = ((x0 + x1) / 2, (y0 + y1) / 2);
        (_nx, _ny) = chord > 0 ? (dy / chord * sign, -dx / chord * sign) : default;
        _h2 = chord * chord / 4;
        // κ = 4b/(c(1+b²)), sagitta = cb/2.
        Curvature = chord > 0 ? 4 * b / (chord * (1 + (b * b))) : 0;
        _w = (1 - (b * b)) / (1 + (b * b));
    }

    public ArcForm(Segment s)
        : this(s.Start.X, s.Start.Y, s.End.X, s.End.Y, s.Bulge)
    {
    }

    /// <summary>1/radius, at least 0.</summary>
    public double Curvature { get; }

    /// <summary>Signed distance from the circle, positive outside (beyond the arc as seen from its chord).</summary>
    public double Off(double x, double y)
    {
        var (dx, dy) = (x - _mx, y - _my);
        var (rx, ry) = (Curvature * dx + (_w * _nx), Curvature * dy + (_w * _ny));
        // |x - centre|² - r² over |x - centre| + r, both divided by r.
        return 2 * Value(dx, dy) / (1 + Math.Sqrt((rx * rx) + (ry * ry)));
    }

    /// <summary>The circle's point nearest to a point; for the centre the arc's middle.</summary>
    public Point2 Foot(Point2 p)
    {
        var unit = new Vector2((Curvature * (p.X - _mx)) + (_w * _nx), (Curvature * (p.Y - _my)) + (_w * _ny)).Unit;
        return p - ((unit == default ? new(_nx, _ny) : unit) * Off(p.X, p.Y));
    }

    /// <summary>
    /// Where a line meets the circle: parameters along its unit direction. False when it does not, or passes; then
    /// <paramref name="gap"/> tells by how much (negative) and <paramref name="first"/> where it comes nearest.
    /// </summary>
    public bool TryMeetLine(Point2 from, Vector2 unit, out double first, out double second, out double gap)
    {
        var (dx, dy) = (from.X - _mx, from.Y - _my);
        var a = Curvature / 2;
        var b = (Curvature * ((dx * unit.X) + (dy * unit.Y)) + (_w * ((_nx * unit.X) + (_ny * unit.Y)))) / 2;
        var c = Value(dx, dy);
        var discriminant = (b * b) - (a * c);
        gap = discriminant / a;
        if (!(discriminant >= 0))
        {
            first = second = -b / a;
            return false;
        }

        // The root of larger magnitude by the quotient, the other from the product of both: no cancellation.
        var q = b < 0 ? Math.Sqrt(discriminant) - b : -Math.Sqrt(discriminant) - b;
        (first, second) = (q == 0 ? 0 : c / q, q / a);
        return true;
    }

    /// <summary>
    /// The line through the points two circles share (their radical line): a point and a unit direction; false for circles of
    /// one centre. This circle must be the flatter one.
    /// </summary>
    public bool TryShare(in ArcForm other, out Point2 from, out Vector2 unit)
    {
        var ratio = other.Curvature > 0 ? Curvature / other.Curvature : 0;
        var (dx, dy) = (other._mx - _mx, other._my - _my);
        var gx = (_w * _nx) + (Curvature * dx) - (ratio * other._w * other._nx);
        var gy = (_w * _ny) + (Curvature * dy) - (ratio * other._w * other._ny);
        var constant = (ratio * other._w * ((dx * other._nx) + (dy * other._ny))) - (Curvature / 2 * (_h2 + (dx * dx) + (dy * dy) - other._h2));
        var g2 = (gx * gx) + (gy * gy);
        from = new(_mx - (constant * gx / g2), _my - (constant * gy / g2));
        unit = new Vector2(-gy, gx).Unit;
        return g2 > 1e-30;
    }

    private double Value(double dx, double dy) =>
        (Curvature / 2 * ((dx * dx) + (dy * dy) - _h2)) + (_w * ((dx * _nx) + (dy * _ny)));
}
