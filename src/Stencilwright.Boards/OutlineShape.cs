using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>From loops to the board's shape.</summary>
internal static class OutlineShape
{
    /// <summary>Inner loops smaller than this are letters' eyes and marks, not something a router makes; millimetres.</summary>
    public const double LeastCutoutMm = 0.6;

    /// <summary>The same contour without vertices in the middle of straight lines, left there by splitting.</summary>
    public static Contour Simplify(Contour contour)
    {
        var kept = new List<PathVertex>(contour.Vertices.ToArray());
        for (var i = 0; i < kept.Count && kept.Count > 3;)
        {
            var before = kept[(i + kept.Count - 1) % kept.Count];
            var (here, after) = (kept[i], kept[(i + 1) % kept.Count]);
            var chord = after.Point - before.Point;
            var off = Math.Abs(Vector2.Cross(chord, here.Point - before.Point)) / Math.Max(chord.Length, 1e-9);
            if (before.Bulge == 0 && here.Bulge == 0 && off < 1e-6 && Vector2.Dot(chord, here.Point - before.Point) > 0
                && Vector2.Dot(chord, after.Point - here.Point) > 0)
            {
                kept.RemoveAt(i);
            }
            else
            {
                i++;
            }
        }

        return Contour.Adopt([.. kept]);
    }

    /// <summary>Inner loops drawn as the edge is; and those that hold content or stand among writing, which are not cut.</summary>
    public static (List<Contour> Cutouts, List<NetworkLoop> Doubtful) Cutouts(List<OutlineCandidate> chosen, ContentItem[] content)
    {
        var (cutouts, doubtful) = (new List<Contour>(), new List<NetworkLoop>());
        foreach (var outer in chosen.GroupBy(c => c.From))
        {
            var loops = AllLoops(outer.Key);
            loops.RemoveAll(l => !outer.Any(o => l.Path.SignedAreaMm2 < o.AreaMm2 * 0.98 && !SharesEdge(l, o.Loop) && OutlineCandidates.Holds(o.Loop.Path, l.Path)));
            loops.Sort((a, b) => b.Path.SignedAreaMm2.CompareTo(a.Path.SignedAreaMm2));
            foreach (var loop in loops)
            {
                var size = Math.Max(loop.Path.Bounds.Width, loop.Path.Bounds.Height);
                if (cutouts.Exists(c => OutlineCandidates.Holds(c, loop.Path)))
                {
                    continue;
                }

                if (HoldsContent(loop.Path, content) || IsMostOf(loop.Path.SignedAreaMm2, chosen, content) || (!outer.Key.Group.IsProfile && (size < LeastCutoutMm || IsAmongWriting(loop.Path, size, outer.Key))))
                {
                    doubtful.Add(loop);
                }
                else
                {
                    cutouts.Add(loop.Path);
                }
            }
        }

        return (cutouts, doubtful);
    }

    /// <summary>The outer loops of all connected parts of a network.</summary>
    public static List<NetworkLoop> AllLoops(OutlineAttempt attempt)
    {
        var faces = new HashSet<int>();
        for (var face = 0; face < attempt.Faces.Count; face++)
        {
            if (attempt.Faces.AreaOf(face) > 0)
            {
                faces.Add(face);
            }
        }

        return attempt.Faces.OuterLoops(faces);
    }

    /// <summary>Without pads to tell, a line just inside the edge is a keep-out line and not a hole that leaves a rim.</summary>
    public static bool IsMostOf(double areaMm2, List<OutlineCandidate> chosen, ContentItem[] content) =>
        content.Length == 0 && areaMm2 > chosen.Sum(c => c.AreaMm2) / 2;

    private static bool SharesEdge(NetworkLoop a, NetworkLoop b)
    {
        var edges = new HashSet<int>(b.Edges);
        return a.Edges.Exists(edges.Contains);
    }

    /// <summary>Whether pads lie inside; one in the middle of a hole and about as large belongs to the hole.</summary>
    public static bool HoldsContent(Contour loop, ContentItem[] content)
    {
        var box = loop.Bounds;
        var size = Math.Max(box.Width, box.Height);
        foreach (var item in content)
        {
            if (box.Contains(item.At) && loop.WindingNumber(item.At) != 0)
            {
                var isHoles = Point2.Distance(item.At, box.Center) < 0.15 * size
                    && Math.Max(item.Box.Width, item.Box.Height) > 0.3 * size;
                if (!isHoles)
                {
                    return true;
                }
            }
        }

        return false;
    }

    /// <summary>Letters stand among letters: open lines of the same pen within the loop's own size of it.</summary>
    public static bool IsAmongWriting(Contour loop, double size, OutlineAttempt attempt)
    {
        if (size > 5)
        {
            return false;
        }

        var around = loop.Bounds.Inflate(size);
        foreach (var spur in attempt.Faces.Spurs)
        {
            var box = attempt.Network.SegmentOf(spur).Bounds;
            if (around.Contains(box) && Math.Max(box.Width, box.Height) < 2 * size)
            {
                return true;
            }
        }

        return false;
    }
}
