namespace Stencilwright.Geometry.Arranging;

/// <summary>
/// The union of two simple contours that cross each other plainly or not at all: cut at the crossings, the parts of each outside the
/// other chained. Whatever comes near a touch, a coincidence or a vertex is left to <see cref="Arrangement"/>.
/// </summary>
/// <remarks>See docs/algorithms/boolean.md.</remarks>
internal sealed partial class PairUnion
{
    /// <summary>More sides than this near the other contour are faster with an index.</summary>
    private const int MostSides = 48;
    private const int MostCrossings = 16;

    /// <summary>Closer than this, relative to the extent, is not plain: 20 times the tolerance of the arrangement.</summary>
    private const double RelativeMargin = 1e-8;
    private const double RoundingAllowance = 2e-12;

    /// <summary>Sides that cross at less than this sine are not plain.</summary>
    private const double LeastSine = 1e-3;

    [ThreadStatic]
    private static PairUnion? _spare;

    private readonly Side[] _sidesA = new Side[MostSides];
    private readonly Side[] _sidesB = new Side[MostSides];
    private readonly Crossing[] _crossings = new Crossing[MostCrossings];
    private readonly int[] _alongA = new int[MostCrossings];
    private readonly int[] _alongB = new int[MostCrossings];
    private int _count;
    private double _margin;
    private PathVertex[] _path = [];
    private int _pathCount;

    /// <summary>The union; null when something is not plain.</summary>
    /// <param name="a">A region of one contour.</param>
    /// <param name="b">Another.</param>
    public static Region? Try(Region a, Region b)
    {
        var (p, q) = (a.Contours[0], b.Contours[0]);
        if (!(p.SignedAreaMm2 > 0 && q.SignedAreaMm2 > 0))
            return null;

        var work = _spare ??= new PairUnion();
        if (!work.Cross(p, q))
            return null;

        if (work._count > 0)
            return (work._count & 1) == 0 && work.Order() && work.Chain(p.Vertices, q.Vertices) ? Region.Of(work.Written()) : null;

        if (Holds(p, q))
            return a;

        return Holds(q, p) ? b : new Region([p, q]);
    }

    // For contours that nowhere come near each other.
    private static bool Holds(Contour outer, Contour inner) =>
        outer.Bounds.Contains(inner.Bounds) && outer.WindingNumber(inner.Vertices[0].Point) > 0;

    private bool Cross(Contour p, Contour q)
    {
        var (a, b) = (p.Bounds, q.Bounds);
        var box = Bounds2.Union(a, b);
        var far = Math.Max(Math.Max(Math.Abs(box.MinX), Math.Abs(box.MaxX)), Math.Max(Math.Abs(box.MinY), Math.Abs(box.MaxY)));
        var extent = Math.Max(box.Width, box.Height);
        _margin = (extent * RelativeMargin) + (far * RoundingAllowance);
        _count = 0;
        if (!double.IsFinite(_margin))
            return false;

        var common = new Bounds2(Math.Max(a.MinX, b.MinX), Math.Max(a.MinY, b.MinY), Math.Min(a.MaxX, b.MaxX), Math.Min(a.MaxY, b.MaxY));
        common = new(common.MinX - _margin, common.MinY - _margin, common.MaxX + _margin, common.MaxY + _margin);
        if (!Collect(p.Vertices, common, extent, _sidesA, out var countA) || !Collect(q.Vertices, common, extent, _sidesB, out var countB))
            return false;

        for (var i = 0; i < countA; i++)
        {
            ref readonly var s = ref _sidesA[i];
            for (var j = 0; j < countB; j++)
            {
                ref readonly var t = ref _sidesB[j];
                if (s.MinX <= t.MaxX && t.MinX <= s.MaxX && s.MinY <= t.MaxY && t.MinY <= s.MaxY && !Cross(s, t))
                    return false;
            }
        }

        return true;
    }

