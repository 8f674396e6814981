using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds parts with two equal rows of pads: SO and its kin, DFN, small transistors of six leads, connectors of two rows.</summary>
internal static class DualFinder
{
    public static void Find(PadField field, List<PadRow> rows, List<Draft> parts)
    {
        // Wide pairs first: panes between their rows are rows too.
        foreach (var pair in RowPairing.Disjoint(field, rows).OrderByDescending(p => p.Count).ThenByDescending(p => p.DistanceMm))
        {
            if (pair.IsFree(field) && !IsChips(pair) && Inside(field, pair) is { } inside)
            {
                parts.Add(Claim(field, pair, inside));
            }
        }
    }

    // Chips side by side are two rows too, unless their bodies would lie on each other.
    private static bool IsChips(RowPair pair)
    {
        var (size, misfit, _) = ChipSizes.Best(pair.First.DepthMm, pair.First.WidthMm, pair.DistanceMm);
        return misfit <= 0.5 && pair.First.PitchMm >= size.BodyMm + 0.1;
    }

    /// <summary>What lies between the rows: null when it does not look like something under a body.</summary>
    private static List<int>? Inside(PadField field, RowPair pair)
    {
        var row = pair.First;
        var like = field.Pads[row.Members[row.Members.Length / 2]];
        var inside = field.FreeInBox(pair.Center, row.Along, (row.SpanMm / 2) + (2.3 * row.PitchMm), pair.GapMm / 2);

        // Beyond the rows' ends only lands like theirs, turned by a quarter, are the part's, and as many at either end.
        var ends = inside.FindAll(i => Math.Abs(Vector2.Dot(field.Pads[i].At - pair.Center, row.Along)) > (row.SpanMm / 2) + (0.5 * row.PitchMm));
        var turned = ends.FindAll(i => field.Pads[i].IsCongruentTo(like, 1.5) && Math.Abs(Vector2.Dot(field.Pads[i].Axis, like.Axis)) < 0.04);
        var isEven = 2 * turned.Count(i => Vector2.Dot(field.Pads[i].At - pair.Center, row.Along) > 0) == turned.Count;
        inside.RemoveAll(i => ends.Contains(i) && !(isEven && turned.Contains(i)));
        return IsAboutMiddle(field, inside, pair.Center, row.Along, 0.15 * row.SpanMm, 0.1 * pair.DistanceMm) ? inside : null;
    }

    /// <summary>
    /// Heat is carried in the middle: what lies to one side belongs to other parts. True when the centre of area of the pads is
    /// near the middle, and when there are none.
    /// </summary>
    public static bool IsAboutMiddle(PadField field, List<int> pads, Point2 middle, Vector2 along, double alongMm, double acrossMm)
    {
        var (area, x, y) = (0.0, 0.0, 0.0);
        foreach (var i in pads)
        {
            var pad = field.Pads[i];
            var weight = pad.LongMm * pad.ShortMm;
            area += weight;
            x += weight * Vector2.Dot(pad.At - middle, along);
            y += weight * Vector2.Cross(along, pad.At - middle);
        }

        return Math.Abs(x) <= area * alongMm && Math.Abs(y) <= area * acrossMm;
    }

    private static Draft Claim(PadField field, RowPair pair, List<int> inside)
    {
        var row = pair.First;
        var part = new Draft(PartClass.SmallOutline, 0.9, "")
        {
            Center = pair.Center,
            RotationDeg = Directions.Turn(row.Along),
            PitchMm = (row.PitchMm + pair.Second.PitchMm) / 2,
        };
        part.Add(row.Members, PadFunction.Terminal);
        part.Add(pair.Second.Members, PadFunction.Terminal);
        var like = field.Pads[row.Members[row.Members.Length / 2]];
        var (atEnds, thermal) = (0, 0);
        foreach (var i in inside)
        {
            var isTerminal = field.Pads[i].IsCongruentTo(like, 1.5);
            part.Pads.Add((i, isTerminal ? PadFunction.Terminal : PadFunction.ThermalPad));
            (atEnds, thermal) = isTerminal ? (atEnds + 1, thermal) : (atEnds, thermal + 1);
        }

        field.Claim(part);
        DualJudge.Judge(part, new(row.Members.Length, part.PitchMm.Value, row.DepthMm, row.WidthMm, pair.DistanceMm, thermal, atEnds));
        return part;
    }
}

