using System.Collections.Immutable;
using Stencilwright.Artwork;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Finds the board's edge among the strokes of an outline layer or, failing that, of the other layers.</summary>
/// <remarks>The edge is the strokes' centre line. See <c>docs/algorithms/outline.md</c>.</remarks>
public static class OutlineFinder
{
    // Ten times the coarsest resolution in common use (inch with four decimals: 2.5 µm) and well below any real gap.
    private const double EndToleranceMm = 0.01;

    // Gaps up to this are looked for only to say where they are.
    private const double RefusedGapMm = 3;

    /// <summary>Finds the edge.</summary>
    /// <param name="outlineLayer">The layer said to hold it, or null.</param>
    /// <param name="otherLayers">Paste, mask and copper layers: what they hold tells the board from frames and notes.</param>
    /// <param name="gapMm">Gaps between ends up to this, or to half the pen's width, are closed and reported.</param>
    /// <exception cref="ArgumentOutOfRangeException"><paramref name="gapMm"/> is negative or not a number.</exception>
    public static OutlineSearch Find(LayerImage? outlineLayer, IReadOnlyList<LayerImage> otherLayers, double gapMm = 0.1)
    {
        ArgumentNullException.ThrowIfNull(otherLayers);
        if (!(gapMm >= 0))
        {
            throw new ArgumentOutOfRangeException(nameof(gapMm), gapMm, "A gap is 0 mm or more.");
        }

        var content = ContentItem.Of(otherLayers);
        var findings = new List<Finding>();
        var isPage = false;
        if (outlineLayer is not null)
        {
            var groups = OutlineGroups.Of(outlineLayer);
            var search = new OutlineSearching(outlineLayer, content, gapMm, findings);
            if (groups.Count > 0 && search.Run(groups) is { } found)
            {
                return new OutlineSearch(found, [.. findings]);
            }

            isPage = search.IsPage;

            if (groups.Count == 0)
            {
                findings.Add(OutlineFindings.EmptyLayer(outlineLayer));
            }
        }

        foreach (var (layer, group) in OutlineGroups.Common(otherLayers))
        {
            var attempt = new List<Finding>();
            var search = new OutlineSearching(layer, content, gapMm, attempt) { MustHoldContent = true };
            if (search.Run([group]) is { } found)
            {
                findings.RemoveAll(f => f.Code == OutlineFindings.NoneFoundCode);
                findings.Add(OutlineFindings.FromOtherLayers(layer));
                findings.AddRange(attempt);
                return new OutlineSearch(found, [.. findings]);
            }
        }

        if (!findings.Exists(f => f.Severity == Severity.Error))
        {
            findings.Add(OutlineFindings.NoneFound(outlineLayer, isPage));
        }

        return new OutlineSearch(null, [.. findings]);
    }

    private sealed class OutlineSearching(LayerImage layer, ContentItem[] content, double gapMm, List<Finding> findings)
    {
        public bool MustHoldContent { get; init; }

        /// <summary>Set when nothing but a page's frame was left to take.</summary>
        public bool IsPage { get; private set; }

        private double ContentBoxMm2
        {
            get
            {
                var box = content.Aggregate(Bounds2.Empty, (b, item) => Bounds2.Union(b, item.Box));
                return Math.Max(box.Width * box.Height, 1);
            }
        }

        public BoardOutline? Run(IReadOnlyList<PieceGroup> groups)
        {
            var candidates = new List<OutlineCandidate>();
            Collect(groups, 0, candidates);
            if (gapMm > 0 && !IsPlain(candidates))
            {
                Collect(groups, gapMm, candidates);
            }

            var pages = PageFrame.Among(candidates, content.Length == 0 ? 0 : ContentBoxMm2);
            var boards = candidates.FindAll(c => !pages.Contains(c));
            var chosen = OutlineCandidates.Choose(boards, content.Length > 0, out var nested);
            IsPage = chosen.Count == 0 && pages.Count > 0;
            if (!IsGood(chosen))
            {
                if (!MustHoldContent && Refused(groups, chosen))
                {
                    return null;
                }

                if (chosen.Count == 0 || MustHoldContent)
                {
                    return null;
                }
            }

            if (!IsGood(chosen))
            {
                findings.Add(OutlineFindings.FarLarger(layer, chosen, content.Length == 0 ? 0 : ContentBoxMm2));
            }

            return Make(chosen, nested, candidates);
        }

