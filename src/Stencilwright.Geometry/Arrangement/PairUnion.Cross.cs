namespace Stencilwright.Geometry.Arranging;

internal sealed partial class PairUnion
{
    private enum Place
    {
        Off,
        On,

        /// <summary>Too near an end to say.</summary>
        End,
    }

    /// <summary>Notes where two sides cross; false when they come too near each other otherwise.</summary>
    private bool Cross(in Side s, in Side t)
    {
        if (s.Bulge == 0 && t.Bulge == 0)
            return CrossLines(s, t);

        if (s.Bulge == 0)
            return CrossLineArc(s, t, s, t);

        return t.Bulge == 0 ? CrossLineArc(t, s, s, t) : CrossArcs(s, t);
    }

    private bool CrossLines(in Side s, in Side t)
    {
        var (sx, sy, tx, ty) = (s.X1 - s.X0, s.Y1 - s.Y0, t.X1 - t.X0, t.Y1 - t.Y0);
        var (ox, oy) = (t.X0 - s.X0, t.Y0 - s.Y0);
        var near = _margin * (Math.Abs(sx) + Math.Abs(sy));
        var d0 = (sx * oy) - (sy * ox);
        var d1 = d0 + (sx * ty) - (sy * tx);
        if ((d0 > near && d1 > near) || (d0 < -near && d1 < -near))
            return true;

        var nearT = _margin * (Math.Abs(tx) + Math.Abs(ty));
        var e0 = (ty * ox) - (tx * oy);
        var e1 = e0 + (tx * sy) - (ty * sx);
        if ((e0 > nearT && e1 > nearT) || (e0 < -nearT && e1 < -nearT))
            return true;

        if (Math.Min(Math.Abs(d0), Math.Abs(d1)) <= near || Math.Min(Math.Abs(e0), Math.Abs(e1)) <= nearT)
            return false;

        var at = d0 / (d0 - d1);
        return Add(s, t, t.X0 + (at * tx), t.Y0 + (at * ty));
    }

    private bool CrossLineArc(in Side line, in Side arc, in Side s, in Side t)
    {
        var (dx, dy) = (line.X1 - line.X0, line.Y1 - line.Y0);
        var length = Math.Sqrt((dx * dx) + (dy * dy));
        (dx, dy) = (dx / length, dy / length);
        var (cx, cy) = (arc.CenterX - line.X0, arc.CenterY - line.Y0);
        var away = (dx * cy) - (dy * cx);
        if (Math.Abs(away) > arc.Radius + _margin)
            return true;

        var half2 = (arc.Radius - away) * (arc.Radius + away);
        if (half2 <= LeastSine * LeastSine * arc.Radius * arc.Radius)
            return false;

        var (middle, half) = ((dx * cx) + (dy * cy), Math.Sqrt(half2));
        for (var k = -1; k <= 1; k += 2)
        {
            var along = middle + (k * half);
            if (along < -_margin || along > length + _margin)
                continue;

            var (x, y) = (line.X0 + (along * dx), line.Y0 + (along * dy));
            var place = On(arc, x, y);
            if (place == Place.Off)
                continue;

            if (place == Place.End || along < _margin || along > length - _margin || !Add(s, t, x, y))
                return false;
        }

        return true;
    }

    private bool CrossArcs(in Side s, in Side t)
    {
        var (dx, dy) = (t.CenterX - s.CenterX, t.CenterY - s.CenterY);
        var distance = Math.Sqrt((dx * dx) + (dy * dy));
        if (distance > s.Radius + t.Radius + _margin || distance < Math.Abs(s.Radius - t.Radius) - _margin)
            return true;

        var lesser = Math.Min(s.Radius, t.Radius);
        if (distance <= LeastSine * lesser)
            return false;

        (dx, dy) = (dx / distance, dy / distance);
        var along = ((distance * distance) + ((s.Radius - t.Radius) * (s.Radius + t.Radius))) / (2 * distance);
        var half2 = (s.Radius - along) * (s.Radius + along);
        if (half2 <= LeastSine * LeastSine * lesser * lesser)
            return false;

        var half = Math.Sqrt(half2);
        for (var k = -1; k <= 1; k += 2)
        {
            var (x, y) = (s.CenterX + (along * dx) - (k * half * dy), s.CenterY + (along * dy) + (k * half * dx));
            var (onS, onT) = (On(s, x, y), On(t, x, y));
            if (onS == Place.Off || onT == Place.Off)
                continue;

            if (onS == Place.End || onT == Place.End || !Add(s, t, x, y))
                return false;
        }

        return true;
    }

    // For a point of the circle.
    private Place On(in Side arc, double x, double y)
    {
        var (ax, ay, bx, by) = (x - arc.X0, y - arc.Y0, x - arc.X1, y - arc.Y1);
        var near2 = 4 * _margin * _margin;
        if ((ax * ax) + (ay * ay) <= near2 || (bx * bx) + (by * by) <= near2)
            return Place.End;

        return ((ax * by) - (ay * bx)) * arc.Bulge < 0 ? Place.On : Place.Off;
    }

    private bool Add(in Side s, in Side t, double x, double y)
    {
        if (_count == MostCrossings)
            return false;

        var (sx, sy) = Direction(s, x, y);
        var (tx, ty) = Direction(t, x, y);
        var turn = (sx * ty) - (sy * tx);
        if (turn * turn <= LeastSine * LeastSine * ((sx * sx) + (sy * sy)) * ((tx * tx) + (ty * ty)))
            return false;

        ref var crossing = ref _crossings[_count++];
        (crossing.X, crossing.Y, crossing.SideA, crossing.SideB) = (x, y, s.Index, t.Index);
        crossing.AlongA = ((x - s.X0) * (x - s.X0)) + ((y - s.Y0) * (y - s.Y0));
        crossing.AlongB = ((x - t.X0) * (x - t.X0)) + ((y - t.Y0) * (y - t.Y0));

        // The inside of t lies on its left.
        crossing.LeavesB = turn > 0;
        return true;
    }

    private static (double X, double Y) Direction(in Side side, double x, double y)
    {
        if (side.Bulge == 0)
            return (side.X1 - side.X0, side.Y1 - side.Y0);

        var (rx, ry) = (x - side.CenterX, y - side.CenterY);
        return side.Bulge > 0 ? (-ry, rx) : (ry, -rx);
    }
}
