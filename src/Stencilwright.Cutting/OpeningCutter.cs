using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What became of a part of an opening that is narrower than the kerf.</summary>
internal enum NarrowPart
{
    /// <summary>Cut as a single line, so opened to the whole kerf.</summary>
    Line,

    /// <summary>Too short or too bent for a single line: stays closed.</summary>
    Closed,
}

/// <summary>The beam's paths for one opening, and what they open.</summary>
internal sealed record CutOpening(
    Region Inset, ImmutableArray<OpenPath> Lines, Region Opened, ImmutableArray<(NarrowPart Kind, Point2 At)> Narrow);

/// <summary>Compensates one opening for an elliptical beam.</summary>
/// <remarks>
/// The beam's centre runs on the outline moved inwards by half the kerf (erosion by the beam's ellipse), so that it opens
/// the outline's morphological opening. What that loses beyond rounded corners is narrower than the kerf, and is cut as
/// a line along its middle when it is straight and long enough.
/// </remarks>
internal sealed class OpeningCutter
{
    // A lost part that reaches further than this times half the kerf from what opens is more than a rounded corner (0.41
    // times half the kerf at a right angle, 1.0 at 60°).
    private const double CornerReach = 1.05;

    private readonly double _halfX;
    private readonly double _halfY;
    private readonly double _half;

    public OpeningCutter(double kerfXMm, double kerfYMm)
    {
        _halfX = kerfXMm / 2;
        _halfY = kerfYMm / 2;
        _half = Math.Max(_halfX, _halfY);
    }

    public CutOpening Cut(Region wanted)
    {
        if (_half == 0)
        {
            return new CutOpening(wanted, [], wanted, []);
        }

        var inset = RegionOffset.Inset(wanted, _halfX, _halfY);
        var opened = inset.IsEmpty ? Region.Empty : RegionOffset.Outset(inset, _halfX, _halfY);
        if (!opened.IsEmpty && !LosesNarrowParts(wanted, opened))
        {
            return new CutOpening(inset, [], opened, []);
        }

        var lost = opened.IsEmpty ? [wanted] : RegionBoolean.Islands(RegionBoolean.Difference(wanted, opened));
        var lines = ImmutableArray.CreateBuilder<OpenPath>();
        var narrow = ImmutableArray.CreateBuilder<(NarrowPart, Point2)>();
        var shapes = new List<Region> { opened };
        foreach (var part in lost)
        {
            if (!opened.IsEmpty && Reach(part, opened) <= CornerReach * _half)
            {
                continue;
            }

            if (MiddleLine(part, opened) is { } line)
            {
                lines.Add(line);
                shapes.Add(Capsule(line));
                narrow.Add((NarrowPart.Line, line.SegmentAt(0).Middle));
            }
            else
            {
                narrow.Add((NarrowPart.Closed, part.Bounds.Center));
            }
        }

        if (shapes.Count > 1)
        {
            opened = shapes.Count == 2 && shapes[0].IsEmpty
                ? shapes[1]
                : RegionBoolean.Union(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(shapes));
        }

        return new CutOpening(inset, lines.ToImmutable(), opened, narrow.ToImmutable());
    }

    /// <summary>Half width of the beam along a direction.</summary>
    private double HalfAlong(Vector2 u) =>
        Math.Sqrt((_halfX * u.X * _halfX * u.X) + (_halfY * u.Y * _halfY * u.Y));

    // Cheap and nearly always enough: the area lost is that of rounded corners. Otherwise the boundary is sampled.
    private bool LosesNarrowParts(Region wanted, Region opened)
    {
        if (wanted.Contours.Length == opened.Contours.Length && _halfX > 0 && _halfY > 0)
        {
            var lost = wanted.AreaMm2 - opened.AreaMm2;
            if (Math.Abs(lost - CornerLoss(wanted)) <= 1e-3 * _halfX * _halfY)
            {
                return false;
            }
        }

        return Reach(wanted, opened) > CornerReach * _half;
    }

