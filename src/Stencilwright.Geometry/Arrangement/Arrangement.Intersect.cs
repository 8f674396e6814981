using System.Runtime.Intrinsics;

namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    private const int SmallCount = 48;
    private Vector256<double>[] _pairBoxes = [];
    private readonly BandIndex _bands = new();
    private Cut[] _cuts = [];
    // A million crossings: some seconds and a few hundred megabytes. No drawing of a board comes near; a hostile one would
    // go on until memory ends.
    private const int MostCuts = 2_000_000;
    private int _cutCount;

    private enum Hit
    {
        Off,
        Inside,
        AtStart,
        AtEnd,
    }

    private void IntersectAll()
    {
        if (_primCount <= SmallCount)
        {
            IntersectFew();
            return;
        }

        _bands.Build(_primBoxes.AsSpan(0, _primCount), byRightEdge: false);
        for (var band = 0; band < _bands.BandCount; band++)
        {
            var items = _bands.Band(band);
            for (var k = 0; k < items.Length; k++)
            {
                var box = _primBoxes[items[k]];
                for (var m = k + 1; m < items.Length; m++)
                {
                    ref readonly var other = ref _primBoxes[items[m]];
                    if (other.MinX > box.MaxX)
                        break;

                    if (box.MinY <= other.MaxY && other.MinY <= box.MaxY && _bands.BandOf(Math.Max(box.MinY, other.MinY)) == band)
                        Intersect(Math.Min(items[k], items[m]), Math.Max(items[k], items[m]));
                }
            }
        }
    }

    // A box with its upper edges negated overlaps another when no component exceeds the other's (maximum, -minimum).
    private void IntersectFew()
    {
        var n = _primCount;
        Grow.Ensure(ref _pairBoxes, n);
        var sign = Vector256.Create(0, 0, -0.0, -0.0);
        for (var i = 0; i < n; i++)
        {
            ref readonly var box = ref _primBoxes[i];
            _pairBoxes[i] = Vector256.Create(box.MinX, box.MinY, box.MaxX, box.MaxY) ^ sign;
        }

        for (var i = 0; i < n; i++)
        {
            ref readonly var box = ref _primBoxes[i];
            var reach = Vector256.Create(box.MaxX, box.MaxY, -box.MinX, -box.MinY);
            for (var j = i + 1; j < n; j++)
            {
                if (Vector256.LessThanOrEqualAll(_pairBoxes[j], reach))
                    Intersect(i, j);
            }
        }
    }

    private void Intersect(int i, int j)
    {
        ref readonly var p = ref _prims[i];
        ref readonly var q = ref _prims[j];
        if (p.Source == q.Source || (p.Turn == 0 && q.Turn == 0 && MeetPlainly(i, j)) || AreApart(p, q))
            return;

        // Neighbours along a contour share a point that needs no test.
        var (isNext, isLast) = (p.To == q.From, p.From == q.To);
        var onQ0 = isLast ? Hit.AtEnd : Test(q, p.X0, p.Y0);
        var onQ1 = isNext ? Hit.AtStart : Test(q, p.X1, p.Y1);
        var onP0 = isNext ? Hit.AtEnd : Test(p, q.X0, q.Y0);
        var onP1 = isLast ? Hit.AtStart : Test(p, q.X1, q.Y1);
        if (onQ0 == Hit.Inside)
            AddCut(j, p.From);
        if (onQ1 == Hit.Inside)
            AddCut(j, p.To);
        if (onP0 == Hit.Inside)
            AddCut(i, q.From);
        if (onP1 == Hit.Inside)
            AddCut(i, q.To);

        var touches = new Touches(onQ0 != Hit.Off, onQ1 != Hit.Off, onP0 != Hit.Off, onP1 != Hit.Off);
        if (p.Turn == 0 && q.Turn == 0)
        {
            if (!touches.Any)
                LineLine(i, j);
        }
        else if (p.IsFar || q.IsFar)
            MeetFar(i, j, touches);
        else if (p.Turn == 0)
            LineArc(i, j, touches);
        else if (q.Turn == 0)
            LineArc(j, i, touches.Swapped);
        else
            ArcArc(i, j, touches);
    }

    /// <summary>Settles two lines that cross or miss each other by more than the tolerance; false when they need a closer look.</summary>
    private bool MeetPlainly(int i, int j)
    {
        ref readonly var p = ref _prims[i];
        ref readonly var q = ref _prims[j];
        var d0 = (p.Ux * (q.Y0 - p.Y0)) - (p.Uy * (q.X0 - p.X0));
        var d1 = (p.Ux * (q.Y1 - p.Y0)) - (p.Uy * (q.X1 - p.X0));
        var isClear = Math.Min(Math.Abs(d0), Math.Abs(d1)) > _tolerance;
        if (isClear && d0 * d1 > 0)
            return true;

        var e0 = (q.Ux * (p.Y0 - q.Y0)) - (q.Uy * (p.X0 - q.X0));
        var e1 = (q.Ux * (p.Y1 - q.Y0)) - (q.Uy * (p.X1 - q.X0));
        if (Math.Min(Math.Abs(e0), Math.Abs(e1)) <= _tolerance)
        {
            // Neighbours that meet at an angle meet nowhere else.
            return (p.To == q.From && Math.Abs(d1) > _tolerance && Math.Abs(e0) > _tolerance)
                || (p.From == q.To && Math.Abs(d0) > _tolerance && Math.Abs(e1) > _tolerance);
        }

        if (e0 * e1 > 0)
            return true;

        if (!isClear)
            return false;

        var t = d0 / (d0 - d1);
        var point = AddPoint(q.X0 + (t * (q.X1 - q.X0)), q.Y0 + (t * (q.Y1 - q.Y0)));
        AddCut(i, point);
        AddCut(j, point);
        return true;
    }

    // Arcs whose circles stay clear of the other curve, by twice the tolerance that any meeting is given.
    private bool AreApart(in Prim p, in Prim q)
    {
        if (p.IsFar || q.IsFar || (p.Turn == 0 && q.Turn == 0))
            return false;

        if (p.Turn == 0)
            return Math.Abs((p.Ux * (q.CenterY - p.Y0)) - (p.Uy * (q.CenterX - p.X0))) > q.Radius + (2 * _tolerance);

        if (q.Turn == 0)
            return Math.Abs((q.Ux * (p.CenterY - q.Y0)) - (q.Uy * (p.CenterX - q.X0))) > p.Radius + (2 * _tolerance);

        var between2 = Distance2(p.CenterX, p.CenterY, q.CenterX, q.CenterY);
        var outer = p.Radius + q.Radius + (2 * _tolerance);
        var inner = Math.Abs(p.Radius - q.Radius) - (2 * _tolerance);
        return between2 > outer * outer || (inner > 0 && between2 < inner * inner);
    }

    private void LineLine(int i, int j)
    {
        ref readonly var p = ref _prims[i];
        ref readonly var q = ref _prims[j];
        var d0 = (p.Ux * (q.Y0 - p.Y0)) - (p.Uy * (q.X0 - p.X0));
        var d1 = (p.Ux * (q.Y1 - p.Y0)) - (p.Uy * (q.X1 - p.X0));
        if (d0 * d1 >= 0)
            return;

        var e0 = (q.Ux * (p.Y0 - q.Y0)) - (q.Uy * (p.X0 - q.X0));
        var e1 = (q.Ux * (p.Y1 - q.Y0)) - (q.Uy * (p.X1 - q.X0));
        if (e0 * e1 >= 0)
            return;

        var t = d0 / (d0 - d1);
        Meet(i, j, q.X0 + (t * (q.X1 - q.X0)), q.Y0 + (t * (q.Y1 - q.Y0)));
    }

    private void LineArc(int line, int arc, Touches touches)
    {
        ref readonly var p = ref _prims[line];
        ref readonly var q = ref _prims[arc];
        var (rx, ry) = (q.CenterX - p.X0, q.CenterY - p.Y0);
        var along = (rx * p.Ux) + (ry * p.Uy);
        var height = (p.Ux * ry) - (p.Uy * rx);
        var gap = q.Radius - Math.Abs(height);
        if (gap < -_tolerance)
            return;

        var (fx, fy) = (p.X0 + (p.Ux * along), p.Y0 + (p.Uy * along));
        if (gap <= _tolerance)
        {
            if (!TouchesNear(p, q, touches, fx, fy, q.Radius))
                Meet(line, arc, fx, fy);

            return;
        }

        var s = Math.Sqrt(gap * (q.Radius + Math.Abs(height)));
        if (along - s >= -_tolerance && along - s <= p.Chord + _tolerance)
            Meet(line, arc, fx - (p.Ux * s), fy - (p.Uy * s));
        if (along + s >= -_tolerance && along + s <= p.Chord + _tolerance)
            Meet(line, arc, fx + (p.Ux * s), fy + (p.Uy * s));
    }

    private void ArcArc(int i, int j, Touches touches)
    {
        ref readonly var p = ref _prims[i];
        ref readonly var q = ref _prims[j];
        var (dx, dy) = (q.CenterX - p.CenterX, q.CenterY - p.CenterY);
        var d = Math.Sqrt((dx * dx) + (dy * dy));
        var difference = Math.Abs(p.Radius - q.Radius);
        if (d + difference <= 2 * _tolerance)
            return;

        if (d > p.Radius + q.Radius + _tolerance || d < difference - _tolerance)
            return;

        var (ux, uy) = (dx / d, dy / d);
        if (Math.Abs(d - (p.Radius + q.Radius)) <= _tolerance)
        {
            var (x, y) = (p.CenterX + (ux * p.Radius), p.CenterY + (uy * p.Radius));
            if (!TouchesNear(p, q, touches, x, y, p.Radius * q.Radius / (p.Radius + q.Radius)))
                Meet(i, j, x, y);

            return;
        }

        if (Math.Abs(d - difference) <= _tolerance)
        {
            var sign = p.Radius > q.Radius ? 1 : -1;
            var (x, y) = (p.CenterX + (ux * p.Radius * sign), p.CenterY + (uy * p.Radius * sign));
            if (!TouchesNear(p, q, touches, x, y, p.Radius * q.Radius / Math.Max(difference, _tolerance)))
                Meet(i, j, x, y);

            return;
        }

        // Heron's formula by its factors keeps the small height of a shallow crossing exact.
        var a = ((d * d) + ((p.Radius - q.Radius) * (p.Radius + q.Radius))) / (2 * d);
        var product = (p.Radius + q.Radius + d) * (p.Radius + q.Radius - d) * (d + p.Radius - q.Radius) * (d - p.Radius + q.Radius);
        var h = Math.Sqrt(Math.Max(product, 0)) / (2 * d);
        var (bx, by) = (p.CenterX + (ux * a), p.CenterY + (uy * a));
        Meet(i, j, bx - (uy * h), by + (ux * h));
        Meet(i, j, bx + (uy * h), by - (ux * h));
    }

    // A touch within tolerance spreads along both curves; an end that already lies on both stands for it.
    private bool TouchesNear(in Prim p, in Prim q, Touches touches, double x, double y, double radius)
    {
        var reach2 = 16 * radius * _tolerance;
        return (touches.P0 && Distance2(p.X0, p.Y0, x, y) <= reach2)
            || (touches.P1 && Distance2(p.X1, p.Y1, x, y) <= reach2)
            || (touches.Q0 && Distance2(q.X0, q.Y0, x, y) <= reach2)
            || (touches.Q1 && Distance2(q.X1, q.Y1, x, y) <= reach2);
    }

    private static double Distance2(double x0, double y0, double x1, double y1) => ((x1 - x0) * (x1 - x0)) + ((y1 - y0) * (y1 - y0));

    private void Meet(int i, int j, double x, double y)
    {
        var onP = Test(_prims[i], x, y);
        if (onP == Hit.Off)
            return;

        var onQ = Test(_prims[j], x, y);
        if (onQ == Hit.Off)
            return;

        if (onP == Hit.Inside && onQ == Hit.Inside)
        {
            var point = AddPoint(x, y);
            AddCut(i, point);
            AddCut(j, point);
        }
        else if (onP == Hit.Inside)
            AddCut(i, onQ == Hit.AtStart ? _prims[j].From : _prims[j].To);
        else if (onQ == Hit.Inside)
            AddCut(j, onP == Hit.AtStart ? _prims[i].From : _prims[i].To);
    }

    private Hit Test(in Prim q, double x, double y)
    {
        var (dx, dy) = (x - q.X0, y - q.Y0);
        var (ex, ey) = (x - q.X1, y - q.Y1);
        if (q.Turn == 0)
        {
            var off = (q.Ux * dy) - (q.Uy * dx);
            if (off > _tolerance || off < -_tolerance)
                return Hit.Off;

            var along = (q.Ux * dx) + (q.Uy * dy);
            if (along < -_tolerance || along > q.Chord + _tolerance)
                return Hit.Off;
        }
        else if (q.IsFar)
        {
            var off = q.Form.Off(x, y);
            if (off > _tolerance || off < -_tolerance)
                return Hit.Off;

            if ((q.Ux * dx) + (q.Uy * dy) < -_tolerance || (q.Ux * ex) + (q.Uy * ey) > _tolerance)
                return Hit.Off;
        }
        else
        {
            var (rx, ry) = (x - q.CenterX, y - q.CenterY);
            var off = Math.Sqrt((rx * rx) + (ry * ry)) - q.Radius;
            if (off > _tolerance || off < -_tolerance)
                return Hit.Off;

            // Beyond an end along its tangent: for arcs up to half a turn the two tests leave out all of the rest of the circle, but
            // for what lies opposite to an arc hardly longer than the tolerance.
            var reach = _tolerance * q.Radius;
            var beyond = ((ey * (q.X1 - q.CenterX)) - (ex * (q.Y1 - q.CenterY))) * q.Turn;
            var before = ((dx * (q.Y0 - q.CenterY)) - (dy * (q.X0 - q.CenterX))) * q.Turn;
            if (beyond > reach || before > reach || (rx * q.MidX) + (ry * q.MidY) < -reach)
                return Hit.Off;
        }

        if ((dx * dx) + (dy * dy) <= _tolerance2)
            return Hit.AtStart;

        return (ex * ex) + (ey * ey) <= _tolerance2 ? Hit.AtEnd : Hit.Inside;
    }

    private void AddCut(int prim, int point)
    {
        if (_cutCount >= MostCuts)
            throw new InvalidOperationException("The shapes cross one another more than a million times.");

        Grow.Ensure(ref _cuts, _cutCount + 1);
        _cuts[_cutCount] = new Cut { Point = point, Next = _prims[prim].FirstCut };
        _prims[prim].FirstCut = _cutCount++;
        _prims[prim].CutCount++;
    }

    private struct Cut
    {
        public int Point;
        public int Next;
    }

    private readonly record struct Touches(bool P0, bool P1, bool Q0, bool Q1)
    {
        public bool Any => P0 || P1 || Q0 || Q1;

        internal Touches Swapped => new(Q0, Q1, P0, P1);
    }
}
