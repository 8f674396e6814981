using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Judges two pads as the ends of one part.</summary>
internal static class ChipPairs
{
    // A pair that fits no outline but faces well.
    private const double UnknownCost = 1.6;

    /// <summary>Null when they cannot be.</summary>
    public static ChipPair? Judge(PadField field, int i, int j, List<int> scratch)
    {
        var (a, b) = (field.Pads[i], field.Pads[j]);
        // Round openings of some size are test points, holes or balls; only the smallest chips have round lands.
        if (!a.IsCongruentTo(b, 2) || !a.IsParallelTo(b, 0.05) || (a.IsRound && a.LongMm > 0.45))
        {
            return null;
        }

        var d = b.At - a.At;
        var along = d.Unit;
        var pitch = d.Length;
        var offAxis = Math.Min(Math.Abs(Vector2.Dot(along, a.Axis)), Math.Abs(Vector2.Cross(along, a.Axis)));
        var slack = offAxis * pitch / (0.02 + (0.03 * pitch));
        var (length, width) = (a.ExtentAlong(along), a.ExtentAlong(along.Left));
        if ((!a.IsRound && slack > 1) || pitch - length < 0.08 * length)
        {
            return null;
        }

        var (size, misfit, isDoubtful) = ChipSizes.Best(length, width, pitch);
        var gap = (pitch - length) / length;
        if ((misfit > 1.5 && (gap is < 0.15 or > 3.4 || width < 0.4 * length)) || IsBlocked(field, i, j, along, width, scratch))
        {
            return null;
        }

        // Lands of chips are as wide as long or wider; those for an iron and some diodes are longer.
        var longer = size.Imperial is null ? 0.3 : Math.Min(0.8, 2 * Math.Max(0, (length / width) - 1));
        return new(i, j, Math.Min(misfit, UnknownCost + (0.1 * Math.Abs(gap - 0.8))) + (0.1 * slack) + longer, misfit, size, isDoubtful);
    }

    private static bool IsBlocked(PadField field, int i, int j, Vector2 along, double width, List<int> scratch)
    {
        var (a, b) = (field.Pads[i].At, field.Pads[j].At);
        var middle = Point2.Lerp(a, b, 0.5);
        var half = Point2.Distance(a, b) / 2;
        field.FreeWithin(middle, half, scratch);
        foreach (var k in scratch)
        {
            if (k == i || k == j)
            {
                continue;
            }

            var pad = field.Pads[k];
            var d = pad.At - middle;
            if (Math.Abs(Vector2.Dot(d, along)) < half - 0.01
                && Math.Abs(Vector2.Cross(along, d)) < 0.45 * (width + pad.ExtentAlong(along.Left)))
            {
                return true;
            }
        }

        return false;
    }
}

/// <summary>Lands that a board uses for two terminals where nothing else could be meant.</summary>
/// <remarks>A board repeats the same few land patterns: what is certain in one place decides in another.</remarks>
internal sealed class LandHabits
{
    // Lands are the same when they agree to one and a half of this: lands of capacitors and resistors differ by more.
    private const double FineMm = 0.01;

    // And alike when they agree to one and a half of this: pads drawn as areas are rounded one by one.
    private const double CoarseMm = 0.03;

    // Boards repeat their lands: this much outweighs being wider than long, and nothing that the table speaks against.
    private const double SameBonus = 0.6;
    private const double AlikeBonus = 0.32;

    private readonly Dictionary<(int, int, int), int> _fine = [];
    private readonly Dictionary<(int, int, int), int> _coarse = [];

    /// <summary>Learns from pads that have exactly one usual partner, and that partner them, without a twin beside the pair.</summary>
    public static LandHabits Learn(PadField field)
    {
        var habits = new LandHabits();
        var (near, scratch) = (new List<int>(), new List<int>());
        var partner = new int[field.Pads.Length];
        var pairs = new ChipPair[field.Pads.Length];
        for (var i = 0; i < partner.Length; i++)
        {
            partner[i] = field.IsFree[i] ? OnlyPartner(field, i, near, scratch, out pairs[i]) : -1;
        }

        for (var i = 0; i < partner.Length; i++)
        {
            if (partner[i] > i && partner[partner[i]] == i && !HasTwin(field, pairs[i], near))
            {
                Add(habits._fine, Key(field, pairs[i], FineMm));
                Add(habits._coarse, Key(field, pairs[i], CoarseMm));
            }
        }

        return habits;
    }

