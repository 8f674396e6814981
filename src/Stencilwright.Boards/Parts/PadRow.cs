using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Equal pads side by side at one pitch.</summary>
internal sealed class PadRow
{
    public PadRow(int[] pads, Pad[] all, Vector2 along)
    {
        Members = pads;
        Along = along;
        var (first, last) = (all[pads[0]].At, all[pads[^1]].At);
        Center = Point2.Lerp(first, last, 0.5);
        SpanMm = Point2.Distance(first, last);
        PitchMm = SpanMm / (pads.Length - 1);
        DepthMm = all[pads[pads.Length / 2]].ExtentAlong(along.Left);
        WidthMm = all[pads[pads.Length / 2]].ExtentAlong(along);
    }

    /// <summary>In order along <see cref="Along"/>.</summary>
    public int[] Members { get; }

    /// <summary>Unit vector from the first pad towards the last.</summary>
    public Vector2 Along { get; }

    /// <summary>Middle between the first and the last pad.</summary>
    public Point2 Center { get; }

    /// <summary>From the first pad's middle to the last's.</summary>
    public double SpanMm { get; }

    /// <summary>Between neighbours' middles.</summary>
    public double PitchMm { get; }

    /// <summary>Extent of a pad across the row.</summary>
    public double DepthMm { get; }

    /// <summary>Extent of a pad along the row.</summary>
    public double WidthMm { get; }

    /// <summary>Direction of the row, degrees in [0, 180).</summary>
    public double AngleDeg => Directions.Fold180(Math.Atan2(Along.Y, Along.X) * 180 / Math.PI);

    /// <summary>True while none of its pads belongs to another part.</summary>
    public bool IsFree(PadField field)
    {
        foreach (var i in Members)
        {
            if (!field.IsFree[i])
            {
                return false;
            }
        }

        return true;
    }
}

/// <summary>Directions of lines, which have no sense.</summary>
internal static class Directions
{
    /// <summary>In [0, 180).</summary>
    public static double Fold180(double degrees)
    {
        var folded = degrees - (180 * Math.Floor(degrees / 180));
        return folded >= 180 ? 0 : folded;
    }

    /// <summary>In (-90, 90], as a part's turn is said; hundredths of a degree, with rounding in artwork taken off.</summary>
    public static double Turn(Vector2 along)
    {
        var turn = Math.Round(Math.Atan2(along.Y, along.X) * 180 / Math.PI, 2);
        var half = Math.Round(turn * 2) / 2;
        turn = Math.Abs(turn - half) <= 0.15 ? half : turn;
        turn = Math.IEEERemainder(turn, 180);
        return (turn <= -90 ? turn + 180 : turn) + 0.0;
    }

    /// <summary>In (-45, 45]: for what looks the same after a quarter turn.</summary>
    public static double QuarterTurn(Vector2 along)
    {
        var turn = Math.IEEERemainder(Turn(along), 90);
        return (turn <= -45 ? turn + 90 : turn) + 0.0;
    }
}
