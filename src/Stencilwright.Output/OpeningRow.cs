using System.Collections.Immutable;
using Stencilwright.Cutting;
using Stencilwright.Design;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Output;

/// <summary>What the report and the table say of one opening; null where it is not known.</summary>
internal sealed record OpeningRow(DesignedOpening Design, AsCutOpening AsCut, Point2? Centre, double? WidthMm, double? HeightMm)
{
    /// <summary>Pairs designed and cut openings, in the artwork's order.</summary>
    /// <exception cref="ArgumentException">The plan does not have one opening for each designed one, in order.</exception>
    public static ImmutableArray<OpeningRow> Of(JobSide side)
    {
        var (design, plan) = (side.Design.Openings, side.Plan.Openings);
        if (design.Length != plan.Length)
        {
            throw new ArgumentException("A cut plan has one opening for each designed opening.", nameof(side));
        }

        var rows = ImmutableArray.CreateBuilder<OpeningRow>(design.Length);
        for (var i = 0; i < design.Length; i++)
        {
            if (design[i].Id != plan[i].Id)
            {
                throw new ArgumentException("A cut plan keeps the designed openings' order.", nameof(side));
            }

            rows.Add(Of(design[i], plan[i]));
        }

        return rows.MoveToImmutable();
    }

    /// <summary>Film between the opening and the blank's edge; null when nothing is open.</summary>
    public double? EdgeMm(BlankSize blank)
    {
        var box = AsCut.Shape.Bounds;
        return box.IsEmpty ? null : Math.Min(Math.Min(box.MinX, box.MinY), Math.Min(blank.WidthMm - box.MaxX, blank.HeightMm - box.MaxY));
    }

    /// <summary>A verdict in the trade's words.</summary>
    public static string Word(Verdict verdict) => verdict switch
    {
        Verdict.Prints => "prints",
        Verdict.Marginal => "marginal",
        _ => "will not print",
    };

    private static OpeningRow Of(DesignedOpening design, AsCutOpening cut)
    {
        // An opening that the rules removed still has the place the artwork gave it.
        var shape = design.Design.IsEmpty ? design.Artwork : design.Design;
        if (shape.IsEmpty)
        {
            return new(design, cut, null, null, null);
        }

        var centre = shape.Centroid;
        var known = double.IsFinite(centre.X) && double.IsFinite(centre.Y);
        if (design.Design.IsEmpty)
        {
            return new(design, cut, known ? centre : null, 0, 0);
        }

        var box = design.RotationDeg == 0
            ? shape.Bounds
            : shape.Transform(Affine2.RotationDegrees(-design.RotationDeg)).Bounds;
        return new(design, cut, known ? centre : null, box.Width, box.Height);
    }
}
