using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>An opening reduced to what tells it from others: where and how large. Openings of both sides make one pattern.</summary>
/// <param name="At">Middle of the box, millimetres.</param>
/// <param name="WidthMm">Along x.</param>
/// <param name="HeightMm">Along y.</param>
/// <param name="AreaMm2">Area, negative for the bottom side's, so that the sides are never mixed.</param>
internal readonly record struct PatternItem(Point2 At, double WidthMm, double HeightMm, double AreaMm2)
{
    public PatternItem Mapped(Affine2 map)
    {
        var isQuarter = Math.Abs(map.Xx) < 0.5;
        return new(map.Apply(At), isQuarter ? HeightMm : WidthMm, isQuarter ? WidthMm : HeightMm, AreaMm2);
    }
}

/// <summary>Openings found by place and size.</summary>
internal sealed class OpeningPattern
{
    // Two copies of a pad, each rounded to its file's step.
    private const double SamePlaceMm = 0.03;
    private const double SameSizeMm = 0.01;

    private readonly Dictionary<(int X, int Y), int> _heads = [];
    private readonly int[] _next;

    public OpeningPattern(PatternItem[] items)
    {
        Items = items;
        _next = new int[items.Length];
        for (var i = 0; i < items.Length; i++)
        {
            var key = KeyOf(items[i].At, 0, 0);
            _next[i] = _heads.GetValueOrDefault(key, -1);
            _heads[key] = i;
        }
    }

    public PatternItem[] Items { get; }

    /// <summary>Both sides' openings.</summary>
    public static OpeningPattern Of(PasteLayer? top, PasteLayer? bottom)
    {
        var items = new List<PatternItem>();
        foreach (var (paste, sign) in new[] { (top, 1), (bottom, -1) })
        {
            if (paste is null)
            {
                continue;
            }

            foreach (var opening in paste.Openings)
            {
                var box = opening.Shape.Bounds;
                items.Add(new(box.Center, box.Width, box.Height, sign * opening.Shape.AreaMm2));
            }
        }

        return new OpeningPattern([.. items]);
    }

    /// <summary>An item of the same place and size; -1 when there is none.</summary>
    public int Find(PatternItem wanted)
    {
        // Cells are twice as wide as places may differ: the nearer half tells which neighbours to look at.
        for (var corner = 0; corner < 4; corner++)
        {
            var key = KeyOf(wanted.At, (corner & 1) == 0 ? -SamePlaceMm : SamePlaceMm, corner < 2 ? -SamePlaceMm : SamePlaceMm);
            for (var i = _heads.GetValueOrDefault(key, -1); i >= 0; i = _next[i])
            {
                if (IsSame(Items[i], wanted))
                {
                    return i;
                }
            }
        }

        return -1;
    }

    private static bool IsSame(PatternItem a, PatternItem b) =>
        Math.Abs(a.At.X - b.At.X) <= SamePlaceMm && Math.Abs(a.At.Y - b.At.Y) <= SamePlaceMm
        && Math.Abs(a.WidthMm - b.WidthMm) <= SameSizeMm && Math.Abs(a.HeightMm - b.HeightMm) <= SameSizeMm
        && Math.Abs(a.AreaMm2 - b.AreaMm2) <= SameSizeMm * (a.WidthMm + a.HeightMm);

    private static (int X, int Y) KeyOf(Point2 at, double dx, double dy) =>
        ((int)Math.Floor((at.X + dx) / (2 * SamePlaceMm)), (int)Math.Floor((at.Y + dy) / (2 * SamePlaceMm)));
}