/// <summary>Measures of a part with two rows.</summary>
internal readonly record struct DualShape(
    int PerRow, double PitchMm, double DepthMm, double WidthMm, double DistanceMm, int ThermalCount, int EndCount)
{
    /// <summary>Free width between the rows over the length of a pad.</summary>
    public double GapRatio => (DistanceMm - DepthMm) / DepthMm;
}

/// <summary>Says what two rows of pads are for.</summary>
/// <remarks>Limits are those of usual land patterns (common practice, from memory); where two kinds overlap the confidence says so.</remarks>
internal static class DualJudge
{
    public static void Judge(Draft part, DualShape s)
    {
        var (kind, confidence, note) = Decide(s);
        part.Class = kind;
        part.Confidence = confidence;
        var heat = s.ThermalCount == 0 ? "" : s.ThermalCount == 1 ? ", a thermal pad between them" : $", {s.ThermalCount} openings between them";
        part.Why = FormattableString.Invariant($"two rows of {s.PerRow} at {s.PitchMm:0.###} mm, {s.DistanceMm:0.##} mm apart{heat}{note}");
    }

    private static (PartClass Kind, double Confidence, string Note) Decide(DualShape s)
    {
        if (s.EndCount > 0)
        {
            return (PartClass.QuadNoLead, s.EndCount % 2 == 0 ? 0.88 : 0.6, ", and lands at both ends");
        }

        if (s.GapRatio < 0.75)
        {
            // Pads longer than the way between them: pin headers, mezzanines, arrays of chips.
            return s.PerRow >= 5 && s.PitchMm >= 0.9 && s.DepthMm >= 1.8
                ? (PartClass.Connector, 0.85, ", pads longer than the way between")
                : (PartClass.Connector, 0.5, ", pads longer than the way between");
        }

        return s.PerRow <= 3 ? Six(s) : Many(s);
    }

    // Two rows of three: SOT-23-6 (0.95), SC-70-6 (0.65), SOT-563 (0.5) have no thermal pad; DFN-6 mostly has one.
    private static (PartClass Kind, double Confidence, string Note) Six(DualShape s)
    {
        if (s.ThermalCount > 0)
        {
            return (PartClass.DualNoLead, s.DepthMm <= 1.1 ? 0.9 : 0.6, "");
        }

        if (Near(s.PitchMm, 0.95) && s.DistanceMm is >= 1.9 and <= 3.0)
        {
            return (PartClass.SmallTransistor, 0.94, "");
        }

        if (Near(s.PitchMm, 0.65) && s.DistanceMm is >= 1.55 and <= 2.4)
        {
            return (PartClass.SmallTransistor, s.DepthMm >= 0.6 ? 0.85 : 0.7, "");
        }

        return (PartClass.SmallTransistor, 0.6, "");
    }

    private static (PartClass Kind, double Confidence, string Note) Many(DualShape s)
    {
        var span = (s.PerRow - 1) * s.PitchMm;
        if (s.DepthMm >= 1.2)
        {
            // SO bodies are hardly ever four times as long as they are wide between the rows.
            var isUsual = s.DistanceMm is >= 3.9 and <= 11 && (Near(s.PitchMm, 1.27) || s.PitchMm <= 0.9);
            return span > 3.2 * s.DistanceMm || s.PitchMm > 2
                ? (PartClass.Connector, 0.6, "")
                : (PartClass.SmallOutline, isUsual ? 0.94 : 0.7, "");
        }

        if (s.ThermalCount > 0)
        {
            return s.DistanceMm <= 6.5 && s.PitchMm < 1.2 ? (PartClass.DualNoLead, 0.92, "") : (PartClass.DualNoLead, 0.65, "");
        }

        if (span > 2.2 * s.DistanceMm)
        {
            return (PartClass.Connector, 0.7, ", long and close together");
        }

        return s.DistanceMm < 2.7
            ? (PartClass.DualNoLead, 0.7, "")
            : (PartClass.SmallOutline, s.DistanceMm >= 3.9 && s.DepthMm >= 1 ? 0.82 : 0.6, "");
    }

    public static bool Near(double pitch, double nominal) => Math.Abs(pitch - nominal) <= 0.04 * nominal;
}
