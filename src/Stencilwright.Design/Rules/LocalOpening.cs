using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>
/// An opening in its own frame: origin at the middle of its box, x along its longer side, so that rules think of length and
/// width only, however the part is turned.
/// </summary>
internal sealed class LocalOpening
{
    // Corners painted by a round pen of hardly any width are sharp.
    private const double SharpRadiusMm = 0.003;

    private LocalOpening(Region artwork, Affine2 toBoard, Region local, Bounds2 box)
    {
        Artwork = artwork;
        ToBoard = toBoard;
        Local = local;
        HalfLengthMm = box.Width / 2;
        HalfWidthMm = box.Height / 2;
        AreaMm2 = artwork.AreaMm2;
        AreaRatioMm = AreaMm2 / artwork.PerimeterMm;
        (Shape, CornerRadiusMm) = Recognise(local, HalfLengthMm, HalfWidthMm, AreaMm2);
    }

    /// <summary>In board coordinates.</summary>
    public Region Artwork { get; }

    /// <summary>From the opening's frame to the board.</summary>
    public Affine2 ToBoard { get; }

    /// <summary>In its own frame.</summary>
    public Region Local { get; }

    /// <summary>Half of the longer side.</summary>
    public double HalfLengthMm { get; }

    /// <summary>Half of the shorter side.</summary>
    public double HalfWidthMm { get; }

    /// <summary>Length of the longer side.</summary>
    public double LengthMm => 2 * HalfLengthMm;

    /// <summary>Length of the shorter side.</summary>
    public double WidthMm => 2 * HalfWidthMm;

    /// <summary>Area.</summary>
    public double AreaMm2 { get; }

    /// <summary>Area over perimeter: the area ratio of a film of 1 mm.</summary>
    public double AreaRatioMm { get; }

    /// <summary>What it looks like.</summary>
    public OpeningShape Shape { get; }

    /// <summary>Radius of its corners; half the width of an obround or a circle; 0 for other shapes.</summary>
    public double CornerRadiusMm { get; }

    /// <summary>True for a rectangle, rounded or not, an obround or a circle.</summary>
    public bool IsBox => Shape != OpeningShape.Other;

    /// <summary>Looks at an opening.</summary>
    /// <param name="artwork">One outer contour with its holes.</param>
    /// <param name="rotationDeg">Turn of its long side, used where no straight edge tells it exactly.</param>
    public static LocalOpening Of(Region artwork, double rotationDeg)
    {
        var along = LongEdge(artwork, rotationDeg);
        var (map, local, box) = Frame(artwork, along);
        if (box.Height > box.Width * (1 + 1e-9))
        {
            (map, local, box) = Frame(artwork, along.Left);
        }

        return new(artwork, map, local, box);
    }

    /// <summary>Direction in the opening's frame, as one of its four axes, in which a point of the board lies; zero when none is plain.</summary>
    /// <param name="target">The middle of the part, board coordinates.</param>
    /// <param name="isFreeAxis">True when the longer side may lie across, as on chips.</param>
    public Vector2 AxisTowards(Point2 target, bool isFreeAxis)
    {
        var p = ToBoard.Inverse().Apply(target);
        var isLong = HalfLengthMm > 1.25 * HalfWidthMm;
        if (isLong && !isFreeAxis)
        {
            return Math.Abs(p.X) > 0.1 * HalfLengthMm ? new(Math.Sign(p.X), 0) : default;
        }

        // Nearly on a diagonal it may be either.
        var (x, y) = (Math.Abs(p.X), Math.Abs(p.Y));
        if (Math.Max(x, y) < 0.1 * HalfWidthMm || Math.Min(x, y) > 0.75 * Math.Max(x, y))
        {
            return default;
        }

        return x > y ? new(Math.Sign(p.X), 0) : new(0, Math.Sign(p.Y));
    }

    private static (Affine2 ToBoard, Region Local, Bounds2 Box) Frame(Region artwork, Vector2 along)
    {
        // (x, y) → origin + x·along + y·along.Left
        var turn = new Affine2(along.X, -along.Y, 0, along.Y, along.X, 0);
        var turnedBox = along is { X: 1, Y: 0 } ? artwork.Bounds : artwork.Transform(turn.Inverse()).Bounds;
        var origin = turn.Apply(turnedBox.Center);
        var map = turn with { X0 = origin.X, Y0 = origin.Y };
        var local = artwork.Transform(map.Inverse());
        return (map, local, local.Bounds);
    }

    // The coordinates of the longest straight edge say more exactly than a rounded angle how the opening is turned.
    private static Vector2 LongEdge(Region artwork, double rotationDeg)
    {
        var (sin, cos) = Affine2.ExactSinCosDegrees(rotationDeg);
        var (along, best) = (new Vector2(cos, sin), 0.0);
        var result = along;
        foreach (var contour in artwork.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var segment = contour.SegmentAt(i);
                var length = segment.IsLine ? segment.Chord.Length : 0;
                if (length > best)
                {
                    var unit = segment.Chord * (1 / length);
                    var (dot, cross) = (Vector2.Dot(unit, along), Vector2.Cross(along, unit));
                    if (Math.Abs(cross) < 0.01 || Math.Abs(dot) < 0.01)
                    {
                        best = length;
                        // The same axis, pointing the way the angle says.
                        result = Math.Abs(dot) >= 0.01 ? unit * Math.Sign(dot) : new(unit.Y * Math.Sign(cross), -unit.X * Math.Sign(cross));
                    }
                }
            }
        }

        return result;
    }

    private static (OpeningShape, double) Recognise(Region local, double hx, double hy, double areaMm2)
    {
        if (local.Contours.Length != 1 || hy <= 0)
        {
            return (OpeningShape.Other, 0);
        }

        // Round corners take (4 - π)·r² off the box.
        var missing = (4 * hx * hy) - areaMm2;
        var radius = Math.Min(hy, Math.Sqrt(Math.Max(0, missing) / (4 - Math.PI)));
        var tolerance = Math.Max(0.004, 0.02 * hy);
        if (radius > hy - tolerance)
        {
            radius = hy;
        }

        var contour = local.Contours[0];
        for (var i = 0; i < contour.Count; i++)
        {
            var segment = contour.SegmentAt(i);
            if (Off(segment.Start, hx, hy, radius) > tolerance || Off(segment.Middle, hx, hy, radius) > tolerance)
            {
                return (OpeningShape.Other, 0);
            }
        }

        if (radius <= SharpRadiusMm)
        {
            return (OpeningShape.Rectangle, 0);
        }

        return radius < hy ? (OpeningShape.RoundedRectangle, radius)
            : hx - hy <= tolerance ? (OpeningShape.Circle, hy) : (OpeningShape.Obround, hy);
    }

    // Distance of a point from the outline of a rounded box about the origin.
    private static double Off(Point2 p, double hx, double hy, double radius)
    {
        var (x, y) = (Math.Abs(p.X) - (hx - radius), Math.Abs(p.Y) - (hy - radius));
        var outside = new Vector2(Math.Max(0, x), Math.Max(0, y)).Length;
        return Math.Abs(outside + Math.Min(0, Math.Max(x, y)) - radius);
    }
}
