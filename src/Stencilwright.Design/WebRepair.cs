using System.Collections.Immutable;
using System.Globalization;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>What is done where the film between two openings is too narrow to survive.</summary>
internal enum ThinWebPolicy
{
    /// <summary>Nothing; it is found and said.</summary>
    Leave,

    /// <summary>Both openings give way evenly, down to a share of their area.</summary>
    Trim,

    /// <summary>The film between them goes too: they become one opening.</summary>
    Merge,
}

/// <summary>Two openings with too little film between them.</summary>
/// <param name="A">Index of one.</param>
/// <param name="B">Index of the other.</param>
internal readonly record struct ThinWeb(int A, int B);

/// <summary>Widens or gives up webs that would not survive. Never silent: every change is a finding.</summary>
/// <remarks>
/// Film between designed openings is what stays after a compensated cut, so it is repaired on the design. Trimming takes
/// from each opening what lies nearer to its neighbour than the middle of the web would allow; where that is not enough
/// (corners that face each other) the second gives way to the first's new edge. Merging closes the union of both.
/// </remarks>
internal static class WebRepair
{
    // Trimmed edges are this much further apart than asked, so that rounding leaves no web below the limit.
    private const double ExtraMm = 1e-6;

    // Touching openings are one island already; nearer than this they are taken to touch.
    private const double TouchMm = 1e-9;

    /// <summary>Repairs the webs of a side.</summary>
    /// <param name="openings">Designed openings.</param>
    /// <param name="thin">Pairs closer than <paramref name="leastMm"/>, each once.</param>
    /// <param name="policy">What to do.</param>
    /// <param name="leastMm">Film that survives.</param>
    /// <param name="keepShare">Share of an opening's area that trimming leaves at least, 0 to 1.</param>
    /// <param name="findings">Takes what was done, and what could not be.</param>
    /// <returns>The openings in the same order; a merged one is left out.</returns>
    public static ImmutableArray<DesignedOpening> Repair(
        ImmutableArray<DesignedOpening> openings, List<ThinWeb> thin, ThinWebPolicy policy, double leastMm, double keepShare, List<Finding> findings)
    {
        if (thin.Count == 0 || policy == ThinWebPolicy.Leave)
        {
            return openings;
        }

        return policy == ThinWebPolicy.Trim
            ? Trim(openings, thin, leastMm, keepShare, findings)
            : Merge(openings, thin, findings);
    }

