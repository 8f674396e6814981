using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>Makes connectors of rows that found no second row: contacts in line, and anchors mirrored about their middle.</summary>
internal sealed class ConnectorFinder(PadField field)
{
    // Anchors of usual connectors lie no farther from the contacts than this (common practice).
    private const double ReachMm = 7;

    private readonly List<int> _scratch = [];

    public void Find(List<PadRow> rows, List<Draft> parts)
    {
        var longer = rows.Where(r => r.Members.Length >= 4 && r.IsFree(field)).OrderByDescending(r => r.Members.Length).ToArray();
        var index = new PointIndex([.. longer.Select(r => r.Center)]);
        foreach (var row in longer)
        {
            if (row.IsFree(field))
            {
                parts.Add(Claim(row, longer, index));
            }
        }
    }

    private Draft Claim(PadRow row, PadRow[] rows, PointIndex index)
    {
        var part = new Draft(PartClass.Connector, 0.5, "")
        {
            RotationDeg = Directions.Turn(row.Along),
            PitchMm = row.PitchMm,
        };
        part.Add(row.Members, PadFunction.Terminal);
        field.Claim(part);
        var added = InLine(row, part) + SecondRow(row, rows, index, part);
        var middle = Middle(row, part);
        var anchors = Anchors(row, middle, part);
        part.Center = middle;
        if (anchors > 0)
        {
            part.Confidence = 0.88;
            part.Center = MiddleOfBox(row, part);
        }

        part.Why = FormattableString.Invariant(
            $"a row of {row.Members.Length + added} at {row.PitchMm:0.###} mm with {(anchors == 0 ? "no" : anchors)} anchors");
        return part;
    }

    // A row of nearly as many beside this one, as in connectors whose rows are staggered.
    private int SecondRow(PadRow row, PadRow[] rows, PointIndex index, Draft part)
    {
        foreach (var k in index.Within(row.Center, ReachMm))
        {
            var other = rows[k];
            var d = other.Center - row.Center;
            if (Math.Abs(other.Members.Length - row.Members.Length) <= 1
                && Math.Abs(other.PitchMm - row.PitchMm) <= 0.02 * row.PitchMm
                && Math.Abs(Vector2.Dot(d, row.Along)) <= 0.6 * row.PitchMm && Math.Abs(Vector2.Cross(row.Along, other.Along)) <= 0.02
                && other.IsFree(field))
            {
                part.Add(other.Members, PadFunction.Terminal);
                field.Claim(part);
                return other.Members.Length;
            }
        }

        return 0;
    }

    // Wider or narrower contacts at the row's ends.
    private int InLine(PadRow row, Draft part)
    {
        var added = 0;
        foreach (var sense in (int[])[1, -1])
        {
            var end = sense > 0 ? row.Members[^1] : row.Members[0];
            for (var steps = 0; steps < 8; steps++)
            {
                var from = field.Pads[end];
                var next = -1;
                field.FreeWithin(from.At, 2.6 * row.PitchMm, _scratch);
                foreach (var i in _scratch)
                {
                    var d = field.Pads[i].At - from.At;
                    var pad = field.Pads[i];
                    if (sense * Vector2.Dot(d, row.Along) > 0.3 * row.PitchMm && Math.Abs(Vector2.Cross(row.Along, d)) <= 0.06
                        && Math.Abs(pad.ExtentAlong(row.Along.Left) - row.DepthMm) <= 0.05 * row.DepthMm
                        && pad.ExtentAlong(row.Along) <= 2.6 * row.WidthMm
                        && (next < 0 || Math.Abs(Vector2.Dot(d, row.Along)) < Math.Abs(Vector2.Dot(field.Pads[next].At - from.At, row.Along))))
                    {
                        next = i;
                    }
                }

                if (next < 0)
                {
                    break;
                }

                part.Pads.Add((next, PadFunction.Terminal));
                field.IsFree[next] = false;
                (end, added) = (next, added + 1);
            }
        }

        return added;
    }

    private Point2 Middle(PadRow row, Draft part)
    {
        var (least, most) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var (i, _) in part.Pads)
        {
            var u = Vector2.Dot(field.Pads[i].At - row.Center, row.Along);
            (least, most) = (Math.Min(least, u), Math.Max(most, u));
        }

        return row.Center + (row.Along * ((least + most) / 2));
    }

    private int Anchors(PadRow row, Point2 middle, Draft part)
    {
        var half = 0.0;
        foreach (var (i, _) in part.Pads)
        {
            half = Math.Max(half, Math.Abs(Vector2.Dot(field.Pads[i].At - middle, row.Along)));
        }

        var near = field.FreeInBox(middle, row.Along, half + ReachMm, ReachMm);
        var found = new List<(double Apart, int A, int B)>();
        foreach (var i in near)
        {
            var pad = field.Pads[i];
            var (u, v) = (Vector2.Dot(pad.At - middle, row.Along), Vector2.Cross(row.Along, pad.At - middle));
            var size = pad.LongMm * pad.ShortMm / (row.DepthMm * row.WidthMm);
            if (u <= (size > 3 && Math.Abs(v) > row.DepthMm ? 0.1 : half) || size < 1.3)
            {
                continue;
            }

            var mirrored = field.FreeNear(middle - (row.Along * u) + (row.Along.Left * v), 0.12, _scratch);
            if (mirrored >= 0 && pad.IsCongruentTo(field.Pads[mirrored], 2))
            {
                found.Add((u, i, mirrored));
            }
        }

        found.Sort();
        var count = 0;
        foreach (var (_, a, b) in found.Take(3))
        {
            part.Add([a, b], PadFunction.Anchor);
            field.IsFree[a] = field.IsFree[b] = false;
            count += 2;
        }

        return count;
    }

    private Point2 MiddleOfBox(PadRow row, Draft part)
    {
        var box = Bounds2.Empty;
        foreach (var (i, _) in part.Pads)
        {
            var d = field.Pads[i].At - row.Center;
            box = box.Include(new(Vector2.Dot(d, row.Along), Vector2.Cross(row.Along, d)));
        }

        return row.Center + (row.Along * box.Center.X) + (row.Along.Left * box.Center.Y);
    }
}