    /// <summary>True when the board has such lands elsewhere beyond doubt.</summary>
    public bool Knows(PadField field, ChipPair pair) => Bonus(field, pair) > 0;

    /// <summary>How much cheaper that makes a pair.</summary>
    public double Bonus(PadField field, ChipPair pair)
    {
        // Two test points may lie anyhow, but hardly at the same distance twice.
        var least = LooksLikeTestPoint(field.Pads[pair.A]) ? 2 : 1;
        return Count(_fine, Key(field, pair, FineMm)) >= least ? SameBonus
            : Count(_coarse, Key(field, pair, CoarseMm)) >= least ? AlikeBonus
            : 0;
    }

    private static void Add(Dictionary<(int, int, int), int> known, (int, int, int) key) => known[key] = known.GetValueOrDefault(key) + 1;

    private static int Count(Dictionary<(int, int, int), int> known, (int L, int W, int P) key)
    {
        var count = 0;
        for (var k = 0; k < 27; k++)
        {
            count += known.GetValueOrDefault((key.L + (k % 3) - 1, key.W + (k / 3 % 3) - 1, key.P + (k / 9) - 1));
        }

        return count;
    }

    /// <summary>Test points come in pairs too, and are round, or square and large.</summary>
    public static bool LooksLikeTestPoint(in Pad pad) => pad.IsRound || (pad.IsSquare && pad.LongMm >= 0.9);

    /// <summary>Number of equal pads level with the pair's first within four lengths.</summary>
    public static int Twins(PadField field, ChipPair pair, List<int> scratch)
    {
        var (a, b) = (field.Pads[pair.A], field.Pads[pair.B]);
        var along = (b.At - a.At).Unit;
        field.FreeWithin(a.At, Math.Max(4 * a.LongMm, 2.5 * Point2.Distance(a.At, b.At)), scratch);
        var count = 0;
        foreach (var k in scratch)
        {
            var d = field.Pads[k].At - a.At;
            count += k != pair.A && k != pair.B && field.Pads[k].IsCongruentTo(a) && Math.Abs(Vector2.Dot(d, along)) <= 0.04 ? 1 : 0;
        }

        return count;
    }

    /// <summary>True when an equal pair lies level beside this one, so that both may be one part of four terminals.</summary>
    public static bool HasTwin(PadField field, ChipPair pair, List<int> scratch)
    {
        var (a, b) = (field.Pads[pair.A], field.Pads[pair.B]);
        var along = (b.At - a.At).Unit;
        field.FreeWithin(a.At, 4 * a.LongMm, scratch);
        foreach (var k in scratch)
        {
            var d = field.Pads[k].At - a.At;
            if (k != pair.A && k != pair.B && field.Pads[k].IsCongruentTo(a) && Math.Abs(Vector2.Dot(d, along)) <= 0.04)
            {
                return true;
            }
        }

        return false;
    }

    private static int OnlyPartner(PadField field, int i, List<int> near, List<int> scratch, out ChipPair found)
    {
        found = default;
        var partner = -1;
        field.FreeWithin(field.Pads[i].At, Math.Min(11, (4.6 * field.Pads[i].LongMm) + 0.3), near);
        foreach (var j in near)
        {
            if (j != i && ChipPairs.Judge(field, Math.Min(i, j), Math.Max(i, j), scratch) is { Misfit: <= 0.5 } pair)
            {
                if (partner >= 0)
                {
                    return -1;
                }

                (partner, found) = (j, pair);
            }
        }

        return partner;
    }

    private static (int, int, int) Key(PadField field, ChipPair pair, double stepMm)
    {
        var (a, b) = (field.Pads[pair.A], field.Pads[pair.B]);
        var along = (b.At - a.At).Unit;
        return ((int)Math.Round(a.ExtentAlong(along) / stepMm), (int)Math.Round(a.ExtentAlong(along.Left) / stepMm),
            (int)Math.Round(Point2.Distance(a.At, b.At) / stepMm));
    }
}