    private static ImmutableArray<DesignedOpening> Trim(
        ImmutableArray<DesignedOpening> openings, List<ThinWeb> thin, double leastMm, double keepShare, List<Finding> findings)
    {
        var shapes = openings.Select(o => o.Design).ToArray();
        var trimmed = new SortedSet<int>();
        var kept = new List<(ThinWeb Web, double WidthMm)>();
        foreach (var web in thin)
        {
            var (a, b) = (shapes[web.A], shapes[web.B]);
            var width = RegionDistance.Between(a, b).DistanceMm;
            if (width >= leastMm)
            {
                continue;
            }

            var (newA, newB) = TrimPair(a, b, width, leastMm);
            var leastA = openings[web.A].Design.AreaMm2 * keepShare;
            var leastB = openings[web.B].Design.AreaMm2 * keepShare;
            if (width < TouchMm || newA.AreaMm2 < leastA || newB.AreaMm2 < leastB || IsSplit(a, newA) || IsSplit(b, newB))
            {
                kept.Add((web, width));
                continue;
            }

            (shapes[web.A], shapes[web.B]) = (newA, newB);
            trimmed.Add(web.A);
            trimmed.Add(web.B);
        }

        if (trimmed.Count > 0)
        {
            var lost = trimmed.Max(i => 1 - (shapes[i].AreaMm2 / openings[i].Design.AreaMm2));
            findings.Add(Said("DSN020", Severity.Note, openings, [.. trimmed], string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(trimmed.Count, "opening")} {Counted.Word(trimmed.Count, "was", "were")} trimmed so that {leastMm:0.000} mm of film stays between neighbours (smallest_web_mm); the most that one lost is {lost * 100:0.0} % of its area. thin_webs = \"leave\" keeps openings as they were.")));
        }

        if (kept.Count > 0)
        {
            var ids = new SortedSet<int>(kept.SelectMany(k => (int[])[k.Web.A, k.Web.B]));
            findings.Add(Said("DSN021", Severity.Warning, openings, [.. ids], string.Create(CultureInfo.InvariantCulture,
                $"{Counted.Of(kept.Count, "web")} {Counted.Word(kept.Count, "stays", "stay")} narrower than {leastMm:0.000} mm (the narrowest {kept.Min(k => k.WidthMm):0.000} mm): trimming would take more than {(1 - keepShare) * 100:0.#} % of an opening (thin_web_keep_percent); merge them (thin_webs = \"merge\") or accept that the film may tear there.")));
        }

        return [.. openings.Select((o, i) => trimmed.Contains(i) ? o with { Design = shapes[i], Rule = o.Rule == "none" ? "thin-web" : o.Rule + "+thin-web" } : o)];
    }

    private static (Region A, Region B) TrimPair(Region a, Region b, double widthMm, double leastMm)
    {
        var half = widthMm + ((leastMm - widthMm) / 2);
        var newA = RegionBoolean.Difference(a, RegionOffset.Offset(b, half + ExtraMm));
        var newB = RegionBoolean.Difference(b, RegionOffset.Offset(a, half + ExtraMm));
        if (!newA.IsEmpty && !newB.IsEmpty && RegionDistance.Between(newA, newB).DistanceMm < leastMm)
        {
            newB = RegionBoolean.Difference(newB, RegionOffset.Offset(newA, leastMm + ExtraMm));
        }

        return (newA, newB);
    }

    private static bool IsSplit(Region before, Region after) => after.IsEmpty || Outers(after) > Outers(before);

    private static int Outers(Region region) => region.Contours.Count(c => c.SignedAreaMm2 > 0);

    /// <summary>Makes one opening of those that overlap.</summary>
    public static ImmutableArray<DesignedOpening> Unite(ImmutableArray<DesignedOpening> openings, List<ThinWeb> overlapping, List<Finding> findings)
    {
        var united = Merge(openings, overlapping, []);
        findings.Add(Said("DSN023", Severity.Warning, openings, [.. new SortedSet<int>(overlapping.SelectMany(w => (int[])[w.A, w.B]))],
            "Openings overlap after the rules shaped them and were made one where they meet; let the rules enlarge them less (may_grow), or keep them apart (neighbour_web_mm)."));
        return united;
    }

    private static ImmutableArray<DesignedOpening> Merge(ImmutableArray<DesignedOpening> openings, List<ThinWeb> thin, List<Finding> findings)
    {
        // Chains of thin webs become one opening: the group is known by its first member.
        var group = Enumerable.Range(0, openings.Length).ToArray();
        int Root(int i)
        {
            while (group[i] != i)
            {
                i = group[i];
            }

            return i;
        }

        foreach (var web in thin)
        {
            var (a, b) = (Root(web.A), Root(web.B));
            group[Math.Max(a, b)] = Math.Min(a, b);
        }

        var shapes = openings.Select(o => o.Design).ToArray();
        foreach (var web in thin)
        {
            var root = Root(web.A);
            shapes[root] = RegionBoolean.Union([shapes[root], openings[web.A].Design, openings[web.B].Design, .. Bridges(openings[web.A].Design, openings[web.B].Design)]);
        }

        // Film that merged openings surround is held by nothing and falls out, and takes along what was to be cut in it.
        for (var i = 0; i < openings.Length; i++)
        {
            if (Root(i) == i && shapes[i].Contours.Any(c => c.SignedAreaMm2 < 0) && openings[i].Design != shapes[i])
            {
                shapes[i] = RegionBoolean.Resolve(shapes[i].Contours.RemoveAll(c => c.SignedAreaMm2 < 0).AsSpan(), FillRule.NonZero);
                for (var j = 0; j < openings.Length; j++)
                {
                    if (Root(j) != i && shapes[i].Bounds.Contains(openings[j].Design.Bounds) && shapes[i].Contains(openings[j].Design.Contours[0].Vertices[0].Point))
                    {
                        group[Root(j)] = i;
                    }
                }
            }
        }

        var members = Enumerable.Range(0, openings.Length).ToLookup(Root);
        var merged = ImmutableArray.CreateBuilder<DesignedOpening>();
        var changed = new List<int>();
        foreach (var own in members)
        {
            var i = own.Key;
            if (!own.Skip(1).Any())
            {
                merged.Add(openings[i]);
                continue;
            }

            changed.AddRange(own);
            merged.Add(openings[i] with
            {
                Artwork = RegionBoolean.Union([.. own.Select(j => openings[j].Artwork)]),
                Design = shapes[i],
                Rule = "merged",
                Change = string.Create(CultureInfo.InvariantCulture, $"{own.Count()} openings made one"),
            });
        }

        changed.Sort();
        findings.Add(Said("DSN022", Severity.Warning, openings, changed, string.Create(CultureInfo.InvariantCulture,
            $"{changed.Count} openings were merged into {changed.Count - (openings.Length - merged.Count)} because the film between them would not survive (thin_webs = \"merge\"); look for solder bridges there after reflow.")));
        return merged.ToImmutable();
    }

    // What a closing of both fills, as far as it lies between them. A radius of twice the gap leaves a dent of 6 % of it at
    // the web's ends.
    private static IEnumerable<Region> Bridges(Region a, Region b)
    {
        var radius = (2 * RegionDistance.Between(a, b).DistanceMm) + ExtraMm;
        var both = RegionBoolean.Union([a, b]);
        var closed = RegionOffset.Offset(RegionOffset.Offset(both, radius), -radius);
        return RegionBoolean.Islands(RegionBoolean.Difference(closed, both))
            .Where(i => RegionDistance.Between(i, a).DistanceMm < ExtraMm && RegionDistance.Between(i, b).DistanceMm < ExtraMm)
            // Grown by a hair so that they join what they touch.
            .Select(i => RegionOffset.Offset(i, ExtraMm));
    }

    private static Finding Said(string code, Severity severity, ImmutableArray<DesignedOpening> openings, List<int> which, string message)
    {
        var first = openings[which[0]];
        var at = first.Artwork.Bounds.Center;
        return new Finding
        {
            Code = code,
            Severity = severity,
            Message = message,
            Apertures = [.. which.Select(i => openings[i].Id)],
            XMm = at.X,
            YMm = at.Y,
            Source = first.Place,
        };
    }
}
