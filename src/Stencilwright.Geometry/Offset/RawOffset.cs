using System.Runtime.InteropServices;

namespace Stencilwright.Geometry;

/// <summary>
/// Builds the raw offset curve of one contour: the closed curve whose winding number is positive exactly where the offset
/// region is, whatever loops it makes (docs/algorithms/offset.md).
/// </summary>
/// <param name="rightMm">How far the contour moves to its right: outwards when positive, inwards when negative.</param>
/// <param name="join">How open corners are closed.</param>
/// <param name="mitreLimit">Longest mitre, as a multiple of the distance; at least 1.</param>
internal sealed class RawOffset(double rightMm, JoinStyle join, double mitreLimit)
{
    /// <summary>Corners that an arc shorter than this would close are closed by one point: the arc would be noise.</summary>
    private const double ShortestArcMm = 2e-7;

    /// <summary>Turns this near to half a turn are tips, whichever way they seem to go: 10 nm on 1 mm.</summary>
    private const double BackRad = 1e-5;

    /// <summary>How far off the true curve an arc may be left for a corner that is cut where the moved tangents cross.</summary>
    private const double TrimOffMm = 1e-7;

    /// <summary>Arcs as flat as this keep their bulge when they are trimmed: what that misses is less than their far centre's rounding.</summary>
    private const double FlatBulge = 1e-7;

    private readonly List<PathVertex> _path = [];
    private readonly List<Joint> _joints = [];
    private readonly double _sign = Math.Sign(rightMm);

    private enum JointKind : byte
    {
        Straight,
        Open,
        Spokes,
        Trimmed,
    }

    /// <summary>Whether the last curve goes by a vertex somewhere, so that it crosses itself however small the corner.</summary>
    public bool HasSpokes { get; private set; }

    /// <summary>The raw curve of a clean contour, or null when nothing is left of it.</summary>
    public Contour? Build(ReadOnlySpan<PathVertex> v)
    {
        Classify(v);
        _path.Clear();
        HasSpokes = false;
        var joints = CollectionsMarshal.AsSpan(_joints);
        for (var i = 0; i < v.Length; i++)
        {
            var next = i + 1 == v.Length ? 0 : i + 1;
            ref readonly var joint = ref joints[i];
            var isTrimmed = v[i].Bulge != 0 && (joint.Kind == JointKind.Trimmed || joints[next].Kind == JointKind.Trimmed);
            AddJoint(v[i].Point, joint, isTrimmed ? TrimmedBulge(new(v[i].Point, v[next].Point, v[i].Bulge), joint, joints[next]) : v[i].Bulge);
            if (joint.IsCollapsed)
            {
                var center = new Segment(v[i].Point, v[next].Point, v[i].Bulge).Center;
                Add(center, 0);
                Add(Corner.Right(v[next].Point, joints[next].Before, rightMm), 0);
            }
        }

        return Tidied();
    }

    private void Classify(ReadOnlySpan<PathVertex> v)
    {
        _joints.Clear();
        Corner.Tangents(v[^1], v[0], out _, out var before);
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var next = ref v[i + 1 == v.Length ? 0 : i + 1];
            Corner.Tangents(v[i], next, out var after, out var end);
            var cross = Vector2.Cross(before, after);
            var turn = Math.Atan2(cross, Vector2.Dot(before, after));
            if (Math.Abs(turn) > Math.PI - BackRad && turn * rightMm < 0)
            {
                // The path turns back on itself, and rounding decides which way: going round its tip covers what either reading covers.
                turn += 2 * Math.PI * _sign;
            }

            var kind = turn * rightMm > 0 ? JointKind.Open : JointKind.Spokes;
            if (Math.Abs(turn * rightMm) <= ShortestArcMm && Math.Abs(turn) < 0.1)
            {
                kind = JointKind.Straight;
            }

            var isCollapsed = v[i].Bulge * _sign < 0
                && new Segment(v[i].Point, next.Point, v[i].Bulge).Radius <= Math.Abs(rightMm) + 1e-9;
            _joints.Add(new(kind, turn, before, after, isCollapsed));
            before = end;
        }

