using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds SOT-23 and its smaller kin: two equal pads, and a third in front of their middle.</summary>
internal sealed class TripleFinder(PadField field)
{
    // Leads' distance in the row of two, rows' distance from and to, pad's length from and to: SOT-23, SC-70, SC-75/SC-89 and
    // smaller (IPC-7351 names and EIAJ outlines, values from memory).
    private static readonly (double Base, double From, double To, double Least, double Most, double Sure)[] _kin =
    [
        (1.90, 1.80, 2.70, 0.60, 1.60, 0.93),
        (1.30, 1.45, 2.30, 0.45, 1.20, 0.90),
        (1.00, 1.05, 1.70, 0.35, 0.90, 0.84),
        (0.80, 0.80, 1.25, 0.25, 0.60, 0.70),
    ];

    private readonly List<int> _near = [];

    public void Find(List<Draft> parts)
    {
        var found = new List<(double Confidence, int A, int B, int C, double Base)>();
        for (var i = 0; i < field.Pads.Length; i++)
        {
            if (field.IsFree[i] && !field.Pads[i].IsRound && field.Pads[i].LongMm is >= 0.25 and <= 1.6)
            {
                From(i, found);
            }
        }

        foreach (var (confidence, a, b, c, reach) in found.OrderByDescending(f => f.Confidence).ThenBy(f => f.C))
        {
            if (field.IsFree[a] && field.IsFree[b] && field.IsFree[c])
            {
                Claim(a, b, c, reach, confidence, parts);
            }
        }
    }

    // The single pad first: its two partners lie mirrored about its axis.
    private void From(int c, List<(double Confidence, int A, int B, int C, double Base)> found)
    {
        var pad = field.Pads[c];
        field.FreeWithin(pad.At, 2.9, _near);
        _near.RemoveAll(i => i == c || !pad.IsCongruentTo(field.Pads[i], 1.5) || !pad.IsSquareTo(field.Pads[i]));
        for (var x = 0; x < _near.Count; x++)
        {
            for (var y = x + 1; y < _near.Count; y++)
            {
                var (a, b) = (Math.Min(_near[x], _near[y]), Math.Max(_near[x], _near[y]));
                var confidence = Judge(field.Pads[a], field.Pads[b], pad);
                if (confidence > 0)
                {
                    var reach = Point2.Distance(field.Pads[a].At, field.Pads[b].At);
                    found.Add((IsCrowded(a, b, c, reach) ? 0.65 : confidence, a, b, c, reach));
                }
            }
        }
    }

    // An equal pad between those of the triple: three of a larger part.
    private bool IsCrowded(int a, int b, int c, double reach)
    {
        foreach (var i in _near)
        {
            var at = field.Pads[i].At;
            if (i != a && i != b && Math.Min(Point2.Distance(at, field.Pads[c].At), Math.Min(Point2.Distance(at, field.Pads[a].At), Point2.Distance(at, field.Pads[b].At))) < 0.62 * reach)
            {
                return true;
            }
        }

        return false;
    }

    private static double Judge(in Pad a, in Pad b, in Pad c)
    {
        var row = b.At - a.At;
        var reach = row.Length;
        if (reach is < 0.7 or > 2)
        {
            return 0;
        }

        var along = row.Unit;
        var d = c.At - Point2.Lerp(a.At, b.At, 0.5);
        var height = Math.Abs(Vector2.Cross(along, d));
        var skew = Math.Abs(Vector2.Dot(along, a.Axis));
        if (Math.Abs(Vector2.Dot(d, along)) > 0.05 || (skew > 0.035 && skew < 0.9994))
        {
            return 0;
        }

        var (deep, wide) = (c.ExtentAlong(along.Left), c.ExtentAlong(along));
        foreach (var kin in _kin)
        {
            if (Math.Abs(reach - kin.Base) <= 0.035 * kin.Base && height >= kin.From && height <= kin.To
                && deep >= kin.Least && deep <= kin.Most && wide <= 0.62 * reach && deep >= 0.75 * wide && deep <= 0.85 * height)
            {
                return kin.Sure;
            }
        }

        return 0;
    }

    private void Claim(int a, int b, int c, double reach, double confidence, List<Draft> parts)
    {
        var pads = field.Pads;
        var middle = Point2.Lerp(pads[a].At, pads[b].At, 0.5);
        var part = new Draft(PartClass.SmallTransistor, confidence, "")
        {
            Center = Point2.Lerp(middle, pads[c].At, 0.5),
            RotationDeg = Directions.Turn(pads[b].At - pads[a].At),
            PitchMm = reach,
            Why = FormattableString.Invariant($"two pads {reach:0.##} mm apart and a third {Point2.Distance(middle, pads[c].At):0.##} mm in front of their middle"),
        };
        part.Add([a, b, c], PadFunction.Terminal);

        // Two chips in place of a transistor: the third pad then has a partner of its own beyond.
        field.Claim(part);
        var along = (pads[b].At - pads[a].At).Unit;
        var (deep, wide) = (pads[c].ExtentAlong(along.Left), pads[c].ExtentAlong(along));
        field.FreeWithin(pads[c].At, 3.5, _near);
        foreach (var i in _near)
        {
            var d = pads[i].At - pads[c].At;
            if (!pads[i].IsCongruentTo(pads[c]) || !pads[i].IsSquareTo(pads[c]))
            {
                continue;
            }

            var isAlong = Math.Abs(Vector2.Cross(along, d)) <= 0.05;
            var isAcross = Math.Abs(Vector2.Dot(along, d)) <= 0.05;
            if ((isAlong && ChipSizes.Best(wide, deep, d.Length).Misfit <= 0.3) || (isAcross && ChipSizes.Best(deep, wide, d.Length).Misfit <= 0.3))
            {
                part.Confidence = Math.Min(part.Confidence, 0.7);
                part.Why += "; the third may pair with another";
            }
        }

        parts.Add(part);
    }
}
