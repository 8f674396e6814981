using System.Runtime.InteropServices;
using Stencilwright.Geometry.Arranging;

namespace Stencilwright.Geometry;

/// <summary>
/// Finds the smallest circle held between two opposite points of the boundary: for every two pieces the chords square to both, and of
/// their circles the smallest that no other piece reaches into.
/// </summary>
internal sealed class HeldCircles
{
    private const double ToleranceMm = 1e-7;

    // Where boundaries touch there is no neck.
    private const double LeastMm = 1e-6;

    /// <summary>Lines whose distance changes by less than this along their common stretch count as parallel.</summary>
    private const double ParallelMm = 5e-4;

    private const int ManyPieces = 160;
    private readonly Region _island;
    private readonly List<WidthPiece> _pieces;
    private readonly List<Point2> _places = [];
    private double _best;
    private Point2 _center;
    private bool _isFound;
    private int _lastInWay;

    public HeldCircles(Region island, List<WidthPiece> pieces)
    {
        (_island, _pieces) = (island, pieces);

        // No circle inside is wider than the box, nor larger than the whole.
        var box = island.Bounds;
        _best = Math.Min(Math.Min(box.Width, box.Height), 2 * Math.Sqrt(Math.Max(0, island.AreaMm2) / Math.PI)) + ToleranceMm;
    }

    /// <summary>The smallest; diameter 0 when there is none.</summary>
    public InscribedCircle FindSmallest()
    {
        if (_pieces.Count <= ManyPieces)
        {
            for (var i = 0; i < _pieces.Count; i++)
            {
                for (var j = i + 1; j < _pieces.Count; j++)
                {
                    Look(i, j);
                }
            }
        }
        else
        {
            LookAtNear();
        }

        return _isFound ? new(_center, _best) : InscribedCircle.None;
    }

    private void LookAtNear()
    {
        var boxes = new Bounds2[_pieces.Count];
        for (var i = 0; i < boxes.Length; i++)
        {
            boxes[i] = _pieces[i].Box.Inflate(_best / 2);
        }

        var bands = new BandIndex();
        bands.Build(boxes, byRightEdge: false);
        for (var band = 0; band < bands.BandCount; band++)
        {
            var items = bands.Band(band);
            for (var k = 0; k < items.Length; k++)
            {
                ref readonly var box = ref boxes[items[k]];
                for (var m = k + 1; m < items.Length && boxes[items[m]].MinX <= box.MaxX; m++)
                {
                    ref readonly var other = ref boxes[items[m]];
                    if (box.MinY <= other.MaxY && other.MinY <= box.MaxY && bands.BandOf(Math.Max(box.MinY, other.MinY)) == band)
                    {
                        Look(items[k], items[m]);
                    }
                }
            }
        }
    }

    private void Look(int i, int j)
    {
        var pieces = CollectionsMarshal.AsSpan(_pieces);
        ref readonly var a = ref pieces[i];
        ref readonly var b = ref pieces[j];
        if (a.IsLine && b.IsLine)
        {
            if (Vector2.Dot(a.Inward, b.Inward) < -0.9)
            {
                BetweenLines(i, j, a, b);
            }
        }
        else if (RegionDistance.BoxDistance(a.Box, b.Box) < _best)
        {
            if (a.IsLine)
            {
                BetweenLineAndRound(a, b);
            }
            else if (b.IsLine)
            {
                BetweenLineAndRound(b, a);
            }
            else
            {
                BetweenRounds(a, b);
            }
        }
    }

    private void BetweenLines(int i, int j, in WidthPiece a, in WidthPiece b)
    {
        var unit = a.Segment.Chord.Unit;
        var (b0, b1) = (b.Segment.End - a.Segment.Start, b.Segment.Start - a.Segment.Start);
        var from = Math.Max(0, Vector2.Dot(b0, unit));
        var to = Math.Min(a.Segment.Chord.Length, Vector2.Dot(b1, unit));
        if (to < from - ToleranceMm || Math.Abs(Vector2.Cross(a.Inward, b.Inward)) * (to - from) > ParallelMm
            || Math.Abs(Vector2.Cross(a.Inward, b.Inward)) > 0.1)
        {
            return;
        }

        // The gap at both ends of the common stretch; circles there differ by less than what counts as parallel.
        var slope = Vector2.Dot(b1 - b0, a.Inward) / Vector2.Dot(b1 - b0, unit);
        var (gap0, along0) = (Vector2.Dot(b0, a.Inward), Vector2.Dot(b0, unit));
        var gap = gap0 + Math.Min(slope * (from - along0), slope * (to - along0));
        if (!(gap > LeastMm && gap < _best))
        {
            return;
        }

        var start = a.Segment.Start + (a.Inward * (gap / 2));
        if (Try(start + (unit * ((from + to) / 2)), gap, i, j))
        {
            return;
        }

        _places.Clear();
        _places.Add(start + (unit * from));
        _places.Add(start + (unit * to));
        new Carrier(start, unit, double.PositiveInfinity).AddTouching(_pieces, gap / 2, _places);
        foreach (var place in _places)
        {
            var along = Vector2.Dot(place - start, unit);
            if (along >= from - ToleranceMm && along <= to + ToleranceMm && Try(place, gap, i, j))
            {
                return;
            }
        }
    }

