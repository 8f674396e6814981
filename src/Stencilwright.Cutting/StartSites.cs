using System.Runtime.InteropServices;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A place on a closed path where it may start.</summary>
/// <param name="At">The place.</param>
/// <param name="Segment">Index of the segment it lies on.</param>
/// <param name="Share">How far along that segment, 0 at its start, below 1.</param>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct StartSite(Point2 At, int Segment, double Share);

/// <summary>Where closed paths may start.</summary>
/// <param name="OnSides">True for places along sides, false for vertices.</param>
/// <param name="ClearMm">How far from a corner a start stays where its side is long enough for more than one.</param>
/// <param name="Webs">Thin film near openings; null for none.</param>
internal sealed record StartRule(bool OnSides, double ClearMm, ThinWebs? Webs = null)
{
    /// <summary>The nearest vertex, whatever lies there.</summary>
    public static StartRule Nearest { get; } = new(false, 0);
}

/// <summary>Finds the places on a closed path where a mark of the start does least harm.</summary>
/// <remarks>
/// Where the beam begins it burns a little wider. That harms least in the middle of a long side: at a corner it blunts what
/// the eye and the pad see, beside a thin web it may cut through. Sides are what lies between corners, bent or straight.
/// </remarks>
internal static class StartSites
{
    /// <summary>Places considered for one path.</summary>
    public const int Most = 8;

    // Joints that turn by less than 20° are part of a side.
    private const double CornerCosine = 0.93969262;

    // An arc of a radius below this share of the way round (that of a circle is 0.16) is more of a corner than of a side, ...
    private const double BendShare = 0.125;

    // ... and counts as a side of a quarter of its length.
    private const double BendWorth = 0.25;

    // Sides nearly as long as the longest serve as well.
    private const double LongShare = 0.9;

    // What the shortest side counts against a web that has no film left.
    private const double ShortHarm = 0.25;

    private const double SameHarm = 0.05;
    private const int MostSidesTried = 16;
    private const int Few = 64;

    /// <summary>Writes the places and returns their number, at least 1.</summary>
    /// <param name="path">A closed path.</param>
    /// <param name="opening">Index of its opening; -1 for none.</param>
    /// <param name="rule">Which places will do.</param>
    /// <param name="sites">Takes up to <see cref="Most"/>.</param>
    public static int Of(CutPath path, int opening, StartRule rule, Span<StartSite> sites)
    {
        var webs = rule.OnSides && rule.Webs is { } thin && thin.Has(opening) ? thin : null;
        if (IsCircle(path))
        {
            for (var k = 0; k < Most; k++)
            {
                sites[k] = OnCircle(path, k);
            }

            return webs is null ? Most : KeepHarmless(sites[..Most], stackalloc double[Most], opening, webs, sites);
        }

        return rule.OnSides ? OnSides(path, opening, rule.ClearMm, webs, sites) : AtVertices(path, sites);
    }

    /// <summary>The same closed path from another start.</summary>
    public static CutPath StartAt(CutPath path, in StartSite site)
    {
        if (site is { Segment: 0, Share: 0 })
        {
            return path;
        }

        var n = path.Vertices.Length;
        if (IsCircle(path) && site.Share > 0)
        {
            var there = path.SegmentAt(1 - site.Segment).PointAt(site.Share);
            var bulge = path.Vertices[0].Bulge;
            return path with { Vertices = [new(site.At.X, site.At.Y, bulge), new(there.X, there.Y, bulge)] };
        }

        var split = site.Share > 0 ? 1 : 0;
        var turned = new PathVertex[n + split];
        var first = site.Segment + split;
        path.Vertices.AsSpan()[first..].CopyTo(turned.AsSpan(split));
        path.Vertices.AsSpan()[..first].CopyTo(turned.AsSpan(split + n - first));
        if (split == 1)
        {
            var bulge = path.Vertices[site.Segment].Bulge;
            turned[0] = new(site.At.X, site.At.Y, Part(bulge, 1 - site.Share));
            turned[^1] = turned[^1] with { Bulge = Part(bulge, site.Share) };
        }

        return path with { Vertices = ImmutableCollectionsMarshal.AsImmutableArray(turned) };
    }

