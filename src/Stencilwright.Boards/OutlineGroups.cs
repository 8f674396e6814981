using System.Globalization;
using Stencilwright.Artwork;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>Sorts a layer's strokes into those that may be one drawing of the edge.</summary>
internal static class OutlineGroups
{
    /// <summary>Those that the file itself calls the edge; else one group a pen, and all together.</summary>
    public static IReadOnlyList<PieceGroup> Of(LayerImage layer)
    {
        var (profile, byPen, all) = (new List<EdgePiece>(), new SortedDictionary<double, List<EdgePiece>>(), new List<EdgePiece>());
        for (var i = 0; i < layer.Objects.Length; i++)
        {
            var painted = layer.Objects[i];
            var before = all.Count;
            Add(painted, i, all);
            for (var j = before; j < all.Count; j++)
            {
                if (painted.ApertureFunction is { } function && function.StartsWith("Profile", StringComparison.Ordinal))
                {
                    profile.Add(all[j]);
                }

                var pen = Math.Round(all[j].PenMm, 4);
                if (!byPen.TryGetValue(pen, out var list))
                {
                    byPen.Add(pen, list = []);
                }

                list.Add(all[j]);
            }
        }

        if (profile.Count > 0)
        {
            return [new PieceGroup(profile, "lines with the profile attribute", true)];
        }

        var groups = new List<PieceGroup>();
        foreach (var (pen, pieces) in byPen)
        {
            var name = pen == 0 ? "filled areas or lines of no width" : string.Create(CultureInfo.InvariantCulture, $"lines of the {pen:0.####} mm pen");
            groups.Add(new PieceGroup(pieces, name, false));
        }

        if (groups.Count > 1)
        {
            groups.Add(new PieceGroup(all, "lines of several pens", false, IsSeveralPens: true));
        }

        return groups;
    }

    /// <summary>Strokes that two or more layers have in common; with one layer alone, its strokes by pen.</summary>
    public static IEnumerable<(LayerImage Layer, PieceGroup Group)> Common(IReadOnlyList<LayerImage> layers)
    {
        var counts = new Dictionary<(long, long, long, long, long), int>();
        foreach (var layer in layers)
        {
            var seen = new HashSet<(long, long, long, long, long)>();
            foreach (var painted in layer.Objects)
            {
                if (painted is { Kind: PaintKind.Stroke, CenterLine: { } line } && seen.Add(KeyOf(line)))
                {
                    counts[KeyOf(line)] = counts.GetValueOrDefault(KeyOf(line)) + 1;
                }
            }
        }

        foreach (var layer in layers)
        {
            var pieces = new List<EdgePiece>();
            for (var i = 0; i < layer.Objects.Length; i++)
            {
                if (layer.Objects[i] is { Kind: PaintKind.Stroke, CenterLine: { } line } && counts[KeyOf(line)] > 1)
                {
                    Add(layer.Objects[i], i, pieces);
                }
            }

            if (pieces.Count > 0)
            {
                yield return (layer, new PieceGroup(pieces, "lines that several layers share", false));
            }
        }

        foreach (var layer in layers)
        {
            foreach (var group in Of(layer))
            {
                if (group.Pieces.Count <= 20_000 && group.Pieces[0].PenMm > 0)
                {
                    yield return (layer, group);
                }
            }
        }
    }

    private static void Add(PaintedObject painted, int index, List<EdgePiece> into)
    {
        if (!painted.IsDark)
        {
            return;
        }

        if (painted is { Kind: PaintKind.Stroke, CenterLine: { } line })
        {
            AddPiece(line, painted.PenWidthMm, index, into);
        }
        else if (painted.Kind == PaintKind.Area)
        {
            foreach (var contour in painted.Shape.Contours)
            {
                for (var i = 0; i < contour.Count; i++)
                {
                    AddPiece(contour.SegmentAt(i), 0, index, into);
                }
            }
        }
    }

    // Shorter than a nanometre is a dot; what is not a number cannot be placed.
    private static void AddPiece(Segment line, double penMm, int index, List<EdgePiece> into)
    {
        if (line.Chord.Length > 1e-6 && double.IsFinite(line.Chord.Length) && double.IsFinite(line.Bulge))
        {
            into.Add(new EdgePiece(SegmentMeeting.Straightened(line), penMm, index));
        }
    }

    // Both directions of the same segment have one key; a hundredth of a millimetre absorbs two files' roundings.
    private static (long, long, long, long, long) KeyOf(Segment line)
    {
        var (ax, ay, bx, by) = (Tick(line.Start.X), Tick(line.Start.Y), Tick(line.End.X), Tick(line.End.Y));
        var (mx, my) = (Tick(line.Middle.X), Tick(line.Middle.Y));
        return ax < bx || (ax == bx && ay <= by) ? (ax, ay, bx, by, mx + (my << 24)) : (bx, by, ax, ay, mx + (my << 24));
    }

    private static long Tick(double mm) => (long)Math.Round(mm * 100);
}
