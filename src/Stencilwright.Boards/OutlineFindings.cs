using System.Globalization;
using Stencilwright.Artwork;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Boards;

/// <summary>What there is to say about the search for the edge.</summary>
internal static class OutlineFindings
{
    public const string NoneFoundCode = "BRD001";

    public static Finding NoneFound(LayerImage? layer, bool isPage) => new()
    {
        Code = NoneFoundCode,
        Severity = Severity.Warning,
        Message = layer is null
            ? "No outline layer was given and no closed line shared by the other layers goes round the pads; add the layer that holds the board's edge, or no frame can be made and nothing outside the board can be told apart."
            : isPage ? "The outline layer holds the frame of a drawing's page and no board's edge; give the layer that holds the edge, or no frame can be made and nothing outside the board can be told apart."
            : "No closed line on the outline layer can be the board's edge; give the layer that holds the edge, or close its lines, or no frame can be made and nothing outside the board can be told apart.",
        Source = layer is null ? null : SourcePlace.Whole(layer.Source.Name),
    };

    /// <summary>A loop that is the only one to take, though far larger than what it holds, or beside it.</summary>
    public static Finding FarLarger(LayerImage layer, List<OutlineCandidate> chosen, double contentBoxMm2) => At(
        layer,
        "BRD015",
        Severity.Warning,
        $"The edge that was found encloses {Text(Math.Round(chosen.Sum(c => c.AreaMm2), 1))} mm², while all pads lie within {Text(Math.Round(contentBoxMm2, 1))} mm²; check that it is the board's edge and not a frame round a drawing.",
        chosen[0].Loop,
        chosen[0].From);

    public static Finding EmptyLayer(LayerImage layer) => new()
    {
        Code = "BRD002",
        Severity = Severity.Note,
        Message = "The outline layer holds no lines; the edge is looked for on the other layers.",
        Source = SourcePlace.Whole(layer.Source.Name),
    };

    public static Finding FromOtherLayers(LayerImage layer) => new()
    {
        Code = "BRD003",
        Severity = Severity.Note,
        Message = $"The board's edge was taken from lines drawn round the pads on {layer.Source.Name}; check that it is the edge.",
        Source = SourcePlace.Whole(layer.Source.Name),
    };

    /// <summary>Gaps along a loop: closed ones as warnings, or those too wide as errors.</summary>
    public static IEnumerable<Finding> Gaps(LayerImage layer, OutlineCandidate loop, double gapMm, Severity severity)
    {
        foreach (var index in loop.Loop.Edges)
        {
            var edge = loop.From.Network.Edges[index];
            if (edge.GapMm <= (severity == Severity.Error ? gapMm : 0))
            {
                continue;
            }

            var size = Text(edge.GapMm);
            var p = loop.From.Network.SegmentOf(index).Middle;
            yield return new Finding
            {
                Code = severity == Severity.Error ? "BRD004" : "BRD005",
                Severity = severity,
                Message = severity == Severity.Error
                    ? $"The board's outline is open here by {size} mm, more than the {Text(gapMm)} mm that may be closed; close it in the artwork or allow a wider gap."
                    : $"The board's outline is open here by {size} mm and was closed with a straight line; check the edge at this place.",
                XMm = Math.Round(p.X, 4),
                YMm = Math.Round(p.Y, 4),
                Source = PlaceOf(layer, edge.Source),
            };
        }
    }

    /// <summary>Everything else about an outline that was found, one finding a reason.</summary>
    public static void Describe(
        LayerImage layer,
        List<OutlineCandidate> chosen,
        OutlineCandidate? nested,
        List<NetworkLoop> doubtful,
        List<OutlineCandidate> otherPens,
        List<OutlineCandidate> candidates,
        ContentItem[] content,
        List<Finding> findings)
    {
        if (chosen.Count > 1)
        {
            findings.Add(At(layer, "BRD006", Severity.Note, $"{chosen.Count} separate boards were found; all are taken as one panel.", chosen[1].Loop, chosen[1].From));
        }

        if (nested is not null)
        {
            findings.Add(At(layer, "BRD007", Severity.Warning, $"A line {Size(nested.Box)} inside the edge holds the pads too; the outer line was taken as the edge, as a panel's rail or a keep-out line would have it. If the inner one is the edge, leave the outer one out of the outline layer.", nested.Loop, nested.From));
        }

        if (doubtful.Count > 0)
        {
            findings.Add(At(layer, "BRD008", Severity.Warning, $"{Counted.Of(doubtful.Count, "closed line")} inside the board {Counted.Word(doubtful.Count, "holds pads, looks like writing or fills most of it and was not taken as a cut-out; it", "hold pads, look like writing or fill most of it and were not taken as cut-outs; the first")} is {Size(doubtful[0].Path.Bounds)}.", doubtful[0], chosen[0].From));
        }

        if (otherPens.Count > 0)
        {
            var (one, are) = otherPens.Count == 1 ? ("closed line", "is") : ("closed lines", "are");
            findings.Add(At(layer, "BRD014", Severity.Warning, $"{otherPens.Count} {one} inside the board {are} drawn with another pen than the edge's and {are} taken as cut-outs; the first is {Size(otherPens[0].Box)}. If the board is not cut there, leave them out of the outline layer.", otherPens[0].Loop, otherPens[0].From));
        }

        LeftOut(layer, chosen, findings);
        Unused(layer, chosen, otherPens, candidates, findings);
        Doubts(layer, chosen, content, findings);
    }

