using System.Runtime.InteropServices;

namespace Stencilwright.Geometry;

/// <summary>
/// The largest circle inside an island: squares halved, the most promising first, until one lies near the deepest point, which
/// the pieces touched then give exactly.
/// </summary>
internal sealed class DeepestPoint(Region island, List<WidthPiece> pieces)
{
    private const double ToleranceMm = 1e-7;
    private readonly List<Touch> _near = [];
    private readonly List<Touch> _planes = [];
    private double _depth;
    private Point2 _center;

    public InscribedCircle Find()
    {
        var bounds = island.Bounds;
        var half = Math.Max(1e-6, Math.Min(bounds.Width, bounds.Height) / 2);
        var queue = new PriorityQueue<Cell, double>();
        for (var x = bounds.MinX + half; x - half < bounds.MaxX; x += 2 * half)
        {
            for (var y = bounds.MinY + half; y - half < bounds.MaxY; y += 2 * half)
            {
                Push(queue, new(x, y), half, default);
            }
        }

        var (polished, at) = (0.0, default(Point2));
        while (queue.TryDequeue(out var cell, out _) && cell.Reach > _depth + ToleranceMm)
        {
            if (cell.Half < 0.15 * _depth && (polished == 0 || _depth > polished))
            {
                Polish(cell.Half);
                (polished, at) = (_depth, _center);
            }

            // The exact deepest point of this neighbourhood is known.
            if (polished > 0 && Point2.Distance(cell.Center, at) < 0.25 * polished && cell.Half < 0.1 * polished)
            {
                continue;
            }

            var h = cell.Half / 2;
            foreach (var (sx, sy) in (ReadOnlySpan<(int, int)>)[(-1, -1), (1, -1), (-1, 1), (1, 1)])
            {
                Push(queue, new(cell.Center.X + (sx * h), cell.Center.Y + (sy * h)), h, cell);
            }
        }

        if (_depth > 0 && _depth != polished)
        {
            Polish(0.1 * _depth);
        }

        return _depth > 0 ? new(_center, 2 * _depth) : InscribedCircle.None;
    }

    private void Push(PriorityQueue<Cell, double> queue, Point2 center, double half, in Cell parent)
    {
        var distance = Distance(center);

        // On the same side as the middle of the parent unless the boundary comes between them.
        var isInside = parent.Half > 0 && Math.Abs(parent.Depth) > 1.42 * half ? parent.Depth > 0 : island.Contains(center);
        var depth = isInside ? distance : -distance;
        if (depth > _depth)
        {
            (_depth, _center) = (depth, center);
        }

        var reach = depth + (half * Math.Sqrt(2));
        if (reach > _depth + ToleranceMm)
        {
            queue.Enqueue(new(center, half, depth, reach), -reach);
        }
    }

    private double Distance(Point2 p)
    {
        var least = double.PositiveInfinity;
        foreach (ref readonly var piece in CollectionsMarshal.AsSpan(pieces))
        {
            if (piece.IsCorner)
            {
                break;
            }

            if (!piece.IsLine)
            {
                if (RegionDistance.BoxDistance(piece.Box, new(p.X, p.Y, p.X, p.Y)) is var box && box * box < least
                    && piece.From(p).DistanceMm is var d && d * d < least)
                {
                    least = d * d;
                }

                continue;
            }

            var (start, chord) = (piece.Segment.Start, piece.Segment.Chord);
            var (x, y) = (p.X - start.X, p.Y - start.Y);
            var t = Math.Clamp(((x * chord.X) + (y * chord.Y)) / ((chord.X * chord.X) + (chord.Y * chord.Y)), 0, 1);
            var (dx, dy) = (x - (t * chord.X), y - (t * chord.Y));
            least = Math.Min(least, (dx * dx) + (dy * dy));
        }

        return Math.Sqrt(least);
    }

