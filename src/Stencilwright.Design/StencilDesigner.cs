using System.Collections.Immutable;
using Stencilwright.Boards;
using Stencilwright.Boards.Parts;
using Stencilwright.Design.Rules;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>Makes the stencil of one side of a board: openings, where they lie on the film, marks, and the support frame.</summary>
public static class StencilDesigner
{
    internal const string FaceText = "THIS FACE UP ↑";

    private const double EdgeMarginMm = 2;

    /// <summary>Designs the stencil of one side.</summary>
    /// <remarks>
    /// The sheets are drawn as they lie before the squeegee: the bottom side is seen with the board turned over, hence
    /// mirrored. A film cut from its board side is mirrored once more, its text too, so that it reads right when turned.
    /// What does not fit comes back as an error among the findings, with the design as far as it goes.
    /// </remarks>
    /// <param name="side">The side of the board.</param>
    /// <param name="paste">Its openings, in board coordinates.</param>
    /// <param name="outline">The board's edge; without it there is no frame.</param>
    /// <param name="settings">Blanks, clearances, thicknesses.</param>
    /// <param name="title">Scored into film and frame; may be empty.</param>
    /// <param name="parts">Parts that the openings serve; null for none.</param>
    /// <param name="shaped">The same openings as the aperture rules shaped them; null leaves them as the artwork has them.</param>
    /// <param name="isSmall">True for a small stencil of a few parts: cut out of the blank with tabs to hold it by, and without a frame.</param>
    /// <exception cref="ArgumentException">The shaped openings are not those of the paste layer.</exception>
    public static StencilDesign Design(
        BoardSide side, PasteLayer paste, BoardOutline? outline, JobSettings settings, string title,
        PartList? parts = null, ShapedLayer? shaped = null, bool isSmall = false)
    {
        ArgumentNullException.ThrowIfNull(paste);
        ArgumentNullException.ThrowIfNull(settings);
        ArgumentNullException.ThrowIfNull(title);
        var findings = new List<Finding>();
        parts ??= PartList.Empty;
        outline = isSmall ? null : outline;
        var openings = OpeningsOf(paste, parts);
        if (shaped is not null)
        {
            openings = ShapedOpenings.Apply(openings, shaped);
            findings.AddRange(shaped.Findings);
        }

        if (shaped is not null || settings.ThinWebs != "auto")
        {
            openings = MendWebs(openings, settings, findings);
        }

        var placement = Place(side, openings, outline, settings, findings);
        var boxes = new Bounds2[openings.Length];
        for (var i = 0; i < boxes.Length; i++)
        {
            // Openings are few segments each: the exact box of the turned shape is that of the turned box at 0° and 90°.
            boxes[i] = SheetFit.MapBox(openings[i].Design.Bounds, placement.Map);
        }

        SayFit(openings, boxes, outline, placement, settings, findings);
        FrameDesign? frame = null;
        var edge = isSmall ? CutOut(boxes, settings.FilmBlankMm, findings) : null;
        var marks = edge is { } small
            ? SmallMarks(side, boxes, small, settings, findings)
            : MarksOf(side, boxes, outline, placement, settings, title, findings);
        if (isSmall)
        {
            // It lies on a board with parts on it; nothing carries it level.
        }
        else if (outline is null || outline.Shape.IsEmpty)
        {
            findings.Add(Text.Warning("DSN010", "The board has no outline, so there is no support frame, and the film is centred on its openings; add the outline's file or name it with --role FILE=outline."));
        }
        else
        {
            frame = FrameDesigner.Design(side, outline, placement, openings, settings, title, findings);
        }

        return new StencilDesign
        {
            Side = side,
            FilmBlank = settings.FilmBlankMm,
            Placement = placement,
            Openings = openings,
            Marks = marks,
            Frame = frame,
            FilmEdge = edge?.Edge,
            Parts = parts.Parts,
            Findings = [.. findings.Select(f => WithPanes(f, openings))],
        };
    }

    /// <summary>Id of an opening that the rules did not split; panes of it add <c>p1</c>, <c>p2</c>, ….</summary>
    /// <param name="index">Index in the paste layer.</param>
    /// <param name="count">Openings of the paste layer.</param>
    public static string IdOf(int index, int count) => ShapedOpenings.IdOf(index, count);

    internal static string SideText(BoardSide side) => side == BoardSide.Top ? "TOP" : "BOTTOM";

