using Stencilwright.Cutting;
using Stencilwright.Geometry;
using Stencilwright.Output;

namespace Stencilwright.App.Web.Drawing;

/// <summary>One sheet with the beam's way over it and the times at which it is gone, for the playback.</summary>
internal static class CutScene
{
    /// <summary>The layer of the beam's paths, in their order; the values of times belong to it.</summary>
    public const string Paths = "paths";

    /// <summary>Packs a sheet.</summary>
    /// <param name="job">Its outline and settings.</param>
    /// <param name="side">The side.</param>
    /// <param name="sheet">Its film or its frame.</param>
    /// <param name="timeline">Of that sheet.</param>
    public static byte[] Of(Job job, JobSide side, SheetPlan sheet, CutTimeline timeline)
    {
        var scene = new SceneBuilder();
        var frame = sheet.Name == "frame" ? side.Design.Frame : null;
        var blank = Region.Of(Contour.Rectangle(new(0, 0, sheet.Blank.WidthMm, sheet.Blank.HeightMm)));
        var placement = frame?.Placement ?? side.Design.Placement;
        var board = job.Outline?.Shape.Transform(placement.Map);
        if (frame is null)
        {
            scene.Areas("film", "film", [side.Design.FilmEdge ?? blank]);
        }
        else
        {
            scene.Areas("frame", "frame-stock", [new Region([.. frame.Edge.Contours, .. frame.Pocket.Contours.Select(c => c.Reversed())])]);
        }

        scene
            .Areas("blank", "blank", [blank])
            .Areas("board", "board-under", board is null ? [] : [board])
            .Lines(Paths, "waiting", sheet.Paths.Select(p => (p.Vertices, p.IsClosed)))
            .Values("starts", timeline.StartsS)
            .Values("ends", timeline.SegmentEndsS)
            .Values("firsts", timeline.FirstSegments.Select(f => (double)f))
            .Values("kinds", sheet.Paths.Select(p => (double)(int)p.Kind))
            .Values("motion", [sheet.CutSpeedMmS, sheet.ScoreSpeedMmS, job.Settings.TravelSpeedMmS, job.Settings.AccelerationMmS2]);
        return scene.Window(WindowOf(sheet, blank.Bounds, board)).Build();
    }

    // Everything that is cut and the board, marks left aside: they lie in the corners of the blank.
    private static Bounds2 WindowOf(SheetPlan sheet, Bounds2 blank, Region? board)
    {
        var box = board?.Bounds ?? Bounds2.Empty;
        foreach (var path in sheet.Paths)
        {
            for (var i = 0; i < (path.Kind == CutKind.Score ? 0 : path.SegmentCount); i++)
            {
                box = Bounds2.Union(box, path.SegmentAt(i).Bounds);
            }
        }

        return box.IsEmpty ? blank : box.Inflate(Math.Max(box.Width, box.Height) * 0.02);
    }
}