        private static void Attempt(PieceGroup group, double gap, ContentItem[] content, List<OutlineCandidate> into)
        {
            var network = LineNetwork.Build(group.Pieces, EndToleranceMm, gap);
            if (gap == 0 || network.Edges.Any(e => e.GapMm > 0))
            {
                OutlineCandidates.Add(new OutlineAttempt(group, network, new NetworkFaces(network)), content, into);
            }
        }

        private void Collect(IReadOnlyList<PieceGroup> groups, double gap, List<OutlineCandidate> into)
        {
            foreach (var group in groups)
            {
                Attempt(group, gap, content, into);
            }
        }

        // A closed loop close round nearly all pads: no gap need be looked for.
        private bool IsPlain(List<OutlineCandidate> candidates)
        {
            var chosen = OutlineCandidates.Choose(candidates, content.Length > 0, out _);
            return content.Length > 0 && IsGood(chosen) && chosen.Sum(c => c.Content) >= 0.95 * content.Length
                && chosen.Sum(c => c.AreaMm2) <= 3 * ContentBoxMm2;
        }

        // Good: holds most of the content and is not vastly larger than it.
        private bool IsGood(List<OutlineCandidate> chosen)
        {
            if (chosen.Count == 0)
            {
                return false;
            }

            if (content.Length == 0)
            {
                return true;
            }

            return chosen.Sum(c => c.Content) >= 0.5 * content.Length && chosen.Sum(c => c.AreaMm2) <= 6 * ContentBoxMm2;
        }

        // With wider gaps bridged, is there a loop that would have served better? Then its gaps are what is wrong.
        private bool Refused(IReadOnlyList<PieceGroup> groups, List<OutlineCandidate> chosen)
        {
            var bridged = new List<OutlineCandidate>();
            Collect(groups, Math.Max(RefusedGapMm, 3 * gapMm), bridged);
            var pages = PageFrame.Among(bridged, content.Length == 0 ? 0 : ContentBoxMm2);
            bridged.RemoveAll(pages.Contains);
            var better = OutlineCandidates.Choose(bridged, content.Length > 0, out _);
            better.RemoveAll(b => !b.Loop.Edges.Exists(e => b.From.Network.Edges[e].GapMm > gapMm));
            if (better.Count == 0 || better.Sum(b => b.Content) < 0.5 * content.Length || (chosen.Count > 0 && better.Sum(b => b.AreaMm2) > 0.5 * chosen.Sum(c => c.AreaMm2)
                && chosen.Sum(c => c.Content) >= better.Sum(b => b.Content) / 2))
            {
                return false;
            }

            foreach (var loop in better)
            {
                findings.AddRange(OutlineFindings.Gaps(layer, loop, gapMm, Severity.Error));
            }

            return true;
        }

        private BoardOutline Make(List<OutlineCandidate> chosen, OutlineCandidate? nested, List<OutlineCandidate> candidates)
        {
            var contours = ImmutableArray.CreateBuilder<Contour>();
            foreach (var outer in chosen)
            {
                contours.Add(OutlineShape.Simplify(outer.Loop.Path));
                findings.AddRange(OutlineFindings.Gaps(layer, outer, gapMm, Severity.Warning));
            }

            var (cutouts, doubtful) = OutlineShape.Cutouts(chosen, content);
            var others = OtherPens.Cutouts(chosen, candidates, content, cutouts);
            cutouts.AddRange(others.Select(o => o.Loop.Path));
            contours.AddRange(cutouts.Select(c => OutlineShape.Simplify(c).Reversed()));
            OutlineFindings.Describe(layer, chosen, nested, doubtful, others, candidates, content, findings);
            var region = new Region(contours.ToImmutable());
            var why = chosen.Count == 1 ? $"closed loop of {chosen[0].From.Group.Name}" : $"{chosen.Count} closed loops of {chosen[0].From.Group.Name}";
            return new BoardOutline(region, layer.Source.Name, content.Length == 0 ? why : why + " round the pads");
        }
    }
}
