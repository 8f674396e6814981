using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Cutting;

/// <summary>A shape with its first vertex at the origin, and where that lies on the sheet.</summary>
/// <param name="Shape">With coordinates in whole steps, so that equal shapes at different places are equal number by number.</param>
/// <param name="At">Its place.</param>
internal readonly record struct PlacedShape(Region Shape, Vector2 At)
{
    // 0.06 picometres: a thousand times what rounding leaves of a place on a sheet, and far below anything that is made. A
    // power of two, so that dividing by it is exact.
    private const double StepsPerMm = 1L << 34;

    public static PlacedShape Of(Region shape)
    {
        if (shape.IsEmpty)
        {
            return new(shape, default);
        }

        var first = shape.Contours[0].Vertices[0];
        var contours = ImmutableArray.CreateBuilder<Contour>(shape.Contours.Length);
        foreach (var contour in shape.Contours)
        {
            var vertices = contour.Vertices.ToArray();
            for (var i = 0; i < vertices.Length; i++)
            {
                vertices[i] = new(Stepped(vertices[i].X - first.X), Stepped(vertices[i].Y - first.Y), vertices[i].Bulge + 0.0);
            }

            contours.Add(new Contour(vertices));
        }

        return new(new Region(contours.MoveToImmutable()), new(first.X, first.Y));
    }

    // Adding nothing takes the sign from a zero: shapes that count as equal must be equal bit by bit.
    private static double Stepped(double mm) => (Math.Round(mm * StepsPerMm) / StepsPerMm) + 0.0;
}
