using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Strokes taken together as one drawing of the edge.</summary>
/// <param name="Pieces">The strokes.</param>
/// <param name="Name">In words, for the outline's reason.</param>
/// <param name="IsProfile">True when the file itself says that they are the edge.</param>
/// <param name="IsSeveralPens">True when pens were taken together that also stand alone.</param>
internal sealed record PieceGroup(IReadOnlyList<EdgePiece> Pieces, string Name, bool IsProfile, bool IsSeveralPens = false);

/// <summary>One network and its faces.</summary>
internal sealed record OutlineAttempt(PieceGroup Group, LineNetwork Network, NetworkFaces Faces);

/// <summary>A loop that may be the board's edge.</summary>
/// <param name="Loop">The loop.</param>
/// <param name="From">Where it came from.</param>
/// <param name="Content">How much content lies inside.</param>
/// <param name="LeftOutMm2">Area of closed parts joined to the loop that hold nothing and were left out.</param>
internal sealed record OutlineCandidate(NetworkLoop Loop, OutlineAttempt From, int Content, double LeftOutMm2)
{
    public double AreaMm2 => Loop.Path.SignedAreaMm2;

    public Bounds2 Box => Loop.Path.Bounds;

    /// <summary>True when the other loop lies inside this one.</summary>
    public bool Holds(OutlineCandidate other) => other.AreaMm2 < AreaMm2 && OutlineCandidates.Holds(Loop.Path, other.Loop.Path);
}

/// <summary>Collects the loops of networks that could be the edge and chooses among them.</summary>
internal static class OutlineCandidates
{
    // Shares of the content; see docs/algorithms/outline.md.
    private const double NearlyAll = 0.95;
    private const double SameLineMm = 0.02;

    /// <summary>True when one loop lies inside another: its middle points do, as loops of one plane do not cross.</summary>
    public static bool Holds(Contour outer, Contour inner)
    {
        if (!outer.Bounds.Inflate(0.05).Contains(inner.Bounds))
        {
            return false;
        }

        // A touching vertex may count as outside: ask several and take the majority.
        var (inside, asked) = (0, 0);
        var step = Math.Max(1, inner.Count / 16);
        for (var i = 0; i < inner.Count; i += step)
        {
            asked++;
            inside += outer.WindingNumber(inner.SegmentAt(i).Middle) != 0 ? 1 : 0;
        }

        return inside * 2 > asked || asked == 0;
    }

    public static int CountInside(Contour loop, ContentItem[] content)
    {
        var box = loop.Bounds;
        var count = 0;
        foreach (var item in content)
        {
            if (box.Contains(item.At) && loop.WindingNumber(item.At) != 0)
            {
                count++;
            }
        }

        return count;
    }

    /// <summary>Adds an attempt's loops, but for those that an earlier attempt gave.</summary>
    public static void Add(OutlineAttempt attempt, ContentItem[] content, List<OutlineCandidate> into)
    {
        var components = new SortedDictionary<int, List<int>>();
        for (var face = 0; face < attempt.Faces.Count; face++)
        {
            if (attempt.Faces.AreaOf(face) > 0)
            {
                var key = attempt.Faces.ComponentOf(face);
                if (!components.TryGetValue(key, out var list))
                {
                    components.Add(key, list = []);
                }

                list.Add(face);
            }
        }

        foreach (var faces in components.Values)
        {
            var holding = faces;
            if (!attempt.Group.IsProfile && faces.Count > 1 && content.Length > 0)
            {
                holding = faces.FindAll(f => CountInside(attempt.Faces.PathOf(f), content) > 0);
                holding = holding.Count == 0 ? faces : holding;
            }

            var loops = attempt.Faces.OuterLoops([.. holding]);
            var leftOut = faces.Sum(attempt.Faces.AreaOf) - loops.Sum(l => l.Path.SignedAreaMm2);
            foreach (var loop in loops)
            {
                var candidate = new OutlineCandidate(loop, attempt, CountInside(loop.Path, content), leftOut);
                if (!into.Exists(known => IsSame(known, candidate)))
                {
                    into.Add(candidate);
                }
            }
        }
    }

    /// <summary>The loops that make the board: as small as may be with the content inside; several for a panel.</summary>
    /// <param name="candidates">All loops.</param>
    /// <param name="hasContent">False when nothing tells what lies on the board.</param>
    /// <param name="nested">Set when a loop inside holds the content too and the outer one was taken.</param>
    public static List<OutlineCandidate> Choose(List<OutlineCandidate> candidates, bool hasContent, out OutlineCandidate? nested)
    {
        nested = null;
        var useful = hasContent ? candidates.FindAll(c => c.Content > 0) : candidates;
        var roots = useful.FindAll(c => !useful.Exists(o => o.Holds(c)));
        var chosen = new List<OutlineCandidate>();
        foreach (var root in roots)
        {
            if (hasContent)
            {
                Descend(root, useful, chosen, ref nested);
            }
            else
            {
                chosen.Add(root);
            }
        }

        if (chosen.Count == 0)
        {
            return chosen;
        }

        var most = chosen.Max(c => c.Content);
        var largest = chosen.Where(c => c.Content == most).Max(c => c.AreaMm2);
        var share = hasContent ? 0.1 : 0.5;
        return chosen.FindAll(c => c.AreaMm2 >= share * largest && c.Content >= most * 0.05);
    }

    private static void Descend(OutlineCandidate loop, List<OutlineCandidate> all, List<OutlineCandidate> chosen, ref OutlineCandidate? nested)
    {
        var inside = all.FindAll(o => loop.Holds(o) && !IsCutDown(loop, o));
        var children = inside.FindAll(c => !inside.Exists(o => o.Holds(c)));
        if (children.Count > 0 && children.Sum(c => c.Content) >= NearlyAll * loop.Content)
        {
            // A second line a little inside the first is a routing or keep-out line, or a panel's boards inside its rails.
            var area = children.Sum(c => c.AreaMm2);
            var samePen = children.Exists(c => c.From.Group == loop.From.Group);
            if (!samePen || area < loop.AreaMm2 / 2)
            {
                foreach (var child in children)
                {
                    Descend(child, all, chosen, ref nested);
                }

                return;
            }

            nested = children[0];
        }

        chosen.Add(loop);
    }

    // A loop of one pen that lines of other pens cross comes back a second time, without what they cut off.
    private static bool IsCutDown(OutlineCandidate loop, OutlineCandidate other)
    {
        if (!other.From.Group.IsSeveralPens || loop.From.Group.IsSeveralPens)
        {
            return false;
        }

        var onLoop = 0;
        foreach (var v in other.Loop.Path.Vertices)
        {
            for (var i = 0; i < loop.Loop.Path.Count && onLoop < 2; i++)
            {
                if (SegmentMeeting.Nearest(loop.Loop.Path.SegmentAt(i), v.Point).DistanceMm < SameLineMm)
                {
                    onLoop++;
                    break;
                }
            }
        }

        return onLoop >= 2;
    }

    private static bool IsSame(OutlineCandidate a, OutlineCandidate b)
    {
        var near = Math.Min(0.5, 0.02 * Math.Max(a.Box.Width, a.Box.Height));
        return Math.Abs(a.AreaMm2 - b.AreaMm2) <= 0.005 * a.AreaMm2
            && Math.Abs(a.Box.MinX - b.Box.MinX) <= near && Math.Abs(a.Box.MaxX - b.Box.MaxX) <= near
            && Math.Abs(a.Box.MinY - b.Box.MinY) <= near && Math.Abs(a.Box.MaxY - b.Box.MaxY) <= near;
    }
}