    // The sides that reach into a box. False when two could be one, or one is next to nothing: the arrangement tidies that.
    private bool Collect(ReadOnlySpan<PathVertex> v, in Bounds2 common, double extent, Side[] sides, out int count)
    {
        count = 0;
        ref readonly var last = ref v[^1];
        var (lastX, lastY, lastBulge) = (v[0].X - last.X, v[0].Y - last.Y, last.Bulge);
        for (var i = 0; i < v.Length; i++)
        {
            ref readonly var a = ref v[i];
            ref readonly var b = ref v[i + 1 == v.Length ? 0 : i + 1];
            var (dx, dy) = (b.X - a.X, b.Y - a.Y);
            var length = Math.Abs(dx) + Math.Abs(dy);
            var sagitta = length * Math.Abs(a.Bulge) / 2;
            if (length <= 4 * _margin || (a.Bulge != 0 && sagitta <= 100 * _margin) || IsOneWith(lastX, lastY, lastBulge, dx, dy, a.Bulge))
                return false;

            (lastX, lastY, lastBulge) = (dx, dy, a.Bulge);
            var reach = sagitta + _margin;
            var (minX, maxX) = a.X < b.X ? (a.X - reach, b.X + reach) : (b.X - reach, a.X + reach);
            var (minY, maxY) = a.Y < b.Y ? (a.Y - reach, b.Y + reach) : (b.Y - reach, a.Y + reach);
            if (minX > common.MaxX || maxX < common.MinX || minY > common.MaxY || maxY < common.MinY)
                continue;

            if (count == MostSides)
                return false;

            ref var side = ref sides[count++];
            (side.X0, side.Y0, side.X1, side.Y1, side.Bulge, side.Index) = (a.X, a.Y, b.X, b.Y, a.Bulge, i);
            (side.MinX, side.MinY, side.MaxX, side.MaxY) = (minX, minY, maxX, maxY);
            if (a.Bulge == 0)
                continue;

            var offset = (1 - (a.Bulge * a.Bulge)) / (4 * a.Bulge);
            side.CenterX = ((a.X + b.X) / 2) - (dy * offset);
            side.CenterY = ((a.Y + b.Y) / 2) + (dx * offset);
            side.Radius = Math.Sqrt((dx * dx) + (dy * dy)) * (1 + (a.Bulge * a.Bulge)) / (4 * Math.Abs(a.Bulge));
            if (side.Radius > 100 * extent)
                return false;
        }

        return true;
    }

    // Two lines in one direction, or arcs that may be of one circle: of such each is no longer than half a turn together.
    private bool IsOneWith(double lastX, double lastY, double lastBulge, double dx, double dy, double bulge)
    {
        if (bulge == 0 || lastBulge == 0)
        {
            if (bulge != lastBulge)
                return false;

            return Math.Abs((lastX * dy) - (lastY * dx)) <= _margin * (Math.Abs(lastX) + Math.Abs(lastY) + Math.Abs(dx) + Math.Abs(dy));
        }

        var product = lastBulge * bulge;
        return product > 0 && product < 1 && Math.Abs((lastBulge + bulge) / (1 - product)) <= 1 + 1e-9;
    }

    // Along each contour; where one enters the other, the other leaves the one.
    private bool Order()
    {
        for (var k = 0; k < _count; k++)
        {
            var at = k;
            for (; at > 0 && IsBefore(_crossings[k].SideA, _crossings[k].AlongA, _crossings[_alongA[at - 1]].SideA, _crossings[_alongA[at - 1]].AlongA); at--)
                _alongA[at] = _alongA[at - 1];

            _alongA[at] = k;
            at = k;
            for (; at > 0 && IsBefore(_crossings[k].SideB, _crossings[k].AlongB, _crossings[_alongB[at - 1]].SideB, _crossings[_alongB[at - 1]].AlongB); at--)
                _alongB[at] = _alongB[at - 1];

            _alongB[at] = k;
        }

        for (var k = 0; k < _count; k++)
        {
            ref readonly var here = ref _crossings[_alongA[k]];
            ref readonly var next = ref _crossings[_alongA[k + 1 == _count ? 0 : k + 1]];
            ref readonly var hereB = ref _crossings[_alongB[k]];
            ref readonly var nextB = ref _crossings[_alongB[k + 1 == _count ? 0 : k + 1]];
            if (here.LeavesB == next.LeavesB || hereB.LeavesB == nextB.LeavesB
                || Math.Abs(here.X - next.X) + Math.Abs(here.Y - next.Y) <= 4 * _margin
                || Math.Abs(hereB.X - nextB.X) + Math.Abs(hereB.Y - nextB.Y) <= 4 * _margin)
            {
                return false;
            }

            _crossings[_alongA[k]].NextA = _alongA[k + 1 == _count ? 0 : k + 1];
            _crossings[_alongB[k]].NextB = _alongB[k + 1 == _count ? 0 : k + 1];
        }

        return true;
    }

