using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Designs the support frame: pocket with hand holds, outer edge, step, marks.</summary>
internal static class FrameDesigner
{
    /// <summary>How far the cut edge lies inside the blank's own edge.</summary>
    public const double EdgeInsetMm = 1;

    private const double EdgeRadiusMm = 3;
    private const double LeastBorderMm = 10;
    private const double HoldRadiusMm = 8;
    private const double LeastHoldRadiusMm = 3;

    // Half a micrometre is less than anybody measures.
    private const double LeastStepMm = 0.0005;

    // 0.9 mm of keep-out for each 0.025 mm of step; an assembler's layout note that cites IPC-7525B.
    private const double KeepOutPerStep = 0.9 / 0.025;

    public static FrameDesign Design(
        BoardSide side, BoardOutline outline, SheetPlacement film, ImmutableArray<DesignedOpening> openings, JobSettings settings, string title, List<Finding> findings)
    {
        var blank = settings.FrameBlankMm;
        var box = outline.Shape.Bounds;
        var pocketBox = box.Inflate(settings.FrameClearanceMm);
        var placement = SheetFit.Choose(
            blank, side == BoardSide.Bottom, [box], [(pocketBox, EdgeInsetMm), (pocketBox, EdgeInsetMm + LeastBorderMm)])
            .MovedBy(settings.FrameOffsetXMm, settings.FrameOffsetYMm);
        var edgeBox = new Bounds2(0, 0, blank.WidthMm, blank.HeightMm).Inflate(-EdgeInsetMm);
        var pocket = PocketOf(outline, placement, settings.FrameClearanceMm);
        CheckBorder(pocket.Bounds, edgeBox, settings, findings);
        var held = AddHolds(pocket, edgeBox, findings);
        var step = settings.BoardThicknessMm - settings.FrameThicknessMm;
        var reach = Math.Abs(step) < LeastStepMm ? 0 : Math.Abs(step) * KeepOutPerStep;
        SayStep(step, reach, NearEdge(outline, openings, reach), findings);

        // Where the film comes to lie: film to board to frame.
        var filmBox = SheetFit.MapBox(new(0, 0, settings.FilmBlankMm.WidthMm, settings.FilmBlankMm.HeightMm), placement.Map * film.Map.Inverse());
        return new FrameDesign
        {
            Blank = blank,
            Placement = placement,
            Pocket = held,
            Edge = Region.Of(RoundedRectangle(edgeBox, Math.Min(EdgeRadiusMm, Math.Min(edgeBox.Width, edgeBox.Height) / 4))),
            StepMm = step,
            StepReachMm = reach,
            Marks = MarksOf(side, filmBox, held, edgeBox, settings, title, findings),
            Film = filmBox,
            Holding = HoldingPlaces.Of(filmBox, held.Bounds, edgeBox),
        };
    }

    private static Region PocketOf(BoardOutline outline, SheetPlacement placement, double clearanceMm)
    {
        var loops = SheetFit.OuterLoops(outline.Shape);
        var board = loops.Length == 1 ? loops[0] : RegionBoolean.Union(loops.AsSpan());
        return RegionOffset.Offset(board.Transform(placement.Map), clearanceMm);
    }

    private static void CheckBorder(Bounds2 pocket, Bounds2 edge, JobSettings settings, List<Finding> findings)
    {
        var blank = settings.FrameBlankMm;
        var overhang = Overhang.Of(pocket, edge);
        if (overhang.Worst > 1e-9)
        {
            var more = 2 * (EdgeInsetMm + LeastBorderMm);
            findings.Add(Text.Error("DSN005", string.Create(Text.Invariant,
                $"The pocket for the board does not fit the frame blank of {blank.WidthMm:0.##} × {blank.HeightMm:0.##} mm: it reaches beyond the frame's edge by {overhang.InWords()}; take a frame blank of at least {pocket.Width + more:0.#} × {pocket.Height + more:0.#} mm (frame_blank_mm){Text.OrPutBack(settings.FrameOffsetXMm, settings.FrameOffsetYMm, "frame_offset")}.")));
            return;
        }

        var narrow = Overhang.Of(pocket, edge.Inflate(-LeastBorderMm)).Worst;
        if (narrow > 1e-9)
        {
            findings.Add(Text.Warning("DSN006", string.Create(Text.Invariant,
                $"The frame's border is only {LeastBorderMm - narrow:0.00} mm wide at its narrowest and may break or bend; a larger frame blank (frame_blank_mm) leaves {LeastBorderMm:0} mm and more{Text.OrPutBack(settings.FrameOffsetXMm, settings.FrameOffsetYMm, "frame_offset")}.")));
        }
    }

    // Fingers reach under the board in two half-round recesses at the middles of opposite sides, long sides first.
    private static Region AddHolds(Region pocket, Bounds2 edge, List<Finding> findings)
    {
        var box = pocket.Bounds;
        var wanted = Math.Min(HoldRadiusMm, 0.2 * Math.Min(box.Width, box.Height));
        var alongX = RoomForHolds(wanted, box.MinY - edge.MinY, edge.MaxY - box.MaxY);
        var alongY = RoomForHolds(wanted, box.MinX - edge.MinX, edge.MaxX - box.MaxX);
        var useX = box.Width >= box.Height ? alongX >= LeastOf(wanted) : alongY < LeastOf(wanted);
        var radius = useX ? alongX : alongY;
        if (radius < LeastOf(wanted) || wanted <= 0)
        {
            findings.Add(Text.Note("DSN007",
                "The frame's border leaves no room for hand holds beside the board; lift the board from below or with tape, or take a larger frame blank (frame_blank_mm)."));
            return pocket;
        }

        // Boards of a panel that stand apart have a pocket each: fingers must find every column (or row) of them.
        var holds = new List<Region> { pocket };
        foreach (var line in pocket.Contours.Select(c => Math.Round(useX ? c.Bounds.Center.X : c.Bounds.Center.Y, 6)).Distinct())
        {
            var (low, high) = Crossings(pocket, line, vertical: useX);
            if (low < high)
            {
                holds.Add(Region.Of(Contour.Circle(useX ? new(line, low) : new(low, line), radius)));
                holds.Add(Region.Of(Contour.Circle(useX ? new(line, high) : new(high, line), radius)));
            }
        }

        return RegionBoolean.Union([.. holds]);
    }

