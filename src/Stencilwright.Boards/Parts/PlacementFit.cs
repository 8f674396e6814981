using System.Collections.Immutable;
using Stencilwright.Geometry;

namespace Stencilwright.Boards.Parts;

/// <summary>How a placement source lies against the artwork.</summary>
/// <param name="Map">From the source's coordinates to the board's.</param>
/// <param name="ScaleFactor">Factor of the lengths: 1 when its unit is right.</param>
/// <param name="IsMirrored">It counts x or y the other way.</param>
/// <param name="TurnDeg">Turn after mirroring about the y axis, counter-clockwise.</param>
/// <param name="Inliers">Rows that come to lie on a part's middle.</param>
/// <param name="Rows">Rows that were tried.</param>
/// <param name="ResidualRmsMm">Root mean square distance of those.</param>
/// <param name="RivalInliers">The same for the best other way.</param>
internal sealed record PlacementFit(
    Affine2 Map, double ScaleFactor, bool IsMirrored, double TurnDeg, int Inliers, int Rows, double ResidualRmsMm, int RivalInliers)
{
    /// <summary>Share of rows on a part.</summary>
    public double Share => Rows == 0 ? 0 : (double)Inliers / Rows;

    /// <summary>Lies as it stands.</summary>
    public bool IsIdentity => ScaleFactor == 1 && !IsMirrored && TurnDeg == 0 && Math.Abs(Map.X0) < 0.02 && Math.Abs(Map.Y0) < 0.02;

    /// <summary>Another way fits about as well: the board's places look alike when turned.</summary>
    public bool IsDoubtful => RivalInliers >= 0.9 * Inliers;
}

/// <summary>Fits the places of a source to the middles of parts.</summary>
/// <remarks>
/// For each unit, mirror and quarter turn the offsets from rows to middles vote in cells; the fullest cell is the offset, and the
/// rows near a middle then move it by least squares. Rows that have no openings (through-hole parts) and parts that no row names
/// are what the voting is robust against.
/// </remarks>
internal static class PlacementFitter
{
    // Middles of parts told from openings are exact for symmetric parts; centroids in lists are rounded to 0.1 mil or 0.01 mm.
    private const double InlierMm = 0.25;
    private const double CellMm = 0.3;

    // Voting looks at this many rows: more add nothing.
    private const int Voters = 60;

    // Units mistaken for each other: millimetre and inch, millimetre and mil.
    private static readonly double[] _scales = [1, 25.4, 1 / 25.4, 0.0254, 1 / 0.0254];

    /// <summary>The best fit; null when no way puts half of the rows, and three at least, on parts.</summary>
    public static PlacementFit? Fit(ImmutableArray<Point2> rows, ImmutableArray<Point2> middles)
    {
        if (rows.Length == 0 || middles.Length == 0)
        {
            return null;
        }

        var index = new PointIndex(middles);
        var asItIs = Refine(rows, index, Affine2.Identity, 1, false, 0);
        if (IsEnough(asItIs.Inliers, rows.Length, middles.Length) && asItIs.Share >= 0.6)
        {
            return asItIs;
        }

        PlacementFit? best = asItIs;
        var rival = 0;
        foreach (var scale in _scales)
        {
            if (!IsPlausible(rows, middles, scale))
            {
                continue;
            }

            foreach (var isMirrored in (bool[])[false, true])
            {
                for (var turn = 0; turn < 360; turn += 90)
                {
                    var linear = Affine2.RotationDegrees(turn) * Affine2.Scale(isMirrored ? -scale : scale, scale);
                    var offset = Vote(rows, middles, linear);
                    var fit = Refine(rows, index, Affine2.Translation(offset.X, offset.Y) * linear, scale, isMirrored, turn);
                    if (fit.Inliers > best.Inliers)
                    {
                        (rival, best) = (best.Inliers, fit);
                    }
                    else if (fit.Inliers > rival && !IsSame(fit, best))
                    {
                        rival = fit.Inliers;
                    }
                }
            }
        }

        return IsEnough(best.Inliers, rows.Length, middles.Length) ? best with { RivalInliers = rival } : null;
    }

    private static bool IsSame(PlacementFit a, PlacementFit b) =>
        a.ScaleFactor == b.ScaleFactor && a.IsMirrored == b.IsMirrored && a.TurnDeg == b.TurnDeg
        && Math.Abs(a.Map.X0 - b.Map.X0) + Math.Abs(a.Map.Y0 - b.Map.Y0) < InlierMm;

    // A list may hold through-hole parts that have no openings, or a few parts of many: half of the smaller number must agree.
    private static bool IsEnough(int inliers, int rows, int middles) => inliers >= Math.Max(Math.Min(3, rows), 0.5 * Math.Min(rows, middles));