    private void BetweenLineAndRound(in WidthPiece line, in WidthPiece round)
    {
        var away = round.Center - line.Segment.Start;
        var width = Vector2.Dot(away, line.Inward) - round.Reach;
        if (!CanBe(width, round))
        {
            return;
        }

        var foot = line.Segment.Start + (away - (line.Inward * Vector2.Dot(away, line.Inward)));
        if (line.Holds(foot, ToleranceMm) && round.Holds(round.Center - (line.Inward * round.Reach), ToleranceMm))
        {
            Try(foot + (line.Inward * (width / 2)), width, -1, -1);
        }
    }

    private void BetweenRounds(in WidthPiece a, in WidthPiece b)
    {
        var axis = b.Center - a.Center;
        var distance = axis.Length;
        if (distance < ToleranceMm)
        {
            BetweenConcentric(a, b);
            return;
        }

        for (var sign = 1; sign >= -1; sign -= 2)
        {
            var width = (sign * distance) - a.Reach - b.Reach;
            if (!CanBe(width, a) || !CanBe(width, b))
            {
                continue;
            }

            var unit = axis * (sign / distance);
            var (onA, onB) = (a.Center + (unit * a.Reach), b.Center - (unit * b.Reach));
            if (a.Holds(onA, ToleranceMm) && b.Holds(onB, ToleranceMm))
            {
                Try(Point2.Lerp(onA, onB, 0.5), width, -1, -1);
            }
        }
    }

    // A circle between concentric arcs may be held anywhere along them; two arcs of one circle hold it in the middle when they
    // have opposite points.
    private void BetweenConcentric(in WidthPiece a, in WidthPiece b)
    {
        var width = -a.Reach - b.Reach;
        if (!CanBe(width, a) || !CanBe(width, b))
        {
            return;
        }

        var (outer, inner) = a.Reach < b.Reach ? (a, b) : (b, a);
        var center = outer.Center;
        var middle = (inner.Reach - outer.Reach) / 2;
        if (middle > -outer.Reach - ToleranceMm)
        {
            foreach (var p in (ReadOnlySpan<Point2>)[inner.Segment.Start, inner.Segment.Middle, inner.Segment.End,
                outer.Segment.Start, outer.Segment.Middle, outer.Segment.End])
            {
                var opposite = center - (p - center);
                if ((inner.Holds(p, ToleranceMm) && outer.Holds(opposite, ToleranceMm)) || (outer.Holds(p, ToleranceMm) && inner.Holds(opposite, ToleranceMm)))
                {
                    Try(center, width, -1, -1);
                    return;
                }
            }

            return;
        }

        _places.Clear();
        AddAt(inner.Segment.Middle);
        AddAt(outer.Segment.Middle);
        AddAt(outer.Segment.Start);
        AddAt(outer.Segment.End);
        AddAt(inner.Segment.Start);
        AddAt(inner.Segment.End);
        new Carrier(center, default, middle).AddTouching(_pieces, width / 2, _places);
        foreach (var place in _places)
        {
            var unit = (place - center).Unit;
            if (outer.Holds(center - (unit * outer.Reach), ToleranceMm) && inner.Holds(center + (unit * inner.Reach), ToleranceMm)
                && Try(place, width, -1, -1))
            {
                return;
            }
        }

        void AddAt(Point2 p)
        {
            if ((p - center).Length > ToleranceMm)
            {
                _places.Add(center + ((p - center).Unit * middle));
            }
        }
    }

    // No circle larger than an arc's own fits into it.
    private bool CanBe(double width, in WidthPiece round) =>
        width > LeastMm && width < _best && (round.Reach >= 0 || width / 2 <= -round.Reach + ToleranceMm);

    private bool Try(Point2 center, double width, int except, int exceptToo)
    {
        if (!(width < _best))
        {
            return false;
        }

        var pieces = CollectionsMarshal.AsSpan(_pieces);
        var least = (width / 2) - ToleranceMm;
        if (_lastInWay < pieces.Length && _lastInWay != except && _lastInWay != exceptToo && pieces[_lastInWay].From(center).DistanceMm < least)
        {
            return false;
        }

        var box = new Bounds2(center.X - least, center.Y - least, center.X + least, center.Y + least);
        for (var i = 0; i < pieces.Length; i++)
        {
            if (i != except && i != exceptToo && pieces[i].Box.Overlaps(box) && pieces[i].From(center).DistanceMm < least)
            {
                _lastInWay = i;
                return false;
            }
        }

        if (!_island.Contains(center))
        {
            return false;
        }

        (_best, _center, _isFound) = (width, center, true);
        return true;
    }
}
