using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds parts whose second row lacks pads: SOT-23-5, outlines with pins left out, tabs opposite a row.</summary>
internal static class PartialRowFinder
{
    public static void Find(PadField field, List<PadRow> rows, List<Draft> parts)
    {
        foreach (var row in rows.OrderByDescending(r => r.Members.Length))
        {
            if (!row.IsFree(field))
            {
                continue;
            }

            if ((row.Members.Length <= 8 ? Opposite(field, row) : null) is { } opposite)
            {
                parts.Add(ClaimOpposite(field, row, opposite));
            }
            else if (row.Members.Length == 3 && Tab(field, row) is var tab and >= 0)
            {
                parts.Add(ClaimTab(field, row, tab));
            }
        }
    }

    // Equal pads on the row's own lattice, all at one distance from it; the nearer side wins.
    private static List<int>? Opposite(PadField field, PadRow row)
    {
        var reach = Math.Max(3.4 * row.DepthMm, row.PitchMm * 3.4);
        var like = field.Pads[row.Members[1]];
        var near = field.FreeInBox(row.Center, row.Along, (row.SpanMm / 2) + (0.1 * row.PitchMm), reach);
        List<int>? best = null;
        var nearest = double.PositiveInfinity;
        foreach (var side in (double[])[1, -1])
        {
            var first = double.PositiveInfinity;
            foreach (var i in near)
            {
                var across = side * Vector2.Cross(row.Along, field.Pads[i].At - row.Center);
                if (across > 0.9 * row.DepthMm)
                {
                    first = Math.Min(first, across);
                }
            }

            if (first >= nearest || first < 1.35 * row.DepthMm)
            {
                continue;
            }

            var line = near.FindAll(i => Math.Abs((side * Vector2.Cross(row.Along, field.Pads[i].At - row.Center)) - first) <= 0.05);
            var (size, misfit, _) = ChipSizes.Best(row.DepthMm, row.WidthMm, first);
            var isChips = misfit <= 0.5 && row.PitchMm >= size.BodyMm + 0.1;
            if (!isChips && row.DepthMm >= 1.1 * row.WidthMm && line.Count >= 2 && line.Count < row.Members.Length && line.TrueForAll(i => IsOnLattice(field, row, like, i)))
            {
                (best, nearest) = (line, first);
            }
        }

        return best;
    }

    private static bool IsOnLattice(PadField field, PadRow row, in Pad like, int i)
    {
        var node = Vector2.Dot(field.Pads[i].At - field.Pads[row.Members[0]].At, row.Along) / row.PitchMm;
        return Math.Abs(node - Math.Round(node)) <= 0.06 && field.Pads[i].IsCongruentTo(like, 1.5) && field.Pads[i].IsParallelTo(like);
    }

    private static Draft ClaimOpposite(PadField field, PadRow row, List<int> opposite)
    {
        var across = Vector2.Cross(row.Along, field.Pads[opposite[0]].At - row.Center);
        var distance = Math.Abs(across);
        var isFive = row.Members.Length == 3 && opposite.Count == 2
            && Math.Abs(Point2.Distance(field.Pads[opposite[0]].At, field.Pads[opposite[1]].At) - row.SpanMm) <= 0.1 * row.PitchMm;
        var part = new Draft(isFive ? PartClass.SmallTransistor : PartClass.SmallOutline, 0.6, "")
        {
            Center = row.Center + (row.Along.Left * (across / 2)),
            RotationDeg = Directions.Turn(row.Along),
            PitchMm = row.PitchMm,
        };
        part.Add(row.Members, PadFunction.Terminal);
        part.Add(opposite, PadFunction.Terminal);
        field.Claim(part);
        var inside = field.FreeInBox(part.Center, row.Along, (row.SpanMm + row.PitchMm) / 2, (distance - row.DepthMm) / 2);
        part.Add(inside, PadFunction.ThermalPad);
        field.Claim(part);

        // SOT-23-5 and its smaller kin: leads at 0.95, 0.65 or 0.5 mm (common practice, from memory).
        if (isFive && inside.Count == 0)
        {
            part.Confidence = DualJudge.Near(row.PitchMm, 0.95) && distance is >= 1.9 and <= 3.0 ? 0.95
                : DualJudge.Near(row.PitchMm, 0.65) && distance is >= 1.55 and <= 2.4 ? 0.92
                : DualJudge.Near(row.PitchMm, 0.5) && distance is >= 1.0 and <= 1.7 ? 0.85
                : 0.6;
        }
        else if (row.Members.Length >= 4 && opposite.Count == row.Members.Length - 1 && row.DepthMm >= 1.2 && row.PitchMm <= 1.3)
        {
            part.Confidence = 0.8;
        }

        part.Why = FormattableString.Invariant(
            $"a row of {row.Members.Length} at {row.PitchMm:0.###} mm and {opposite.Count} on the same lattice {distance:0.##} mm from it");
        return part;
    }

    // One large pad in front of the row's middle.
    private static int Tab(PadField field, PadRow row)
    {
        foreach (var side in (double[])[1, -1])
        {
            var at = row.Center + (row.Along.Left * (side * 2.2 * row.SpanMm / 2));
            foreach (var i in field.FreeInBox(at, row.Along, 0.1 * row.PitchMm, row.SpanMm))
            {
                var pad = field.Pads[i];
                var (wide, deep) = (pad.ExtentAlong(row.Along), pad.ExtentAlong(row.Along.Left));
                var gap = Math.Abs(Vector2.Cross(row.Along, pad.At - row.Center)) - ((deep + row.DepthMm) / 2);
                if (wide >= 1.6 * row.WidthMm && wide >= 0.7 * row.SpanMm && wide <= 1.6 * (row.SpanMm + row.WidthMm)
                    && gap >= 0.15 && gap <= 2.4 * row.PitchMm && pad.IsSquareTo(field.Pads[row.Members[0]]))
                {
                    return i;
                }
            }
        }

        return -1;
    }

    private static Draft ClaimTab(PadField field, PadRow row, int tab)
    {
        var across = Vector2.Cross(row.Along, field.Pads[tab].At - row.Center);
        var part = new Draft(PartClass.SmallTransistor, 0, "")
        {
            // SOT-223 has its leads at 2.3 mm (common practice, from memory).
            Confidence = DualJudge.Near(row.PitchMm, 2.3) && Math.Abs(across) is >= 5 and <= 7.2 ? 0.94 : 0.65,
            Center = row.Center + (row.Along.Left * (across / 2)),
            RotationDeg = Directions.Turn(row.Along),
            PitchMm = row.PitchMm,
            Why = FormattableString.Invariant($"a row of three at {row.PitchMm:0.###} mm with a tab {Math.Abs(across):0.##} mm from it"),
        };
        part.Add(row.Members, PadFunction.Terminal);
        part.Add([tab], PadFunction.Terminal);
        field.Claim(part);
        return part;
    }
}
