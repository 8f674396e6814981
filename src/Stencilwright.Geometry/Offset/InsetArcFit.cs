using System.Runtime.InteropServices;

namespace Stencilwright.Geometry;

/// <summary>Fits pairs of arcs to <see cref="InsetArc"/> curves; those of one pad are mostly the same up to mirroring and are fitted once.</summary>
internal sealed class InsetArcFit
{
    /// <summary>Angles this near are the same: 0.1 pm on a tenth of a millimetre.</summary>
    private const double SameRad = 1e-9;

    /// <summary>Points of a piece compared with its pair of arcs; the difference has one hump on each.</summary>
    private const int Samples = 8;

    /// <summary>An ellipse a thousand times longer than wide gets lines where even these do not do.</summary>
    private const int MostPieces = 1024;

    [ThreadStatic]
    private static InsetArcFit? _spare;

    private readonly List<Piece> _pieces = [];
    private readonly List<PathVertex> _fitted = [];
    private double _toleranceMm;

    /// <summary>One for this thread, with nothing fitted yet, so that results do not hang on what came before.</summary>
    public static InsetArcFit Fresh(double toleranceMm)
    {
        var fit = _spare ??= new InsetArcFit();
        fit._pieces.Clear();
        fit._fitted.Clear();
        fit._toleranceMm = toleranceMm;
        return fit;
    }

    /// <summary>Appends arcs for the curve between two angles, along which it turns left everywhere: its vertices without the end point.</summary>
    public void Append(in InsetArc curve, double fromRad, double toRad, List<PathVertex> into)
    {
        var quarter = (int)Math.Floor((fromRad + SameRad) / (Math.PI / 2));
        for (var from = fromRad; ; quarter++)
        {
            var to = Math.Min(toRad, (quarter + 1) * (Math.PI / 2));
            if ((to - from) * curve.RadiusMm > ContourCleaner.ShortestMm)
            {
                AppendWithin(curve, quarter, from, to, into);
            }

            if (toRad - to <= SameRad)
            {
                return;
            }

            from = to;
        }
    }

    // Within one quarter, mirrored into the first.
    private void AppendWithin(in InsetArc curve, int quarter, double from, double to, List<PathVertex> into)
    {
        var isTurned = (quarter & 1) != 0;
        var origin = (isTurned ? quarter + 1 : quarter) * (Math.PI / 2);
        var (a, b) = isTurned ? (origin - to, origin - from) : (from - origin, to - origin);
        var piece = Find(curve, a, b);
        var fitted = CollectionsMarshal.AsSpan(_fitted).Slice(piece.First, piece.Count);
        var (signX, signY) = (quarter & 3) switch { 0 => (1, 1), 1 => (-1, 1), 2 => (-1, -1), _ => (1, -1) };
        for (var i = 0; i + 1 < fitted.Length; i++)
        {
            ref readonly var at = ref fitted[isTurned ? fitted.Length - 1 - i : i];
            var bulge = isTurned ? fitted[fitted.Length - 2 - i].Bulge : at.Bulge;
            into.Add(new(curve.Center.X + (signX * at.X), curve.Center.Y + (signY * at.Y), bulge));
        }
    }

    private Piece Find(in InsetArc curve, double from, double to)
    {
        foreach (var known in _pieces)
        {
            if (Math.Abs(known.From - from) <= SameRad && Math.Abs(known.To - to) <= SameRad
                && Math.Abs(known.RadiusMm - curve.RadiusMm) <= SameRad * curve.RadiusMm)
            {
                return known;
            }
        }

        var first = _fitted.Count;
        var pieces = PiecesOf(curve, from, to);
        while (!TryEven(curve, from, to, Math.Min(pieces, MostPieces)))
        {
            _fitted.RemoveRange(first, _fitted.Count - first);
            pieces += 1 + (pieces / 4);
        }

        var (sin, cos) = Math.SinCos(to);
        var end = curve.Relative(sin, cos);
        _fitted.Add(new(end.X, end.Y));
        var piece = new Piece(from, to, curve.RadiusMm, first, _fitted.Count - first);
        _pieces.Add(piece);
        return piece;
    }

