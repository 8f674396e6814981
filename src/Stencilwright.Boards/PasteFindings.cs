using System.Globalization;
using Stencilwright.Artwork;
using Stencilwright.Foundation;

namespace Stencilwright.Boards;

/// <summary>What there is to say about a paste layer that was sorted.</summary>
internal static class PasteFindings
{
    public static void Describe(LayerImage paste, List<SortedIsland> islands, int flat, int cutFree, List<Finding> findings)
    {
        var openings = islands.FindAll(i => i.Reason is null);
        if (openings.Count == 0)
        {
            findings.Add(new Finding
            {
                Code = "BRD020",
                Severity = Severity.Warning,
                Message = islands.Count == 0
                    ? "The paste layer is empty: nothing to cut for this side."
                    : "The paste layer holds no openings, only what is set aside: nothing to cut for this side.",
                Source = SourcePlace.Whole(paste.Source.Name),
            });
        }

        Group(paste, islands.FindAll(i => i.Reason == SetAsideReason.OutsideOutline), "BRD021", Severity.Note, "outside the board's edge (frames, title blocks, notes) is not cut", "outside the board's edge (frames, title blocks, notes) are not cut", findings);
        Group(paste, islands.FindAll(i => i.Reason == SetAsideReason.Writing), "BRD022", Severity.Warning, "looks like writing or a line drawing and is not cut; draw it as an area if it is a pad", "look like writing or line drawings and are not cut; draw them as areas if they are pads", findings);
        Group(paste, islands.FindAll(i => i.Reason == SetAsideReason.OutlineStroke), "BRD023", Severity.Note, "is the board's edge drawn on the paste layer and is not cut", "are the board's edge drawn on the paste layer and are not cut", findings);
        Group(paste, openings.FindAll(i => i.IsPartlyOutside), "BRD024", Severity.Warning, "reaches across the board's edge and is cut as drawn; check that the edge and the paste layer belong together", "reach across the board's edge and are cut as drawn; check that the edge and the paste layer belong together", findings);
        Group(paste, openings.FindAll(i => i.IsOverCutout), "BRD027", Severity.Warning, "lies over a cut-out of the board, where paste would fall through, and is cut as drawn; leave it out, or check the cut-outs", "lie over a cut-out of the board, where paste would fall through, and are cut as drawn; leave them out, or check the cut-outs", findings);
        if (cutFree > 0)
        {
            findings.Add(Whole(paste, "BRD025", Severity.Note, $"{Counted.Of(cutFree, "opening")} touched the board's edge drawn on the paste layer and {Counted.Word(cutFree, "was", "were")} separated from it."));
        }

        if (flat > 0)
        {
            findings.Add(Whole(paste, "BRD026", Severity.Warning, $"{Counted.Of(flat, "object")} of the paste layer {Counted.Word(flat, "covers no area and gives", "cover no area and give")} no opening; check the apertures drawn with."));
        }
    }

    public static SourcePlace PlaceOf(LayerImage paste, SortedIsland island) => island.Objects.IsEmpty
        ? SourcePlace.Whole(paste.Source.Name)
        : paste.Source.PlaceOf(paste.Objects[island.Objects[0]].SourceOffset);

    private static void Group(LayerImage paste, List<SortedIsland> islands, string code, Severity severity, string one, string many, List<Finding> findings)
    {
        if (islands.Count == 0)
        {
            return;
        }

        var middle = islands[0].Shape.Bounds.Center;
        findings.Add(new Finding
        {
            Code = code,
            Severity = severity,
            Message = string.Create(CultureInfo.InvariantCulture, $"{Counted.Of(islands.Count, "painted part")} of {islands.Sum(i => i.Shape.AreaMm2):0.###} mm² {Counted.Word(islands.Count, one, many)}."),
            XMm = Math.Round(middle.X, 4),
            YMm = Math.Round(middle.Y, 4),
            Source = PlaceOf(paste, islands[0]),
        });
    }

    private static Finding Whole(LayerImage paste, string code, Severity severity, string message) => new()
    {
        Code = code,
        Severity = severity,
        Message = message,
        Source = SourcePlace.Whole(paste.Source.Name),
    };
}
