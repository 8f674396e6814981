namespace Stencilwright.Geometry.Arranging;

internal sealed partial class Arrangement
{
    private Node[] _points = [];
    private int _pointCount;
    private Source[] _sources = [];
    private int _sourceCount;
    private Prim[] _prims = [];
    private Bounds2[] _primBoxes = [];
    private int _primCount;

    private void Load(Contour contour, int channel)
    {
        var vertices = contour.Vertices;
        var first = _pointCount;
        Grow.Ensure(ref _points, first + vertices.Length);
        for (var i = 0; i < vertices.Length; i++)
        {
            var (dx, dy) = (vertices[i].X - _originX, vertices[i].Y - _originY);
            _points[_pointCount++] = new Node
            {
                X = (dx * _cos) - (dy * _sin), Y = (dx * _sin) + (dy * _cos),
                OutX = vertices[i].X, OutY = vertices[i].Y, IsGiven = true,
            };
        }

        for (var i = 0; i < vertices.Length; i++)
            AddSegment(first + i, i + 1 == vertices.Length ? first : first + i + 1, vertices[i].Bulge, channel);
    }

    private int AddPoint(double x, double y)
    {
        Grow.Ensure(ref _points, _pointCount + 1);
        _points[_pointCount] = new Node
        {
            X = x, Y = y,
            OutX = _originX + (x * _cos) + (y * _sin), OutY = _originY - (x * _sin) + (y * _cos),
        };
        return _pointCount++;
    }

    private void AddSegment(int from, int to, double bulge, int channel)
    {
        ref readonly var a = ref _points[from];
        ref readonly var b = ref _points[to];
        var (dx, dy) = (b.X - a.X, b.Y - a.Y);
        var chord = Math.Sqrt((dx * dx) + (dy * dy));
        if (chord <= _tolerance)
            return;

        Grow.Ensure(ref _sources, _sourceCount + 1);
        _sources[_sourceCount] = new Source { From = from, To = to, Bulge = bulge };
        if (chord * Math.Abs(bulge) / 2 < _tolerance / 4)
        {
            AddLine(from, to, chord, channel);
            return;
        }

        var prim = new Prim { From = from, To = to, Source = _sourceCount++, Channel = channel, FirstCut = -1 };

        var offset = (1 - (bulge * bulge)) / (4 * bulge);
        prim.CenterX = ((a.X + b.X) / 2) - (dy * offset);
        prim.CenterY = ((a.Y + b.Y) / 2) + (dx * offset);
        prim.Radius = chord * (1 + (bulge * bulge)) / (4 * Math.Abs(bulge));
        prim.Turn = bulge > 0 ? 1 : -1;
        prim.IsFar = prim.Radius > _farRadius;
        if (prim.IsFar)
        {
            SplitFar(ref prim, dx / chord, dy / chord, chord / 2);
            AddPrim(ref prim);
            return;
        }

        // An arc of at most half a turn holds at most one of the circle's highest and lowest points inside.
        var (ax, ay) = (a.X, a.Y);
        var (bx, by) = (b.X, b.Y);
        for (var s = 1; s >= -1; s -= 2)
        {
            var y = prim.CenterY + (s * prim.Radius);
            var side = ((dx * (y - ay)) - (dy * (prim.CenterX - ax))) * prim.Turn;
            if (side < 0 && !Near(prim.CenterX, y, ax, ay) && !Near(prim.CenterX, y, bx, by))
            {
                var top = AddPoint(prim.CenterX, y);
                var half = prim;
                half.To = top;
                AddPrim(ref half);
                prim.From = top;
                break;
            }
        }

        AddPrim(ref prim);
    }

    private void AddLine(int from, int to, double chord, int channel)
    {
        Grow.Ensure(ref _prims, _primCount + 1);
        Grow.Ensure(ref _primBoxes, _primCount + 1);
        ref readonly var a = ref _points[from];
        ref readonly var b = ref _points[to];
        ref var prim = ref _prims[_primCount];
        prim = default;
        (prim.From, prim.To, prim.Source, prim.Channel, prim.FirstCut) = (from, to, _sourceCount++, channel, -1);
        (prim.X0, prim.Y0, prim.X1, prim.Y1) = (a.X, a.Y, b.X, b.Y);
        prim.Chord = chord;
        prim.Ux = (b.X - a.X) / chord;
        prim.Uy = (b.Y - a.Y) / chord;
        var (minX, maxX) = a.X < b.X ? (a.X, b.X) : (b.X, a.X);
        var (minY, maxY) = a.Y < b.Y ? (a.Y, b.Y) : (b.Y, a.Y);
        _primBoxes[_primCount++] = new(minX - _tolerance, minY - _tolerance, maxX + _tolerance, maxY + _tolerance);
    }