    private static ImmutableArray<DesignedOpening> OpeningsOf(PasteLayer paste, PartList parts)
    {
        var count = paste.Openings.Length;
        var serves = new (int Part, PadFunction Function, string? Reference, string? Pin)[count];
        Array.Fill(serves, (-1, PadFunction.Terminal, null, null));
        for (var i = 0; i < parts.Parts.Length; i++)
        {
            foreach (var pad in parts.Parts[i].Pads)
            {
                serves[pad.Index] = (i, pad.Function, parts.Parts[i].Reference, pad.Pin);
            }
        }

        var openings = ImmutableArray.CreateBuilder<DesignedOpening>(count);
        foreach (var opening in paste.Openings)
        {
            openings.Add(new DesignedOpening
            {
                Id = IdOf(openings.Count, count),
                Artwork = opening.Shape,
                Design = opening.Shape,
                Component = opening.Component ?? serves[openings.Count].Reference,
                Pin = opening.Pin ?? serves[openings.Count].Pin,
                Part = serves[openings.Count].Part,
                Function = serves[openings.Count].Function,
                RotationDeg = opening.RotationDeg,
                Place = opening.Place,
            });
        }

        return openings.MoveToImmutable();
    }

    // A rule speaks of an opening of the artwork; what is cut of it are its panes.
    private static Finding WithPanes(Finding finding, ImmutableArray<DesignedOpening> openings)
    {
        if (finding.Apertures.IsDefaultOrEmpty)
        {
            return finding;
        }

        var named = finding.Apertures.ToHashSet(StringComparer.Ordinal);
        return finding with { Apertures = [.. openings.Select(o => o.Id).Where(id => named.Contains(id) || named.Contains(id.Split('p')[0]))] };
    }

    private static ImmutableArray<DesignedOpening> MendWebs(ImmutableArray<DesignedOpening> openings, JobSettings settings, List<Finding> findings)
    {
        var policy = settings.ThinWebs switch
        {
            "trim" => ThinWebPolicy.Trim,
            "merge" => ThinWebPolicy.Merge,
            "auto" when settings.ApertureRules != "none" => ThinWebPolicy.Trim,
            _ => ThinWebPolicy.Leave,
        };
        var shapes = new Region[openings.Length];
        for (var i = 0; i < shapes.Length; i++)
        {
            shapes[i] = openings[i].Design;
        }

        var thin = new List<ThinWeb>();
        var overlapping = new List<ThinWeb>();
        foreach (var pair in WebSearch.Closer(shapes, Math.Max(settings.SmallestWebMm, 1e-6)))
        {
            (pair.WidthMm < 1e-9 ? overlapping : thin).Add(new(pair.A, pair.B));
        }

        if (overlapping.Count > 0)
        {
            // Rules that enlarge can make openings meet: the film between them is gone, whatever the policy.
            openings = WebRepair.Unite(openings, overlapping, findings);
            return policy == ThinWebPolicy.Leave ? openings : MendWebs(openings, settings, findings);
        }

        return WebRepair.Repair(openings, thin, policy, settings.SmallestWebMm, settings.ThinWebKeepPercent / 100, findings);
    }

    private static SheetPlacement Place(
        BoardSide side, ImmutableArray<DesignedOpening> openings, BoardOutline? outline, JobSettings settings, List<Finding> findings)
    {
        var all = Bounds2.Empty;
        foreach (var opening in openings)
        {
            all = Bounds2.Union(all, opening.Design.Bounds);
        }

        var board = outline is null || outline.Shape.IsEmpty ? all : outline.Shape.Bounds;
        var mirrored = (side == BoardSide.Bottom) != settings.CutFromBoardSide;
        var placement = SheetFit.Choose(
            settings.FilmBlankMm, mirrored, [board, all], [(all, 0), (all, EdgeMarginMm), (board, 0)]);
        if (placement.RotationDeg != 0)
        {
            findings.Add(Text.Note("DSN004", "The board is turned by 90° on the film so that it fits."));
        }

        return placement.MovedBy(settings.FilmOffsetXMm, settings.FilmOffsetYMm);
    }