    private static void LeftOut(LayerImage layer, List<OutlineCandidate> chosen, List<Finding> findings)
    {
        foreach (var outer in chosen)
        {
            if (outer.LeftOutMm2 > 0.01 * outer.AreaMm2)
            {
                findings.Add(At(layer, "BRD009", Severity.Warning, $"Closed shapes of {Text(outer.LeftOutMm2)} mm² that hold no pads are joined to the edge, as dimension lines are, and were left out; if they are part of the board, draw them apart from notes.", outer.Loop, outer.From));
                return;
            }
        }
    }

    private static void Unused(LayerImage layer, List<OutlineCandidate> chosen, List<OutlineCandidate> otherPens, List<OutlineCandidate> candidates, List<Finding> findings)
    {
        var spurs = chosen[0].From.Faces.Spurs;
        var loops = candidates.FindAll(c => !chosen.Contains(c) && !otherPens.Contains(c) && (c.From.Group != chosen[0].From.Group || !chosen.Exists(o => o.Holds(c))));
        if (spurs.Count + loops.Count > 0)
        {
            var network = chosen[0].From.Network;
            var first = spurs.Count > 0 ? spurs.MinBy(s => network.Edges[s].Source) : 0;
            var source = spurs.Count > 0 ? network.Edges[first].Source : loops[0].From.Network.Edges[loops[0].Loop.Edges[0]].Source;
            var p = spurs.Count > 0 ? network.SegmentOf(first).Start : loops[0].Loop.Path.Vertices[0].Point;
            findings.Add(new Finding
            {
                Code = "BRD010",
                Severity = Severity.Note,
                Message = $"{Counted.Of(spurs.Count, "open line")} and {Counted.Of(loops.Count, "closed one")} that are no part of the board's edge (frames, dimensions, writing, ends left over) were left out.",
                XMm = Math.Round(p.X, 4),
                YMm = Math.Round(p.Y, 4),
                Source = PlaceOf(layer, source),
            });
        }

        var duplicates = chosen[0].From.Network.Duplicates;
        if (duplicates > 0)
        {
            findings.Add(At(layer, "BRD011", Severity.Note, $"{duplicates} lines of the outline layer are drawn twice; each was used once.", chosen[0].Loop, chosen[0].From));
        }
    }

    private static void Doubts(LayerImage layer, List<OutlineCandidate> chosen, ContentItem[] content, List<Finding> findings)
    {
        if (content.Length == 0)
        {
            findings.Add(At(layer, "BRD012", Severity.Warning, "No other layer holds pads to check the edge by; the outermost closed line was taken.", chosen[0].Loop, chosen[0].From));
        }
        else if (chosen.Sum(c => c.Content) < 0.9 * content.Length)
        {
            var outside = content.First(item => !chosen.Exists(c => c.Loop.Path.WindingNumber(item.At) != 0));
            findings.Add(new Finding
            {
                Code = "BRD013",
                Severity = Severity.Warning,
                Message = $"{100 - (100L * chosen.Sum(c => c.Content) / content.Length)} % of the pads lie outside the edge that was found; check that all layers share one origin and that the edge is the right one.",
                XMm = Math.Round(outside.At.X, 4),
                YMm = Math.Round(outside.At.Y, 4),
                Source = SourcePlace.Whole(layer.Source.Name),
            });
        }
    }

    private static Finding At(LayerImage layer, string code, Severity severity, string message, NetworkLoop loop, OutlineAttempt from)
    {
        var p = loop.Path.Vertices[0].Point;
        return new Finding
        {
            Code = code,
            Severity = severity,
            Message = message,
            XMm = Math.Round(p.X, 4),
            YMm = Math.Round(p.Y, 4),
            Source = PlaceOf(layer, from.Network.Edges[loop.Edges[0]].Source),
        };
    }

    private static SourcePlace PlaceOf(LayerImage layer, int source) => layer.Source.PlaceOf(layer.Objects[source].SourceOffset);

    private static string Size(Bounds2 box) => string.Create(CultureInfo.InvariantCulture, $"{box.Width:0.##} × {box.Height:0.##} mm");

    private static string Text(double value) => value.ToString("0.####", CultureInfo.InvariantCulture);
}