    /// <summary>The bulge of a share of an arc: tan of a quarter of its part of the sweep.</summary>
    public static double Part(double bulge, double share) => bulge == 0 ? 0 : Math.Tan(Math.Atan(bulge) * share);

    // A circle is two half arcs and has no corners: it may start anywhere, and stays two half arcs.
    private static bool IsCircle(CutPath path) =>
        path.Vertices.Length == 2 && Math.Abs(path.Vertices[0].Bulge) == 1 && path.Vertices[1].Bulge == path.Vertices[0].Bulge;

    private static StartSite OnCircle(CutPath path, int k)
    {
        var segment = k < Most / 2 ? 0 : 1;
        var share = (2.0 * k / Most) - segment;
        return new(path.SegmentAt(segment).PointAt(share), segment, share);
    }

    private static int AtVertices(CutPath path, Span<StartSite> sites)
    {
        var count = Math.Min(Most, path.Vertices.Length);
        for (var k = 0; k < count; k++)
        {
            var at = (int)((long)k * path.Vertices.Length / count);
            sites[k] = new(path.Vertices[at].Point, at, 0);
        }

        return count;
    }

    private static int OnSides(CutPath path, int opening, double clearMm, ThinWebs? webs, Span<StartSite> sites)
    {
        var n = path.Vertices.Length;
        var lengths = n <= Few ? stackalloc double[Few] : new double[n];
        var runs = n <= Few ? stackalloc Run[Few] : new Run[n];
        var count = RunsOf(path, lengths, runs, out var isSmooth);
        runs = runs[..count];
        if (isSmooth)
        {
            PutSmooth(path, lengths, runs[0], sites);
            return webs is null ? Most : KeepHarmless(sites[..Most], stackalloc double[Most], opening, webs, sites);
        }

        var longest = 0.0;
        foreach (ref readonly var run in runs)
        {
            longest = Math.Max(longest, run.Worth);
        }

        return webs is null
            ? PutLongest(path, lengths, runs, longest, clearMm, sites)
            : PutHarmless(path, lengths, runs, longest, clearMm, opening, webs, sites);
    }

    // Between corners; a path without any is one run from its first vertex round.
    private static int RunsOf(CutPath path, Span<double> lengths, Span<Run> runs, out bool isSmooth)
    {
        var n = path.Vertices.Length;
        var (count, head) = (0, new Run(0, 0, 0, 1));
        var perimeter = 0.0;
        for (var i = 0; i < n; i++)
        {
            perimeter += lengths[i] = path.SegmentAt(i).Length;
        }

        var bend = BendShare * perimeter;
        var last = path.SegmentAt(n - 1);
        var (before, wasBend) = (DirectionAt(last, atEnd: true), last.Radius < bend);
        for (var i = 0; i < n; i++)
        {
            var segment = path.SegmentAt(i);
            var after = DirectionAt(segment, atEnd: false);
            var isBend = segment.Radius < bend;
            if (isBend != wasBend || Vector2.Dot(before, after) < CornerCosine * Math.Sqrt(Vector2.Dot(before, before) * Vector2.Dot(after, after)))
            {
                runs[count++] = new(i, 0, 0, isBend ? BendWorth : 1);
            }

            ref var run = ref head;
            if (count > 0)
            {
                run = ref runs[count - 1];
            }

            run = run with { Count = run.Count + 1, LengthMm = run.LengthMm + lengths[i] };
            (before, wasBend) = (segment.IsLine ? after : DirectionAt(segment, atEnd: true), isBend);
        }

        isSmooth = count == 0;
        if (isSmooth)
        {
            runs[0] = head;
            return 1;
        }

        // What comes before the first corner goes on from the last.
        ref var end = ref runs[count - 1];
        end = end with { Count = end.Count + head.Count, LengthMm = end.LengthMm + head.LengthMm };
        return count;
    }

    // Of any length; an arc leaves its chord by twice atan of the bulge, whose cosine and sine are those of (1 - b², 2b).
    private static Vector2 DirectionAt(in Segment segment, bool atEnd)
    {
        var (chord, b) = (segment.Chord, segment.Bulge);
        return b == 0 ? chord : (chord * (1 - (b * b))) + (chord.Left * (atEnd ? 2 * b : -2 * b));
    }

