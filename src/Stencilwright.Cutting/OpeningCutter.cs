using System.Collections.Immutable;
using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>What became of a part of an opening that is narrower than the kerf.</summary>
internal enum NarrowPart
{
    /// <summary>Cut as a single line, so opened to the whole kerf.</summary>
    Line,

    /// <summary>Too short for a line along its middle, or not all reached by it: stays closed.</summary>
    Closed,
}

/// <summary>The beam's paths for one opening, and what they open.</summary>
/// <param name="Inset">Closed paths of the beam's centre.</param>
/// <param name="Lines">Single lines through parts that are narrower than the kerf; one that ends where it began goes round.</param>
/// <param name="Opened">What is open afterwards, islands that fell out included.</param>
/// <param name="Narrow">What became of the narrow parts.</param>
/// <param name="HasIsland">True when film inside the opening falls out with the slug.</param>
internal sealed record CutOpening(
    Region Inset, ImmutableArray<OpenPath> Lines, Region Opened, ImmutableArray<(NarrowPart Kind, Point2 At)> Narrow, bool HasIsland)
{
    /// <summary>What the beam cannot make.</summary>
    public BeamMiss Miss { get; init; }
}

/// <summary>How what opens differs from what was wanted.</summary>
/// <param name="LostMm2">Wanted and still closed: corners sharper than the beam, parts too narrow for it.</param>
/// <param name="ExtraMm2">Open and not wanted: narrow parts as wide as the kerf, islands that fell out.</param>
/// <param name="CornerGapMm">How far the wanted outline lies from what opens where that is furthest; null when nothing opens.</param>
internal readonly record struct BeamMiss(double LostMm2, double ExtraMm2, double? CornerGapMm)
{
    /// <summary>By exact booleans.</summary>
    public static BeamMiss Between(Region wanted, Region opened, double? cornerGapMm)
    {
        var both = RegionBoolean.Intersection(wanted, opened).AreaMm2;
        return new(Math.Max(0, wanted.AreaMm2 - both), Math.Max(0, opened.AreaMm2 - both), opened.IsEmpty ? null : cornerGapMm);
    }
}

/// <summary>Compensates one opening for an elliptical beam.</summary>
/// <remarks>
/// The beam's centre runs on the outline moved inwards by half the kerf (erosion by the beam's ellipse), so that it opens
/// the outline's morphological opening. What that loses beyond rounded corners is narrower than the kerf, and is cut as
/// single lines along its middle, straight or bent, where it is long enough.
/// </remarks>
internal sealed class OpeningCutter
{
    // A lost part that reaches further than this times half the kerf from what opens is more than a rounded corner (0.41
    // times half the kerf at a right angle, 1.0 at 60°).
    private const double CornerReach = 1.05;

    // Lines and arcs keep this near to a bent middle line: far below what a laser can follow.
    private const double FitMm = 2e-3;

    // Ten nanometres: far above rounding, far below a narrow part.
    private const double HairMm = 1e-5;

    private readonly double _halfX;
    private readonly double _halfY;
    private readonly double _half;

    public OpeningCutter(double kerfXMm, double kerfYMm)
    {
        _halfX = kerfXMm / 2;
        _halfY = kerfYMm / 2;
        _half = Math.Max(_halfX, _halfY);
    }

    public double KerfXMm => 2 * _halfX;

    public double KerfYMm => 2 * _halfY;

    public CutOpening Cut(Region wanted)
    {
        if (_half == 0)
        {
            return Missing(wanted, Opens(wanted, [], wanted, []), 0);
        }

        var inset = RegionOffset.Inset(wanted, _halfX, _halfY);
        var opened = inset.IsEmpty ? Region.Empty : RegionOffset.Outset(inset, _halfX, _halfY);
        var gap = 0.0;
        if (!opened.IsEmpty && !LosesNarrowParts(wanted, opened, out gap))
        {
            return Missing(wanted, Opens(inset, [], opened, []), gap);
        }

        var lines = ImmutableArray.CreateBuilder<OpenPath>();
        var narrow = ImmutableArray.CreateBuilder<(NarrowPart, Point2)>();
        var shapes = new List<Region> { opened };
        foreach (var part in opened.IsEmpty ? [wanted] : LostParts(wanted, opened))
        {
            if (!opened.IsEmpty && Reach(part, opened) <= CornerReach * _half)
            {
                continue;
            }

            var (paths, swept, isCovered) = CutNarrow(part, opened);
            lines.AddRange(paths);
            shapes.Add(swept);
            foreach (var path in paths)
            {
                narrow.Add((NarrowPart.Line, path.SegmentAt(path.SegmentCount / 2).Middle));
            }

            if (!isCovered)
            {
                narrow.Add((NarrowPart.Closed, part.Bounds.Center));
            }
        }

        shapes.RemoveAll(s => s.IsEmpty);
        var cut = Opens(inset, lines.ToImmutable(), shapes.Count == 1 ? shapes[0] : RegionBoolean.Union(CollectionsMarshal.AsSpan(shapes)), narrow.ToImmutable());
        return Missing(wanted, cut, lines.Count == 0 ? gap : cut.Opened.IsEmpty ? 0 : Reach(wanted, cut.Opened));
    }