    // Uphill: to the point that is deepest within reach were all distances to grow evenly; again until it stands still.
    private void Polish(double reach)
    {
        for (var step = 0; step < 80 && reach > 1e-11; step++)
        {
            Gather(_center, _depth + (3 * reach));
            var (move, promised) = Uphill(reach);
            if (promised - _depth < 1e-10)
            {
                return;
            }

            var next = _center + move;
            var depth = Distance(next);
            var gain = depth - _depth;
            if (gain > 0 && island.Contains(next))
            {
                reach *= gain > 0.7 * (promised - _depth) ? 2 : 1;
                (_depth, _center) = (depth, next);
            }

            if (gain < 0.2 * (promised - _depth))
            {
                reach /= 4;
            }
        }
    }

    private void Gather(Point2 p, double within)
    {
        _near.Clear();
        foreach (ref readonly var piece in CollectionsMarshal.AsSpan(pieces))
        {
            if (piece.IsCorner)
            {
                break;
            }

            var nearest = piece.From(p);
            if (nearest.DistanceMm <= within && nearest.DistanceMm > 0)
            {
                _near.Add(new(nearest.DistanceMm, (p - nearest.Nearest).Unit));
            }
        }
    }

    // The highest point under planes, one for each distance: first under the lowest alone, then each time also under the one
    // that lies lowest where the others were highest.
    private (Vector2 Move, double Depth) Uphill(double reach)
    {
        _planes.Clear();
        var (move, promised) = (default(Vector2), double.PositiveInfinity);
        for (var round = 0; round < 24; round++)
        {
            var lowest = Lowest(_near, move);
            if (lowest < 0 || Height(_near[lowest], move) >= promised - 1e-12)
            {
                break;
            }

            _planes.Add(_near[lowest]);
            (move, promised) = Highest(reach);
        }

        return (move, promised);
    }

    private (Vector2 Move, double Depth) Highest(double reach)
    {
        var best = (Move: default(Vector2), Depth: double.NegativeInfinity);
        foreach (var (x, y) in (ReadOnlySpan<(int, int)>)[(-1, -1), (1, -1), (-1, 1), (1, 1)])
        {
            Consider(new(x * reach, y * reach), ref best);
        }

        // The newest plane bounds the highest point: the others were looked at without it.
        var last = _planes[^1];
        for (var i = 0; i < _planes.Count - 1; i++)
        {
            ConsiderEdges(last, _planes[i], reach, ref best);
            for (var j = i + 1; j < _planes.Count - 1; j++)
            {
                var (u, v) = (last.Away - _planes[i].Away, last.Away - _planes[j].Away);
                var (p, q) = (_planes[i].Distance - last.Distance, _planes[j].Distance - last.Distance);
                var d = Vector2.Cross(u, v);
                var move = new Vector2(((p * v.Y) - (q * u.Y)) / d, ((q * u.X) - (p * v.X)) / d);
                if (Math.Abs(move.X) <= reach && Math.Abs(move.Y) <= reach)
                {
                    Consider(move, ref best);
                }
            }
        }

        return best;
    }

    // Where two planes meet above the edges of the square within reach.
    private void ConsiderEdges(in Touch a, in Touch b, double reach, ref (Vector2 Move, double Depth) best)
    {
        var u = a.Away - b.Away;
        var p = b.Distance - a.Distance;
        for (var side = -reach; side <= reach; side += 2 * reach)
        {
            var (y, x) = ((p - (u.X * side)) / u.Y, (p - (u.Y * side)) / u.X);
            if (Math.Abs(y) <= reach)
            {
                Consider(new(side, y), ref best);
            }

            if (Math.Abs(x) <= reach)
            {
                Consider(new(x, side), ref best);
            }
        }
    }

    private void Consider(Vector2 move, ref (Vector2 Move, double Depth) best)
    {
        var height = Height(_planes[Lowest(_planes, move)], move);
        if (height > best.Depth)
        {
            best = (move, height);
        }
    }

    private static int Lowest(List<Touch> planes, Vector2 move)
    {
        var (lowest, height) = (-1, double.PositiveInfinity);
        for (var i = 0; i < planes.Count; i++)
        {
            if (Height(planes[i], move) is var here && here < height)
            {
                (lowest, height) = (i, here);
            }
        }

        return lowest;
    }

    private static double Height(in Touch plane, Vector2 move) => plane.Distance + Vector2.Dot(plane.Away, move);

    private readonly record struct Cell(Point2 Center, double Half, double Depth, double Reach);

    private readonly record struct Touch(double Distance, Vector2 Away);
}
