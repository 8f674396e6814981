using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Openings that no arrangement took.</summary>
internal static class Leftovers
{
    public static void Claim(PadField field, List<Draft> parts)
    {
        var near = new List<int>();
        var rest = new List<int>();
        for (var i = 0; i < field.Pads.Length; i++)
        {
            if (field.IsFree[i])
            {
                rest.Add(i);
            }
        }

        foreach (var i in rest)
        {
            var pad = field.Pads[i];
            field.FreeWithin(pad.At, Math.Max(4, 4 * pad.LongMm), near);
            var isAlone = near.Count == 1;

            // A round opening of some size with none of its kind close by is nothing but a test point or a hole.
            var isRound = pad.IsRound && pad.LongMm is >= 0.5 and <= 2.2
                && near.TrueForAll(j => j == i || Point2.Distance(pad.At, field.Pads[j].At) > Math.Max(1.2, 1.5 * pad.LongMm));
            var part = new Draft(PartClass.Single, isRound ? 0.82 : isAlone && pad.LongMm <= 2.2 ? 0.7 : 0.4, "")
            {
                Center = pad.At,
                RotationDeg = pad.IsSquare ? Directions.QuarterTurn(pad.Axis) : Directions.Turn(pad.Axis),
                Why = FormattableString.Invariant($"one opening of {pad.LongMm:0.##} by {pad.ShortMm:0.##} mm that pairs with nothing"),
            };
            part.Add([i], PadFunction.Terminal);
            parts.Add(part);
        }

        foreach (var i in rest)
        {
            field.IsFree[i] = false;
        }
    }

    /// <summary>Middle of the box round pads' middles.</summary>
    public static Point2 MiddleOf(Pad[] pads, int[] members)
    {
        var box = Bounds2.Empty;
        foreach (var i in members)
        {
            box = box.Include(pads[i].At);
        }

        return box.Center;
    }
}