    // The source's extent, scaled, is that of the parts within a factor: rows without openings may lie outside, some parts unlisted.
    private static bool IsPlausible(ImmutableArray<Point2> rows, ImmutableArray<Point2> middles, double scale)
    {
        var (a, b) = (Extent(rows) * scale, Extent(middles));
        return rows.Length < 3 || middles.Length < 3 ? scale == 1 : a >= 0.3 * b && a <= 4 * b;
    }

    private static double Extent(ImmutableArray<Point2> points)
    {
        var box = Bounds2.Empty;
        foreach (var p in points)
        {
            box = box.Include(p);
        }

        return Math.Sqrt((box.Width * box.Width) + (box.Height * box.Height));
    }

    private static Vector2 Vote(ImmutableArray<Point2> rows, ImmutableArray<Point2> middles, Affine2 linear)
    {
        var votes = new Dictionary<(int, int), int>();
        var step = Math.Max(1, (rows.Length + Voters - 1) / Voters);
        for (var i = 0; i < rows.Length; i += step)
        {
            var at = linear.Apply(rows[i]);
            foreach (var middle in middles)
            {
                var d = middle - at;
                var cell = ((int)Math.Floor(d.X / CellMm), (int)Math.Floor(d.Y / CellMm));
                votes[cell] = votes.GetValueOrDefault(cell) + 1;
            }
        }

        // An offset on the border of cells is in four of them.
        var (best, most) = ((0, 0), -1);
        foreach (var ((x, y), count) in votes)
        {
            var sum = count + votes.GetValueOrDefault((x + 1, y)) + votes.GetValueOrDefault((x, y + 1)) + votes.GetValueOrDefault((x + 1, y + 1));
            if (sum > most || (sum == most && (x, y).CompareTo(best) < 0))
            {
                (best, most) = ((x, y), sum);
            }
        }

        return new((best.Item1 + 1) * CellMm, (best.Item2 + 1) * CellMm);
    }

    private static PlacementFit Refine(ImmutableArray<Point2> rows, PointIndex index, Affine2 map, double scale, bool isMirrored, double turn)
    {
        var (inliers, sum) = (0, 0.0);
        for (var round = 0; round < 4; round++)
        {
            var reach = round < 3 ? 0.5 : InlierMm;
            var (x, y) = (0.0, 0.0);
            (inliers, sum) = (0, 0);
            foreach (var row in rows)
            {
                var at = map.Apply(row);
                if (index.Nearest(at, reach) is { } middle)
                {
                    var d = middle - at;
                    (inliers, x, y, sum) = (inliers + 1, x + d.X, y + d.Y, sum + Vector2.Dot(d, d));
                }
            }

            if (round < 3 && inliers > 0)
            {
                // The least squares shift; turned lists are turned by quarters, so nothing else is free.
                map = Affine2.Translation(x / inliers, y / inliers) * map;
            }
        }

        return new(map, scale, isMirrored, turn, inliers, rows.Length, inliers == 0 ? 0 : Math.Sqrt(sum / inliers), 0);
    }
}

/// <summary>Finds the nearest of many places.</summary>
internal sealed class PointIndex
{
    private const double CellMm = 1;

    private readonly Dictionary<(int, int), List<int>> _cells = [];
    private readonly ImmutableArray<Point2> _points;

    public PointIndex(ImmutableArray<Point2> points)
    {
        _points = points;
        for (var i = 0; i < points.Length; i++)
        {
            var cell = Cell(points[i]);
            if (!_cells.TryGetValue(cell, out var list))
            {
                _cells.Add(cell, list = []);
            }

            list.Add(i);
        }
    }

    /// <summary>The nearest within a reach; null when there is none.</summary>
    public Point2? Nearest(Point2 at, double reachMm)
    {
        Point2? best = null;
        foreach (var i in Within(at, reachMm))
        {
            if (best is null || Point2.Distance(_points[i], at) < Point2.Distance(best.Value, at))
            {
                best = _points[i];
            }
        }

        return best;
    }

    /// <summary>Indices of the places within a reach, ascending.</summary>
    public List<int> Within(Point2 at, double reachMm)
    {
        var found = new List<int>();
        var (x0, y0) = Cell(new(at.X - reachMm, at.Y - reachMm));
        var (x1, y1) = Cell(new(at.X + reachMm, at.Y + reachMm));
        for (var y = y0; y <= y1; y++)
        {
            for (var x = x0; x <= x1; x++)
            {
                if (_cells.TryGetValue((x, y), out var list))
                {
                    found.AddRange(list.Where(i => Point2.Distance(_points[i], at) <= reachMm));
                }
            }
        }

        found.Sort();
        return found;
    }

    private static (int X, int Y) Cell(Point2 p) => ((int)Math.Clamp(Math.Floor(p.X / CellMm), -1e9, 1e9), (int)Math.Clamp(Math.Floor(p.Y / CellMm), -1e9, 1e9));
}