    // Where the two outlines coincide but for rounding, a plain difference would leave hairs hundreds of times longer than the part that
    // they hang on, and a line would be cut along one.
    private static ImmutableArray<Region> LostParts(Region wanted, Region opened) =>
        RegionBoolean.Islands(RegionBoolean.Difference(wanted, RegionOffset.Offset(opened, HairMm)));

    /// <summary>The same with the outline moved outwards by as little as gives back the area that rounded corners lose.</summary>
    /// <remarks>
    /// Newton's method on area, whose derivative by the move is the perimeter. An opening with parts narrower than the kerf
    /// is cut by its edge: its area is not a matter of corners. So is one that would have to move by more than a quarter of
    /// the kerf.
    /// </remarks>
    public CutOpening CutForArea(Region wanted)
    {
        var byEdge = Cut(wanted);
        var cut = byEdge;
        var (target, perimeter) = (wanted.AreaMm2, wanted.PerimeterMm);
        var outwards = 0.0;
        for (var round = 0; round < 6; round++)
        {
            if (cut.Opened.IsEmpty || !cut.Lines.IsEmpty || !cut.Narrow.IsEmpty || cut.HasIsland || outwards > _half / 2)
            {
                return byEdge;
            }

            var missing = target - cut.Opened.AreaMm2;
            if (Math.Abs(missing) < 1e-6 * target)
            {
                break;
            }

            outwards += missing / perimeter;
            cut = Cut(RegionOffset.Offset(wanted, outwards, JoinStyle.Mitre));
        }

        return outwards == 0 ? cut : cut with { Miss = BeamMiss.Between(wanted, cut.Opened, Reach(wanted, cut.Opened)) };
    }

    // Without lines and islands what opens lies inside what was wanted, and the areas tell.
    private static CutOpening Missing(Region wanted, CutOpening cut, double cornerGapMm) => cut with
    {
        Miss = cut.Lines.IsEmpty && !cut.HasIsland
            ? new(Math.Max(0, wanted.AreaMm2 - cut.Opened.AreaMm2), 0, cut.Opened.IsEmpty ? null : cornerGapMm)
            : BeamMiss.Between(wanted, cut.Opened, cornerGapMm),
    };

    // Film inside an opening is held by nothing: it falls, and is open.
    private static CutOpening Opens(Region inset, ImmutableArray<OpenPath> lines, Region opened, ImmutableArray<(NarrowPart, Point2)> narrow)
    {
        var outer = opened.Contours.RemoveAll(c => c.SignedAreaMm2 < 0);
        var falls = outer.Length < opened.Contours.Length;
        return new CutOpening(inset, lines, falls ? RegionBoolean.Resolve(outer.AsSpan(), FillRule.NonZero) : opened, narrow, falls);
    }

    // One straight line where that does, as it nearly always does; else the middle lines of what bends, forks or goes round.
    private (ImmutableArray<OpenPath> Lines, Region Swept, bool IsCovered) CutNarrow(Region part, Region opened)
    {
        if (_halfX == 0 || _halfY == 0)
        {
            return ([], Region.Empty, false);
        }

        if (MiddleLine(part, opened) is { } line && Swept(line) is var capsule && IsCovered(part, opened, capsule))
        {
            return ([line], capsule, true);
        }

        var lines = MiddleLinesOf(part, opened);
        var swept = lines.IsEmpty ? Region.Empty : RegionBoolean.Union([.. lines.Select(Swept)]);
        return (lines, swept, !swept.IsEmpty && IsCovered(part, opened, swept));
    }

    private bool IsCovered(Region part, Region opened, Region swept)
    {
        var open = opened.IsEmpty ? swept : RegionBoolean.Union([opened, swept]);
        return RegionBoolean.Islands(RegionBoolean.Difference(part, swept)).All(rest => Reach(rest, open) <= CornerReach * _half);
    }

