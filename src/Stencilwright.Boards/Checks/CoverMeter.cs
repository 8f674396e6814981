using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>Measures how much of an opening a layer's painting leaves uncovered.</summary>
/// <remarks>
/// The objects that touch the opening are gone through from the last painted to the first. What a dark one covers is
/// settled as covered, what a clear one covers is settled as uncovered, and only the rest is asked of the objects below.
/// The area is that of exact booleans, but for openings that a single convex object holds up to half a micrometre.
/// </remarks>
internal static class CoverMeter
{
    // Layers of one board may round the same pad's edge differently; inch files with five decimals step by 0.25 µm.
    private const double SlackMm = 0.0005;

    // Rows and columns of points when the boolean finds no answer.
    private const int SampleRows = 24;

    /// <summary>Area of the opening that is not dark at the end, square millimetres.</summary>
    /// <param name="layer">The layer.</param>
    /// <param name="touching">Indices of its objects whose boxes touch the opening's, in painting order.</param>
    /// <param name="opening">Not empty.</param>
    public static double UncoveredMm2(PaintedLayer layer, ReadOnlySpan<int> touching, Region opening)
    {
        if (touching.IsEmpty)
        {
            return opening.AreaMm2;
        }

        var box = opening.Bounds;
        if (IsHeldByOne(layer, touching, opening, box))
        {
            return 0;
        }

        try
        {
            return Exact(layer, touching, opening);
        }
        catch (InvalidOperationException)
        {
            // Too degenerate for the boolean: points tell the share to about a tenth of what the checks ask for.
            return Sampled(layer, touching, opening, box);
        }
    }

    /// <summary>True when a point is dark at the end.</summary>
    /// <param name="layer">The layer.</param>
    /// <param name="touching">Indices of objects that may cover it, in painting order.</param>
    /// <param name="at">The point.</param>
    public static bool IsDarkAt(PaintedLayer layer, ReadOnlySpan<int> touching, Point2 at)
    {
        for (var k = touching.Length - 1; k >= 0; k--)
        {
            var painted = layer.Objects[touching[k]];
            if (layer.Boxes[touching[k]].Contains(at) && Contains(layer, touching[k], at))
            {
                return painted.IsDark;
            }
        }

        return false;
    }

    private static bool Contains(PaintedLayer layer, int index, Point2 at)
    {
        if (layer.LargeShape(index) is { } large)
        {
            var cover = large.Cut(new Bounds2(at.X, at.Y, at.X, at.Y).Inflate(1e-6), out var part);
            return cover == WindowCover.All || (cover == WindowCover.Part && part.Contains(at));
        }

        return layer.Objects[index].Shape.Contains(at);
    }

    // A pad under its opening is by far the most common case: no boolean is needed for it.
    private static bool IsHeldByOne(PaintedLayer layer, ReadOnlySpan<int> touching, Region opening, Bounds2 box)
    {
        for (var k = touching.Length - 1; k >= 0; k--)
        {
            var painted = layer.Objects[touching[k]];
            if (!painted.IsDark)
            {
                return false;
            }

            if (!layer.Boxes[touching[k]].Inflate(SlackMm).Contains(box))
            {
                continue;
            }

            if (layer.LargeShape(touching[k]) is { } large)
            {
                if (large.Cut(box, out _) == WindowCover.All)
                {
                    return true;
                }
            }
            else if (ConvexTest.Holds(painted.Shape, opening, SlackMm))
            {
                return true;
            }
        }

        return false;
    }

    private static double Exact(PaintedLayer layer, ReadOnlySpan<int> touching, Region opening)
    {
        var (rest, bare) = (opening, 0.0);
        for (var k = touching.Length - 1; k >= 0 && !rest.IsEmpty; k--)
        {
            var box = rest.Bounds;
            if (!layer.Boxes[touching[k]].Overlaps(box))
            {
                continue;
            }

            var painted = layer.Objects[touching[k]];
            var shape = painted.Shape;
            if (layer.LargeShape(touching[k]) is { } large)
            {
                switch (large.Cut(box, out shape))
                {
                    case WindowCover.None:
                        continue;
                    case WindowCover.All:
                        return painted.IsDark ? bare : bare + rest.AreaMm2;
                    default:
                        break;
                }
            }

            var left = RegionBoolean.Difference(rest, shape);
            bare += painted.IsDark ? 0 : Math.Max(0, rest.AreaMm2 - left.AreaMm2);
            rest = left;
        }

        return bare + rest.AreaMm2;
    }

    private static double Sampled(PaintedLayer layer, ReadOnlySpan<int> touching, Region opening, Bounds2 box)
    {
        var (inside, bare) = (0, 0);
        for (var i = 0; i < SampleRows * SampleRows; i++)
        {
            var at = new Point2(
                box.MinX + (box.Width * ((i % SampleRows) + 0.5) / SampleRows), box.MinY + (box.Height * ((i / SampleRows) + 0.5) / SampleRows));
            if (opening.Contains(at))
            {
                inside++;
                bare += IsDarkAt(layer, touching, at) ? 0 : 1;
            }
        }

        return inside == 0 ? 0 : opening.AreaMm2 * bare / inside;
    }
}
