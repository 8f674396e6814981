using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Finds parts with pads on four sides: two pairs of rows at a right angle round one middle.</summary>
internal static class QuadFinder
{
    // Middles of the two pairs; rounding in artwork and unequal rows move them by hundredths.
    private const double MiddleMm = 0.08;

    private const double CellMm = 0.5;

    // Leads reach out from the body (QFP): pads 1.2 to 2 mm long, 1.2 mm and more from the corner. Lands under it (QFN): up to
    // 1.1 mm long and less than that from the corner. Common practice of land patterns, from memory; between them it stays open.
    private const double LeadFromMm = 1.15;
    private const double LandToMm = 1.12;

    public static void Find(PadField field, List<PadRow> rows, List<Draft> parts)
    {
        var pairs = RowPairing.Neighbours(field, rows);
        var found = new List<(RowPair A, RowPair B)>();
        var cells = new Dictionary<(int, int), List<int>>();
        for (var k = 0; k < pairs.Count; k++)
        {
            var (x, y) = Cell(pairs[k].Center);
            for (var dx = -1; dx <= 1; dx++)
            {
                for (var dy = -1; dy <= 1; dy++)
                {
                    if (cells.TryGetValue((x + dx, y + dy), out var near))
                    {
                        found.AddRange(near.Where(j => IsQuad(pairs[j], pairs[k])).Select(j => (pairs[j], pairs[k])));
                    }
                }
            }

            if (!cells.TryGetValue((x, y), out var here))
            {
                cells.Add((x, y), here = []);
            }

            here.Add(k);
        }

        // Of quads that share rows the one with most pads, then the tightest, is right.
        foreach (var (a, b) in found.OrderByDescending(q => q.A.Count + q.B.Count).ThenBy(q => q.A.DistanceMm + q.B.DistanceMm))
        {
            if (a.IsFree(field) && b.IsFree(field))
            {
                parts.Add(Claim(field, a, b));
            }
        }
    }

    private static (int X, int Y) Cell(Point2 p) => ((int)Math.Floor(p.X / CellMm), (int)Math.Floor(p.Y / CellMm));

    private static bool IsQuad(RowPair a, RowPair b) =>
        Math.Abs(Vector2.Dot(a.First.Along, b.First.Along)) <= 0.02
        && Point2.Distance(a.Center, b.Center) <= MiddleMm
        && Math.Abs(a.First.PitchMm - b.First.PitchMm) <= 0.02 * a.First.PitchMm
        && Math.Abs(a.First.WidthMm - b.First.WidthMm) <= 0.02 + (0.1 * a.First.WidthMm)
        && b.First.SpanMm + b.First.WidthMm < a.DistanceMm + (0.5 * a.First.DepthMm)
        && a.First.SpanMm + a.First.WidthMm < b.DistanceMm + (0.5 * b.First.DepthMm);

    private static Draft Claim(PadField field, RowPair a, RowPair b)
    {
        var depth = (a.First.DepthMm + b.First.DepthMm) / 2;
        var corner = Math.Min(b.DistanceMm - a.First.SpanMm, a.DistanceMm - b.First.SpanMm) / 2;
        var part = new Draft(PartClass.QuadNoLead, 0.96, "")
        {
            Center = Point2.Lerp(a.Center, b.Center, 0.5),
            RotationDeg = Directions.QuarterTurn(a.First.Along),
            PitchMm = (a.First.PitchMm + b.First.PitchMm) / 2,
        };
        foreach (var row in (PadRow[])[a.First, a.Second, b.First, b.Second])
        {
            part.Add(row.Members, PadFunction.Terminal);
        }

        field.Claim(part);
        var like = field.Pads[a.First.Members[a.First.Members.Length / 2]];
        var inside = field.FreeInBox(part.Center, a.First.Along, b.DistanceMm / 2, a.DistanceMm / 2);
        if (!DualFinder.IsAboutMiddle(field, inside, part.Center, a.First.Along, 0.1 * b.DistanceMm, 0.1 * a.DistanceMm))
        {
            inside.Clear();
        }

        // Modules have a pad in each corner; a single one there is a neighbour's.
        var corners = field.FreeInBox(part.Center, a.First.Along, (b.DistanceMm + depth) / 2, (a.DistanceMm + depth) / 2);
        corners.RemoveAll(inside.Contains);
        if (corners.Count == 4 && DualFinder.IsAboutMiddle(field, corners, part.Center, a.First.Along, 0.05, 0.05))
        {
            inside.AddRange(corners);
        }

        foreach (var i in inside)
        {
            part.Pads.Add((i, field.Pads[i].IsCongruentTo(like) ? PadFunction.Terminal : PadFunction.ThermalPad));
        }

        field.Claim(part);
        Judge(part, a.Count + b.Count, inside.Count, depth, corner);
        return part;
    }

    private static void Judge(Draft part, int terminals, int inside, double depth, double corner)
    {
        var heat = inside == 0 ? "" : inside == 1 ? ", a thermal pad inside" : $", {inside} openings inside";
        var text = FormattableString.Invariant($"{terminals} pads of {depth:0.##} mm in four rows at {part.PitchMm:0.###} mm{heat}");
        if (depth >= LeadFromMm && corner >= LeadFromMm)
        {
            part.Class = PartClass.QuadFlat;
        }
        else if (depth > LandToMm || corner > LandToMm)
        {
            part.Class = depth >= LeadFromMm || inside == 0 ? PartClass.QuadFlat : PartClass.QuadNoLead;
            part.Confidence = 0.7;
            text += "; leads and lands look alike at this size";
        }

        part.Why = text;
    }
}