    private static void SayFit(
        ImmutableArray<DesignedOpening> openings, Bounds2[] boxes, BoardOutline? outline, SheetPlacement placement, JobSettings settings, List<Finding> findings)
    {
        if (openings.IsEmpty)
        {
            findings.Add(Text.Warning("DSN011", "There are no openings on this side: nothing will be cut into the film; check which file was taken for its paste layer."));
            return;
        }

        var blank = settings.FilmBlankMm;
        var sheet = new Bounds2(0, 0, blank.WidthMm, blank.HeightMm);
        var all = Bounds2.Empty;
        foreach (var box in boxes)
        {
            all = Bounds2.Union(all, box);
        }

        var overhang = Overhang.Of(all, sheet);
        if (overhang.Worst > 1e-9)
        {
            findings.Add(Text.Error("DSN001", string.Create(Text.Invariant,
                $"The openings do not fit the film blank of {blank.WidthMm:0.##} × {blank.HeightMm:0.##} mm, turned or not: they reach beyond it by {overhang.InWords()}; take a film blank of at least {all.Width + (2 * EdgeMarginMm):0.#} × {all.Height + (2 * EdgeMarginMm):0.#} mm (film_blank_mm){Text.OrPutBack(settings.FilmOffsetXMm, settings.FilmOffsetYMm, "film_offset")}.")) with
            {
                Apertures = IdsOutside(openings, boxes, sheet),
            });
        }
        else if (Overhang.Of(all, sheet.Inflate(-EdgeMarginMm)).Worst is > 1e-9 and var near)
        {
            findings.Add(Text.Warning("DSN002", string.Create(Text.Invariant,
                $"Openings lie only {EdgeMarginMm - near:0.00} mm from the film's edge, where the film is taped and may tear; a larger film blank (film_blank_mm) leaves {EdgeMarginMm:0} mm and more.")) with
            {
                Apertures = IdsOutside(openings, boxes, sheet.Inflate(-EdgeMarginMm)),
            });
        }

        if (outline is not null && overhang.Worst <= 1e-9
            && Overhang.Of(SheetFit.MapBox(outline.Shape.Bounds, placement.Map), sheet) is { Worst: > 1e-9 } board)
        {
            findings.Add(Text.Warning("DSN003", string.Create(Text.Invariant,
                $"The board sticks out of the film by {board.InWords()}, though all openings fit; paste can run over the film's edge there, so mask it or take a larger film blank (film_blank_mm).")));
        }
    }

    private static ImmutableArray<string> IdsOutside(ImmutableArray<DesignedOpening> openings, Bounds2[] boxes, Bounds2 room)
    {
        var ids = ImmutableArray.CreateBuilder<string>();
        for (var i = 0; i < boxes.Length; i++)
        {
            if (Overhang.Of(boxes[i], room).Worst > 1e-9)
            {
                ids.Add(openings[i].Id);
            }
        }

        return ids.ToImmutable();
    }

    private static SmallStencil? CutOut(Bounds2[] boxes, BlankSize blank, List<Finding> findings)
    {
        var all = Bounds2.Empty;
        foreach (var box in boxes)
        {
            all = Bounds2.Union(all, box);
        }

        if (all.IsEmpty)
        {
            return null;
        }

        var made = SmallStencil.Around(all, blank);
        var sheet = new Bounds2(0, 0, blank.WidthMm, blank.HeightMm);
        var box2 = made.Edge.Bounds;
        if (Overhang.Of(box2, sheet) is { Worst: > 1e-9 } overhang)
        {
            findings.Add(Text.Error("DSN012", string.Create(Text.Invariant,
                $"The small stencil with its tabs does not fit the film blank of {blank.WidthMm:0.##} × {blank.HeightMm:0.##} mm: it reaches beyond it by {overhang.InWords()}; choose fewer parts (--only) or take a film blank of at least {box2.Width:0.#} × {box2.Height:0.#} mm (film_blank_mm).")));
        }

        return made;
    }

    private static ImmutableArray<ScoreMark> SmallMarks(BoardSide side, Bounds2[] boxes, SmallStencil small, JobSettings settings, List<Finding> findings)
    {
        var layout = new MarkLayout(settings.FilmBlankMm, "film", settings.CutFromBoardSide, small.Body.Inflate(-MarkLayout.ClearanceMm), findings);
        foreach (var box in boxes)
        {
            layout.Avoid(box);
        }

        layout.AddText("side", SideText(side), new(small.Body.MinX, small.Body.MinY));
        return layout.Marks.Add(new ScoreMark("fold", "", small.Folds));
    }

    private static ImmutableArray<ScoreMark> MarksOf(
        BoardSide side, Bounds2[] boxes, BoardOutline? outline, SheetPlacement placement, JobSettings settings, string title, List<Finding> findings)
    {
        var blank = settings.FilmBlankMm;
        var room = new Bounds2(0, 0, blank.WidthMm, blank.HeightMm).Inflate(-MarkLayout.ClearanceMm);
        var layout = new MarkLayout(blank, "film", settings.CutFromBoardSide, room, findings);
        foreach (var box in boxes)
        {
            layout.Avoid(box);
        }

        if (outline is not null && !outline.Shape.IsEmpty)
        {
            layout.AddCornerTicks(SheetFit.MapBox(outline.Shape.Bounds, placement.Map), inward: true);
        }

        layout.AddText("title", title, new(0, 0));
        layout.AddText("side", SideText(side), new(blank.WidthMm, 0));
        layout.AddText("face", FaceText, new(0, blank.HeightMm));
        layout.AddRegistration();
        return layout.Marks;
    }
}