    private static bool IsBefore(int side, double along, int otherSide, double otherAlong) => side < otherSide || (side == otherSide && along < otherAlong);

    // One loop through all crossings is the outer boundary and there is no hole; several are left to the arrangement.
    private bool Chain(ReadOnlySpan<PathVertex> a, ReadOnlySpan<PathVertex> b)
    {
        Grow.Ensure(ref _path, a.Length + b.Length + (2 * _count));
        _pathCount = 0;
        var start = _crossings[_alongA[0]].LeavesB ? _alongA[0] : _alongA[1];
        var at = start;
        var met = 0;
        do
        {
            ref readonly var leaving = ref _crossings[at];
            ref readonly var entering = ref _crossings[leaving.NextA];
            Follow(a, leaving.X, leaving.Y, leaving.SideA, leaving.AlongA, entering.X, entering.Y, entering.SideA, entering.AlongA);
            at = entering.NextB;
            ref readonly var back = ref _crossings[at];
            Follow(b, entering.X, entering.Y, entering.SideB, entering.AlongB, back.X, back.Y, back.SideB, back.AlongB);
            met += 2;
        }
        while (at != start && met < _count);
        return at == start && met == _count;
    }

    private void Follow(
        ReadOnlySpan<PathVertex> v, double fromX, double fromY, int fromSide, double fromAlong, double toX, double toY, int toSide, double toAlong)
    {
        var side = fromSide;
        var (x, y) = (fromX, fromY);
        if (fromSide != toSide || toAlong < fromAlong)
        {
            var next = side + 1 == v.Length ? 0 : side + 1;
            _path[_pathCount++] = new(x, y, BulgeOf(v, side, x, y, v[next].X, v[next].Y));
            for (side = next; side != toSide; side = side + 1 == v.Length ? 0 : side + 1)
                _path[_pathCount++] = v[side];

            (x, y) = (v[side].X, v[side].Y);
        }

        _path[_pathCount++] = new(x, y, BulgeOf(v, side, x, y, toX, toY));
    }

    // tan(θ/4) of a part of an arc, at most half a turn: half the chord over radius and distance of the chord from the centre.
    private static double BulgeOf(ReadOnlySpan<PathVertex> v, int side, double x0, double y0, double x1, double y1)
    {
        if (v[side].Bulge == 0)
            return 0;

        var whole = new Segment(v[side].Point, v[side + 1 == v.Length ? 0 : side + 1].Point, v[side].Bulge);
        var away = whole.Center - new Point2((x0 + x1) / 2, (y0 + y1) / 2);
        var half = new Vector2(x1 - x0, y1 - y0).Length / 2;
        return Math.CopySign(Math.Min(1, half / (whole.Radius + away.Length)), whole.Bulge);
    }

    private Contour Written() => new(_path.AsSpan(0, _pathCount));

    private struct Side
    {
        public double X0, Y0, X1, Y1, Bulge, CenterX, CenterY, Radius, MinX, MinY, MaxX, MaxY;
        public int Index;
    }

    /// <summary>Where the contours cross: on which sides, how far from their starts (squared), and whether the first leaves the second.</summary>
    private struct Crossing
    {
        public double X, Y, AlongA, AlongB;
        public int SideA, SideB, NextA, NextB;
        public bool LeavesB;
    }
}