        Trim(v);
    }

    // Where two moved lines of a corner cross before either ends, the corner is cut there instead of going by its vertex:
    // the loop left out is covered twice. Each side can give away its length only once. Arcs are cut where their tangents
    // cross when that is as good as on them: corners of this kind are what rounding makes of smooth joints.
    private void Trim(ReadOnlySpan<PathVertex> v)
    {
        var joints = CollectionsMarshal.AsSpan(_joints);
        for (var i = 0; i < v.Length; i++)
        {
            if (joints[i].Kind != JointKind.Spokes || Math.Abs(joints[i].Turn) >= 3)
            {
                continue;
            }

            var previous = i == 0 ? v.Length - 1 : i - 1;
            var next = i + 1 == v.Length ? 0 : i + 1;
            var given = Math.Abs(rightMm) * Math.Tan(Math.Abs(joints[i].Turn) / 2);
            if (CanGive(v[i], v[next], joints[i], given) && CanGive(v[previous], v[i], joints[previous], given))
            {
                joints[i].GivenMm = given;
            }
        }

        for (var i = 0; i < v.Length; i++)
        {
            var previous = i == 0 ? v.Length - 1 : i - 1;
            var next = i + 1 == v.Length ? 0 : i + 1;
            if (joints[i].GivenMm > 0
                && joints[i].GivenMm + joints[next].GivenMm < MovedChord(v[i], v[next])
                && joints[i].GivenMm + joints[previous].GivenMm < MovedChord(v[previous], v[i]))
            {
                joints[i].Kind = JointKind.Trimmed;
            }
        }
    }

    private bool CanGive(in PathVertex start, in PathVertex end, in Joint joint, double given) =>
        start.Bulge == 0 || (!joint.IsCollapsed && given * given <= 2 * TrimOffMm * MovedRadius(new(start.Point, end.Point, start.Bulge)));

    // The lesser of a side's chord and what is left of it.
    private double MovedChord(in PathVertex start, in PathVertex end)
    {
        var chord = Point2.Distance(start.Point, end.Point);
        var s = new Segment(start.Point, end.Point, start.Bulge);
        return s.IsLine ? chord : chord * Math.Min(1, MovedRadius(s) / s.Radius);
    }

    private double MovedRadius(Segment arc) => arc.Radius + (Math.Sign(arc.Bulge) * rightMm);

    private double TrimmedBulge(Segment arc, in Joint from, in Joint to)
    {
        if (Math.Abs(arc.Bulge) < FlatBulge)
        {
            return arc.Bulge;
        }

        var start = from.Kind == JointKind.Trimmed ? Mitre(arc.Start, from) : Corner.Right(arc.Start, from.After, rightMm);
        var end = to.Kind == JointKind.Trimmed ? Mitre(arc.End, to) : Corner.Right(arc.End, to.Before, rightMm);
        var bulge = Corner.BulgeAbout(arc.Center, start, end, Math.Sign(arc.Bulge));
        return double.IsNaN(bulge) ? arc.Bulge : bulge;
    }

    private Point2 Mitre(Point2 v, in Joint joint) => Corner.Mitre(v, joint.Before, joint.After, Vector2.Dot(joint.Before, joint.After), rightMm);

    private void AddJoint(Point2 v, in Joint joint, double bulge)
    {
        var leaving = joint.IsCollapsed ? 0 : bulge;
        switch (joint.Kind)
        {
            case JointKind.Straight or JointKind.Trimmed:
                Add(Mitre(v, joint), leaving);
                break;
            case JointKind.Spokes:
                HasSpokes = true;
                Add(Corner.Right(v, joint.Before, rightMm), 0);
                Add(v, 0);
                if (!joint.IsCollapsed)
                {
                    Add(Corner.Right(v, joint.After, rightMm), leaving);
                }

                break;
            case JointKind.Open when join == JoinStyle.Mitre:
                AddMitre(v, joint);
                Add(Corner.Right(v, joint.After, rightMm), leaving);
                break;
            default:
                AddRound(v, joint);
                Add(Corner.Right(v, joint.After, rightMm), leaving);
                break;
        }
    }

    private void AddRound(Point2 v, in Joint joint)
    {
        var start = Corner.Right(v, joint.Before, rightMm);
        if (Math.Abs(joint.Turn) <= Math.PI + 1e-9)
        {
            Add(start, Math.Clamp(Math.Tan(joint.Turn / 4), -1, 1));
            return;
        }

        // No arc turns further than half a turn: by way of the furthest point.
        var quarter = Math.Tan(joint.Turn / 8);
        Add(start, quarter);
        Add(v + ((joint.Before - joint.After).Unit * Math.Abs(rightMm)), quarter);
    }

    private void AddMitre(Point2 v, in Joint joint)
    {
        Add(Corner.Right(v, joint.Before, rightMm), 0);
        var half = Math.Abs(joint.Turn) / 2;
        if (Math.Cos(half) * mitreLimit >= 1)
        {
            Add(Mitre(v, joint), 0);
            return;
        }

        // Cut square across the bisector at the limit itself, so that the corner does not jump where the limit sets in.
        var beyond = Math.Abs(rightMm) * (mitreLimit - Math.Cos(half)) / Math.Sin(half);
        Add(Corner.Right(v, joint.Before, rightMm) + (joint.Before * beyond), 0);
        Add(Corner.Right(v, joint.After, rightMm) - (joint.After * beyond), 0);
    }

    private void Add(Point2 p, double bulge) => _path.Add(new(p.X, p.Y, bulge));

    private Contour? Tidied()
    {
        var clean = ContourCleaner.Clean(CollectionsMarshal.AsSpan(_path));
        return clean.IsEmpty ? null : new Contour(clean);
    }

    // Corner before segment i. `Before` and `After` are unit directions of travel; Turn is positive to the left.
    private record struct Joint(JointKind Kind, double Turn, Vector2 Before, Vector2 After, bool IsCollapsed)
    {
        // How much of each adjoining line a trim would use up; 0 where none is possible.
        public double GivenMm;
    }
}