    // Where the beam is round: stretched along y, and the lines stretched back.
    private ImmutableArray<OpenPath> MiddleLinesOf(Region part, Region opened)
    {
        var stretch = _halfY / _halfX;
        var (shape, free) = stretch == 1 ? (part, opened) : (part.Transform(Affine2.Scale(1, 1 / stretch)), opened.Transform(Affine2.Scale(1, 1 / stretch)));
        var lines = ImmutableArray.CreateBuilder<OpenPath>();
        foreach (var run in MiddleLines.Of(shape, 2 * _halfX))
        {
            if (LineEnds.Finish(run, shape, free, _halfX) is { } points)
            {
                // An ellipse is no arc: where the beam is not round, bends are lines.
                lines.Add(stretch == 1 ? LineFit.Fit(points, FitMm) : Stretched(LineFit.Fit(points, FitMm, straightOnly: true), stretch));
            }
        }

        return lines.ToImmutable();
    }

    private static OpenPath Stretched(OpenPath path, double stretch)
    {
        var vertices = path.Vertices.ToArray();
        for (var i = 0; i < vertices.Length; i++)
        {
            vertices[i] = vertices[i] with { Y = vertices[i].Y * stretch };
        }

        return new OpenPath(vertices);
    }

    /// <summary>Half width of the beam along a direction.</summary>
    private double HalfAlong(Vector2 u) =>
        Math.Sqrt((_halfX * u.X * _halfX * u.X) + (_halfY * u.Y * _halfY * u.Y));

    // Cheap and nearly always enough: the area lost is that of rounded corners. Otherwise the boundary is sampled.
    private bool LosesNarrowParts(Region wanted, Region opened, out double gap)
    {
        if (wanted.Contours.Length == opened.Contours.Length && _halfX > 0 && _halfY > 0)
        {
            var lost = wanted.AreaMm2 - opened.AreaMm2;
            if (Math.Abs(lost - CornerLoss(wanted, out var sharpest)) <= 1e-3 * _halfX * _halfY)
            {
                // The tip of a corner that turns by φ lies at r (1/cos φ/2 - 1) from what a round beam opens.
                gap = _halfX == _halfY ? _halfX * ((1 / Math.Cos(sharpest / 2)) - 1) : VertexGap(wanted, opened);
                return false;
            }
        }

        gap = Reach(wanted, opened);
        return gap > CornerReach * _half;
    }

    // Stretched so that the beam is round, a convex corner that turns by φ loses r² (tan φ/2 - φ/2).
    private double CornerLoss(Region region, out double sharpest)
    {
        sharpest = 0;
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
                    sharpest = Math.Max(sharpest, turn);
                }

                before = after;
            }
        }

        return sum * _halfX * _halfY;

        Vector2 Stretch(Vector2 v) => new(v.X / _halfX, v.Y / _halfY);
    }

    private static double VertexGap(Region wanted, Region opened)
    {
        var furthest = new FurthestOutside(opened);
        foreach (var contour in wanted.Contours)
        {
            foreach (var v in contour.Vertices)
            {
                furthest.See(v.Point);
            }
        }

        return furthest.DistanceMm;
    }

    // How far the boundary of a part lies from what opens, sampled at every half kerf.
    private double Reach(Region part, Region opened)
    {
        var furthest = new FurthestOutside(opened);
        foreach (var contour in part.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                var samples = 2 * Math.Clamp((int)(s.Length / _half), 1, 50);
                for (var k = 0; k < samples; k++)
                {
                    furthest.See(s.PointAt((double)k / samples));
                }
            }
        }

        return furthest.DistanceMm;
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
        if (Math.Abs(Vector2.Cross(u, middle - a)) > 0.3 * _half || !IsStraight(part, box.Long, low, length, a, u))
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

    // All but its ends, where a slanting end or a rounded one moves the middle.
    private bool IsStraight(Region part, Vector2 along, double low, double length, Point2 on, Vector2 u)
    {
        for (var at = 0.1; at < 0.95; at += 0.1)
        {
            if (MiddleAt(part, along, low + (length * at)) is not { } middle || Math.Abs(Vector2.Cross(u, middle - on)) > 0.3 * _half)
            {
                return false;
            }
        }

        return true;
    }

    // The middle of a part where a line across it cuts it; null where it is wider than the kerf, so bent or forked.
    private Point2? MiddleAt(Region part, Vector2 u, double at)
    {
        var (low, high) = ShapeMeasure.Across(part, u, at);
        return high >= low && high - low <= 2.02 * HalfAlong(u.Left)
            ? new Point2(0, 0) + (u * at) + (u.Left * ((low + high) / 2))
            : null;
    }

    // What the beam opens along a line: drawn where the beam is round, and stretched back.
    private Region Swept(OpenPath line)
    {
        var stretch = _halfY / _halfX;
        return stretch == 1
            ? RegionOffset.Stroke(line, 2 * _halfX)
            : RegionOffset.Stroke(Stretched(line, 1 / stretch), 2 * _halfX).Transform(Affine2.Scale(1, stretch));
    }
}
