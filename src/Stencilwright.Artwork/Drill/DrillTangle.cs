using Stencilwright.Geometry;

namespace Stencilwright.Artwork.Drill;

/// <summary>Tells, before any shape is joined to another, whether so many of them lie on one another that joining would never end.</summary>
internal static class DrillTangle
{
    private const int HarmlessCount = 1_000;
    private const long AllowedPairs = 500_000;
    private const int AllowedPairsEach = 20;

    // A shape that lies in very many squares of the raster makes them coarser for all, so this many in all is far too many.
    private const long AllowedSquaresEach = 200;

    /// <summary>True when the boxes of the shapes share the squares of a raster, as wide as a usual shape, far more often than a board's do.</summary>
    public static bool Is(List<Bounds2> boxes)
    {
        if (boxes.Count <= HarmlessCount)
        {
            return false;
        }

        var sum = 0.0;
        foreach (var box in boxes)
        {
            sum += Math.Max(box.Width, box.Height);
        }

        var square = Math.Max(sum / boxes.Count, 0.05);
        var counts = new Dictionary<(int X, int Y), int>();
        var (pairs, squares) = (0L, 0L);
        foreach (var box in boxes)
        {
            var (fromX, toX) = ((int)Math.Floor(box.MinX / square), (int)Math.Floor(box.MaxX / square));
            var (fromY, toY) = ((int)Math.Floor(box.MinY / square), (int)Math.Floor(box.MaxY / square));
            squares += (long)(toX - fromX + 1) * (toY - fromY + 1);
            if (squares > AllowedSquaresEach * boxes.Count)
            {
                return true;
            }

            for (var x = fromX; x <= toX; x++)
            {
                for (var y = fromY; y <= toY; y++)
                {
                    ref var count = ref System.Runtime.InteropServices.CollectionsMarshal.GetValueRefOrAddDefault(counts, (x, y), out _);
                    pairs += count++;
                }
            }

            if (pairs > AllowedPairs + ((long)AllowedPairsEach * boxes.Count))
            {
                return true;
            }
        }

        return false;
    }
}