    // The circle's highest or lowest point, found from the chord's middle along and across the chord.
    private void SplitFar(ref Prim prim, double ux, double uy, double half)
    {
        var along = prim.Radius * uy * (ux < 0 ? prim.Turn : -prim.Turn);
        if (Math.Abs(along) >= half)
            return;

        ref readonly var a = ref _points[prim.From];
        ref readonly var b = ref _points[prim.To];
        var across = (half - along) * (half + along) / (2 * prim.Radius) * prim.Turn;
        var (x, y) = (((a.X + b.X) / 2) + (ux * along) + (uy * across), ((a.Y + b.Y) / 2) + (uy * along) - (ux * across));
        if (Near(x, y, a.X, a.Y) || Near(x, y, b.X, b.Y))
            return;

        var top = AddPoint(x, y);
        var first = prim;
        first.To = top;
        AddPrim(ref first);
        prim.From = top;
    }

    private bool Near(double x, double y, double otherX, double otherY)
    {
        var (dx, dy) = (x - otherX, y - otherY);
        return (dx * dx) + (dy * dy) <= _tolerance2;
    }

    private void AddPrim(ref Prim prim)
    {
        ref readonly var a = ref _points[prim.From];
        ref readonly var b = ref _points[prim.To];
        (prim.X0, prim.Y0, prim.X1, prim.Y1) = (a.X, a.Y, b.X, b.Y);
        var (dx, dy) = (b.X - a.X, b.Y - a.Y);
        prim.Chord = Math.Sqrt((dx * dx) + (dy * dy));
        prim.Ux = dx / prim.Chord;
        prim.Uy = dy / prim.Chord;
        var box = new Bounds2(Math.Min(a.X, b.X), Math.Min(a.Y, b.Y), Math.Max(a.X, b.X), Math.Max(a.Y, b.Y));
        if (prim.Turn != 0)
        {
            var sagitta = Sagitta(a.X, a.Y, b.X, b.Y, prim.CenterX, prim.CenterY, prim.Radius);
            var (mx, my) = (((a.X + b.X) / 2) + (prim.Uy * sagitta * prim.Turn), ((a.Y + b.Y) / 2) - (prim.Ux * sagitta * prim.Turn));
            prim.IsDeep = sagitta > prim.Chord * 0.2;
            prim.MidX = mx - prim.CenterX;
            prim.MidY = my - prim.CenterY;
            prim.Side = mx > prim.CenterX ? 1 : -1;
            box = box.Include(new(mx, my));
            if (prim.IsFar)
            {
                prim.Side = prim.Uy * prim.Turn > 0 ? 1 : -1;
                prim.Bulge = 2 * sagitta / prim.Chord * prim.Turn;
                box = box.Inflate(sagitta);
            }
            else if ((a.Y - prim.CenterY) * (b.Y - prim.CenterY) < 0)
                box = box.Include(new(prim.CenterX + (prim.Side * prim.Radius), my));
        }

        Grow.Ensure(ref _prims, _primCount + 1);
        Grow.Ensure(ref _primBoxes, _primCount + 1);
        _prims[_primCount] = prim;
        _primBoxes[_primCount++] = box.Inflate(_tolerance);
    }

    /// <summary>Height of an arc of at most half a turn over its chord, without loss for shallow or for half-circle arcs.</summary>
    private static double Sagitta(double x0, double y0, double x1, double y1, double cx, double cy, double radius)
    {
        var (dx, dy) = (x1 - x0, y1 - y0);
        var quarter = ((dx * dx) + (dy * dy)) / 4;
        if (quarter * 2 < radius * radius)
            return quarter / (radius + Math.Sqrt((radius * radius) - quarter));

        var (mx, my) = (((x0 + x1) / 2) - cx, ((y0 + y1) / 2) - cy);
        return radius - Math.Sqrt((mx * mx) + (my * my));
    }

    private struct Node
    {
        public double X;
        public double Y;
        public double OutX;
        public double OutY;
        public bool IsGiven;
        public int Id;
    }

    private struct Source
    {
        public int From;
        public int To;
        public double Bulge;
    }

    /// <summary>A line, or an arc that rises or falls throughout.</summary>
    private struct Prim
    {
        public double X0, Y0, X1, Y1, Ux, Uy, Chord;
        public double CenterX, CenterY, Radius, MidX, MidY;
        public int From, To, Source, Channel, FirstCut, CutCount;
        public int Turn;
        public int Side;
        public bool IsDeep;

        /// <summary>An arc so flat that its centre is lost to rounding; <see cref="Form"/> stands for it.</summary>
        public bool IsFar;
        public double Bulge;

        public readonly ArcForm Form => new(X0, Y0, X1, Y1, Bulge);
    }
}
