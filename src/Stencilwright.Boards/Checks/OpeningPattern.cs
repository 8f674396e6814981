using Stencilwright.Geometry;

namespace Stencilwright.Boards.Checks;

/// <summary>An opening reduced to what tells it from others: where and how large. Openings of both sides make one pattern.</summary>
/// <param name="At">Middle of the box, millimetres.</param>
/// <param name="WidthMm">Along x.</param>
/// <param name="HeightMm">Along y.</param>
/// <param name="AreaMm2">Area, negative for the bottom side's, so that the sides are never mixed.</param>
internal readonly record struct PatternItem(Point2 At, double WidthMm, double HeightMm, double AreaMm2)
{
    public Bounds2 Box => new(At.X - (WidthMm / 2), At.Y - (HeightMm / 2), At.X + (WidthMm / 2), At.Y + (HeightMm / 2));

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
            Box = Bounds2.Union(Box, items[i].Box);
            var key = KeyOf(items[i].At, 0, 0);
            _next[i] = _heads.GetValueOrDefault(key, -1);
            _heads[key] = i;
        }
    }

    public PatternItem[] Items { get; }

    public Bounds2 Box { get; } = Bounds2.Empty;

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

    /// <summary>Share of the items that one of two maps takes to another item.</summary>
    public double ShareMoved(Affine2 forth, Affine2 back, int mostAsked)
    {
        var step = Math.Max(1, Items.Length / mostAsked);
        var (asked, found) = (0, 0);
        for (var i = 0; i < Items.Length; i += step)
        {
            asked++;
            found += Find(Items[i].Mapped(forth)) >= 0 || Find(Items[i].Mapped(back)) >= 0 ? 1 : 0;
        }

        return asked == 0 ? 0 : (double)found / asked;
    }

    /// <summary>Groups items of one size; groups with few members come first.</summary>
    public List<List<int>> Sizes()
    {
        var order = Enumerable.Range(0, Items.Length).ToArray();
        var groups = new List<List<int>> { order.ToList() };
        foreach (var measure in new Func<PatternItem, double>[] { i => i.AreaMm2, i => i.WidthMm, i => i.HeightMm })
        {
            groups = [.. groups.SelectMany(g => Split(g, measure))];
        }

        groups.Sort((a, b) => a.Count != b.Count ? a.Count.CompareTo(b.Count) : a[0].CompareTo(b[0]));
        return groups;
    }

    private static bool IsSame(PatternItem a, PatternItem b) =>
        Math.Abs(a.At.X - b.At.X) <= SamePlaceMm && Math.Abs(a.At.Y - b.At.Y) <= SamePlaceMm
        && Math.Abs(a.WidthMm - b.WidthMm) <= SameSizeMm && Math.Abs(a.HeightMm - b.HeightMm) <= SameSizeMm
        && Math.Abs(a.AreaMm2 - b.AreaMm2) <= SameSizeMm * (a.WidthMm + a.HeightMm);

    // Sizes of copies differ by rounding only: a gap between sorted sizes is where another size begins.
    private List<List<int>> Split(List<int> group, Func<PatternItem, double> measure)
    {
        var keys = group.Select(i => measure(Items[i])).ToArray();
        var sorted = group.ToArray();
        Array.Sort(keys, sorted);
        var parts = new List<List<int>>();
        for (var i = 0; i < sorted.Length; i++)
        {
            if (i == 0 || keys[i] - keys[i - 1] > SameSizeMm / 2)
            {
                parts.Add([]);
            }

            parts[^1].Add(sorted[i]);
        }

        foreach (var part in parts)
        {
            part.Sort();
        }

        return parts;
    }

    private static (int X, int Y) KeyOf(Point2 at, double dx, double dy) =>
        ((int)Math.Floor((at.X + dx) / (2 * SamePlaceMm)), (int)Math.Floor((at.Y + dy) / (2 * SamePlaceMm)));
}
