using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Gerber;

/// <summary>What a pen of any shape covers when it is moved, without turning, along a line or an arc: their Minkowski sum, exactly.</summary>
/// <remarks>
/// A point is covered when the pen covers it at the path's start, or when the pen's boundary passes over it on the way. So the
/// sum is the pen at the start together with what each edge of its boundary sweeps; holes need no care of their own.
/// Two arcs sweep a patch whose folds lie where their tangents are parallel: there the sum runs along an arc of radius R + r
/// or R − r. Everything is made of lines and arcs again, and nothing is approximated.
/// </remarks>
internal static class PenSweep
{
    // Patches stay simple up to a quarter turn.
    private const double QuarterRad = Math.PI / 2;

    // Tangents closer than this are parallel; at 100 mm it moves a point by 0.1 nm.
    private const double SameAngleRad = 1e-9;

    // Arcs that leave their chord by less than 0.1 nm, or turn too little to tell their headings apart, pass for lines.
    private const double FlatMm = 2e-7;
    private const double FlatBulge = 1e-7;

    // Shorter edges of a patch are rounding.
    private const double SameMm = 1e-9;

    /// <summary>The area covered.</summary>
    /// <param name="pen">A valid region about the path's own origin: its place on the pen's centre is (0, 0).</param>
    /// <param name="path">The way of the centre.</param>
    /// <exception cref="InvalidOperationException">No consistent boundary was found.</exception>
    public static Region Of(Region pen, Segment path)
    {
        if (pen.IsEmpty || path.Chord.Length == 0)
        {
            return pen.Transform(Move(path.Start));
        }

        return IsFlat(path) ? AlongLine(pen, path) : AlongArc(pen, path);
    }

    private static bool IsFlat(Segment s) => Math.Abs(s.Bulge) < FlatBulge || Math.Abs(s.Bulge) * s.Chord.Length < FlatMm;

    private static Segment Tidy(Segment s) => IsFlat(s) ? s with { Bulge = 0 } : s;

    private static Affine2 Move(Point2 to) => Affine2.Translation(to.X, to.Y);

    // Turned so that the path is level, the sweep is an outset along x alone.
    private static Region AlongLine(Region pen, Segment path)
    {
        var along = path.Chord.Unit;
        var turn = new Affine2(along.X, -along.Y, 0, along.Y, along.X, 0);
        var level = pen.Transform(turn.Inverse());
        return RegionOffset.Outset(level, path.Chord.Length / 2, 0).Transform(Move(Point2.Lerp(path.Start, path.End, 0.5)) * turn);
    }

    private static Region AlongArc(Region pen, Segment path)
    {
        var patches = new List<Region> { pen.Transform(Move(path.Start)), pen.Transform(Move(path.End)) };
        foreach (var contour in pen.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                Sweep(Tidy(contour.SegmentAt(i)), path, patches);
            }
        }

        return RegionBoolean.Union(CollectionsMarshal.AsSpan(patches));
    }

    private static void Sweep(Segment edge, Segment path, List<Region> patches)
    {
        // Cut both where their tangents, taken as lines without direction, begin or cease to be parallel.
        var cuts = new List<double> { 0, QuarterRad };
        AddEnds(edge, cuts);
        AddEnds(path, cuts);
        foreach (var e in Cut(edge, cuts))
        {
            foreach (var p in Cut(path, cuts))
            {
                Patch(e, p, patches);
            }
        }
    }

    private static void AddEnds(Segment s, List<double> cuts)
    {
        cuts.Add(Heading(s.StartTangent));
        cuts.Add(Heading(s.EndTangent));
    }

    private static double Heading(Vector2 tangent) => Math.Atan2(tangent.Y, tangent.X);

    private static List<Segment> Cut(Segment s, List<double> headings)
    {
        if (s.IsLine)
        {
            return [s];
        }

        var (from, sweep) = (Heading(s.StartTangent), s.SweepRad);
        var fractions = new List<double>();
        foreach (var heading in headings)
        {
            // The first parallel heading at or after the start, in the direction of the sweep.
            var turn = Math.IEEERemainder(heading - from, Math.PI);
            turn = turn * sweep < 0 ? turn + (Math.Sign(sweep) * Math.PI) : turn;
            if (Math.Abs(turn) > SameAngleRad && Math.Abs(turn) < Math.Abs(sweep) - SameAngleRad)
            {
                fractions.Add(turn / sweep);
            }
        }

        fractions.Sort();
        fractions.Add(1);
        var pieces = new List<Segment>(fractions.Count);
        var (at, done) = (s.Start, 0.0);
        foreach (var fraction in fractions)
        {
            if ((fraction - done) * Math.Abs(sweep) > SameAngleRad)
            {
                var to = s.PointAt(fraction);
                pieces.Add(Segment.Arc(at, to, (fraction - done) * sweep));
                (at, done) = (to, fraction);
            }
        }

        return pieces;
    }

    private static void Patch(Segment e, Segment p, List<Region> patches)
    {
        var isMatched = !e.IsLine && AreParallel(e.StartTangent, e.EndTangent, p.StartTangent, p.EndTangent);
        if (!isMatched)
        {
            AddContour([Moved(e, p.Start), Moved(p, e.End), Moved(e.Reversed, p.End), Moved(p.Reversed, e.Start)], patches);
            return;
        }

        // Both turn from one heading to the same other one, perhaps one of them backwards.
        var edge = e.Bulge > 0 ? e : e.Reversed;
        var path = p.Bulge > 0 ? p : p.Reversed;
        var (first, last) = (Sum(edge.Start, path.Start), Sum(edge.End, path.End));
        var fold = new Segment(first, last, edge.Bulge).Reversed;
        AddContour([Moved(edge, path.Start), Moved(path, edge.End), fold], patches);
        AddContour([Moved(path, edge.Start), Moved(edge, path.End), fold], patches);
    }

    // The same two headings, as lines without direction, at the ends of two arcs of less than half a turn: in either order.
    private static bool AreParallel(Vector2 a0, Vector2 a1, Vector2 b0, Vector2 b1) =>
        (IsParallel(a0, b0) && IsParallel(a1, b1)) || (IsParallel(a0, b1) && IsParallel(a1, b0));

    private static bool IsParallel(Vector2 a, Vector2 b) => Math.Abs(Vector2.Cross(a, b)) < 10 * SameAngleRad;

    private static Point2 Sum(Point2 a, Point2 b) => new(a.X + b.X, a.Y + b.Y);

    private static Segment Moved(Segment s, Point2 by) => new(Sum(s.Start, by), Sum(s.End, by), s.Bulge);

    private static void AddContour(ReadOnlySpan<Segment> edges, List<Region> patches)
    {
        var vertices = new List<PathVertex>(edges.Length);
        foreach (var edge in edges)
        {
            if (edge.Chord.Length > SameMm)
            {
                vertices.Add(new PathVertex(edge.Start.X, edge.Start.Y, edge.Bulge));
            }
        }

        if (vertices.Count < 2)
        {
            return;
        }

        var contour = Contour.Adopt([.. vertices]);
        if (contour.SignedAreaMm2 != 0)
        {
            patches.Add(Region.Of(contour.SignedAreaMm2 > 0 ? contour : contour.Reversed()));
        }
    }
}
