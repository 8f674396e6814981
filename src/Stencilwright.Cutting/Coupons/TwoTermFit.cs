namespace Stencilwright.Cutting.Coupons;

/// <summary>One equation p·A + q·B = Y.</summary>
internal readonly record struct TwoTermRow(double A, double B, double Y);

/// <summary>p and q by least squares over the rows kept, with what is needed for their errors.</summary>
/// <param name="P">Factor of A.</param>
/// <param name="Q">Factor of B.</param>
/// <param name="SquareSum">Of the residuals of the rows kept.</param>
/// <param name="Degrees">Rows kept less unknowns.</param>
/// <param name="VarP">Variance of P for residuals of variance 1; 0 when P was given.</param>
/// <param name="VarQ">Variance of Q for residuals of variance 1.</param>
/// <param name="CovPQ">Their covariance for residuals of variance 1.</param>
internal sealed record TwoTermFit(double P, double Q, double SquareSum, int Degrees, double VarP, double VarQ, double CovPQ)
{
    // Rows that differ by less than this share of their size do not tell two unknowns apart.
    private const double Singular = 1e-12;

    /// <summary>Standard deviation of one row, when there are rows to spare.</summary>
    public double Sigma => Degrees > 0 ? Math.Sqrt(SquareSum / Degrees) : 0;

    public double Residual(TwoTermRow row) => row.Y - (P * row.A) - (Q * row.B);

    /// <summary>How much of its own fitted value a row decides, 0 to 1.</summary>
    public double Leverage(TwoTermRow row) =>
        (row.A * row.A * VarP) + (2 * row.A * row.B * CovPQ) + (row.B * row.B * VarQ);

    /// <summary>Weighted least squares by the normal equations; null when the rows do not tell the unknowns apart.</summary>
    /// <param name="rows">The equations.</param>
    /// <param name="weights">One a row; 0 leaves it out.</param>
    /// <param name="given">p, when it is not to be found.</param>
    public static TwoTermFit? Solve(ReadOnlySpan<TwoTermRow> rows, ReadOnlySpan<double> weights, double? given = null)
    {
        var (saa, sab, sbb, say, sby, kept) = (0.0, 0.0, 0.0, 0.0, 0.0, 0);
        for (var i = 0; i < rows.Length; i++)
        {
            var (w, (a, b, y)) = (weights[i], rows[i]);
            y -= (given ?? 0) * a;
            saa += w * a * a;
            sab += w * a * b;
            sbb += w * b * b;
            say += w * a * y;
            sby += w * b * y;
            kept += w > 0 ? 1 : 0;
        }

        var determinant = (saa * sbb) - (sab * sab);
        if (sbb <= 0 || (given is null && !(determinant > Singular * saa * sbb)))
        {
            return null;
        }

        var fit = given is { } p
            ? new TwoTermFit(p, sby / sbb, 0, kept - 1, 0, 1 / sbb, 0)
            : new TwoTermFit(
                ((say * sbb) - (sby * sab)) / determinant,
                ((sby * saa) - (say * sab)) / determinant,
                0,
                kept - 2,
                sbb / determinant,
                saa / determinant,
                -sab / determinant);
        var squares = 0.0;
        for (var i = 0; i < rows.Length; i++)
        {
            if (weights[i] > 0)
            {
                var r = fit.Residual(rows[i]);
                squares += weights[i] * r * r;
            }
        }

        return fit with { SquareSum = squares };
    }
}
