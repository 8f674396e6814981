using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>An opening as the finder of parts sees it: a box in the opening's own frame.</summary>
/// <param name="At">Middle of that box, millimetres.</param>
/// <param name="Axis">Unit vector along the long side.</param>
/// <param name="LongMm">Extent along <paramref name="Axis"/>.</param>
/// <param name="ShortMm">Extent across it.</param>
/// <param name="Fill">Area over that of the box: 1 for a rectangle, π/4 for a circle.</param>
internal readonly record struct Pad(Point2 At, Vector2 Axis, double LongMm, double ShortMm, double Fill)
{
    // A circle fills 0.785 of its box, one drawn with twelve sides 0.80, a square with corners rounded by 45 % of its side 0.826.
    private const double RoundBelow = 0.805;

    /// <summary>A circle or nearly so: it has no direction.</summary>
    public bool IsRound => Fill < RoundBelow && LongMm <= 1.04 * ShortMm;

    /// <summary>As long as wide: its direction is one of two.</summary>
    public bool IsSquare => LongMm <= 1.04 * ShortMm;

    /// <summary>Direction of the long side, degrees in [0, 180).</summary>
    public double AngleDeg
    {
        get
        {
            var angle = Math.Atan2(Axis.Y, Axis.X) * 180 / Math.PI;
            return angle < 0 ? angle + 180 : angle >= 180 ? angle - 180 : angle;
        }
    }

    /// <summary>Measures an opening in the frame of its long side.</summary>
    public static Pad Of(PasteOpening opening)
    {
        var (sin, cos) = Affine2.ExactSinCosDegrees(opening.RotationDeg);
        var axis = new Vector2(cos, sin);
        var box = BoxAlong(opening.Shape, opening.RotationDeg);
        var middle = box.Center;
        var at = new Point2((middle.X * cos) - (middle.Y * sin), (middle.X * sin) + (middle.Y * cos));
        var (along, across) = (box.Width, box.Height);
        var fill = along * across > 0 ? opening.Shape.AreaMm2 / (along * across) : 0;
        return along >= across ? new(at, axis, along, across, fill) : new(at, axis.Left, across, along, fill);
    }

    /// <summary>Width of the shadow the box throws on a line of a unit direction; for round pads the diameter.</summary>
    public double ExtentAlong(Vector2 direction) => IsRound
        ? LongMm
        : (Math.Abs(Vector2.Dot(Axis, direction)) * LongMm) + (Math.Abs(Vector2.Cross(Axis, direction)) * ShortMm);

    /// <summary>Same size and roundness within what rounding in artwork changes, widened by a factor.</summary>
    public bool IsCongruentTo(in Pad other, double factor = 1) =>
        Math.Abs(LongMm - other.LongMm) <= factor * (0.012 + (0.02 * LongMm))
        && Math.Abs(ShortMm - other.ShortMm) <= factor * (0.012 + (0.02 * ShortMm))
        && Math.Abs(Fill - other.Fill) <= 0.06 * factor;

    /// <summary>True when a box lies along or across this one.</summary>
    public bool IsSquareTo(in Pad other, double sineSlack = 0.035)
    {
        if (IsRound || other.IsRound)
        {
            return true;
        }

        var sine = Math.Abs(Vector2.Cross(Axis, other.Axis));
        return sine <= sineSlack || sine >= 1 - (sineSlack * sineSlack);
    }

    /// <summary>True when the long sides run the same way; squares may lie either way.</summary>
    public bool IsParallelTo(in Pad other, double sineSlack = 0.035) =>
        IsSquare ? IsSquareTo(other, sineSlack) : IsRound || other.IsRound || Math.Abs(Vector2.Cross(Axis, other.Axis)) <= sineSlack;

    private static Bounds2 BoxAlong(Region shape, double degrees)
    {
        if (degrees == 0)
        {
            return shape.Bounds;
        }

        var turn = Affine2.RotationDegrees(-degrees);
        var box = Bounds2.Empty;
        foreach (var contour in shape.Contours)
        {
            if (contour.SignedAreaMm2 > 0)
            {
                box = Bounds2.Union(box, contour.Transform(turn).Bounds);
            }
        }

        return box;
    }
}