    private static void PutSmooth(CutPath path, Span<double> lengths, in Run run, Span<StartSite> sites)
    {
        for (var k = 0; k < Most; k++)
        {
            sites[k] = Along(path, lengths, run, run.LengthMm * k / Most);
        }
    }

    private static int PutLongest(
        CutPath path, Span<double> lengths, Span<Run> runs, double longest, double clearMm, Span<StartSite> sites)
    {
        var sides = 0;
        foreach (ref readonly var run in runs)
        {
            sides += run.Worth >= LongShare * longest ? 1 : 0;
        }

        var (each, count) = (Math.Max(1, Most / sides), 0);
        for (var i = 0; i < runs.Length && count < Most; i++)
        {
            if (runs[i].Worth >= LongShare * longest)
            {
                count += PutOn(path, lengths, runs[i], each, clearMm, sites[count..]);
            }
        }

        return count;
    }

    // Evenly along a side, none nearer to its corners than the clearance but the one in its middle.
    private static int PutOn(CutPath path, Span<double> lengths, in Run run, int most, double clearMm, Span<StartSite> sites)
    {
        var count = most;
        while (count > 1 && run.LengthMm / (count + 1) < clearMm)
        {
            count--;
        }

        for (var k = 0; k < count; k++)
        {
            sites[k] = Along(path, lengths, run, run.LengthMm * (k + 1) / (count + 1));
        }

        return count;
    }

    private static int PutHarmless(
        CutPath path, Span<double> lengths, Span<Run> runs, double longest, double clearMm, int opening, ThinWebs webs, Span<StartSite> sites)
    {
        const int Each = 3;
        Span<StartSite> tried = stackalloc StartSite[MostSidesTried * Each];
        Span<double> harm = stackalloc double[MostSidesTried * Each];
        var (count, left) = (0, MostSidesTried);
        for (var i = 0; i < runs.Length && left > 0; i++)
        {
            if (runs.Length > MostSidesTried && runs[i].Worth < longest / 4)
            {
                continue;
            }

            var put = PutOn(path, lengths, runs[i], Each, clearMm, tried[count..]);
            harm.Slice(count, put).Fill(ShortHarm * (1 - (runs[i].Worth / longest)));
            count += put;
            left--;
        }

        return KeepHarmless(tried[..count], harm[..count], opening, webs, sites);
    }

    private static int KeepHarmless(Span<StartSite> tried, Span<double> harm, int opening, ThinWebs webs, Span<StartSite> sites)
    {
        var least = double.PositiveInfinity;
        for (var i = 0; i < tried.Length; i++)
        {
            harm[i] += webs.Harm(opening, tried[i].At);
            least = Math.Min(least, harm[i]);
        }

        var count = 0;
        for (var i = 0; i < tried.Length && count < Most; i++)
        {
            if (harm[i] <= least + SameHarm)
            {
                sites[count++] = tried[i];
            }
        }

        return count;
    }

    private static StartSite Along(CutPath path, Span<double> lengths, in Run run, double wayMm)
    {
        var at = run.First;
        for (var k = 1; k < run.Count && wayMm >= lengths[at]; k++)
        {
            wayMm -= lengths[at];
            at = at + 1 == path.Vertices.Length ? 0 : at + 1;
        }

        // A start so near a vertex that no writer could tell them apart is the vertex.
        var share = lengths[at] > 0 ? wayMm / lengths[at] : 0;
        if (wayMm < SameMm || share <= 0)
        {
            return new(path.Vertices[at].Point, at, 0);
        }

        if (lengths[at] - wayMm < SameMm || share >= 1)
        {
            at = at + 1 == path.Vertices.Length ? 0 : at + 1;
            return new(path.Vertices[at].Point, at, 0);
        }

        return new(path.SegmentAt(at).PointAt(share), at, share);
    }

    private const double SameMm = 1e-5;

    /// <summary>What lies between two corners.</summary>
    [StructLayout(LayoutKind.Auto)]
    private readonly record struct Run(int First, int Count, double LengthMm, double Share)
    {
        /// <summary>What it counts as a side, millimetres.</summary>
        public double Worth => Share * LengthMm;
    }
}
