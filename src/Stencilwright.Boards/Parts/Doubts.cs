using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Lets an opening that fits nowhere cast doubt on the small parts close by: it may be one of theirs.</summary>
internal static class Doubts
{
    // Pads of one part are nearer than this to each other; parts may be too, and then the doubt is needless but harmless.
    private const double NearMm = 0.55;

    private const double Most = 0.75;

    // Anchors lie about this near to a row's last contact.
    private const double AnchorMm = 5;

    public static void Spread(Pad[] pads, List<Draft> parts)
    {
        var field = new PadField(pads);
        var partOf = new int[pads.Length];
        for (var k = 0; k < parts.Count; k++)
        {
            foreach (var (pad, _) in parts[k].Pads)
            {
                partOf[pad] = k;
            }
        }

        DoubtCrossing(parts);
        var near = new List<int>();
        foreach (var part in parts)
        {
            if (part.Class == PartClass.Connector && part.Confidence < BoardPart.SureFrom)
            {
                DoubtAnchors(field, partOf, parts, part, near);
            }

            if (part.Confidence >= BoardPart.SureFrom || part.Class is not (PartClass.Single or PartClass.Unknown))
            {
                continue;
            }

            foreach (var (i, _) in part.Pads)
            {
                field.FreeWithin(pads[i].At, NearMm + (1.5 * pads[i].LongMm) + 1, near);
                foreach (var j in near)
                {
                    var other = parts[partOf[j]];
                    if (other != part && other.Pads.Count <= 10 && other.Confidence > Most && GapMm(pads[i], pads[j]) <= NearMm
                        && IsLike(pads[i], pads[j]))
                    {
                        other.Confidence = Most;
                        other.Why += "; an opening close by fits nowhere else";
                    }
                }
            }
        }
    }

    // Two pairs round one middle are one part: coaxial sockets, switches.
    private static void DoubtCrossing(List<Draft> parts)
    {
        var chips = parts.FindAll(p => p.Class == PartClass.Chip);
        var index = new PointIndex([.. chips.Select(c => c.Center)]);
        foreach (var chip in chips)
        {
            foreach (var j in index.Within(chip.Center, 0.15))
            {
                if (chips[j] != chip && chip.Confidence > 0.6)
                {
                    chip.Confidence = 0.6;
                    chip.Why += "; another pair lies across it";
                }
            }
        }
    }

    // A row that found no anchors may have lost them to a pair that looks like a diode or a tantalum.
    private static void DoubtAnchors(PadField field, int[] partOf, List<Draft> parts, Draft connector, List<int> near)
    {
        foreach (var (i, _) in (ReadOnlySpan<(int, PadFunction)>)[connector.Pads[0], connector.Pads[^1]])
        {
            field.FreeWithin(field.Pads[i].At, AnchorMm, near);
            foreach (var j in near)
            {
                var other = parts[partOf[j]];
                if (other is { Class: PartClass.Chip, Size: null } && other.Confidence > Most)
                {
                    other.Confidence = Most;
                    other.Why += "; a row of contacts close by lacks anchors";
                }
            }
        }
    }

    // Of a size that one part may have together: chips beside a test point keep their certainty.
    private static bool IsLike(in Pad a, in Pad b) => a.IsSquareTo(b) && Math.Abs(a.ShortMm - b.ShortMm) <= 0.35 * Math.Max(a.ShortMm, b.ShortMm);

    private static double GapMm(in Pad a, in Pad b)
    {
        var d = b.At - a.At;
        var x = Math.Abs(Vector2.Dot(d, a.Axis)) - ((a.LongMm + b.ExtentAlong(a.Axis)) / 2);
        var y = Math.Abs(Vector2.Cross(a.Axis, d)) - ((a.ShortMm + b.ExtentAlong(a.Axis.Left)) / 2);
        return Math.Max(x, y);
    }
}