    private static double LeastOf(double wanted) => Math.Min(LeastHoldRadiusMm, wanted);

    // Half the least border stays outside a hold.
    private static double RoomForHolds(double wanted, double before, double after) =>
        Math.Min(wanted, Math.Min(before, after) - (LeastBorderMm / 2));

    // Lowest and highest point of the boundary on a line through the shape.
    private static (double Low, double High) Crossings(Region region, double at, bool vertical)
    {
        var (low, high) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var contour in region.Contours)
        {
            for (var i = 0; i < contour.Count; i++)
            {
                var s = contour.SegmentAt(i);
                var (a, b) = vertical ? (s.Start.X - at, s.End.X - at) : (s.Start.Y - at, s.End.Y - at);
                if (a * b > 0 || a == b)
                {
                    continue;
                }

                // Bisection serves lines and arcs alike, as the ends lie on either side.
                var (from, to) = (0.0, 1.0);
                for (var step = 0; step < 50; step++)
                {
                    var middle = (from + to) / 2;
                    var p = s.PointAt(middle);
                    var d = (vertical ? p.X : p.Y) - at;
                    (from, to) = d * a > 0 ? (middle, to) : (from, middle);
                }

                var hit = s.PointAt(to);
                var value = vertical ? hit.Y : hit.X;
                (low, high) = (Math.Min(low, value), Math.Max(high, value));
            }
        }

        return (low, high);
    }

    // Openings that come nearer to the board's edge than the step reaches.
    private static ImmutableArray<string> NearEdge(BoardOutline outline, ImmutableArray<DesignedOpening> openings, double reach)
    {
        var near = ImmutableArray.CreateBuilder<string>();
        var segments = outline.Shape.Contours.SelectMany(c => Enumerable.Range(0, c.Count).Select(i => c.SegmentAt(i)))
            .Select(s => (Segment: s, Box: s.Bounds.Inflate(reach))).ToArray();
        foreach (var opening in reach > 0 ? openings : [])
        {
            var box = opening.Design.Bounds;
            if (Array.Exists(segments, s => s.Box.Overlaps(box) && opening.Design.Contours.Any(c => IsNear(c, s.Segment, reach))))
            {
                near.Add(opening.Id);
            }
        }

        return near.ToImmutable();
    }

    private static bool IsNear(Contour contour, Segment edge, double reach)
    {
        for (var i = 0; i < contour.Count; i++)
        {
            if (RegionDistance.Between(contour.SegmentAt(i), edge).DistanceMm < reach)
            {
                return true;
            }
        }

        return false;
    }

    private static void SayStep(double step, double reach, ImmutableArray<string> near, List<Finding> findings)
    {
        if (reach <= 0)
        {
            return;
        }

        var message = step > 0
            ? string.Create(Text.Invariant, $"The board's face stands {step:0.000} mm above the frame: the film bends down over the board's edge, and openings nearer than about {reach:0.0} mm to it may print smeared or thin; put {step:0.00} mm of paper under the frame, or set the thicknesses as measured.")
            : string.Create(Text.Invariant, $"The board's face lies {-step:0.000} mm below the frame: the film spans the gap, and openings nearer than about {reach:0.0} mm to the board's edge print too thick; put {-step:0.00} mm of paper under the board, or set the thicknesses as measured.");

        // A step beyond a film's thickness or two is more than the squeegee levels out.
        findings.Add((Math.Abs(step) > 0.2 ? Text.Warning("DSN008", message) : Text.Note("DSN008", message)) with { Apertures = near });
    }

    private static ImmutableArray<ScoreMark> MarksOf(
        BoardSide side, Bounds2 film, Region pocket, Bounds2 edge, JobSettings settings, string title, List<Finding> findings)
    {
        var blank = settings.FrameBlankMm;
        var layout = new MarkLayout(blank, "frame", textMirrored: false, edge.Inflate(-MarkLayout.ClearanceMm), findings);
        layout.Avoid(pocket.Bounds);
        layout.AddCornerTicks(film, inward: true);
        layout.AddText("title", title, new(0, 0));
        layout.AddText("side", StencilDesigner.SideText(side), new(blank.WidthMm, 0));
        layout.AddText("face", StencilDesigner.FaceText, new(0, blank.HeightMm));
        layout.AddRegistration();
        return layout.Marks;
    }

    private static Contour RoundedRectangle(Bounds2 box, double r)
    {
        const double Quarter = 0.41421356237309503;
        return new Contour(
        [
            new(box.MinX + r, box.MinY), new(box.MaxX - r, box.MinY, Quarter),
            new(box.MaxX, box.MinY + r), new(box.MaxX, box.MaxY - r, Quarter),
            new(box.MaxX - r, box.MaxY), new(box.MinX + r, box.MaxY, Quarter),
            new(box.MinX, box.MaxY - r), new(box.MinX, box.MinY + r, Quarter),
        ]);
    }
}
