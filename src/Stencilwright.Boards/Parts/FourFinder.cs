using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds parts with four equal pads at the corners of a rectangle: crystals, oscillators, buttons, light-emitting diodes.</summary>
/// <remarks>
/// Two chips side by side look the same. A pad inside, lands of no usual chip either way, or gaps equal both ways speak for one
/// part; lands that the board has elsewhere for chips speak against it.
/// </remarks>
internal sealed class FourFinder(PadField field, LandHabits habits)
{
    private readonly List<int> _near = [];
    private readonly List<int> _scratch = [];
    private readonly List<int> _outside = [];

    public void Find(List<Draft> parts)
    {
        for (var i = 0; i < field.Pads.Length; i++)
        {
            if (field.IsFree[i] && !field.Pads[i].IsRound && field.Pads[i].LongMm >= 0.3 && Best(i) is { } part)
            {
                parts.Add(part);
            }
        }
    }

    // The smallest plausible rectangle with this pad for a corner.
    private Draft? Best(int i)
    {
        var pad = field.Pads[i];
        Draft? best = null;
        var least = double.PositiveInfinity;
        field.FreeWithin(pad.At, Math.Min(10, 6 * pad.LongMm), _near);
        var level = _near.FindAll(j => j != i && field.Pads[j].IsCongruentTo(pad, 1.5) && field.Pads[j].IsParallelTo(pad));
        var (along, across) = (Nearest(i, level, pad.Axis), Nearest(i, level, pad.Axis.Left));
        foreach (var j in along)
        {
            foreach (var k in across)
            {
                var d = field.Pads[k].At - pad.At;
                var corner = field.FreeNear(field.Pads[j].At + d, 0.06, _scratch);
                var sum = Point2.Distance(field.Pads[j].At, pad.At) + d.Length;
                if (corner >= 0 && corner != j && corner != k && corner != i && sum < least && field.Pads[corner].IsCongruentTo(pad, 1.5)
                    && Judge([i, j, k, corner]) is { } part)
                {
                    (best, least) = (part, sum);
                }
            }
        }

        if (best is not null)
        {
            field.Claim(best);
        }

        return best;
    }

    // The nearest in line on each side.
    private List<int> Nearest(int i, List<int> level, Vector2 direction)
    {
        var (before, after) = (-1, -1);
        var (left, right) = (double.PositiveInfinity, double.PositiveInfinity);
        foreach (var j in level)
        {
            var d = field.Pads[j].At - field.Pads[i].At;
            var u = Vector2.Dot(d, direction);
            if (Math.Abs(Vector2.Cross(direction, d)) > 0.05)
            {
                continue;
            }

            (after, right) = u > 0 && u < right ? (j, u) : (after, right);
            (before, left) = u < 0 && -u < left ? (j, -u) : (before, left);
        }

        var found = new List<int>(2);
        if (after >= 0)
        {
            found.Add(after);
        }

        if (before >= 0)
        {
            found.Add(before);
        }

        return found;
    }

    private Draft? Judge(int[] corners)
    {
        var pads = field.Pads;
        var center = Point2.Lerp(pads[corners[0]].At, pads[corners[3]].At, 0.5);
        var along = (pads[corners[1]].At - pads[corners[0]].At).Unit;
        var (a, b) = (Point2.Distance(pads[corners[0]].At, pads[corners[1]].At), Point2.Distance(pads[corners[0]].At, pads[corners[2]].At));
        var (length, width) = (pads[corners[0]].ExtentAlong(along), pads[corners[0]].ExtentAlong(along.Left));
        var (gapA, gapB) = (a - length, b - width);
        if (Math.Min(gapA, gapB) < 0.12 || IsChips(corners[0], corners[1], b) || IsChips(corners[0], corners[2], a)
            || Array.Exists(corners, c => HasPartnerOutside(c, corners)))
        {
            return null;
        }

        var inside = field.FreeInBox(center, along, (a + length) / 2, (b + width) / 2);
        inside.RemoveAll(i => Array.IndexOf(corners, i) >= 0);
        var isHeat = inside.Count > 0 && DualFinder.IsAboutMiddle(field, inside, center, along, 0.05 * a, 0.05 * b);
        if (inside.Count > 0 && !isHeat)
        {
            return null;
        }

        var usual = Math.Min(Misfit(length, width, a, b), Misfit(width, length, b, a));
        var isEven = Math.Abs(gapA - gapB) <= 0.2 * Math.Max(gapA, gapB);
        if (!isHeat && usual <= 0.5 && !isEven)
        {
            return null;
        }

        if (!isHeat && Math.Max(gapA, gapB) > 4.5 * pads[corners[0]].LongMm)
        {
            return null;
        }

        var isClose = Math.Max(gapA / length, gapB / width) <= 1.3;
        var part = new Draft(isHeat || isClose ? PartClass.DualNoLead : PartClass.SmallTransistor, isHeat ? 0.85 : 0.7, "")
        {
            Center = center,
            RotationDeg = Directions.Turn(a >= b ? along : along.Left),
            PitchMm = Math.Min(a, b),
            Why = FormattableString.Invariant($"four equal pads at the corners of {Math.Max(a, b):0.##} by {Math.Min(a, b):0.##} mm{(isHeat ? ", a thermal pad inside" : "")}"),
        };
        part.Add(corners, PadFunction.Terminal);
        part.Add(inside, PadFunction.ThermalPad);
        return part;
    }

    // Chips by the board's habit, or by others of the same lands beside these two.
    private bool IsChips(int i, int j, double apart)
    {
        if (ChipPairs.Judge(field, Math.Min(i, j), Math.Max(i, j), _scratch) is not { Misfit: <= 0.5 } pair || apart < pair.Size.BodyMm + 0.1)
        {
            return false;
        }

        return habits.Knows(field, pair) || (pair.Size.Imperial is not null && pair.Cost < 0.1 && field.Pads[i].LongMm < 0.75);
    }

    // A corner that makes a usual chip with a pad elsewhere.
    private bool HasPartnerOutside(int corner, int[] corners)
    {
        field.FreeWithin(field.Pads[corner].At, Math.Min(11, (4.6 * field.Pads[corner].LongMm) + 0.3), _outside);
        foreach (var j in _outside)
        {
            if (Array.IndexOf(corners, j) < 0
                && ChipPairs.Judge(field, Math.Min(corner, j), Math.Max(corner, j), _scratch) is { Misfit: <= 0.5 } pair
                && (habits.Knows(field, pair) || (pair.Size.Imperial is not null && pair.Cost < 0.3)))
            {
                return true;
            }
        }

        return false;
    }

    private static double Misfit(double length, double width, double pitch, double apart)
    {
        var (size, misfit, _) = ChipSizes.Best(length, width, pitch);
        return apart < size.BodyMm + 0.1 ? double.PositiveInfinity : misfit;
    }
}
