using System.Collections.Immutable;
using Stencilwright.Foundation;
using Stencilwright.Geometry;

namespace Stencilwright.Design;

/// <summary>How far a box sticks out of a sheet on each side, millimetres; 0 where it does not.</summary>
internal readonly record struct Overhang(double Left, double Right, double Bottom, double Top)
{
    public double Worst => Math.Max(Math.Max(Left, Right), Math.Max(Bottom, Top));

    public static Overhang Of(Bounds2 box, Bounds2 room) => box.IsEmpty
        ? default
        : new(
            Math.Max(0, room.MinX - box.MinX),
            Math.Max(0, box.MaxX - room.MaxX),
            Math.Max(0, room.MinY - box.MinY),
            Math.Max(0, box.MaxY - room.MaxY));

    /// <summary>Such as <c>1.20 mm on the left and 0.40 mm at the top</c>.</summary>
    public string InWords()
    {
        var parts = new List<string>(4);
        Add(Left, "on the left");
        Add(Right, "on the right");
        Add(Bottom, "at the bottom");
        Add(Top, "at the top");
        return parts.Count switch
        {
            0 => "nowhere",
            1 => parts[0],
            _ => string.Join(", ", parts.GetRange(0, parts.Count - 1)) + " and " + parts[^1],
        };

        void Add(double mm, string where)
        {
            if (mm > 1e-9)
            {
                // A hair's overhang must not read as none.
                parts.Add(string.Create(Text.Invariant, $"{Math.Max(mm, 0.01):0.00} mm {where}"));
            }
        }
    }
}

/// <summary>Chooses where and how turned the board lies on a blank.</summary>
internal static class SheetFit
{
    /// <summary>Tries the middle of each anchor, unturned and turned by 90°, and takes the first that fits best.</summary>
    /// <param name="blank">The blank.</param>
    /// <param name="mirrored">Whether the board is seen from behind.</param>
    /// <param name="anchors">Boxes on the board that may be centred on the blank, preferred ones first.</param>
    /// <param name="mustFit">Box on the board and margin it needs inside the blank, most important first.</param>
    public static SheetPlacement Choose(
        BlankSize blank,
        bool mirrored,
        ReadOnlySpan<Bounds2> anchors,
        ReadOnlySpan<(Bounds2 Box, double MarginMm)> mustFit)
    {
        var best = default(SheetPlacement);
        var bestMiss = Array.Empty<double>();
        foreach (var anchor in anchors)
        {
            foreach (var rotation in (ReadOnlySpan<double>)[0, 90])
            {
                var turn = new SheetPlacement(0, 0, rotation, mirrored);
                var middle = anchor.IsEmpty ? new Point2(0, 0) : turn.Map.Apply(anchor.Center);
                var candidate = turn with { XMm = (blank.WidthMm / 2) - middle.X, YMm = (blank.HeightMm / 2) - middle.Y };
                var miss = new double[mustFit.Length];
                for (var i = 0; i < miss.Length; i++)
                {
                    var room = new Bounds2(0, 0, blank.WidthMm, blank.HeightMm).Inflate(-mustFit[i].MarginMm);
                    miss[i] = Overhang.Of(MapBox(mustFit[i].Box, candidate.Map), room).Worst;
                }

                if (bestMiss.Length == 0 || IsBetter(miss, bestMiss))
                {
                    (best, bestMiss) = (candidate, miss);
                }
            }
        }

        return best;
    }

    /// <summary>Box of a mapped box; exact for turns by multiples of 90°.</summary>
    public static Bounds2 MapBox(Bounds2 box, Affine2 map) => box.IsEmpty
        ? box
        : Bounds2.Empty
            .Include(map.Apply(new Point2(box.MinX, box.MinY)))
            .Include(map.Apply(new Point2(box.MaxX, box.MaxY)))
            .Include(map.Apply(new Point2(box.MinX, box.MaxY)))
            .Include(map.Apply(new Point2(box.MaxX, box.MinY)));

    /// <summary>Outer contours of an outline, as regions that may overlap.</summary>
    public static ImmutableArray<Region> OuterLoops(Region outline)
    {
        var loops = ImmutableArray.CreateBuilder<Region>();
        foreach (var contour in outline.Contours)
        {
            if (contour.SignedAreaMm2 > 0)
            {
                loops.Add(Region.Of(contour));
            }
        }

        return loops.ToImmutable();
    }

    private static bool IsBetter(double[] a, double[] b)
    {
        for (var i = 0; i < a.Length; i++)
        {
            if (Math.Abs(a[i] - b[i]) > 1e-9)
            {
                return a[i] < b[i];
            }
        }

        return false;
    }
}