    // Stretched so that the beam is round, a convex corner that turns by φ loses r² (tan φ/2 - φ/2).
    private double CornerLoss(Region region)
    {
        var sum = 0.0;
        foreach (var contour in region.Contours)
        {
            var before = contour.SegmentAt(contour.Count - 1);
            for (var i = 0; i < contour.Count; i++)
            {
                var after = contour.SegmentAt(i);
                var (a, b) = (Stretch(before.EndTangent), Stretch(after.StartTangent));
                var turn = Math.Atan2(Vector2.Cross(a, b), Vector2.Dot(a, b));
                if (turn > 1e-6)
                {
                    sum += Math.Tan(turn / 2) - (turn / 2);
                }

                before = after;
            }
        }

        return sum * _halfX * _halfY;

        Vector2 Stretch(Vector2 v) => new(v.X / _halfX, v.Y / _halfY);
    }

    // How far the boundary of a part lies from what opens, sampled at every half kerf.
    private double Reach(Region part, Region opened)
    {
        var reach = 0.0;
        foreach (var contour in part.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                var samples = 2 * Math.Clamp((int)(s.Length / _half), 1, 50);
                for (var k = 0; k < samples; k++)
                {
                    var p = s.PointAt((double)k / samples);
                    if (!opened.Contains(p))
                    {
                        reach = Math.Max(reach, RegionDistance.ToBoundary(opened, p).DistanceMm);
                    }
                }
            }
        }

        return reach;
    }

    private OpenPath? MiddleLine(Region part, Region opened)
    {
        var box = ShapeMeasure.NarrowestBox(part);
        var (low, high) = ShapeMeasure.Extent(part, box.Long);
        var length = high - low;
        if (MiddleAt(part, box.Long, low + (length * 0.25)) is not { } a
            || MiddleAt(part, box.Long, low + (length * 0.75)) is not { } b
            || MiddleAt(part, box.Long, low + (length * 0.5)) is not { } middle
            || Point2.Distance(a, b) < 1e-6)
        {
            return null;
        }

        var u = (b - a).Unit;
        if (Math.Abs(Vector2.Cross(u, middle - a)) > 0.3 * _half)
        {
            return null;
        }

        (low, high) = ShapeMeasure.Extent(part, u);
        var across = ShapeMeasure.Along(a, u.Left);
        var start = EndPoint(low, 1);
        var end = EndPoint(high, -1);
        if (Vector2.Dot(end - start, u) < _half / 2)
        {
            return null;
        }

        return new OpenPath([new(start.X, start.Y), new(end.X, end.Y)]);

        // An end that runs into what is open anyway goes all the way; a blind one stays half a kerf inside.
        Point2 EndPoint(double at, int inward)
        {
            var tip = new Point2(0, 0) + (u * at) + (u.Left * across);
            var joined = !opened.IsEmpty
                && (opened.Contains(tip) || RegionDistance.ToBoundary(opened, tip).DistanceMm < _half / 2);
            return joined ? tip : tip + (u * (inward * HalfAlong(u)));
        }
    }

    // The middle of a part where a line across it cuts it; null where it is wider than the kerf, so bent or forked.
    private Point2? MiddleAt(Region part, Vector2 u, double at)
    {
        var (low, high) = ShapeMeasure.Across(part, u, at);
        return high >= low && high - low <= 2.02 * HalfAlong(u.Left)
            ? new Point2(0, 0) + (u * at) + (u.Left * ((low + high) / 2))
            : null;
    }

    // What the beam opens along a straight line: drawn where the beam is round, and stretched back.
    private Region Capsule(OpenPath line)
    {
        var stretch = _halfY / _halfX;
        var a = line.Vertices[0];
        var b = line.Vertices[1];
        var (p, q) = (new Point2(a.X, a.Y / stretch), new Point2(b.X, b.Y / stretch));
        var side = (q - p).Unit.Left * _halfX;
        var round = new Contour(
        [
            new((p - side).X, (p - side).Y), new((q - side).X, (q - side).Y, 1),
            new((q + side).X, (q + side).Y), new((p + side).X, (p + side).Y, 1),
        ]);
        return Region.Of(stretch == 1 ? round : round.Transform(Affine2.Scale(1, stretch)));
    }
}
