using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Design.Rules;

/// <summary>Makes openings of a pane plan: each pane's outline and its share of the artwork.</summary>
internal static class PaneShapes
{
    /// <summary>In board coordinates, in the plan's order; the artwork's shares add up to the whole.</summary>
    /// <param name="form">The pad, a rectangle with or without round corners.</param>
    /// <param name="plan">Panes in its frame, over a box about its middle.</param>
    /// <param name="hx">Half length of that box.</param>
    /// <param name="hy">Half width of that box.</param>
    /// <param name="radiusMm">Radius of the panes' corners.</param>
    public static ImmutableArray<ShapedPart> Of(LocalOpening form, PanePlan plan, double hx, double hy, double radiusMm)
    {
        var parts = ImmutableArray.CreateBuilder<ShapedPart>(plan.Panes.Length);
        foreach (var (box, cells) in plan.Panes)
        {
            var pane = Region.Of(Outlines.Rounded(box, radiusMm));
            if (form.CornerRadiusMm > 0 && ReachesCorner(box, form))
            {
                pane = RegionBoolean.Intersection(pane, form.Local);
            }

            parts.Add(new(pane.Transform(form.ToBoard), Share(form, cells, hx, hy).Transform(form.ToBoard)));
        }

        return parts.MoveToImmutable();
    }

    private static bool ReachesCorner(Bounds2 box, LocalOpening form) =>
        Math.Max(-box.MinX, box.MaxX) > form.HalfLengthMm - form.CornerRadiusMm && Math.Max(-box.MinY, box.MaxY) > form.HalfWidthMm - form.CornerRadiusMm;

    private static Region Share(LocalOpening form, ImmutableArray<Bounds2> cells, double hx, double hy)
    {
        // Corners too little round to be called so still have their area.
        var isSharp = Math.Abs((form.LengthMm * form.WidthMm) - form.AreaMm2) < 1e-9;
        if (cells.Length == 1 && isSharp)
        {
            return Region.Of(Contour.Rectangle(Widened(cells[0], form, hx, hy)));
        }

        var boxes = new Region[cells.Length];
        for (var i = 0; i < boxes.Length; i++)
        {
            boxes[i] = Region.Of(Contour.Rectangle(Widened(cells[i], form, hx, hy)));
        }

        var share = RegionBoolean.Union(boxes);
        return isSharp ? share : RegionBoolean.Intersection(share, form.Local);
    }

    // Cells at the edge take what a reduction left over between the plan's box and the pad's.
    private static Bounds2 Widened(Bounds2 cell, LocalOpening form, double hx, double hy) => new(
        cell.MinX <= -hx + 1e-9 ? -form.HalfLengthMm : cell.MinX,
        cell.MinY <= -hy + 1e-9 ? -form.HalfWidthMm : cell.MinY,
        cell.MaxX >= hx - 1e-9 ? form.HalfLengthMm : cell.MaxX,
        cell.MaxY >= hy - 1e-9 ? form.HalfWidthMm : cell.MaxY);
}
