using System.Globalization;
using System.Runtime.InteropServices;

namespace Stencilwright.Cutting.Coupons;

/// <summary>The lengths of diagonals: skew makes those that rise longer and those that fall shorter, or the other way round.</summary>
/// <remarks>
/// Only the difference between rising and falling diagonals tells skew. A factor common to all of them is fitted beside it:
/// a reader who sets the calipers to the ends in his own way does so at every diagonal.
/// </remarks>
internal sealed class SkewFit
{
    // A common factor further from 1 than this means that something else was measured.
    private const double MostFactorOff = 0.01;

    private readonly List<(string Id, double X, double Y, double EndMm, double ReadMm)> _readings = [];

    /// <summary>tan skew, when it was found.</summary>
    public double Tangent { get; private set; }

    /// <summary>Variance of the tangent for readings of variance 1 mm²; null when skew was not to be found.</summary>
    public double? Variance { get; private set; }

    /// <summary>Of the residuals of the diagonals kept.</summary>
    public double SquareSum { get; private set; }

    /// <summary>Diagonals kept less the two unknowns.</summary>
    public int Degrees { get; private set; }

    /// <summary>Diagonals that the skew rests on.</summary>
    public List<string> Used { get; } = [];

    /// <summary>Takes a diagonal's length over the far edges of its ends.</summary>
    public void Add(CouponFeature feature, double readMm)
    {
        var (sin, cos) = Math.SinCos(feature.RotationDeg * Math.PI / 180);
        var length = feature.WidthMm - feature.HeightMm;
        _readings.Add((feature.Id, length * cos, length * sin, feature.HeightMm, readMm));
    }

    /// <summary>Finds the skew from the axes as fitted.</summary>
    /// <param name="x">Along x.</param>
    /// <param name="y">Along y.</param>
    /// <param name="sigmaMm">Spread of one reading.</param>
    /// <param name="degrees">What that spread rests on.</param>
    /// <param name="rejected">Takes the diagonals that do not belong.</param>
    /// <returns>False when the diagonals do not tell, or tell nonsense.</returns>
    public bool Search(TwoTermFit x, TwoTermFit y, double sigmaMm, int degrees, SortedDictionary<string, string> rejected)
    {
        var without = -1;
        var fit = Solve(x, y, without);
        if (fit is { Degrees: > 0 } && Worst(fit) is var worst && worst.Off > StudentT.Quantile(0.999534742, degrees) * Math.Max(sigmaMm, 0.001))
        {
            // Of the diagonals whose absence makes the others agree, the one is wrong without which lengths are true, not only alike.
            var nearest = double.PositiveInfinity;
            for (var i = 0; i < _readings.Count; i++)
            {
                if (Solve(x, y, i) is { } less && Math.Abs(less.Q - 1) + (less.SquareSum / 1000) < nearest)
                {
                    (without, nearest, fit) = (i, Math.Abs(less.Q - 1) + (less.SquareSum / 1000), less);
                }
            }
        }

        if (fit is null || Math.Abs(fit.Q - 1) > MostFactorOff)
        {
            return false;
        }

        if (without >= 0)
        {
            var (row, reading) = (Row(x, y, without, fit.P), _readings[without]);
            var expected = reading.ReadMm - fit.Residual(row);
            rejected.TryAdd(reading.Id, string.Create(CultureInfo.InvariantCulture,
                $"its length of {reading.ReadMm:0.###} mm does not agree with the other diagonals ({expected:0.000} mm)"));
        }

        (Tangent, Variance, SquareSum, Degrees) = (fit.P, fit.VarP, fit.SquareSum, fit.Degrees);
        Used.AddRange(_readings.Where((_, i) => i != without).Select(r => r.Id));
        return true;

        (int Row, double Off) Worst(TwoTermFit of)
        {
            var (at, off) = (0, 0.0);
            for (var i = 0; i < _readings.Count; i++)
            {
                var row = Row(x, y, i, of.P);
                var own = Math.Abs(of.Residual(row)) / Math.Sqrt(Math.Max(1 - of.Leverage(row), 1e-9));
                (at, off) = own > off ? (i, own) : (at, off);
            }

            return (at, off);
        }
    }

    private TwoTermFit? Solve(TwoTermFit x, TwoTermFit y, int without)
    {
        var weights = new double[_readings.Count];
        for (var i = 0; i < weights.Length; i++)
        {
            weights[i] = i == without ? 0 : 1;
        }

        TwoTermFit? fit = null;
        for (var round = 0; round < 4; round++)
        {
            var rows = new List<TwoTermRow>(_readings.Count);
            for (var i = 0; i < _readings.Count; i++)
            {
                rows.Add(Row(x, y, i, fit?.P ?? 0));
            }

            fit = TwoTermFit.Solve(CollectionsMarshal.AsSpan(rows), weights);
            if (fit is null)
            {
                return null;
            }
        }

        return fit;
    }

    // Linear in the tangent about a first value: L ≈ factor · L(t0) + L'(t0) (t - t0).
    private TwoTermRow Row(TwoTermFit x, TwoTermFit y, int i, double t0)
    {
        var (_, vx, vy, end, read) = _readings[i];
        var (cx, cy) = ((x.P * vx) + (y.P * vy * t0), y.P * vy);
        var length = Math.Sqrt((cx * cx) + (cy * cy));
        var (ux, uy) = (cx / length, cy / length);
        // A round end swept by the beam's ellipse reaches as far as both their supports.
        var ends = (end * Math.Sqrt((x.P * ux * x.P * ux) + (y.P * uy * y.P * uy)))
            + Math.Sqrt((x.Q * ux * x.Q * ux) + (y.Q * uy * y.Q * uy));
        var slope = cx * y.P * vy / length;
        return new TwoTermRow(slope, length + ends, read + (slope * t0));
    }
}