    // A pair of arcs misses a curve by about the cube of its angle times what the radius changes by a radian, over 150 (measured, not
    // proved). Beginning with the pieces that this asks for saves fits that would fail; the fit itself decides.
    private int PiecesOf(in InsetArc curve, double from, double to)
    {
        var steepest = 0.0;
        for (var k = 0; k <= 4; k++)
        {
            var facing = Math.SinCos(from + ((to - from) * k / 4));
            var s = curve.SupportAt(facing);
            var (a2, b2) = (curve.HalfXMm * curve.HalfXMm, curve.HalfYMm * curve.HalfYMm);
            steepest = Math.Max(steepest, Math.Abs(3 * a2 * b2 * (a2 - b2) * facing.Sin * facing.Cos) / (s * s * s * s * s));
        }

        return Math.Clamp((int)Math.Ceiling((to - from) * Math.Cbrt(steepest / (150 * _toleranceMm))), 1, MostPieces);
    }

    private bool TryEven(in InsetArc curve, double from, double to, int pieces)
    {
        var first = Math.SinCos(from);
        var a = curve.Relative(first.Sin, first.Cos);
        for (var i = 0; i < pieces; i++)
        {
            var last = Math.SinCos(from + ((to - from) * (i + 1) / pieces));
            var b = curve.Relative(last.Sin, last.Cos);
            if (TryPair(a, new(-first.Sin, first.Cos), b, new(-last.Sin, last.Cos), out var pair) && IsNear(curve, (to - from) / pieces, first, pair))
            {
                _fitted.Add(new(a.X, a.Y, pair.FirstBulge));
                _fitted.Add(new(pair.Joint.X, pair.Joint.Y, pair.SecondBulge));
            }
            else if (pieces < MostPieces)
            {
                return false;
            }
            else
            {
                _fitted.Add(new(a.X, a.Y));
            }

            (first, a) = (last, b);
        }

        return true;
    }

    // The biarc whose two tangent lengths are equal, as in BiarcFit, with the centres and radii of its arcs.
    private static bool TryPair(Vector2 a, Vector2 start, Vector2 b, Vector2 end, out Pair pair)
    {
        pair = default;
        var chord = b - a;
        var c2 = Vector2.Dot(chord, chord);
        var sum = Vector2.Dot(chord, start + end);
        var k = 2 * (1 - Vector2.Dot(start, end));
        if (sum <= 0 || k <= 0)
        {
            return false;
        }

        // The root written so that nothing cancels where the curve is nearly straight.
        var d = c2 / (Math.Sqrt((sum * sum) + (k * c2)) + sum);
        var (p, q) = (a + (start * d), b - (end * d));
        var joint = (p + q) * 0.5;
        var along = (q - p).Unit;
        var (first, second) = (joint - a, b - joint);
        var (length1, length2) = (first.Length, second.Length);

        // tan(θ/4) from the half angle between tangent and chord: sin/(1 + cos).
        var bulge1 = Vector2.Cross(start, first) / (length1 + Vector2.Dot(start, first));
        var bulge2 = Vector2.Cross(along, second) / (length2 + Vector2.Dot(along, second));
        if (!(bulge1 > 0 && bulge2 > 0 && bulge1 < 1 && bulge2 < 1))
        {
            return false;
        }

        var radius1 = length1 * (1 + (bulge1 * bulge1)) / (4 * bulge1);
        var radius2 = length2 * (1 + (bulge2 * bulge2)) / (4 * bulge2);
        pair = new(joint, along, bulge1, bulge2, a + (start.Left * radius1), radius1, b + (end.Left * radius2), radius2);
        return true;
    }

    // Two convex curves with common ends and end directions are nowhere further apart than their supports differ.
    private bool IsNear(in InsetArc curve, double sweep, (double Sin, double Cos) start, in Pair pair)
    {
        var (stepSin, stepCos) = Math.SinCos(sweep / (Samples + 1));
        var (sin, cos) = start;
        for (var i = 0; i < Samples; i++)
        {
            (sin, cos) = ((sin * stepCos) + (cos * stepSin), (cos * stepCos) - (sin * stepSin));
            var isFirst = (cos * pair.Along.X) + (sin * pair.Along.Y) < 0;
            var (center, radius) = isFirst ? (pair.FirstCenter, pair.FirstRadius) : (pair.SecondCenter, pair.SecondRadius);
            var support = (center.X * cos) + (center.Y * sin) + radius;

            // A tenth is left for what lies between the samples.
            if (Math.Abs(support - curve.RadiusMm + curve.SupportAt((sin, cos))) > _toleranceMm * 0.9)
            {
                return false;
            }
        }

        return true;
    }

    private readonly record struct Piece(double From, double To, double RadiusMm, int First, int Count);

    private readonly record struct Pair(
        Vector2 Joint, Vector2 Along, double FirstBulge, double SecondBulge,
        Vector2 FirstCenter, double FirstRadius, Vector2 SecondCenter, double SecondRadius);
}
